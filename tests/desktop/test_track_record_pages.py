"""The record where it is seen: in the quote before it is sent, on a finished job, on Margins, on Tonight."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot
from sqlalchemy import select

from db.commands.learning import note_progress
from db.commands.quotes.terms import set_goodwill
from db.company_file import open_company
from db.company_file.company import Company
from db.queries.quotes import quote_document
from db.queries.track_record import expectation_of
from db.tables import hours_entry, job, labour_line, quote
from desktop.desk import Desk
from desktop.pages.job_sections.outcome import OutcomeSection
from desktop.pages.job_sections.quote import QuoteSection
from desktop.pages.margins import MarginsPage
from desktop.pages.margins.page import QUOTING
from desktop.pages.tonight import TonightPage
from desktop.record_shelf import shelf_of
from desktop.sample import master
from desktop.widgets.quoted_actual_bar import BAR_ROLE
from domain.job_price import chance_words
from tests.small_company import TODAY, empty_company

SAMPLE_DAY = date(2026, 11, 12)
LEARNING = 120_000  # ms: a busy machine may take long


@pytest.fixture
def sample(tmp_path: Path) -> Iterator[Company]:
    copy = tmp_path / "Sample company.riserbook"
    shutil.copy2(master(), copy)
    copy.chmod(0o600)
    company = open_company(copy)
    yield company
    company.close()


def desk_of(qtbot: QtBot, company: Company, day: date) -> Desk:
    """A desk whose record has been learned."""
    desk = Desk(company, lambda: day)
    shelf = shelf_of(desk)
    shelf.look()
    qtbot.waitUntil(lambda: shelf.learned is not None, timeout=LEARNING)
    return desk


def rework_draft(company: Company) -> tuple[int, int]:
    """The (job, quote) of the draft of a rework in the sample company."""
    with company.read() as conn:
        row = conn.execute(
            select(quote.c.job_id, quote.c.id)
            .join(job, job.c.id == quote.c.job_id)
            .where(quote.c.sent_on.is_(None), job.c.job_type_id == 2)
        ).first()
    assert row is not None
    return row[0], row[1]


def quote_section(qtbot: QtBot, desk: Desk, job_id: int) -> QuoteSection:
    section = QuoteSection(desk)
    desk.changed.connect(section.refresh)
    qtbot.addWidget(section)
    section.resize(1280, 700)
    with qtbot.waitExposed(section):
        section.show()
    section.show_job(job_id)
    return section


def click(qtbot: QtBot, button: Any) -> None:
    assert button.isVisible()
    assert button.isEnabled()
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def test_the_strip_stands_above_the_lines_alone_whatever_is_undone_or_learned(qtbot: QtBot, sample: Company) -> None:
    desk = desk_of(qtbot, sample, SAMPLE_DAY)
    job_id, quote_id = rework_draft(sample)
    section = quote_section(qtbot, desk, job_id)
    assert section.strip.isVisible()
    for view in ("record", "texts"):
        section.show_view(view)
        desk.do("Change goodwill", lambda edit: set_goodwill(edit, quote_id, 4_500, "again"))
        desk.undo()
        section.seen.changed.emit()  # as when finished jobs were read anew in the background
        assert not section.strip.isVisible()


def test_a_rework_typed_the_usual_way_is_told_before_it_is_sent_that_it_loses_money(
    qtbot: QtBot, sample: Company
) -> None:
    """The usual lines at the usual margin, and the usual goodwill for an agent who sends work."""
    desk = desk_of(qtbot, sample, SAMPLE_DAY)
    job_id, quote_id = rework_draft(sample)
    section = quote_section(qtbot, desk, job_id)
    section.panel.goodwill.setFocus()
    qtbot.keyClicks(section.panel.goodwill, "120")
    qtbot.keyClick(section.panel.goodwill, Qt.Key.Key_Return)

    outlook = section.seen.outlook
    assert outlook is not None
    assert outlook.loss_chance >= 0.5
    loss = -outlook.middle_result_cents
    assert loss > 0
    said = section.carries._text.text()
    assert section.carries.isVisible()
    assert "would probably lose money" in said
    assert f"${loss / 100:,.2f}" in said
    holds = outlook.price_without_loss()
    assert f"${holds / 100:,.2f} before goodwill holds in 8 of 10" in said
    assert section.panel._carries.loss.text() == chance_words(outlook.loss_chance)  # type: ignore[union-attr]
    assert "of your time" in section.panel._carries.goodwill.text()  # type: ignore[union-attr]

    section.show_view("record")
    row = next(row for row in section.record.price.prices.rows_model().rows if row.words.startswith("8 of 10"))
    section.record.price.prices.select_id(row.words)
    click(qtbot, section.record.price.use)
    with sample.read() as conn:
        assert quote_document(conn, quote_id).quote.fixed_price_cents == holds
    assert section.seen.outlook is not None
    assert section.seen.outlook.loss_chance <= 0.21
    assert not section.carries.isVisible()


def test_the_correction_is_taken_in_part_kept_and_taken_back(qtbot: QtBot, sample: Company) -> None:
    desk = desk_of(qtbot, sample, SAMPLE_DAY)
    job_id, quote_id = rework_draft(sample)
    section = quote_section(qtbot, desk, job_id)
    before = {line.id: line for line in section.editing.document.labour}
    assert section.seen.outlook is not None
    expected = section.seen.outlook.expected_of()
    middle = section.seen.outlook.hours.median_minutes

    click(qtbot, section.strip.choices.all)
    for line in section.editing.document.labour:
        assert line.minutes == expected[line.id]
        if line.minutes != before[line.id].minutes:
            assert line.own_minutes == before[line.id].minutes
            assert "finished jobs: " in line.reason
    assert section.seen.outlook.hours.median_minutes == middle, "the correction moves the price, never the forecast"

    click(qtbot, section.strip.choices.half)
    slope = max(before, key=lambda one: expected[one] - before[one].minutes)
    now = next(line for line in section.editing.document.labour if line.id == slope)
    assert now.minutes == before[slope].minutes + (expected[slope] - before[slope].minutes + 1) // 2

    click(qtbot, section.strip.choices.none)
    assert {line.id: line for line in section.editing.document.labour} == before
    with sample.read() as conn:
        kept = expectation_of(conn, quote_id)
    assert kept is not None
    assert kept.share_percent == 0


def test_what_was_said_is_kept_when_the_quote_is_sent(qtbot: QtBot, sample: Company) -> None:
    desk = desk_of(qtbot, sample, SAMPLE_DAY)
    job_id, quote_id = rework_draft(sample)
    section = quote_section(qtbot, desk, job_id)
    assert section.seen.outlook is not None
    middle = section.seen.outlook.hours.median_minutes
    click(qtbot, section.actions.send)
    with sample.read() as conn:
        kept = expectation_of(conn, quote_id)
    assert kept is not None
    assert (kept.expected_minutes, kept.share_percent) == (middle, None)
    section.show_view("record")
    assert "finished jobs expected" in section.record.sentence.text()


def test_each_line_of_the_quote_has_its_bar_while_it_is_written(qtbot: QtBot, sample: Company) -> None:
    desk = desk_of(qtbot, sample, SAMPLE_DAY)
    job_id, _quote_id = rework_draft(sample)
    section = quote_section(qtbot, desk, job_id)
    work, outlook = section.lines.work, section.seen.outlook
    assert outlook is not None
    column = work.model.column_of("seen")
    assert not work.table.isColumnHidden(column)
    for line, seen in zip(outlook.lines, outlook.hours.lines, strict=True):
        own, expected, _scale, low, high = work.model.index(work.model.find(line.id), column).data(BAR_ROLE)
        assert (own, expected) == (seen.task.quoted_minutes, seen.median_minutes)
        assert (low, high) == seen.band(0.8)
    qtbot.waitUntil(lambda: work.table.horizontalScrollBar().maximum() == 0)  # it fits a window of 1280
    click(qtbot, section.actions.send)
    assert work.table.isColumnHidden(column), "a sent quote has nothing to decide any more"


def test_a_quote_sent_while_finished_jobs_are_still_read_waits_for_what_they_say(qtbot: QtBot, sample: Company) -> None:
    """The forecast is kept, so that it can be judged later, however soon after opening the quote is sent."""
    desk = Desk(sample, lambda: SAMPLE_DAY)
    job_id, quote_id = rework_draft(sample)
    section = quote_section(qtbot, desk, job_id)
    assert section.seen.learned is None, "the record was there too soon to try it"
    click(qtbot, section.actions.send)
    assert section.editing.frozen
    with sample.read() as conn:
        kept = expectation_of(conn, quote_id)
    assert kept is not None
    assert kept.jobs_behind > 20
    assert kept.noted_on == SAMPLE_DAY


def test_the_price_for_any_degree_of_certainty_is_typed_and_used(qtbot: QtBot, sample: Company) -> None:
    desk = desk_of(qtbot, sample, SAMPLE_DAY)
    job_id, quote_id = rework_draft(sample)
    section = quote_section(qtbot, desk, job_id)
    section.show_view("record")
    card, outlook = section.record.price, section.seen.outlook
    assert outlook is not None
    assert not card.use_sure.isEnabled()
    card.sure.setFocus()
    qtbot.keyClicks(card.sure, "65")
    price = outlook.price_without_loss(0.65)
    assert outlook.price_without_loss(0.5) < price < outlook.price_without_loss(0.8)
    assert f"${price / 100:,.2f}" in card.answer.text()
    click(qtbot, card.use_sure)
    with sample.read() as conn:
        document = quote_document(conn, quote_id)
    assert document is not None
    assert document.quote.fixed_price_cents == price

    card.sure.setFocus()
    card.sure.selectAll()
    qtbot.keyClicks(card.sure, "100")
    assert not card.use_sure.isEnabled(), "a button that cannot act is not lit"
    assert "99%" in card.answer.text(), "and why is said, not the price of the first digits"
    qtbot.keyClick(card.sure, Qt.Key.Key_Return)
    assert card.sure.problem(), "no price is certain"
    assert card.sure.text() == "100"
    with sample.read() as conn:
        again = quote_document(conn, quote_id)
    assert again is not None
    assert again.quote.fixed_price_cents == price


def test_forgotten_work_is_added_with_one_key_and_does_not_raise_the_forecast(qtbot: QtBot, sample: Company) -> None:
    desk = desk_of(qtbot, sample, SAMPLE_DAY)
    job_id, _ = rework_draft(sample)
    section = quote_section(qtbot, desk, job_id)
    section.show_view("record")
    table = section.record.forgotten
    first = table.rows_model().rows[0]
    assert section.seen.outlook is not None
    middle = section.seen.outlook.hours.median_minutes
    table.setFocus()
    table.select_id(first.task)
    qtbot.keyClick(table, Qt.Key.Key_Return)
    added = section.editing.document.labour[-1]
    assert (added.minutes, added.own_minutes) == (first.median_minutes, 0)
    assert first.task not in [row.task for row in table.rows_model().rows]
    assert section.seen.outlook.hours.median_minutes == middle


def test_jobs_behind_a_sentence_are_one_step_away(qtbot: QtBot, sample: Company) -> None:
    desk = desk_of(qtbot, sample, SAMPLE_DAY)
    went: list[tuple[str, object, str]] = []
    desk.asked_for.connect(lambda *where: went.append(where))
    section = quote_section(qtbot, desk, rework_draft(sample)[0])
    section.show_view("record")
    why = section.record.why
    first = why.rows_model().rows[0]
    assert "ran over" in first.text
    why.select_id(first.text)
    behind = section.record.behind
    assert behind.isVisible()
    job_id = behind.rows_model().rows[0].job_id
    assert job_id in first.jobs
    behind.setFocus()
    behind.select_id(job_id)
    qtbot.keyClick(behind, Qt.Key.Key_Return)
    assert went == [("jobs", job_id, "outcome")]


def test_a_finished_job_says_whether_the_record_was_right(qtbot: QtBot, sample: Company) -> None:
    desk = desk_of(qtbot, sample, SAMPLE_DAY)
    learned = shelf_of(desk).learned
    assert learned is not None
    test = learned.backtest.tests[-1]
    section = OutcomeSection(desk)
    qtbot.addWidget(section)
    section.resize(1280, 700)
    section.show()
    section.show_job(int(test.job))  # type: ignore[call-overload]
    words = section.judged.words.text()
    assert section.judged.isVisible()
    assert ("inside that" in words) == test.inside(80)


def test_a_standard_changes_only_when_accepted_and_is_put_back(qtbot: QtBot, sample: Company) -> None:
    desk = desk_of(qtbot, sample, SAMPLE_DAY)
    page = MarginsPage(desk)
    desk.changed.connect(page.refresh)
    qtbot.addWidget(page)
    page.resize(1280, 760)
    page.show()
    page.show_key(QUOTING)
    card = page.quoting.suggestions
    first = card.table.rows_model().rows[0]
    assert first.evidence
    card.table.select_id(first.key)
    click(qtbot, card.accept)
    assert first.key not in [row.key for row in card.table.rows_model().rows]
    made = card.taken.rows_model().rows[0]
    assert (made.old_value, made.new_value, made.accepted_on) == (first.old_value, first.new_value, SAMPLE_DAY)
    card.taken.select_id(made.id)
    click(qtbot, card.back)
    assert not card.taken.rows_model().rows


def test_the_record_is_tried_on_the_past_in_plain_words(qtbot: QtBot, sample: Company) -> None:
    desk = desk_of(qtbot, sample, SAMPLE_DAY)
    page = MarginsPage(desk)
    qtbot.addWidget(page)
    page.resize(1280, 760)
    page.show()
    page.refresh()
    click(qtbot, page.quoting_button)
    learned = shelf_of(desk).learned
    assert learned is not None
    inside = learned.backtest.last(60).inside(80)
    assert f"Of your last 60 jobs, {inside} fell inside the 80% band." in page.quoting.believe.text()
    assert [row[0] for row in page.quoting.rules.rows_model().rows].count("The record") == 1
    rework = next(row for row in page.quoting.types.rows_model().rows if row.job_type.startswith("Rework"))
    assert rework.quoted_minutes < rework.corrected_minutes < rework.actual_minutes
    time = page.quoting.over_time
    years = time.table.rows_model().rows
    assert [row.name for row in years] == ["2023", "2024", "2025", "2026"]
    own = next(one for one in time.steps.findChildren(QPushButton) if one.text() == "Quarters")
    click(qtbot, own)
    quarters = time.table.rows_model().rows
    assert len(quarters) > 8
    assert sum(row.under_cents for row in quarters) == sum(row.under_cents for row in years)
    time.kind.setFocus()
    time.kind.lineEdit().selectAll()
    qtbot.keyClicks(time.kind.lineEdit(), rework.job_type)
    qtbot.keyClick(time.kind.lineEdit(), Qt.Key.Key_Return)
    reworks = time.table.rows_model().rows
    assert sum(row.jobs for row in reworks) == rework.jobs
    assert sum(row.actual_minutes for row in reworks) == rework.actual_minutes
    page.go_back()
    assert page.stack.currentWidget() is page.overview


def test_no_history_is_said_on_margins(qtbot: QtBot) -> None:
    company = empty_company()
    page = MarginsPage(desk_of(qtbot, company, TODAY))
    qtbot.addWidget(page)
    page.resize(1280, 760)
    page.show()
    page.show_key(QUOTING)
    assert page.quoting.empty.isVisible()


def test_a_job_heading_over_is_on_tonight_before_it_is_over(qtbot: QtBot, sample: Company) -> None:
    """Half of its quoted hours are spent, but only a quarter of the work is done."""
    with sample.read() as conn:
        row = conn.execute(
            select(quote.c.job_id, labour_line.c.task_id, labour_line.c.minutes)
            .join(labour_line, labour_line.c.quote_id == quote.c.id)
            .join(job, job.c.id == quote.c.job_id)
            .where(
                quote.c.accepted_on.is_not(None), job.c.closed_on.is_(None), job.c.cancelled_on.is_(None),
                ~quote.c.job_id.in_(select(hours_entry.c.job_id)),
            )
            .order_by(labour_line.c.minutes.desc())
        ).first()
        assert row is not None
        tasks = conn.execute(
            select(labour_line.c.task_id, labour_line.c.minutes)
            .join(quote, quote.c.id == labour_line.c.quote_id)
            .where(quote.c.job_id == row.job_id, quote.c.accepted_on.is_not(None))
        ).all()
    total = sum(minutes for _, minutes in tasks)
    with sample.action("Half the hours, a quarter of the work") as edit:
        edit.add(
            hours_entry, job_id=row.job_id, day=SAMPLE_DAY, task_id=row.task_id, person_id=1, minutes=total // 2,
            rate_cents=7000, overhead_rate_cents=1200,
        )
        for task_id in {task_id for task_id, _ in tasks}:
            note_progress(edit, row.job_id, task_id, Decimal(25), SAMPLE_DAY)
    page = TonightPage(Desk(sample, lambda: SAMPLE_DAY))
    qtbot.addWidget(page)
    page.show()
    page.refresh()
    assert page.heading.isVisible()
    assert page.heading.rows[0].line.target == row.job_id
    assert page.heading.rows[0].line.fact.startswith("heading for")
