"""The outcome of a job on screen: what it says, what it refuses, and where it leads."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot
from sqlalchemy import update

from db import tables
from db.company_file.company import Company
from db.queries.outcome import job_outcome
from desktop.desk import Desk
from desktop.pages.job_sections.outcome import OutcomeSection
from desktop.pages.job_sections.outcome.rows import OutcomeRow
from domain.costing import variance_tree
from domain.money import format_money
from tests.desktop.evening import TODAY, evening_company
from tests.small_company import statements


@pytest.fixture
def evening(tmp_path: Path) -> Iterator[tuple[Company, SimpleNamespace]]:
    company, ids = evening_company(tmp_path)
    with company:
        yield company, ids


@pytest.fixture
def section(qtbot: QtBot, evening: tuple[Company, SimpleNamespace]) -> OutcomeSection:
    company, ids = evening
    made = OutcomeSection(Desk(company, lambda: TODAY))
    made.desk.changed.connect(made.refresh)
    qtbot.addWidget(made)
    made.resize(1280, 760)
    made.show_job(ids.over)
    with qtbot.waitExposed(made):
        made.show()
    return made


def close(company: Company, job_id: int) -> None:
    with company.engine.begin() as conn:
        conn.execute(update(tables.job).where(tables.job.c.id == job_id).values(closed_on=TODAY))


def rows(section: OutcomeSection) -> list[OutcomeRow]:
    return list(section.table.rows_model().rows)


def test_a_running_job_says_so_far_and_calls_nothing_saved(section: OutcomeSection) -> None:
    assert section.head.pill.text() == "so far"
    assert section.head.sentence.text().startswith("So far 15 h of 12 h 30 quoted")
    assert section.head.notice.text().startswith("So far")
    words = {row.name: row.word(running=True) for row in rows(section)}
    assert words["Set the fan"] == "not logged yet"
    assert words["Remove old pipe"] == "unfavorable"
    assert words["Find the fault"] == "unfavorable"
    assert "favorable" not in words.values()


def test_a_closed_job_names_the_reasons_and_the_rows_say_favorable(
    section: OutcomeSection, evening: tuple[Company, SimpleNamespace]
) -> None:
    company, ids = evening
    close(company, ids.over)
    section.refresh()
    assert section.head.pill.text() == "closed Nov 12, 2026"
    assert "2 h 30 more than quoted" in section.head.sentence.text()
    assert section.head.notice.isHidden()
    model = section.table.rows_model()
    shown = {row.name: model.text(row, "verdict") for row in model.rows}
    assert shown["Set the fan"] == "favorable"
    assert shown["Correct the slope at joints"] == "unfavorable"


def test_figures_and_waterfall_are_the_domains_own(
    section: OutcomeSection, evening: tuple[Company, SimpleNamespace]
) -> None:
    company, ids = evening
    close(company, ids.over)
    section.refresh()
    with company.read() as conn:
        tree = variance_tree(job_outcome(conn, ids.over).figures)
    assert section.head.quoted.value() == format_money(tree.quoted_margin_cents)
    assert section.head.actual.value() == format_money(tree.actual_margin_cents)
    steps = section.waterfall.model().steps
    assert [step.kind for step in (steps[0], steps[-1])] == ["total", "total"]
    assert steps[0].cents + sum(step.cents for step in steps[1:-1]) == steps[-1].cents == tree.actual_margin_cents
    assert sum(row.cents for row in rows(section)) == sum(step.cents for step in steps[1:-1])


def test_while_a_job_runs_there_is_no_margin_but_what_is_spent_and_still_to_come(
    section: OutcomeSection, evening: tuple[Company, SimpleNamespace]
) -> None:
    company, ids = evening
    head = section.head
    assert [figure.isHidden() for figure in (head.actual, head.difference, head.own)] == [True] * 3
    assert section._waterfall_card.isHidden()
    with company.read() as conn:
        outcome = job_outcome(conn, ids.over)
    assert head.spent.value() == format_money(outcome.so_far.cents)
    assert head.to_come.value() == format_money(variance_tree(outcome.figures).still_to_come_cents)
    assert "15 h of 12 h 30 quoted, 1 h 35 of it not quoted" in head.sentence.text()
    close(company, ids.over)
    section.refresh()
    assert [figure.isHidden() for figure in (head.spent, head.to_come)] == [True] * 2
    assert not head.actual.isHidden()


def test_unquoted_work_is_marked_so(section: OutcomeSection) -> None:
    found = next(row for row in rows(section) if row.name == "Find the fault")
    assert (found.quoted, found.actual, found.quoted_cents) == ("not quoted", "1 h 35", 0)


def test_a_step_of_the_waterfall_leads_to_its_rows(
    qtbot: QtBot, section: OutcomeSection, evening: tuple[Company, SimpleNamespace]
) -> None:
    close(evening[0], evening[1].over)
    section.refresh()
    everything = len(rows(section))
    view = section.waterfall
    keys = [step.key for step in view.model().steps]
    view.setCurrentIndex(view.model().index(keys.index("usage")))
    qtbot.keyClick(view, Qt.Key.Key_Return)
    assert section.parts.value() == "materials"
    assert 0 < len(rows(section)) < everything
    assert {row.part for row in rows(section)} == {"materials"}
    assert section.table.current_row() is not None


def test_money_is_written_off_and_taken_back(
    qtbot: QtBot, section: OutcomeSection, evening: tuple[Company, SimpleNamespace]
) -> None:
    close(evening[0], evening[1].over)
    section.refresh()
    before = section.head.actual.value()
    side = section.price_side
    qtbot.keyClicks(side.amount, "60")
    qtbot.keyClicks(side.reason, "scratched floor")
    qtbot.mouseClick(side.enter, Qt.MouseButton.LeftButton)
    assert section.head.actual.value() != before
    assert "write_offs" in [step.key for step in section.waterfall.model().steps]
    assert side.amount.value() is None
    section.desk.undo()
    assert section.head.actual.value() == before


def test_a_write_off_without_a_reason_says_what_is_missing_and_keeps_what_was_typed(
    qtbot: QtBot, section: OutcomeSection
) -> None:
    side = section.price_side
    qtbot.keyClicks(side.amount, "60")
    qtbot.mouseClick(side.enter, Qt.MouseButton.LeftButton)
    assert "why it is written off" in side.problem.text()
    assert side.amount.value() == 6000
    side.amount.reset()
    qtbot.mouseClick(side.enter, Qt.MouseButton.LeftButton)
    assert "amount" in side.problem.text()


def test_what_was_typed_for_one_job_does_not_wait_at_the_next(
    qtbot: QtBot, section: OutcomeSection, evening: tuple[Company, SimpleNamespace]
) -> None:
    qtbot.keyClicks(section.price_side.reason, "scratched floor")
    section.refresh()
    assert section.price_side.reason.text() == "scratched floor"
    section.show_job(evening[1].today)
    assert section.price_side.reason.text() == ""


def test_nothing_logged_leads_to_the_log_and_nothing_quoted_to_the_quote(
    qtbot: QtBot, section: OutcomeSection, evening: tuple[Company, SimpleNamespace]
) -> None:
    _, ids = evening
    section.show_job(ids.silent)
    assert section.nothing_logged.text().startswith("Nothing is logged yet")
    with qtbot.waitSignal(section.desk.asked_for) as asked:
        section.nothing_logged._button.click()
    assert asked.args == ["jobs", ids.silent, "log"]
    section.show_job(ids.draft)
    assert section.stack.currentWidget() is section.empty
    with qtbot.waitSignal(section.desk.asked_for) as asked:
        section.empty.action.click()
    assert asked.args == ["jobs", ids.draft, "quote"]


def test_every_bar_and_view_has_a_name(section: OutcomeSection) -> None:
    for widget in (section.head.hours.bar, section.head.cost.bar, section.waterfall, section.table):
        assert widget.accessibleName()
    assert "quoted 12 h 30, actual 15 h" in section.head.hours.bar.accessibleDescription()


@pytest.mark.parametrize(("width", "across"), [(1280, True), (760, False)])
def test_nothing_is_wider_than_the_page(
    section: OutcomeSection, qtbot: QtBot, evening: tuple[Company, SimpleNamespace], width: int, across: bool
) -> None:
    section.resize(width, 700)
    qtbot.wait(20)
    area = section.stack.widget(0)
    assert area.widget().width() <= area.viewport().width()
    close(evening[0], evening[1].over)
    section.refresh()
    section.resize(width, 700)
    qtbot.wait(20)
    area = section.stack.widget(0)
    assert area.widget().width() <= area.viewport().width()
    beside = section.price_side.geometry().left() > section._waterfall_card.geometry().left() + 50
    assert beside is across


def test_the_number_of_statements_is_fixed(evening: tuple[Company, SimpleNamespace]) -> None:
    company, ids = evening
    counts = {statements(company, lambda conn, job=job: job_outcome(conn, job)) for job in (ids.over, ids.silent)}
    assert counts == {19}  # and the one that begins the transaction
