"""The Company page as an owner uses it: settings saved as they are left, lists kept by keys, price files read."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QPushButton, QWidget
from pytestqt.qtbot import QtBot
from sqlalchemy import event

from db.commands.library import add_cause, add_job_type, add_labour_task
from db.commands.price_list import add_item
from db.company_file import create_company, list_backups
from db.company_file.company import Company
from db.queries import library as lists
from db.queries.firm import company_costs, day_rates, firm
from db.queries.price_list import price_list
from desktop.desk import Desk
from desktop.pages.company import PARTS, CompanyPage
from desktop.restoring_backup import Wish
from domain.money import format_money
from tests.desktop.pages_at_work import focused, type_into
from tests.small_company import TODAY, add_one_job, empty_company


@pytest.fixture
def company() -> Iterator[Company]:
    made = empty_company()
    add_one_job(made)
    yield made
    made.close()


def shown(qtbot: QtBot, company: Company, key: str) -> tuple[CompanyPage, Any]:
    """The page at this part, refreshed after every action as the window does it."""
    desk = Desk(company, lambda: TODAY)
    page = CompanyPage(desk)
    qtbot.addWidget(page)
    desk.changed.connect(page.refresh)
    page.resize(1280, 744)
    with qtbot.waitExposed(page):
        page.show()
    page.show_key(None, key)
    page.activateWindow()
    return page, page.part(key)


def ask(company: Company, query: Any, *args: Any, **named: Any) -> Any:
    with company.read() as conn:
        return query(conn, *args, **named)


def retype(qtbot: QtBot, field: QWidget, text: str, key: Qt.Key = Qt.Key.Key_Tab) -> None:
    """Select what stands in a field, type something else and leave it."""
    field.setFocus()
    field.selectAll()  # type: ignore[attr-defined]
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, key)


def type_in_cell(qtbot: QtBot, table: Any, row_id: object, column: str, text: str) -> None:
    """Open the editor of a cell, type, press Enter."""
    assert table.edit_cell(row_id, column)
    editor: Any = focused(table)
    editor.selectAll()
    qtbot.keyClicks(editor, text)
    qtbot.keyClick(editor, Qt.Key.Key_Return)


def words_of(widget: QWidget) -> str:
    return "\n".join(one.text() for one in widget.findChildren(QLabel) if one.isVisible())


def button(widget: QWidget, text: str) -> QPushButton:
    (found,) = [one for one in widget.findChildren(QPushButton) if one.text() == text and one.isVisible()]
    return found


@pytest.mark.parametrize("key", PARTS)
def test_every_part_fits_a_small_screen(qtbot: QtBot, company: Company, key: str) -> None:
    page, part = shown(qtbot, company, key)
    assert part.isVisible()
    assert page.minimumSizeHint().height() <= 744 - 56
    assert page.minimumSizeHint().width() <= 1280


@pytest.mark.parametrize("key", PARTS)
def test_every_field_and_button_has_a_name_to_speak(qtbot: QtBot, company: Company, key: str) -> None:
    _, part = shown(qtbot, company, key)
    nameless = [
        type(one).__name__
        for one in part.findChildren(QWidget)
        if one.isVisible()
        and one.focusPolicy() & Qt.FocusPolicy.TabFocus
        and not (one.accessibleName() or getattr(one, "text", lambda: "")())
        and one.focusProxy() is None
        and type(one).__name__ not in ("QTabBar", "QTabWidget", "QScrollArea", "_FollowingScroll", "QLineEdit")
    ]
    assert nameless == []


BOOKS = {"close": 50, "ties": 45}
"""Parts that hold many sums of the whole company against each other."""


@pytest.mark.parametrize("key", [key for key in PARTS if key not in ("safe",)])
def test_a_part_asks_a_fixed_number_of_questions(qtbot: QtBot, company: Company, key: str) -> None:
    _, part = shown(qtbot, company, key)
    counts = []
    for turn in range(2):
        seen: list[str] = []

        def note(*args: Any, seen: list[str] = seen) -> None:
            seen.append(args[2])

        event.listen(company.engine, "before_cursor_execute", note)
        part.refresh()
        event.remove(company.engine, "before_cursor_execute", note)
        counts.append(len(seen))
        with company.action("More") as edit:
            for number in range(5):
                name = f"{turn}-{number}"
                add_cause(edit, f"Cause {name}")
                add_labour_task(edit, f"Task {name}", "each", Decimal(5))
                add_item(edit, f"X{name}", f"Item {name}", "each", Decimal(1), TODAY)
    assert counts[0] == counts[1] <= BOOKS.get(key, 6)


def test_the_list_of_parts_is_walked_with_the_arrows(qtbot: QtBot, company: Company) -> None:
    page, _ = shown(qtbot, company, "firm")
    rail = page._rail
    rail._buttons["firm"].setFocus()
    for expected in ("hour", "standards", "exposure", "job_types"):
        qtbot.keyClick(focused(page), Qt.Key.Key_Down)
        assert page.shown == expected


def test_a_setting_is_saved_when_it_is_left_and_undone(qtbot: QtBot, company: Company) -> None:
    page, part = shown(qtbot, company, "firm")
    retype(qtbot, part.field("margin_percent"), "42.5")
    assert ask(company, firm).margin_percent == Decimal("42.50")
    page.desk.undo()
    assert ask(company, firm).margin_percent == Decimal(35)
    assert part.field("margin_percent").text() == "35%"


def test_what_cannot_be_stays_typed_with_the_reason_below(qtbot: QtBot, company: Company) -> None:
    _, part = shown(qtbot, company, "firm")
    field = part.field("deposit_percent")
    retype(qtbot, field, "150")
    assert ask(company, firm).deposit_percent == Decimal(30)
    assert field.text() == "150%"
    assert "0 to 100" in field.problem()
    part.refresh()
    assert field.text() == "150%"


def test_the_tax_treatment_is_said_in_words(qtbot: QtBot, company: Company) -> None:
    _, part = shown(qtbot, company, "firm")
    assert not part.field("tax_percent").isVisible()
    type_into(qtbot, part.field("tax_treatment"), "Materials sep")
    assert ask(company, firm).tax_treatment == "separated"
    assert part.field("tax_percent").isVisibleTo(part)
    assert "no sales tax at all?" in part.tax_words.text(), "a rate of nothing is asked about"
    retype(qtbot, part.field("tax_percent"), "6.25")
    assert "charge the customer tax" in part.tax_words.text()
    assert "ask an adviser" in part.tax_words.text()


def test_the_ladder_shows_what_a_quote_uses_and_follows_a_new_rate(qtbot: QtBot, company: Company) -> None:
    _, part = shown(qtbot, company, "hour")
    before = ask(company, day_rates, TODAY).owner_cents
    assert format_money(before) in words_of(part.people.ladder)
    assert "add up" in words_of(part.people.ladder)
    part.people.from_day.setFocus()
    qtbot.keyClicks(part.people.from_day, "today")
    part.people.add_rate.click()
    retype(qtbot, part.people.field("wage_cents"), "50")
    after = ask(company, day_rates, TODAY).owner_cents
    assert after > before
    assert ask(company, day_rates, date(2026, 5, 13)).owner_cents == before
    assert part.owner.value() == format_money(after)
    assert format_money(after) in words_of(part.people.ladder)


def test_a_helper_is_added_with_numbers_to_start_from(qtbot: QtBot, company: Company) -> None:
    page, part = shown(qtbot, company, "hour")
    qtbot.keyClicks(part.people.new_name, "Bo Lind")
    part.people.add_helper.click()
    costs = ask(company, company_costs)
    assert [person.name for person in costs.people] == ["Ada Quill", "Bo Lind"]
    assert part.people.field("name").text() == "Bo Lind"
    assert part.people.field("state_unemployment_percent").isVisibleTo(part.people)
    page.desk.undo()
    assert part.people.field("name").text() == "Ada Quill"


def test_a_monthly_cost_and_a_mile_are_changed_in_place(qtbot: QtBot, company: Company) -> None:
    _, part = shown(qtbot, company, "hour")
    before = ask(company, day_rates, TODAY)
    first = ask(company, company_costs).overhead[0]
    type_in_cell(qtbot, part.months.items.table, first.id, "cents_per_month", "289")
    assert ask(company, day_rates, TODAY).overhead_cents == before.overhead_cents + 100  # 104 h a month
    mile = ask(company, company_costs).mile_costs[-1]
    type_in_cell(qtbot, part.miles.rows.table, mile.id, "unit_cost", "0.81")
    assert ask(company, day_rates, TODAY).mile_cost == Decimal("0.81")
    assert part.mile.value() == "$0.81"


def test_a_task_and_its_factor_are_changed_by_keys(qtbot: QtBot, company: Company) -> None:
    page, part = shown(qtbot, company, "tasks")
    slope = next(task for task in part.list.model.rows if task.name.startswith("Correct the slope"))
    type_in_cell(qtbot, part.list.table, slope.id, "standard_minutes", "22.5")
    assert next(t for t in ask(company, lists.labour_tasks) if t.id == slope.id).standard_minutes == Decimal("22.5")
    part.list.select(slope.id)
    mud = next(factor for factor in part.factor_model.rows if factor.condition.name == "Mud")
    type_in_cell(qtbot, part.factors, mud.condition.id, "percent", "150")
    stored = {(f.task_id, f.condition_id): f.factor_percent for f in ask(company, lists.task_factors)}
    assert stored[slope.id, mud.condition.id] == Decimal(150)
    type_in_cell(qtbot, part.factors, mud.condition.id, "percent", "ten")
    assert "not a percentage" in part.factors._beside.accessibleName()
    page.desk.undo()
    page.desk.undo()
    assert next(t for t in ask(company, lists.labour_tasks) if t.id == slope.id).standard_minutes == Decimal(18)


def test_causes_are_added_moved_and_put_away_by_keys(qtbot: QtBot, company: Company) -> None:
    _, part = shown(qtbot, company, "causes")
    qtbot.keyClicks(part.new_name, "Rain in the crawl")
    qtbot.keyClick(part.new_name, Qt.Key.Key_Return)
    assert ask(company, lists.causes)[-1].name == "Rain in the crawl"
    assert part.new_name.text() == ""
    qtbot.keyClicks(part.new_name, "rain in the CRAWL")
    qtbot.keyClick(part.new_name, Qt.Key.Key_Return)
    assert "in the list already" in part.new_name.problem()
    assert part.new_name.text() == "rain in the CRAWL"
    part.list.table.setFocus()
    qtbot.keyClick(part.list.table, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    assert ask(company, lists.causes)[-2].name == "Rain in the crawl"
    qtbot.keyClick(part.list.table, Qt.Key.Key_Delete)
    assert "Rain in the crawl" not in [cause.name for cause in ask(company, lists.causes)]


def test_a_used_job_type_stays_and_archiving_is_offered(qtbot: QtBot, company: Company) -> None:
    _, part = shown(qtbot, company, "job_types")
    part.list.select(2)
    part.list.delete.click()
    assert "used once in jobs" in part.list.refusal.text()
    button(part.list.refusal, "Archive").click()
    assert 2 not in [kind.id for kind in ask(company, lists.job_types)]
    part.list.archived.click()
    part.list.select(2)
    assert part.list.archive.text() == "Bring back"
    part.list.archive.click()
    assert 2 in [kind.id for kind in ask(company, lists.job_types)]


def test_a_usual_line_is_added_and_its_quantity_changed(qtbot: QtBot, company: Company) -> None:
    _, part = shown(qtbot, company, "job_types")
    part.list.select(8)  # service call
    part.tabs.setCurrentIndex(1)
    fan = next(row for row in ask(company, price_list, TODAY) if row.item.code == "FAN-M4")
    line = part.items.part.lineEdit()
    line.setFocus()
    qtbot.keyClicks(line, "FAN-M4")
    qtbot.keyClick(line, Qt.Key.Key_Tab)
    qtbot.keyClicks(part.items.quantity, "2")
    qtbot.keyClick(part.items.quantity, Qt.Key.Key_Return)
    (usual,) = ask(company, lists.usual_items, 8)
    assert (usual.part_id, usual.quantity) == (fan.item.id, Decimal(2))
    type_in_cell(qtbot, part.items.table, usual.id, "quantity", "1")
    assert ask(company, lists.usual_items, 8)[0].quantity == Decimal(1)


def test_what_a_usual_line_stands_for_is_chosen_in_its_cell(qtbot: QtBot, company: Company) -> None:
    page, part = shown(qtbot, company, "job_types")
    part.list.select(1)
    table = part.tasks.table
    line = ask(company, lists.usual_tasks, 1)[0]
    assert line.stands_for == "alone"
    type_in_cell(qtbot, table, line.id, "stands_for", "painting pipe")
    assert ask(company, lists.usual_tasks, 1)[0].stands_for == "paint_ft"
    type_in_cell(qtbot, table, line.id, "stands_for", "washing dishes")
    assert "nothing the takeoff counts" in table._beside.accessibleName()
    assert ask(company, lists.usual_tasks, 1)[0].stands_for == "paint_ft"
    page.desk.undo()
    assert ask(company, lists.usual_tasks, 1)[0].stands_for == "alone"


def test_an_item_says_in_the_price_list_by_what_a_job_is_costed(qtbot: QtBot, company: Company) -> None:
    page, part = shown(qtbot, company, "prices")
    qtbot.keyClicks(part.search, "CEM-Q")
    part.search.flush()
    (row,) = part.list.model.rows
    assert part.list.model.text(row, "costed_by") == "what is used"
    type_in_cell(qtbot, part.list.table, row.item.id, "costed_by", "whole pieces")
    assert ask(company, price_list, TODAY, "CEM-Q")[0].item.costed_by == "whole"
    page.desk.undo()
    assert ask(company, price_list, TODAY, "CEM-Q")[0].item.costed_by == "used"


def test_a_price_changed_in_the_list_counts_from_the_day_named(qtbot: QtBot, company: Company) -> None:
    page, part = shown(qtbot, company, "prices")
    qtbot.keyClicks(part.search, "P3-40")
    part.search.flush()
    (row,) = part.list.model.rows
    retype(qtbot, part.from_day, "5/1/26")
    type_in_cell(qtbot, part.list.table, row.item.id, "unit_cost", "2.95")

    def cost(day: date) -> Decimal | None:
        return ask(company, price_list, day, "P3-40")[0].unit_cost

    assert (cost(date(2026, 4, 30)), cost(TODAY)) == (Decimal("2.68"), Decimal("2.95"))
    assert "$2.95 a ft from May 1, 2026" in words_of(part.history)
    type_in_cell(qtbot, part.list.table, row.item.id, "unit_cost", "0")
    assert "no price" in part.list.table._beside.accessibleName()
    page.desk.undo()
    assert cost(TODAY) == Decimal("2.68")


def wait_for_file(qtbot: QtBot, part: Any) -> None:
    qtbot.waitUntil(lambda: part.importing.plan is not None or part.importing.said._kind == "error", timeout=5000)


def test_a_price_file_is_looked_at_and_then_comes_in_whole(qtbot: QtBot, company: Company, tmp_path: Path) -> None:
    book = Workbook()
    for line in (
        ["Spring list"],
        ["Price", "Item No", "Description", "UOM", "Vendor"],
        [2.81, "P3-40", "Pipe, 3 in, Schedule 40", "FT", "Plumbing counter"],
        [41.2, "C8", "Coupling, 8 in", "EA", "North Wholesale"],
        [0, "E90-8", "Elbow, 8 in", "EA", "North Wholesale"],
    ):
        book.active.append(line)
    book.save(tmp_path / "spring.xlsx")
    page, part = shown(qtbot, company, "prices")
    before = ask(company, price_list, TODAY)
    part.begin_import()
    part.importing.read(tmp_path / "spring.xlsx")
    wait_for_file(qtbot, part)
    plan = part.importing.plan
    assert ([new.code for new in plan.added], [one.code for one in plan.changed]) == (["C8"], ["P3-40"])
    assert [row.number for row in plan.refused] == [5]
    assert "price is nothing" in plan.refused[0].reason
    assert ask(company, price_list, TODAY) == before  # looking changes nothing
    part.importing.columns.field("unit_cost")._take(None)
    assert part.importing.plan is None
    assert "price" in part.importing.preview.said.text()
    assert not part.importing.bring_in.isEnabled()
    part.importing.columns.field("unit_cost")._take(0)
    assert part.importing.bring_in.text() == "Bring in 1 new and 1 changed"
    part.importing.bring_in.click()
    after = {row.item.code: row for row in ask(company, price_list, TODAY)}
    assert (after["P3-40"].unit_cost, after["C8"].unit_cost, after["C8"].supplier) == (
        Decimal("2.81"), Decimal("41.20"), "North Wholesale",
    )  # fmt: skip
    assert part.stack.currentIndex() == 0
    page.desk.undo()
    assert ask(company, price_list, TODAY) == before


def test_a_bad_file_gets_a_word_and_changes_nothing(qtbot: QtBot, company: Company, tmp_path: Path) -> None:
    locked = tmp_path / "locked.xlsx"
    locked.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\x00" * 600)
    _, part = shown(qtbot, company, "prices")
    part.begin_import()
    part.importing.read(locked)
    wait_for_file(qtbot, part)
    assert "password" in part.importing.said.text()
    (other,) = part.importing.said.findChildren(QPushButton)
    qtbot.waitUntil(other.isVisible)
    assert other.text() == "Choose another file"


def test_backups_are_made_and_asked_for_after_a_word_about_what_is_lost(qtbot: QtBot, tmp_path: Path) -> None:
    company = create_company(tmp_path / "Heron Hill.riserbook", "Heron Hill Radon", "Ada Quill", TODAY)
    page, part = shown(qtbot, company, "safe")
    asked: list[Wish] = []
    page.restore_asked.connect(asked.append)
    part.back_up_now.click()
    assert not part.back_up_now.isEnabled()
    qtbot.waitUntil(lambda: part.said.text() == "Backed up, and the backup was checked.", timeout=20_000)
    assert part.back_up_now.isEnabled()
    (backup,) = list_backups(company.path)
    with company.action("Another job type") as edit:
        add_job_type(edit, "Monitoring visit")
    part.refresh()
    part.table.select_id(str(backup.path))
    part.restore_button.click()
    assert "would be gone" in part.asked.text()
    assert "the last: Another job type" in part.asked.text()
    assert asked == []
    button(part.asked, "Restore it").click()
    assert asked == [Wish(company.path, backup.path)]
    company.close()


def test_the_file_is_looked_over_and_the_findings_are_shown(qtbot: QtBot, tmp_path: Path) -> None:
    company = create_company(tmp_path / "Heron Hill.riserbook", "Heron Hill Radon", "Ada Quill", TODAY)
    _, part = shown(qtbot, company, "safe")
    part.look_over.click()
    qtbot.waitUntil(lambda: part.report_card.isVisible(), timeout=5000)
    assert "is in order" in part.report.text()
    company.close()


def test_the_look_is_asked_of_the_window_and_units_belong_to_the_company(qtbot: QtBot, company: Company) -> None:
    page, part = shown(qtbot, company, "appearance")
    with qtbot.waitSignal(page.appearance_asked) as asked:
        button(part, "Dark").click()
    assert asked.args == ["dark"]
    button(part, "Light").click()
    button(part, "Meters").click()
    button(part, "Bq/m³").click()
    stored = ask(company, firm)
    assert (stored.unit_system, stored.radon_unit) == ("metric", "Bq/m3")
