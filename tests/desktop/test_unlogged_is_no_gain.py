"""Of a job that is not fully logged no step of the way to its margin is painted as a gain; sums say one and many."""

from __future__ import annotations

from datetime import timedelta

from PySide6.QtGui import QColor
from pytestqt.qtbot import QtBot

from desktop.look.theme import current_tokens
from desktop.pages.job_sections.outcome.rows import waterfall_steps
from desktop.widgets.waterfall import WaterfallStep, WaterfallView
from domain.costing import JobFigures, variance_tree
from domain.quoting_record import underbids
from tests.domain.test_costing_sentence import QUOTE
from tests.domain.test_quoting_periods import TODAY, job


def gains_painted(qtbot: QtBot, tone: str, key: str = "usage") -> bool:
    """Whether any pixel has the color of what came in under the quote."""
    view = WaterfallView()
    qtbot.addWidget(view)
    view.resize(700, 260)
    view.set_steps(
        [
            WaterfallStep("Quoted margin", 80_000, "total", text="$800.00"),
            WaterfallStep("Material quantities", 60_000, key=key, text="+$600.00", tone=tone),  # type: ignore[arg-type]
            WaterfallStep("Actual margin", 140_000, "total", text="$1,400.00"),
        ]
    )
    picture, wanted = view.grab().toImage(), QColor(current_tokens().under_fill).rgb()
    return any(
        picture.pixel(x, y) == wanted for x in range(0, picture.width(), 2) for y in range(0, picture.height(), 2)
    )


def test_what_may_not_have_been_logged_is_not_painted_as_a_gain(qtbot: QtBot) -> None:
    assert gains_painted(qtbot, "")
    assert not gains_painted(qtbot, "unsure")
    assert gains_painted(qtbot, "unsure", "change_orders")  # that was agreed, whatever is logged


def test_the_outcome_of_a_half_logged_job_asks_for_it() -> None:
    tree = variance_tree(JobFigures(QUOTE))
    saved = [step for step in waterfall_steps(tree, settled=False) if step.kind == "step" and step.cents > 0]
    assert saved
    assert all(step.is_unsure for step in saved)
    assert not any(step.is_unsure for step in waterfall_steps(tree))


def test_one_job_and_many_that_cost_more_than_quoted() -> None:
    def words(*costs: int) -> str:
        jobs = [job(n, "Rework", TODAY - timedelta(days=n), 600, 700, cost) for n, cost in enumerate(costs)]
        return underbids(jobs, TODAY).words

    assert words(120_000) == "In the last 12 months 1 job was closed: it cost $200.00 more than quoted."
    assert words(90_000) == "In the last 12 months 1 job was closed: it cost no more than quoted."
    assert words(120_000, 90_000) == "In the last 12 months 1 of 2 jobs cost more than quoted: $200.00."
    both = "In the last 12 months 2 of 2 jobs cost more than quoted: $500.00 together, $250.00 each."
    assert words(120_000, 130_000) == both
