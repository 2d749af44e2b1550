"""When a standard deserves a change, and what is said of a finished job and of many."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest

from domain.judged import judge
from domain.learning import LibraryProposal, QuoteExpectation
from domain.learning_rules import Standards, suggestions
from domain.track_record import Outcome

DAY = date(2026, 5, 14)
STANDARDS = Standards({"Pipe": (1, Decimal(10))}, {("Pipe", "Low crawl"): (7, Decimal(150))})


def jobs(
    count: int, times: float, conditions: tuple[str, ...] = (), first: int = 0, quoted_on: date = DAY
) -> list[Outcome]:
    return [
        Outcome(
            first + n, "Rework", "Pipe", conditions, 100, round(100 * times), DAY + timedelta(days=n + 1), quoted_on
        )
        for n in range(count)
    ]


def answer(**values: object) -> LibraryProposal:
    kept = {
        "id": 1, "task_id": 1, "condition_id": None, "made_on": DAY, "old_value": Decimal(10),
        "new_value": Decimal(14), "jobs": 6, "evidence": "", "accepted_on": None, "declined_on": None,
        "taken_back_on": None,
    }  # fmt: skip
    return LibraryProposal(**(kept | values))  # type: ignore[arg-type]


def test_six_jobs_at_one_and_four_tenths_raise_the_standard() -> None:
    (found,) = suggestions(jobs(6, 1.4), STANDARDS, [])
    assert (found.new_value, found.old_value, len(found.jobs)) == (Decimal(14), Decimal(10), 6)
    assert found.evidence.endswith("6 of 6 took longer.")


@pytest.mark.parametrize(("count", "times"), [(5, 1.4), (20, 1.05), (20, 1.0)])
def test_few_jobs_or_a_small_difference_change_nothing(count: int, times: float) -> None:
    assert suggestions(jobs(count, times), STANDARDS, []) == []


def test_jobs_that_disagree_change_nothing() -> None:
    assert suggestions(jobs(6, 1.4) + jobs(6, 0.8, first=6), STANDARDS, []) == []


def test_a_factor_is_judged_against_jobs_without_the_condition() -> None:
    lines = jobs(8, 1.0) + jobs(6, 1.5, ("Low crawl",), first=8)
    (found,) = suggestions(lines, STANDARDS, [])
    assert (found.condition, found.old_value, found.new_value) == ("Low crawl", Decimal(150), Decimal(225))


def test_lines_from_before_a_change_are_no_evidence_after_it() -> None:
    old = jobs(6, 1.4, quoted_on=DAY)
    assert suggestions(old, STANDARDS, [answer(accepted_on=DAY)]) == []
    newer = jobs(6, 1.4, quoted_on=DAY + timedelta(days=1))
    assert suggestions(newer, STANDARDS, [answer(accepted_on=DAY)])


def test_after_a_no_it_is_proposed_again_with_five_more_jobs() -> None:
    said_no = [answer(declined_on=DAY)]
    assert suggestions(jobs(10, 1.4), STANDARDS, said_no) == []
    assert suggestions(jobs(11, 1.4), STANDARDS, said_no)


def kept(share: int | None) -> QuoteExpectation:
    return QuoteExpectation(
        1, 1, DAY, None if share is None else Decimal(share), own_minutes=600, quoted_minutes=600,
        expected_minutes=900, low_minutes=700, high_minutes=1200, expected_cost_cents=0, net_price_cents=0,
        loss_percent=Decimal(60), jobs_behind=9, sure=True,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("share", "actual", "verdict"),
    [
        (0, 900, "You kept your own hours, and that was the worse choice."),
        (100, 900, "You took 100% of its correction, and that was right."),
        (100, 610, "You took 100% of its correction, and that was the worse choice."),
        (0, 610, "You kept your own hours, and that was right."),
    ],
)
def test_the_choice_is_judged(share: int, actual: int, verdict: str) -> None:
    found = judge(600, actual, kept(share), None)
    assert found is not None
    assert found.words.endswith(verdict)


def test_inside_and_outside_the_band_is_said() -> None:
    for actual, word in ((700, "inside"), (1200, "inside"), (1201, "above"), (699, "below")):
        found = judge(600, actual, kept(None), None)
        assert found is not None
        assert f": {word} that." in found.words
    assert judge(600, 700, None, None) is None
