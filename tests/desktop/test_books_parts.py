"""The bookkeeper's parts by keys and clicks: bills, miles, tax forms, accounts, the close, corrections."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from db.commands.billing import draft_invoice, issue_invoice
from db.commands.bills import enter_bill, set_subcontractor
from db.commands.log_hours import log_hours
from db.commands.log_materials import log_material
from db.commands.month_close import close_month
from db.queries.books.bills import bill_rows, logged_without_bill, whole_bill
from db.queries.books.closing import closed
from db.queries.books.corrections import corrections
from db.queries.books.history import history
from db.queries.books.ledger import accounts
from db.queries.books.miles import miles_log
from db.queries.books.subcontractors import subcontractor_year
from db.queries.margins import all_job_results
from desktop.desk import Desk
from desktop.pages.company import CompanyPage
from domain.bills import BillLineDraft
from domain.errors import NotUnderstood
from domain.journal_words import changed_words
from tests.db.billing_company import BillingCompany
from tests.desktop.pages_at_work import focused

TODAY = date(2026, 6, 10)


@pytest.fixture
def shop() -> Iterator[BillingCompany]:
    made = BillingCompany()
    with made.company:
        yield made


def shown(qtbot: QtBot, shop: BillingCompany, key: str) -> Any:
    """The Company page at this part, refreshed after every action as the window does it."""
    desk = Desk(shop.company, lambda: TODAY)
    page = CompanyPage(desk)
    qtbot.addWidget(page)
    desk.changed.connect(page.refresh)
    page.resize(1280, 744)
    with qtbot.waitExposed(page):
        page.show()
    page.activateWindow()
    page.show_key(None, key)
    part = page.part(key)
    part.page_kept = page
    return part


def type_cell(qtbot: QtBot, table: Any, row: int, key: str, text: str, end: Qt.Key = Qt.Key.Key_Return) -> None:
    model = table.rows_model()
    index = model.index(row, model.column_of(key))
    table.setCurrentIndex(index)
    table.edit(index)
    editor: Any = focused(table)
    editor.selectAll()
    qtbot.keyClicks(editor, text)
    qtbot.keyClick(editor, end)


def test_a_bill_is_typed_and_paid_by_keys(qtbot: QtBot, shop: BillingCompany) -> None:
    shop.job(shop.customer())
    part = shown(qtbot, shop, "bills")
    qtbot.keyClick(part, Qt.Key.Key_N, Qt.KeyboardModifier.ControlModifier)
    form = part.form
    assert part.pages.currentWidget() is form
    qtbot.keyClicks(form.supplier.lineEdit(), "Volt Works")
    form.number.setFocus()
    qtbot.keyClicks(form.number, "4711")
    form.day.setFocus()
    form.day.selectAll()
    qtbot.keyClicks(form.day, "5/2")
    type_cell(qtbot, form.table, 0, "description", "Circuit")
    type_cell(qtbot, form.table, 0, "kind", "subc")
    type_cell(qtbot, form.table, 0, "job", "26-001")
    type_cell(qtbot, form.table, 0, "amount", "250")
    assert form.total.text() == "Total $250.00"
    form.number.setFocus()
    qtbot.keyClick(form.number, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert not form.problem.text()
    (row,) = shop.ask(bill_rows)
    assert (row.supplier, row.number, row.total_cents, row.billed_on, row.to_log) == (
        "Volt Works", "4711", 25_000, date(2026, 5, 2), 1,
    )  # fmt: skip
    assert part.pages.currentIndex() == 0
    qtbot.mouseClick(part.log, Qt.MouseButton.LeftButton)
    assert shop.ask(bill_rows)[0].to_log == 0
    part.bills.setFocus()
    qtbot.keyClick(part.bills, Qt.Key.Key_Return)
    amount: Any = focused(part)
    qtbot.keyClicks(amount, "100")
    qtbot.keyClick(amount, Qt.Key.Key_Return)
    assert shop.ask(bill_rows)[0].open_cents == 15_000
    qtbot.keyClick(part.bills, Qt.Key.Key_Delete)  # it has a payment: refused, and still there
    assert len(shop.ask(bill_rows)) == 1


def test_what_is_refused_stays_as_it_was_typed(qtbot: QtBot, shop: BillingCompany) -> None:
    shop.do(enter_bill, "Volt Works", "bill", TODAY, [BillLineDraft("overhead", 1)], number="4711")
    part = shown(qtbot, shop, "bills")
    part.begin()
    form = part.form
    type_cell(qtbot, form.table, 0, "description", "Circuit")
    type_cell(qtbot, form.table, 0, "amount", "12")
    form.enter_it()
    assert "who it is from" in form.form.error_of(form.supplier)
    qtbot.keyClicks(form.supplier.lineEdit(), "Volt Works")
    form.number.setFocus()
    qtbot.keyClicks(form.number, "4711")
    form.enter_it()
    assert "entered already" in form.problem.text()
    assert form.model.rows[0].description == "Circuit"
    assert len(shop.ask(bill_rows)) == 1


def test_logged_purchases_are_put_on_their_bill(qtbot: QtBot, shop: BillingCompany) -> None:
    job_id = shop.job(shop.customer())
    shop.do(log_material, job_id, TODAY, None, "Fan", Decimal(1), "each", Decimal("146.22"), "receipt", "R-10")
    part = shown(qtbot, shop, "bills")
    part.view.set_value("unbilled")
    part.refresh()
    part.logged.selectRow(0)
    part.bill_logged()
    qtbot.keyClicks(part.form.supplier.lineEdit(), "Alder Supply")
    part.form.enter_it()
    assert not part.form.problem.text()
    assert shop.ask(logged_without_bill) == []
    whole = shop.ask(whole_bill, 1)
    assert (whole.bill.number, whole.lines[0].logged, whole.open_cents) == ("R-10", True, 0)


def test_miles_are_typed_saved_and_taken_out(
    qtbot: QtBot, shop: BillingCompany, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    part = shown(qtbot, shop, "miles")
    part.purpose.setFocus()
    qtbot.keyClicks(part.purpose, "Bank")
    part.miles.setFocus()
    qtbot.keyClicks(part.miles, "24.6")
    qtbot.keyClick(part.miles, Qt.Key.Key_Return)
    log = shop.ask(miles_log, date(2026, 1, 1), TODAY)
    assert [(one.day, one.miles, one.cents) for one in log.drives] == [(TODAY, Decimal("24.6"), 1_784)]
    assert "$17.84" in part.total.text()
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "miles"), ""))
    part.save_csv()
    qtbot.waitUntil(lambda: (tmp_path / "miles.csv").exists())
    part.table.selectRow(0)
    part.table.setFocus()
    qtbot.keyClick(part.table, Qt.Key.Key_Delete)
    assert shop.ask(miles_log, date(2026, 1, 1), TODAY).drives == ()


def test_a_subcontractors_tax_form_is_typed_in(qtbot: QtBot, shop: BillingCompany) -> None:
    shop.do(enter_bill, "Volt Works", "receipt", TODAY, [BillLineDraft("subcontractor", 300_000)], means="check")
    seller = shop.ask(bill_rows)[0].supplier_id
    shop.do(set_subcontractor, seller, True)
    part = shown(qtbot, shop, "subcontractors")
    assert part.table.rows_model().rows[0].words == "report; tax form missing"
    type_cell(qtbot, part.table, 0, "form", "1/5")
    assert shop.ask(subcontractor_year, 2026)[0].tax_form_on == date(2026, 1, 5)


def test_accounts_are_named_and_their_files_written(
    qtbot: QtBot, shop: BillingCompany, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job_id = shop.job(shop.customer())
    shop.do(issue_invoice, shop.do(draft_invoice, "deposit", TODAY, job_id=job_id), TODAY)
    part = shown(qtbot, shop, "accounts")
    type_cell(qtbot, part.accounts, 0, "number", "1010")
    assert shop.ask(accounts)["bank"].label == "1010 Bank"
    for name, save in (("ledger.csv", part.save_csv), ("books.xlsx", part.save_book)):
        monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_, name=name: (str(tmp_path / name), ""))
        save()
        qtbot.waitUntil(lambda name=name: (tmp_path / name).exists(), timeout=20_000)  # type: ignore[misc]
    part.view.set_value("wip")
    part.refresh()
    assert [job.number for job in part.work.rows_model().rows] == ["26-001"]
    assert "over-billed" in part.total.text()


def test_a_month_is_closed_and_an_hour_put_right(qtbot: QtBot, shop: BillingCompany) -> None:
    job_id = shop.job(shop.customer())
    shop.do(log_hours, job_id, date(2026, 5, 20), 1, 1, 480)
    part = shown(qtbot, shop, "close")
    assert part.close.text() == "Close May 2026"
    qtbot.mouseClick(part.close, Qt.MouseButton.LeftButton)
    assert shop.ask(closed) == []  # asked once more
    qtbot.keyClick(focused(part), Qt.Key.Key_Return)
    assert [one.month for one in shop.ask(closed)] == ["2026-05"]
    assert "still runs" in part.state.text()
    qtbot.mouseClick(part.new, Qt.MouseButton.LeftButton)
    qtbot.keyClicks(part.correct.job, "26-001")
    qtbot.keyClick(part.correct.job, Qt.Key.Key_Return)
    part.correct.table.selectRow(0)
    part.correct.table.setFocus()
    qtbot.keyClick(part.correct.table, Qt.Key.Key_Return)
    right: Any = focused(part)
    qtbot.keyClicks(right, "7h")
    reason = part.correct.asking._fields[1]
    reason.setFocus()
    qtbot.keyClicks(reason, "slip of the key")
    qtbot.keyClick(reason, Qt.Key.Key_Return)
    assert shop.ask(all_job_results)[0].actual_minutes == 420
    assert len(shop.ask(corrections)) == 2
    assert [row.reason for row in part.corrections.rows_model().rows] == ["slip of the key"] * 2


def test_ties_and_the_journal_are_read(qtbot: QtBot, shop: BillingCompany) -> None:
    job_id = shop.job(shop.customer())
    other = shop.job(shop.customer("Another"))
    shop.do(log_hours, job_id, date(2026, 5, 20), 1, 1, 480)
    shop.do(log_hours, other, date(2026, 5, 20), 1, 1, 30)
    shop.do(close_month, "2026-05", TODAY)
    part = shown(qtbot, shop, "ties")
    assert "every difference is zero" in part.state.text()
    page = part.page_kept
    page.show_key(None, "history")
    part = page.part("history")
    assert part.table.rows_model().rows[0].label == "close_month"
    assert part.table.rows_model().rows[0].final
    qtbot.keyClicks(part.search, "log_hours")
    part.search.flush()
    assert len(part.table.rows_model().rows) == 2
    part.job.setFocus()
    qtbot.keyClicks(part.job, "26-001")
    qtbot.keyClick(part.job, Qt.Key.Key_Return)
    (row,) = part.table.rows_model().rows
    assert "minutes 480" in row.words
    assert {one.label for one in shop.ask(history, job_id=other)} >= {"log_hours", "Job"}


def test_changes_are_told_in_words() -> None:
    assert changed_words("trip", None, {"id": 1, "day": "2026-05-20", "miles": 24_600, "purpose": "Bank"}) == (
        "trip “Bank” added: day May 20, 2026, miles 24.6"
    )
    before = {"id": 1, "name": "Pipe", "unit_cost": 21_000, "waste_percent": 5_000, "note": ""}
    after = {**before, "unit_cost": 22_500, "waste_percent": 7_500, "note": "dearer"}
    assert changed_words("item_price", before, after) == (
        "item price “Pipe”: unit cost $2.10 → $2.25; waste percent 5% → 7.5%; note nothing → dearer"
    )
    assert changed_words("bill", before, None) == "bill “Pipe” removed: unit cost $2.10"


def test_a_bill_line_is_read_kindly() -> None:
    from domain.bill_typed import TypedBillLine, bill_line_typed

    line = TypedBillLine(1, "truck_stock", "Caulk", None, 100)
    jobs = {7: "26-001  Wren", 8: "26-002  Wren"}
    for key, text, words in (
        ("job", "26-001", "belongs to no job"), ("kind", "x", "none of"), ("amount", "-1", "more than nothing"),
        ("amount", "abc", "not an amount"),
    ):  # fmt: skip
        with pytest.raises(NotUnderstood, match=words):
            bill_line_typed(line, key, text, jobs)
    line = bill_line_typed(line, "kind", "mat", jobs)
    with pytest.raises(NotUnderstood, match="fits 2 jobs"):
        bill_line_typed(line, "job", "wren", jobs)
    line = bill_line_typed(line, "job", "26-002", jobs)
    assert (line.kind, line.job_id) == ("materials", 8)
    assert bill_line_typed(line, "kind", "over", jobs).job_id is None


def test_callbacks_are_told_by_job_type(qtbot: QtBot, shop: BillingCompany) -> None:
    from db.commands import jobs
    from db.queries.callbacks import jobs_called_back
    from db.queries.margins import margins
    from db.tables import labour_task
    from desktop.pages.margins import MarginsPage
    from domain.costing.callbacks import callback_rates

    customer_id = shop.customer()
    first, second, third = (shop.job(customer_id) for _ in range(3))
    with shop.company.action("Callback") as edit:
        task = edit.add(labour_task, name="Come again", unit="hour", standard_minutes=60, role="callback")
    shop.do(log_hours, first, date(2026, 5, 20), task, 1, 45)
    shop.do(log_hours, second, date(2026, 5, 20), 1, 1, 45)
    for job_id in (first, second):
        shop.do(jobs.close_job, job_id, date(2026, 5, 21))
    assert shop.ask(jobs_called_back) == {first}
    shown_margins = shop.ask(margins, "job-type")
    (rate,) = callback_rates(shown_margins.closed, shop.ask(jobs_called_back))
    assert (rate.jobs, rate.called_back, rate.percent) == (2, 1, Decimal("50.0"))
    page = MarginsPage(Desk(shop.company, lambda: TODAY))
    qtbot.addWidget(page)
    page.refresh()
    assert page.overview.callbacks.isVisibleTo(page.overview)
    assert page.overview.callbacks.table.rows_model().rows == [rate]
    assert third not in shop.ask(jobs_called_back)


def test_the_command_line_writes_the_books(shop: BillingCompany, tmp_path: Path, capsys: Any) -> None:
    from db.company_file import create_company
    from desktop.cli import main

    path = tmp_path / "Firm.riserbook"
    with create_company(path, "Firm", "Ida Kvale", date(2024, 1, 1)) as made, made.action("Bill") as edit:
        enter_bill(edit, "Volt Works", "receipt", date(2026, 5, 2), [BillLineDraft("overhead", 1_234)])
    assert main(["ledger", str(path), "2026-05", str(tmp_path / "ledger.csv")]) == 0
    assert "Wrote 2 entries" in capsys.readouterr().out
    assert main(["ties", str(path)]) == 0
    assert "Payables: " in capsys.readouterr().out
    assert main(["export", str(path), str(tmp_path / "books.xlsx"), "--year", "2026"]) == 0
    assert (tmp_path / "books.xlsx").stat().st_size > 5_000
    assert main(["ledger", str(path), "May", str(tmp_path / "ledger.csv")]) == 2
