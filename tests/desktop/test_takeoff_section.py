"""The takeoff as a person types it: words, table and drawing in step, the list growing, one key into the quote."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QTextCursor
from pytestqt.qtbot import QtBot

from db.commands import quotes, takeoff
from db.commands.jobs import cancel_job
from db.company_file.company import Company
from db.queries.quotes import quote_document
from db.queries.takeoff import takeoff_facts
from desktop.pages.job_sections.takeoff import TakeoffSection
from domain.job_takeoff.answers import KEPT, OFF
from domain.job_takeoff.reckoning import TakeoffFacts
from domain.takeoff import SuctionPit
from tests.desktop.pages_at_work import PagesAtWork, focused, show, type_into
from tests.desktop.test_customers_page import unnamed
from tests.small_company import TODAY, OneJob, add_one_job, empty_company, statements

FOUND = "A: pit at -6', crawl 3in up 2', 90, along 12' level, 90, along 9', 90, up 3', fan, up 12', out"
PROPOSED = "A: pit at -6', crawl 3in up 2', 45, along 20' rise 1/4, 45, sleeve, outside up 3', fan, up 14', out"
CONTROL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def company(tmp_path: Path) -> Iterator[Company]:
    made = empty_company(tmp_path / "Heron Hill.riserbook")
    yield made
    made.close()


@pytest.fixture
def kept(company: Company) -> OneJob:
    return add_one_job(company)


def opened(qtbot: QtBot, company: Company, kept: OneJob) -> tuple[PagesAtWork, TakeoffSection]:
    pages = show(qtbot, company, "jobs")
    pages.go("jobs", kept.job_id, "takeoff")
    section = pages.jobs.job.stack.currentWidget()
    assert isinstance(section, TakeoffSection)
    return pages, section


def with_routes(qtbot: QtBot, company: Company, kept: OneJob) -> tuple[PagesAtWork, TakeoffSection]:
    with company.action("Two routes") as edit:
        takeoff.add_route(edit, kept.job_id, "found", "", FOUND)
        takeoff.add_route(edit, kept.job_id, "proposed", "", PROPOSED)
    return opened(qtbot, company, kept)


def stored(company: Company, kept: OneJob) -> TakeoffFacts:
    with company.read() as conn:
        return takeoff_facts(conn, kept.job_id, TODAY)


def test_the_sections_stand_in_the_order_of_the_work(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages, section = opened(qtbot, company, kept)
    job = pages.jobs.job
    qtbot.keyClick(job, Qt.Key.Key_3, Qt.KeyboardModifier.AltModifier)
    assert job.section_key == "quote"
    qtbot.keyClick(job, Qt.Key.Key_2, Qt.KeyboardModifier.AltModifier)
    assert job.section_key == "takeoff"
    assert section.start.action is not None
    assert focused(pages) is section.start.action


def test_a_route_is_typed_and_everything_follows(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages, section = opened(qtbot, company, kept)
    section.start_proposed.click()
    view = section.route_view
    assert focused(pages) is view.words
    qtbot.keyClicks(view.words, "A: pit at -6', crawl 3in up 2', 90, along 12' rise 1/4, outside up 16', fan, out")
    assert stored(company, kept).routes[0].words == ""  # nothing is saved at each key
    lines = {one.line.key: one for one in view.quantities.rows_model().rows}
    assert lines["elbow_90:3"].quantity == 1
    assert lines["pipe:3"].cost_cents is not None
    assert [row.run for row in view.parts.rows_model().rows][:2] == [0, 0]
    assert "$" in view.sum.text()
    qtbot.waitUntil(lambda: view.sketch._drawing is section.editing.drawing())
    qtbot.keyClick(view.words, Qt.Key.Key_Return, CONTROL)
    assert stored(company, kept).routes[0].words.endswith("fan, out")
    pages.desk.undo()
    assert view.words.toPlainText() == ""


def test_a_word_not_understood_is_marked_and_stays(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    _, section = with_routes(qtbot, company, kept)
    words = section.route_view.words
    words.setFocus()
    words.moveCursor(QTextCursor.MoveOperation.End)
    qtbot.keyClicks(words, ", banana")
    (mark,) = words.extraSelections()
    assert mark.cursor.selectedText() == "banana"  # type: ignore[attr-defined]
    assert "banana" in section.route_view.problems.text()
    section.show_view("list")
    assert stored(company, kept).routes[1].words.endswith("banana")
    section.take.click()
    assert "banana" in section.notice.text()
    with company.read() as conn:
        assert takeoff_facts(conn, kept.job_id, TODAY).draft_id is None


def test_the_table_changes_the_words_and_the_cursor_follows(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    _, section = with_routes(qtbot, company, kept)
    view = section.route_view
    parts = view.parts
    parts.setFocus()
    assert parts.edit_cell((0, 2), "length")
    editor = parts.focusWidget()
    qtbot.keyClicks(editor, "24'")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    assert "along 24'" in view.words.toPlainText()
    assert "along 24'" in stored(company, kept).routes[1].words
    parts.edit_cell((-1, 0), "part")
    editor = parts.focusWidget()
    qtbot.keyClicks(editor, "banana")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    assert "banana" not in stored(company, kept).routes[1].words
    qtbot.keyClick(editor, Qt.Key.Key_Escape)
    section.editing.choose_part((0, 1))
    assert view.words.toPlainText()[: view.words.textCursor().position()].endswith("45")
    parts.setFocus()
    parts.select_id((0, 1))
    qtbot.keyClick(parts, Qt.Key.Key_Delete)
    assert stored(company, kept).routes[1].words.count("45") == 1


def test_a_click_on_the_drawing_chooses_the_part(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    _, section = with_routes(qtbot, company, kept)
    sketch = section.route_view.sketch
    fit = sketch._fit()
    assert fit is not None
    drawing = section.editing.drawing()
    assert drawing is not None
    leg = next(line for line in drawing.lines if line.part == (0, 2))
    x, y = ((a + b) / 2 for a, b in zip(fit.at(leg.points[0]), fit.at(leg.points[-1]), strict=True))
    qtbot.mouseClick(sketch, Qt.MouseButton.LeftButton, pos=QPoint(round(x) + 10, round(y) + 10))
    assert section.editing.chosen == (0, 2)


def test_routes_are_copied_named_marked_and_deleted(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages, section = with_routes(qtbot, company, kept)
    tabs = section.route_view.tabs
    before = section.editing.counted
    qtbot.keyClick(section, Qt.Key.Key_D, CONTROL)
    assert len(stored(company, kept).routes) == 3
    type_into(qtbot, tabs.name, "through the garage")
    assert section.editing.sheet is not None
    assert section.editing.sheet.title == "Proposed: through the garage"
    assert section.editing.counted.cost_cents == before.cost_cents  # a copy is not built yet
    tabs.built.click()
    assert section.editing.counted.cost_cents > before.cost_cents
    qtbot.keyClick(section, Qt.Key.Key_PageDown, CONTROL)
    assert section.editing.sheet.row.status == "found"
    tabs.turn(-1)
    tabs.remove.click()
    assert len(stored(company, kept).routes) == 2
    pages.desk.undo()
    assert len(stored(company, kept).routes) == 3


def test_parts_beside_the_routes_are_typed_row_by_row(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    _, section = with_routes(qtbot, company, kept)
    qtbot.keyClick(section, Qt.Key.Key_B, CONTROL)
    view = section.stack.currentWidget()
    card = view.cards["pit"]  # type: ignore[attr-defined]
    card.table.begin_new()
    editor = card.table.focusWidget()
    qtbot.keyClicks(editor, "north corner")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    (part,) = stored(company, kept).parts
    assert part.kind == "pit"
    editor = card.table.focusWidget()
    qtbot.keyClicks(editor, "wide")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    (refused,) = card.table.rows_model().refused_cells()
    assert "not a length" in refused.message
    card.table.edit_cell(refused.row_id, refused.key)
    editor = card.table.focusWidget()
    editor.selectAll()
    qtbot.keyClicks(editor, "14")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    assert "14" in stored(company, kept).parts[0].details
    assert any(one.driver.kind == "pit" for one in section.editing.counted.driven)


def test_an_own_quantity_stands_beside_the_computed_one(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    _, section = with_routes(qtbot, company, kept)
    qtbot.keyClick(section, Qt.Key.Key_L, CONTROL)
    view = section.stack.currentWidget()
    table = view.list  # type: ignore[attr-defined]
    table.setFocus()
    table.edit_cell("cement", "own")
    qtbot.keyClicks(table.focusWidget(), "2")
    qtbot.keyClick(table.focusWidget(), Qt.Key.Key_Return)
    assert stored(company, kept).overrides == {"cement": Decimal(2)}
    row = table.rows_model().row_at(table.rows_model().find("cement"))
    assert row.bought.line.computed == 1
    assert row.bought.quantity == 2
    table.edit_cell("sleeve:3", "buys")
    qtbot.keyClicks(table.focusWidget(), "not from the list")
    qtbot.keyClick(table.focusWidget(), Qt.Key.Key_Return)
    assert stored(company, kept).items_chosen == {"sleeve:3": None}


def test_the_rows_are_read_before_one_key_takes_the_list_into_the_quote(
    qtbot: QtBot, company: Company, kept: OneJob
) -> None:
    pages, section = with_routes(qtbot, company, kept)
    qtbot.keyClick(section, Qt.Key.Key_T, CONTROL)
    assert section.rows.are_open
    assert stored(company, kept).draft_id is None, "nothing is done before it was read"
    view = section.rows.view
    assert view is not None
    assert focused(pages) is view.table
    qtbot.keyClick(view.table, Qt.Key.Key_Return)
    assert not section.rows.are_open
    draft_id = stored(company, kept).draft_id
    assert draft_id is not None
    assert "added" in section.notice.text()
    with company.read() as conn:
        document = quote_document(conn, draft_id)
    pipe = next(one for one in document.materials if one.takeoff_key == "pipe:3")
    assert pipe.waste_percent == 0
    with company.action("Type the same item") as edit:
        quotes.add_material(edit, draft_id, pipe.item_id, Decimal(5))
    qtbot.keyClick(section, Qt.Key.Key_T, CONTROL)
    assert "Charged twice as it stands" in view.caution.text()
    qtbot.keyClick(view.table, Qt.Key.Key_Return)
    assert "Charged twice" in section.notice.text()
    section.count_once()
    assert "Charged twice" not in view.caution.text()
    qtbot.keyClick(view.table, Qt.Key.Key_Return)
    assert "Charged twice" not in section.notice.text()
    with company.read() as conn:
        assert len(quote_document(conn, draft_id).materials) == len(document.materials)
    pages.desk.undo()
    with company.read() as conn:
        assert len(quote_document(conn, draft_id).materials) == len(document.materials) + 1
    assert "5 typed, 40 counted" in section.notice.text(), "the banner says what the draft holds now"


def test_a_row_is_switched_with_the_mouse_and_with_the_keyboard(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages, section = with_routes(qtbot, company, kept)
    qtbot.keyClick(section, Qt.Key.Key_T, CONTROL)
    view = section.rows.view
    assert view is not None
    assert view.own is not None
    place = next(n for n, row in enumerate(view.own.rows) if row.answer == KEPT)
    row = view.own.rows[place]
    table = view.table
    table.select_id(row.key)
    where = table.visualRect(table.model().index(place, 0))
    before = view.after.text()
    qtbot.keyClick(table, Qt.Key.Key_Space)
    assert view.made is not None
    assert view.made.row(row.key).answer == OFF
    assert view.after.text() != before
    assert table.visualRect(table.model().index(place, 0)) == where, "the row stays where it was"
    qtbot.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=where.center())
    assert view.made.row(row.key).answer == KEPT
    assert view.after.text() == before
    qtbot.keyClick(table, Qt.Key.Key_Space)
    qtbot.keyClick(table, Qt.Key.Key_Return)
    draft_id = stored(company, kept).draft_id
    assert draft_id is not None
    with company.read() as conn:
        document = quote_document(conn, draft_id)
    standing = row.standing
    assert standing is not None
    assert standing.of_id not in {line.task_id for line in document.labour}
    pages.desk.undo()
    assert stored(company, kept).draft_id is None, "undo takes all of it back"


def test_leaving_the_rows_leaves_everything_as_it_was(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages, section = with_routes(qtbot, company, kept)
    before = stored(company, kept)
    qtbot.keyClick(section, Qt.Key.Key_T, CONTROL)
    view = section.rows.view
    assert view is not None
    qtbot.keyClick(view.table, Qt.Key.Key_Space)
    qtbot.keyClick(view.table, Qt.Key.Key_Escape)
    assert not section.rows.are_open
    assert stored(company, kept) == before
    assert pages.jobs.job.section_key == "takeoff", "Escape leaves the rows, not the job"
    qtbot.keyClick(section, Qt.Key.Key_T, CONTROL)
    assert view.answers == {}, "what was switched and not applied is forgotten"
    view.back.setFocus()
    qtbot.keyClick(view.back, Qt.Key.Key_Escape)
    assert not section.rows.are_open


def test_a_fan_is_typed_and_the_air_compared(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    _, section = with_routes(qtbot, company, kept)
    qtbot.keyClick(section, Qt.Key.Key_I, CONTROL)
    view = section.stack.currentWidget()
    library = view.library  # type: ignore[attr-defined]
    assert library.isVisible()
    type_into(qtbot, library.name, "Own fan")
    library.points.setPlainText("0: 1\n60: 2")
    library.save_button.click()
    assert "rises" in library.problem.text()
    assert library.points.toPlainText() == "0: 1\n60: 2"
    library.points.setPlainText("0: 1.9\n60: 1.6\n120: 1\n170: 0")
    library.save_button.click()
    (curve,) = stored(company, kept).curves
    view.fan.set_choices([(curve.id, curve.name)])  # type: ignore[attr-defined]
    type_into(qtbot, view.fan, "Own fan")  # type: ignore[attr-defined]
    assert stored(company, kept).plan.fan_curve_id == curve.id
    assert "cfm of air through instead of" in view.sentence.text()  # type: ignore[attr-defined]
    assert "Only the test" in view.sentence.text()  # type: ignore[attr-defined]
    rows = view.losses.rows_model().rows  # type: ignore[attr-defined]
    assert [row.costs != "" for row in rows if "elbow" in row.words] == [True] * sum("elbow" in r.words for r in rows)


def test_a_page_takes_the_same_number_of_questions_whatever_is_kept(company: Company, kept: OneJob) -> None:
    def ask(conn: object) -> object:
        return takeoff_facts(conn, kept.job_id, TODAY)  # type: ignore[arg-type]

    few = statements(company, ask)
    with company.action("More of everything") as edit:
        for n in range(6):
            takeoff.add_route(edit, kept.job_id, "proposed", f"way {n}", PROPOSED)
            takeoff.add_part(edit, kept.job_id, SuctionPit(f"pit {n}", Decimal(12), Decimal(12)))
            takeoff.add_extra(edit, kept.job_id, f"thing {n}", Decimal(1))
    assert statements(company, ask) == few


def test_another_job_shows_nothing_of_this_one(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages, section = with_routes(qtbot, company, kept)
    words = section.route_view.words
    words.setFocus()
    words.moveCursor(QTextCursor.MoveOperation.End)
    qtbot.keyClicks(words, ", coupling")
    other = add_one_job(company, "Mara Stillwell")
    pages.go("jobs", other.job_id, "takeoff")
    assert stored(company, kept).routes[1].words.endswith("coupling")
    assert stored(company, other).routes == ()
    assert section._pages.currentWidget() is section._empty


def test_every_field_and_button_has_a_spoken_name(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    _, section = with_routes(qtbot, company, kept)
    for view in ("route", "beside", "list", "air"):
        section.show_view(view)
        assert unnamed(section) == []


def test_a_cancelled_job_takes_nothing(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    with company.action("Routes and an end") as edit:
        takeoff.add_route(edit, kept.job_id, "proposed", "", PROPOSED)
        cancel_job(edit, kept.job_id, TODAY, "sold")
    _, section = opened(qtbot, company, kept)
    assert not section.take.isEnabled()
    section.take_into_quote()
    assert not section.rows.are_open
    assert stored(company, kept).draft_id is None
