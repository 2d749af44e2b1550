"""Truck, pull sheet, shopping list and price changes as an owner uses them: typed, ticked with Enter, printed."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from db.commands import buying
from db.commands.log import log_material
from db.commands.price_list import set_price
from db.commands.quotes.lines import add_material
from db.company_file.company import Company
from db.queries.buying.needs import days_work
from db.queries.buying.purchases import purchases_since, remembered_sheets
from db.queries.price_list import price_list
from desktop.desk import Desk
from desktop.pages.company import CompanyPage
from tests.db.buying_company import TOMORROW, YESTERDAY, accepted_job, do, item_id, on_truck
from tests.desktop.pages_at_work import focused
from tests.small_company import TODAY, add_one_job, add_proposal, empty_company


@pytest.fixture
def company() -> Iterator[Company]:
    made = empty_company()
    yield made
    made.close()


class Shown:
    """The Company page at one part, refreshed after every action as the window does it."""

    def __init__(self, qtbot: QtBot, company: Company, key: str) -> None:
        self.desk = Desk(company, lambda: TODAY)
        self.said: list[str] = []
        self.went: list[tuple[str, object, str]] = []
        self.desk.spoke.connect(lambda text, *_: self.said.append(text))
        self.desk.asked_for.connect(lambda *where: self.went.append(where))
        self.page = CompanyPage(self.desk)
        qtbot.addWidget(self.page)
        self.desk.changed.connect(self.page.refresh)
        self.page.resize(1280, 744)
        with qtbot.waitExposed(self.page):
            self.page.show()
        self.page.show_key(None, key)
        self.page.activateWindow()
        self.part: Any = self.page.part(key)


def type_in_cell(qtbot: QtBot, table: Any, row_id: object, column: str, text: str) -> None:
    assert table.edit_cell(row_id, column)
    editor: Any = focused(table)
    editor.selectAll()
    qtbot.keyClicks(editor, text)
    qtbot.keyClick(editor, Qt.Key.Key_Return)


def press(widget: QWidget, words: str) -> None:
    (found,) = [one for one in widget.findChildren(QPushButton) if one.text() == words and one.isVisible()]
    found.click()


# Truck stock.


def test_a_count_a_reorder_point_and_a_level_are_typed_in_their_cells(qtbot: QtBot, company: Company) -> None:
    shown = Shown(qtbot, company, "stock")
    part, pipe = shown.part, item_id(company, "P3-40")
    assert part.model.rows == []
    press(part.table, "Whole price list")
    type_in_cell(qtbot, part.table, pipe, "on_hand", "18 ft")
    type_in_cell(qtbot, part.table, pipe, "reorder_at", "20")
    row = on_truck(company, "P3-40")
    assert (row.on_hand, row.reorder_at, row.fill_to) == (18, 20, 30)  # a pack above, until typed over
    type_in_cell(qtbot, part.table, pipe, "fill_to", "60")
    assert on_truck(company, "P3-40").fill_to == 60
    part.view.set_value("low")
    part._show()
    (low,) = part.model.rows
    assert part.model.text(low, "state") == "buy 5 × 10 ft"


@pytest.mark.parametrize(
    ("column", "typed", "words"),
    [("on_hand", "-3", "Less than nothing"), ("on_hand", "a few", "not a quantity"), ("on_hand", "", "take it off"),
     ("on_hand", "99999999", "more than a truck holds"), ("reorder_at", "80", "more than the reorder point"),
     ("fill_to", "5", "more than the reorder point")],
)  # fmt: skip
def test_what_cannot_be_stays_in_its_cell_with_the_reason(
    qtbot: QtBot, company: Company, column: str, typed: str, words: str
) -> None:
    pipe = item_id(company, "P3-40")
    do(company, buying.count_item, pipe, Decimal(12), YESTERDAY, TODAY)
    do(company, buying.set_reorder, pipe, Decimal(10), Decimal(80))
    part = Shown(qtbot, company, "stock").part
    before = on_truck(company, "P3-40")
    assert part.table.edit_cell(pipe, column)
    editor: Any = focused(part.table)
    editor.selectAll()
    qtbot.keyClick(editor, Qt.Key.Key_Delete)
    qtbot.keyClicks(editor, typed)
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    cell = part.model.cell(part.model.index(part.model.find(pipe), part.model.column_of(column)))
    assert words in cell.problem
    assert cell.text == typed
    assert on_truck(company, "P3-40") == before


def test_the_log_lowers_the_truck_in_sight(qtbot: QtBot, company: Company) -> None:
    pipe, job_id = item_id(company, "P3-40"), accepted_job(company, {})
    do(company, buying.count_item, pipe, Decimal(30), TODAY, TODAY)
    shown = Shown(qtbot, company, "stock")
    with company.action("Log") as edit:
        log_material(edit, job_id, TODAY, pipe, "", Decimal("12.5"))
    shown.desk.changed.emit()
    (row,) = shown.part.model.rows
    assert shown.part.model.text(row, "on_hand") == "17.5"
    assert shown.part.model.text(row, "counted") == "30 on May 14, −12.5"


def test_delete_takes_an_item_off_the_truck_and_undo_brings_it_back(qtbot: QtBot, company: Company) -> None:
    pipe = item_id(company, "P3-40")
    do(company, buying.count_item, pipe, Decimal(30), TODAY, TODAY)
    shown = Shown(qtbot, company, "stock")
    shown.part.table.setFocus()
    shown.part.table.select_id(pipe)
    qtbot.keyClick(shown.part.table, Qt.Key.Key_Delete)
    assert shown.part.model.rows == []
    shown.desk.undo()
    assert len(shown.part.model.rows) == 1


# Pull sheet.


def two_jobs(company: Company) -> tuple[int, int]:
    first = accepted_job(company, {"P3-40": "12", "FLX3": "2"}, TODAY, "Ash")
    second = accepted_job(company, {"P3-40": "24"}, TOMORROW, "Birch")
    do(company, buying.count_item, item_id(company, "P3-40"), Decimal(25), TODAY, TODAY)
    return first, second


def test_the_pull_sheet_opens_on_tomorrow_and_merges_its_jobs(qtbot: QtBot, company: Company) -> None:
    first, _ = two_jobs(company)
    part = Shown(qtbot, company, "pull").part
    rows = {line.code: line for line in part.model.rows}
    assert rows["P3-40"].need == Decimal("39.6")
    assert part.model.text(rows["P3-40"], "source") == "Truck 25 ft, buy first: 2 × 10 ft"
    assert part.model.text(rows["FLX3"], "source") == "Buy first: 2"
    assert part.total.text() == "2 jobs, 2 things, 2 to buy first"
    part._switches[first].click()
    assert [line.code for line in part.model.rows] == ["P3-40"]
    part.after.click()
    assert part.day.value() == TOMORROW + timedelta(days=1)
    part.before.click()
    assert [line.code for line in part.model.rows] == ["P3-40"]  # what was left out stays out


def test_the_sheet_prints_and_is_saved_as_csv(
    qtbot: QtBot, company: Company, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from pypdf import PdfReader

    two_jobs(company)
    shown = Shown(qtbot, company, "pull")
    part = shown.part
    part.show_paper.click()
    assert part.stack.shows_paper
    assert part.stack.paper.save_to(tmp_path / "sheet.pdf")
    pages = PdfReader(tmp_path / "sheet.pdf").pages
    text = " ".join(page.extract_text() for page in pages)
    assert len(pages) == 1
    for words in ("Pull sheet", "May 15, 2026", "Buy first: Plumbing counter", "4 × 10 ft", "truck 25 ft", "Ash"):
        assert words in text
    qtbot.keyClick(part.stack.back, Qt.Key.Key_Escape)
    assert not part.stack.shows_paper
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "sheet"), ""))
    part.as_csv.click()
    with (tmp_path / "sheet.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = {row["code"]: row for row in csv.DictReader(file)}
    pipe = rows["P3-40"]
    assert (pipe["needed"], pipe["from truck"], pipe["buy first"], pipe["packs to buy"]) == ("39.6", "25", "14.6", "2")
    assert "sheet.csv" in shown.said[-1]


def test_a_day_without_jobs_says_what_comes_here(qtbot: QtBot, company: Company) -> None:
    part = Shown(qtbot, company, "pull").part
    assert not part.show_paper.isEnabled()
    assert part.model.rows == []
    assert "No job on Fri, May 15, 2026" in part.table._guide._title.text()


# Shopping list.


def test_enter_goes_down_the_list_ticking_at_the_price_shown(qtbot: QtBot, company: Company) -> None:
    two_jobs(company)
    shown = Shown(qtbot, company, "shopping")
    table, model = shown.part.to_buy.table, shown.part.to_buy.model
    assert [line.code for line in model.rows] == ["P3-40", "FLX3"]
    table.setFocus()
    qtbot.keyClick(table, Qt.Key.Key_Return)
    assert [line.code for line in model.rows] == ["FLX3"]
    qtbot.keyClick(table, Qt.Key.Key_Return)
    assert model.rows == []
    with company.read() as conn:
        bought = purchases_since(conn, TODAY)
    assert [(row.code, row.purchase.quantity, row.purchase.unit_cost) for row in bought] == [
        ("FLX3", 2, Decimal("9.40")), ("P3-40", 20, Decimal("2.68")),
    ]  # fmt: skip
    assert shown.part.to_buy.differs.isHidden()
    assert "Bought" in shown.said[-1]


def test_digits_are_the_price_paid_and_another_price_is_offered_as_the_new_one(qtbot: QtBot, company: Company) -> None:
    two_jobs(company)
    shown = Shown(qtbot, company, "shopping")
    listed = shown.part.to_buy
    listed.table.setFocus()
    qtbot.keyClicks(listed.table, "3")
    editor = focused(listed.table)
    qtbot.keyClicks(editor, "1.50")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    assert [line.code for line in listed.model.rows] == ["FLX3"]
    assert on_truck(company, "P3-40").on_hand == 45
    with company.read() as conn:
        assert purchases_since(conn, TODAY)[0].purchase.unit_cost == Decimal("3.15")
    assert "P3-40 $3.15 (list $2.68)" in listed.differs._text.text()
    assert focused(shown.page) is listed.table
    press(listed.differs, "Take it as new")
    with company.read() as conn:
        (row,) = [one for one in price_list(conn, TODAY) if one.item.code == "P3-40"]
        (before,) = [one for one in price_list(conn, YESTERDAY) if one.item.code == "P3-40"]
    assert (row.unit_cost, row.priced_on, before.unit_cost) == (Decimal("3.15"), TODAY, Decimal("2.68"))
    assert listed.differs.isHidden()


@pytest.mark.parametrize(("typed", "words"), [("0", "nothing"), ("12,5x", "not an amount"), ("-4", "nothing")])
def test_a_price_that_cannot_be_stays_typed_and_nothing_is_bought(
    qtbot: QtBot, company: Company, typed: str, words: str
) -> None:
    two_jobs(company)
    listed = Shown(qtbot, company, "shopping").part.to_buy
    pipe = listed.model.rows[0]
    type_in_cell(qtbot, listed.table, pipe.key, "paid", typed)
    cell = listed.model.cell(listed.model.index(0, listed.model.column_of("paid")))
    assert words in cell.problem
    assert cell.text == typed
    with company.read() as conn:
        assert purchases_since(conn, YESTERDAY) == []


def test_fewer_packs_may_be_bought_and_part_packs_may_not(qtbot: QtBot, company: Company) -> None:
    two_jobs(company)
    listed = Shown(qtbot, company, "shopping").part.to_buy
    pipe = listed.model.rows[0]
    type_in_cell(qtbot, listed.table, pipe.key, "packs", "1.5")
    assert "whole" in listed.model.cell(listed.model.index(0, listed.model.column_of("packs"))).problem
    listed.model.forget_refused(listed.model.index(0, listed.model.column_of("packs")))
    type_in_cell(qtbot, listed.table, pipe.key, "packs", "1")
    listed.table.select_id(pipe.key, "code")
    qtbot.keyClick(listed.table, Qt.Key.Key_Return)
    assert on_truck(company, "P3-40").on_hand == 35
    assert [(line.code, line.packs) for line in listed.model.rows] == [("P3-40", 1), ("FLX3", 2)]


def test_a_supplier_at_a_time_and_fewer_days(qtbot: QtBot, company: Company) -> None:
    accepted_job(company, {"P3-40": "12", "SEAL-PU": "3"}, TOMORROW, "Ash")
    accepted_job(company, {"SW-1": "1"}, TODAY + timedelta(days=6), "Birch")
    part = Shown(qtbot, company, "shopping").part
    listed = part.to_buy
    assert {line.supplier for line in listed.model.rows} == {"Plumbing counter", "Hardware store", "Electrical counter"}
    listed.supplier._take("Hardware store")
    assert [line.code for line in listed.model.rows] == ["SEAL-PU"]
    assert listed.total.text() == "1 to buy, $31.40 expected"
    listed.supplier._take(None)
    press(listed, "3 days")
    assert {line.code for line in listed.model.rows} == {"P3-40", "SEAL-PU"}


def test_the_list_prints_and_is_saved_as_csv(
    qtbot: QtBot, company: Company, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from pypdf import PdfReader

    two_jobs(company)
    part = Shown(qtbot, company, "shopping").part
    part.show_paper.click()
    assert part.stack.paper.save_to(tmp_path / "list.pdf")
    text = " ".join(page.extract_text() for page in PdfReader(tmp_path / "list.pdf").pages)
    for words in ("Shopping list", "Plumbing counter: $72.40 expected", "2 × 10 ft", "$26.80", "Paid for one"):
        assert words in text
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "list.csv"), ""))
    part.as_csv.click()
    with (tmp_path / "list.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = {row["code"]: row for row in csv.DictReader(file)}
    pipe = rows["P3-40"]
    assert (pipe["packs"], pipe["pack"], pipe["quantity"], pipe["expected cost"]) == ("2", "10", "20", "53.60")


def test_what_was_bought_is_corrected_taken_back_and_typed(qtbot: QtBot, company: Company) -> None:
    pipe = item_id(company, "P3-40")
    bought = do(company, buying.buy, TODAY, pipe, Decimal(20), Decimal("3.10"), TODAY)
    shown = Shown(qtbot, company, "shopping")
    part, listed = shown.part, shown.part.bought
    press(part, "Bought lately (1)")
    type_in_cell(qtbot, listed.table, bought, "quantity", "30 ft")
    assert on_truck(company, "P3-40").on_hand == 30
    type_in_cell(qtbot, listed.table, bought, "unit_cost", "0")
    assert "nothing" in listed.model.cell(listed.model.index(0, listed.model.column_of("unit_cost"))).problem
    listed.model.forget_refused(listed.model.index(0, listed.model.column_of("unit_cost")))
    listed.table.select_id(bought)
    listed.as_price.click()
    with company.read() as conn:
        assert [one.unit_cost for one in price_list(conn, TODAY) if one.item.code == "P3-40"] == [Decimal("3.10")]
    assert not listed.as_price.isEnabled()
    listed.table.select_id(bought)
    listed.back.click()
    assert listed.model.rows == []
    for field, words in ((listed.item.lineEdit(), "Gloves"), (listed.quantity, "4"), (listed.cost, "2.25")):
        field.setFocus()
        qtbot.keyClicks(field, words)
        qtbot.keyClick(field, Qt.Key.Key_Tab)
    listed.add_row.button.click()
    (row,) = listed.model.rows
    assert (row.purchase.description, row.cents, row.purchase.onto_truck) == ("Gloves", 900, False)


# Price changes.


def test_the_report_opens_the_quote_that_stands_on_an_old_price(qtbot: QtBot, company: Company) -> None:
    pipe, job_id = item_id(company, "P3-40"), add_one_job(company).job_id
    with company.action("Quote") as edit:
        add_material(edit, add_proposal(edit, job_id), pipe, Decimal(100))
    do(company, set_price, pipe, TODAY, Decimal("3.00"))
    shown = Shown(qtbot, company, "changes")
    part = shown.part
    (change,) = part.changes.rows_model().rows
    assert part.changes.rows_model().text(change, "percent") == "+11.9%"
    (row,) = part.quotes.rows_model().rows
    assert part.quotes.rows_model().text(row, "cents") == "+$35.20"
    part.quotes.select_id(row.quote_id)
    part.open_quote.click()
    assert shown.went == [("jobs", job_id, "quote")]
    part.since.take(TODAY)
    assert part.changes.rows_model().rows == part.quotes.rows_model().rows == []


# A supplier's sheet.


def sheet(path: Path, heads: list[str], *rows: list[object]) -> Path:
    book = Workbook()
    book.active.append(["Our prices, spring"])
    for line in (heads, *rows):
        book.active.append(line)
    book.save(path)
    return path


def test_a_sheet_of_strange_headings_is_recognised_next_time(qtbot: QtBot, company: Company, tmp_path: Path) -> None:
    part = Shown(qtbot, company, "prices").part
    panel = part.importing
    part.begin_import()
    panel.read(sheet(tmp_path / "a.xlsx", ["Stock Ref", "Wording", "Netto"], ["P3-40", "Pipe", 3.21]))
    qtbot.waitUntil(lambda: panel._file is not None, timeout=5000)
    assert panel.known.isHidden()
    panel.columns.header._take(1)
    for field, column in (("code", 0), ("unit_cost", 2)):
        panel.columns.field(field)._take(column)
    panel.bring_in.click()
    with company.read() as conn:
        (kept,) = remembered_sheets(conn)
    assert (kept.columns, kept.supplier) == ({"code": "stock ref", "unit_cost": "netto"}, "Plumbing counter")
    part.begin_import()
    panel.read(sheet(tmp_path / "b.xlsx", ["NETTO", "Stock ref", "Wording"], [3.33, "P3-40", "Pipe"]))
    qtbot.waitUntil(lambda: panel._file is not None and panel.plan is not None, timeout=5000)
    assert "Recognized by its headings as the sheet of Plumbing counter" in panel.known._text.text()
    assert "May 14, 2026" in panel.known._text.text()
    assert [change.unit_cost for change in panel.plan.changed] == [Decimal("3.33")]
    press(panel, "Guess instead")
    assert panel.known.isHidden()
    assert panel.plan is None


def test_the_list_is_made_from_what_the_questions_say(qtbot: QtBot, company: Company) -> None:
    two_jobs(company)
    part = Shown(qtbot, company, "shopping").part
    with company.read() as conn:
        told = days_work(conn, TODAY, TODAY + timedelta(days=7), TODAY).shopping_list()
    assert tuple(part.to_buy.model.rows) == told.lines
