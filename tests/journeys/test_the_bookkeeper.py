"""The third evening: which kind of work earns its keep, why not the others, and the year as a workbook."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from openpyxl import load_workbook
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from desktop.widgets.waterfall import WaterfallView
from domain.costing import GroupMargin
from tests.desktop.formulas import Calculated, cents
from tests.journeys.at_the_desk import FileDialogs, Person, quiet_qt
from tests.journeys.first_quote import CUSTOMER, Look, company_with_quote

Key = Qt.Key
pytestmark = quiet_qt

GROUPS, JOBS_OF_GROUP, ENTRIES = "Margins by group", "Jobs of this group", "Log entries"


def steps_shown(owner: Person) -> list[tuple[str, int]]:
    """Words and cents of the waterfall on the screen, read from what it says."""
    (view,) = owner.visible(WaterfallView)
    return [(step.label, money(step.text)) for step in view._steps.steps]


def money(text: str) -> int:
    """``-$1,234.50`` or ``+1,234.50`` in cents."""
    return int(Decimal(text.replace("$", "").replace(",", "").replace("\u2212", "-").replace(" ", "")) * 100)


def groups(owner: Person) -> list[GroupMargin]:
    """The rows of the table of groups, the last one being the total."""
    return list(owner.table(GROUPS).rows_model().rows)


def adds_up(steps: list[tuple[str, int]]) -> bool:
    """Quoted margin and all steps come to the actual margin, to the cent."""
    (first, quoted), *between, (last, actual) = steps
    assert (first, last) == ("Quoted margin", "Actual margin")
    return quoted + sum(cents for _, cents in between) == actual


def test_reworks_stand_out_and_the_reason_is_found_down_to_the_log_entries(
    owner: Person, sample_file: Path, look: Look
) -> None:
    owner.open(sample_file)
    owner.ctrl(Key.Key_4)
    assert owner.here == GROUPS
    look("overview")
    by_type = {group.name: group for group in groups(owner)[:-1]}
    worst = min(by_type.values(), key=lambda group: group.margin_percent or Decimal(0))
    assert worst.name.startswith("Rework")
    assert by_type["Fan replacement"].margin_cents > 0
    assert worst.hours_over_percent is not None
    assert worst.hours_over_percent > 20

    owner.click(owner.table(GROUPS))
    _sort_by(owner, GROUPS, "share")
    owner.press(Key.Key_Home)
    assert owner.table(GROUPS).current_row().name == worst.name
    owner.press(Key.Key_Return)
    assert owner.sees(worst.name)
    look("group")
    assert adds_up(steps_shown(owner))
    owner.table(JOBS_OF_GROUP).setFocus()
    owner.press(Key.Key_Home, Key.Key_Return)
    look("job")
    assert adds_up(steps_shown(owner))
    owner.press(Key.Key_Right)
    look("entries")
    assert owner.table(ENTRIES).rows_model().rowCount() > 5
    owner.alt(Key.Key_Left)
    assert owner.here == JOBS_OF_GROUP
    owner.alt(Key.Key_Left)
    assert owner.here == GROUPS
    assert owner.table(GROUPS).current_row().name == worst.name


def test_every_grouping_adds_up_to_the_same_and_days_can_be_chosen(
    owner: Person, sample_file: Path, look: Look
) -> None:
    owner.open(sample_file)
    owner.ctrl(Key.Key_4)
    everything = groups(owner)[-1]
    for by in ("Month closed", "Foundation", "Lead source", "Job type"):
        owner.click(f"Group by: {by}")
        *parts, total = groups(owner)
        assert len(parts) > 1
        for figure in ("jobs", "revenue_cents", "actual_cost_cents", "margin_cents", "actual_minutes", "lost"):
            assert sum(getattr(part, figure) for part in parts) == getattr(total, figure), (by, figure)
        assert total.margin_cents == everything.margin_cents
    owner.click("Group by: Access condition")
    assert owner.sees("A job counts under each of its access conditions")
    assert groups(owner)[-1].margin_cents == everything.margin_cents
    look("conditions")

    owner.click("Closed in: This year")
    this_year = groups(owner)[-1]
    assert 0 < this_year.jobs < everything.jobs
    owner.click("Closed in: Other days")
    assert owner.here == "Closed from"
    year = owner.desk.today().year
    owner.ctrl(Key.Key_A)
    owner.type(f"1/1/{year - 1}", Key.Key_Tab)
    owner.ctrl(Key.Key_A)
    owner.type(f"12/31/{year}", Key.Key_Return)
    assert this_year.jobs < groups(owner)[-1].jobs <= everything.jobs
    owner.fill("Closed to", f"12/31/{year - 3}", Key.Key_Return)
    assert owner.sees("The first day is after the last")
    look("days")


def test_the_workbook_of_the_year_says_what_the_screen_says(
    owner: Person, dialogs: FileDialogs, sample_file: Path, tmp_path: Path, look: Look
) -> None:
    owner.open(sample_file)
    owner.ctrl(Key.Key_4)
    owner.click("Closed in: This year")
    shown = groups(owner)
    dialogs.answer = tmp_path / "year.xlsx"
    owner.click("Save as workbook…")
    owner.bot.waitUntil(lambda: owner.sees("Wrote year.xlsx"), timeout=20_000)
    assert dialogs.proposed[-1].endswith(f"Margins {owner.desk.today().year}.xlsx")
    look("wrote")
    assert_same_sums(dialogs.answer, shown)


def assert_same_sums(path: Path, shown: list[GroupMargin]) -> None:
    """The first block of the sheet Margins has these groups, and its formulas come to their cents."""
    book = load_workbook(path)
    assert book.sheetnames == ["Margins", "Jobs", "Hours", "Materials"]
    sheet, calculated = book["Margins"], Calculated(book)
    column = {str(cell.value): cell.column for cell in sheet[1]}
    rows = {str(sheet.cell(row, 1).value): row for row in range(sheet.max_row, 1, -1)}  # the topmost of a name stays
    for group in shown:
        for title, amount in (
            ("Revenue", group.revenue_cents), ("Cost", group.actual_cost_cents), ("Margin", group.margin_cents),
            ("Quoted margin", group.quoted_margin_cents),
        ):  # fmt: skip
            assert cents(calculated.cell("Margins", rows[group.name], column[title])) == amount, (group.name, title)
        hours = calculated.cell("Margins", rows[group.name], column["Hours actual (decimal)"])
        assert hours * 60 == group.actual_minutes
        assert calculated.cell("Margins", rows[group.name], column["Jobs"]) == group.jobs


def test_the_first_job_of_a_new_company_is_closed_reviewed_and_exported(
    owner: Person, dialogs: FileDialogs, tmp_path: Path, look: Look
) -> None:
    company_with_quote(owner, tmp_path)
    owner.ctrl(Key.Key_4)
    assert owner.sees("Open jobs") or owner.sees("No closed jobs in this time")
    look("nothing-closed")
    owner.ctrl(Key.Key_3)
    owner.press(Key.Key_Return)  # the first of the list
    owner.to_section("Work log")
    for _ in range(3):
        owner.type("a", Key.Key_Return)
    owner.type("2h", Key.Key_Return, Key.Key_Return)
    owner.open_facts()
    owner.fill("Installed", "today", Key.Key_Return)
    owner.click("Close the job")
    assert owner.sees("Nothing is logged on these quoted lines")
    look("review-of-closing")
    held = Qt.KeyboardModifier
    owner.press(Key.Key_A, held=held.ControlModifier | held.ShiftModifier)  # the tasks left: in other tasks' time
    owner.press(Key.Key_M, held=held.ControlModifier | held.ShiftModifier)  # the materials left: used as quoted
    for line in owner.table("Quoted lines without a log").rows_model().rows:
        if not line.answer:
            owner.type("n", Key.Key_Return)
    owner.press(Key.Key_Return, held=held.ControlModifier)
    assert owner.sees("closed")
    owner.to_section("Outcome")
    assert adds_up(steps_shown(owner))
    look("outcome")

    owner.ctrl(Key.Key_4)
    assert owner.sees("1 closed job")
    (one, total) = groups(owner)
    assert one.name == "Rework of an existing system"
    assert one.margin_cents == total.margin_cents
    dialogs.answer = tmp_path / "first.xlsx"
    owner.click("Save as workbook…")
    owner.bot.waitUntil(lambda: owner.sees("Wrote first.xlsx"), timeout=20_000)
    assert_same_sums(dialogs.answer, [one, total])
    book = load_workbook(dialogs.answer)
    assert CUSTOMER in [cell.value for row in book["Jobs"].iter_rows() for cell in row]
    look("margins")


def _sort_by(owner: Person, table: str, key: str) -> None:
    """Click the heading of a column."""
    shown = owner.table(table)
    header = shown.horizontalHeader()
    number = shown.rows_model().column_of(key)
    spot = QPoint(header.sectionViewportPosition(number) + 8, header.height() // 2)
    QTest.mouseClick(header.viewport(), Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, spot)
    owner.settle()
