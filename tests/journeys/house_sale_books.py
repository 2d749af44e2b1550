"""The bookkeeper after a house sale: ties come out, March is closed for good, the year's workbook tells the same."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from openpyxl import load_workbook
from PySide6.QtCore import Qt

from tests.desktop.formulas import Calculated, cents
from tests.journeys.at_the_desk import SHIFT, FileDialogs, Person
from tests.journeys.first_quote import Look
from tests.journeys.house_sale_money import money_now
from tests.journeys.house_sale_start import live_on, open_job

Key = Qt.Key


def keep_the_books(owner: Person, dialogs: FileDialogs, folder: Path, look: Look) -> None:
    """In April: the ties, the close, a payment dated in the closed month, the workbook against the job's money."""
    live_on(owner, date(2026, 4, 2))
    owner.ctrl(Key.Key_5)
    owner.click("Ties")
    assert owner.sees("every difference is zero")
    look("ties")
    owner.click("Close a month")
    look("close")
    owner.click("Close March 2026")
    assert owner.sees("This cannot be undone.")
    owner.type("bank statement checked", Key.Key_Return)
    owner.bot.waitUntil(lambda: owner.sees("March 2026 is closed."))
    look("closed")
    owner.ctrl(Key.Key_Z)  # takes back an earlier step, never the close
    assert owner.cell("Closed months", "March 2026", "note") == "bank statement checked"
    owner.ctrl(Key.Key_Z, SHIFT)

    open_job(owner)
    owner.to_section("Money")
    money = money_now(owner)
    owner.fill("Received", "3/20/2026", Key.Key_Tab)
    owner.fill("Amount", "10", Key.Key_Return)
    assert owner.sees("Is that right?")  # nothing is owed
    owner.type("", Key.Key_Return)
    owner.type("", Key.Key_Return)
    assert owner.sees("March 2026")
    assert money_now(owner).paid_cents == money.paid_cents
    assert owner.field("Amount").value() == 1000  # what was typed is kept
    look("closed-payment")

    owner.ctrl(Key.Key_5)
    owner.click("Accounts")
    look("accounts")
    dialogs.answer = folder / "Books 2026.xlsx"
    owner.click("Year workbook")
    owner.bot.waitUntil(dialogs.answer.exists, timeout=20_000)
    assert money.contract is not None
    rows = Calculated(load_workbook(dialogs.answer)).rows("Sales")
    assert [row["Number"] for row in rows] == ["I26-0001", "I26-0002"]
    assert sum(cents(row["Net"]) for row in rows) == money.contract.net_cents
    assert sum(cents(row["Sales tax"]) for row in rows) == money.contract.tax_cents
    assert sum(cents(row["Total"]) for row in rows) == money.paid_cents == money.contract.total_cents
