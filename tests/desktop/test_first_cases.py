"""The quote of a firm with no finished job, and with one: nothing is claimed, and the last such job is one key away."""

from __future__ import annotations

from decimal import Decimal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QPushButton
from pytestqt.qtbot import QtBot
from sqlalchemy import select

from db.commands.jobs import close_job
from db.commands.quotes import accept_quote, add_labour, send_quote, start_quote
from db.company_file.company import Company
from db.queries.firm import day_rates, firm
from db.queries.track_record import expectation_of
from db.tables import hours_entry, labour_line
from desktop.desk import Desk
from desktop.pages.job_sections.quote import QuoteSection
from desktop.record_shelf import shelf_of
from domain.job_price import carries_sentence
from tests.small_company import TODAY, add_one_job, empty_company

SLOPE, SEAL = 9, 33


def draft(company: Company, name: str, joints: int) -> tuple[int, int, int]:
    """A rework with two lines: (job, quote, the line of the slope)."""
    one = add_one_job(company, name)
    with company.read() as conn:
        rates, this_firm = day_rates(conn, TODAY), firm(conn)
    with company.action("Quote") as edit:
        quote_id = start_quote(edit, one.job_id, TODAY, rates, this_firm, usual_lines=False)
        slope = add_labour(edit, quote_id, SLOPE, Decimal(joints), override_minutes=40 * joints)
        add_labour(edit, quote_id, SEAL, Decimal(1), override_minutes=60)
    return one.job_id, quote_id, slope


def finish(company: Company, job_id: int, quote_id: int, minutes: dict[int, int]) -> None:
    with company.action("Finish") as edit:
        send_quote(edit, quote_id, TODAY)
        accept_quote(edit, quote_id, TODAY)
        for task_id, took in minutes.items():
            edit.add(
                hours_entry, job_id=job_id, day=TODAY, task_id=task_id, person_id=1, minutes=took, rate_cents=6000,
                overhead_rate_cents=0,
            )  # fmt: skip
        close_job(edit, job_id, TODAY)


def shown(qtbot: QtBot, company: Company, job_id: int) -> QuoteSection:
    desk = Desk(company, lambda: TODAY)
    shelf = shelf_of(desk)
    shelf.look()
    qtbot.waitUntil(lambda: shelf.learned is not None, timeout=60_000)
    section = QuoteSection(desk)
    desk.changed.connect(section.refresh)
    qtbot.addWidget(section)
    section.resize(1280, 700)
    with qtbot.waitExposed(section):
        section.show()
    section.show_job(job_id)
    return section


def words_on(section: QuoteSection) -> str:
    """All that can be read, tooltips of what is shown included."""
    parts = []
    for one in (*section.findChildren(QLabel), *section.findChildren(QPushButton)):
        if one.isVisible():
            parts += [one.text(), one.toolTip()]
    return " | ".join(parts)


def test_a_firm_without_a_finished_job_is_told_so_first_and_no_odds(qtbot: QtBot) -> None:
    company = empty_company()
    job_id, quote_id, _ = draft(company, "Wren Halloway", 6)
    section = shown(qtbot, company, job_id)
    assert section.strip.words.text().startswith("You have no finished job yet")
    assert not section.strip.choices.isVisible()
    assert not section.last_time.isVisible(), "there is no last time"
    for view in ("lines", "record"):
        section.show_view(view)
        said = words_on(section)
        assert " of 10" not in said, "odds need jobs"
        assert "less than a helper" not in said, "there is no helper to compare with"
        assert "middle case" not in said
    assert section.record.sentence.text().startswith("You have no finished job yet")
    assert "an assumption, measured on nobody's jobs" in section.record.note.text()
    section.actions.send.click()
    with company.read() as conn:
        assert expectation_of(conn, quote_id) is None, "nothing was said, so nothing is kept to be judged by"


def test_after_one_finished_job_its_time_stands_beside_the_line_and_is_opened_and_taken_with_a_key(
    qtbot: QtBot,
) -> None:
    company = empty_company()
    first, first_quote, _ = draft(company, "Wren Halloway", 6)
    finish(company, first, first_quote, {SLOPE: 390, SEAL: 60})
    job_id, quote_id, line = draft(company, "Ida Birch", 8)
    section = shown(qtbot, company, job_id)
    number = section.seen.cases.jobs[0].number
    outlook = section.seen.outlook
    assert outlook is not None
    said = section.strip.words.text()
    assert said.startswith(f"1 finished job of this type: a case to look at, not odds; those begin after 5. {number}")
    assert "7 h 30 for 5 h quoted" in said
    for view in ("record", "lines"):
        section.show_view(view)
        assert " of 10" not in words_on(section)

    work, row = section.lines.work, section.last_time
    assert row.isVisible()
    column = work.model.column_of("last")
    assert not work.table.isColumnHidden(column)
    assert work.model.index(work.model.find(line), column).data() == f"6 h 30 for 6; here 8 h 40 for 8 · {number}"
    work.table.setFocus()
    work.table.select_id(line)
    assert row.words.text() == (
        f"Last time 6 h 30 for 6 joints, quoted 4 h: job {number}. At that pace 8 h 40 for 8 joints here."
    )
    before = carries_sentence(outlook)
    qtbot.keyClick(work.table, Qt.Key.Key_J, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
    with company.read() as conn:
        kept = conn.execute(select(labour_line).where(labour_line.c.id == line)).one()
    assert (kept.minutes, kept.own_minutes) == (520, 320), "what he meant himself is kept beside it"
    assert f"job {number}" in kept.reason
    assert section.seen.outlook is not None
    assert section.seen.outlook.own_minutes == 380
    assert carries_sentence(section.seen.outlook) != before, "the price follows"
    assert not row.pace.isEnabled(), "it is taken"

    went: list[tuple[str, object, str]] = []
    section.editing.desk.asked_for.connect(lambda *where: went.append(where))
    qtbot.keyClick(work.table, Qt.Key.Key_J, Qt.KeyboardModifier.ControlModifier)
    assert went == [("jobs", first, "outcome")]
    company.undo()
    with company.read() as conn:
        kept = conn.execute(select(labour_line).where(labour_line.c.id == line)).one()
    assert (kept.minutes, kept.own_minutes) == (320, None)
    with company.read() as conn:
        assert expectation_of(conn, quote_id) is None


def test_the_row_below_the_work_keeps_its_height_while_the_cursor_moves(qtbot: QtBot) -> None:
    company = empty_company()
    first, first_quote, _ = draft(company, "Wren Halloway", 6)
    finish(company, first, first_quote, {SLOPE: 390, SEAL: 60})
    job_id, _, line = draft(company, "Ida Birch", 8)
    section = shown(qtbot, company, job_id)
    work = section.lines.work
    qtbot.wait(600)  # the page has found its place, on a busy machine too
    places = set()
    for row in work.model.rows:
        work.table.select_id(work.model.id_at(work.model.rows.index(row)))
        qtbot.wait(20)
        places.add((section.last_time.geometry().getRect(), section.lines.materials.y()))
    assert len(places) == 1
    assert work.case_of(next(one for one in work.model.rows if one.id == line)) is not None
