"""The money of a house sale: a deposit by check, the rest from the closing's escrow, matched to the cent."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from PySide6.QtCore import Qt

from db.queries.billing.job_money import job_money
from db.queries.papers import issued_papers
from domain.billing.job_money import JobMoney
from domain.money import format_money
from tests.journeys.at_the_desk import FileDialogs, Person
from tests.journeys.first_quote import Look
from tests.journeys.house_sale_start import CLOSING, ESCROW, ESCROW_FILE, flat, live_on, open_job

Key = Qt.Key


def money_now(owner: Person) -> JobMoney:
    """What is saved of the job's money."""
    with owner.desk.read() as conn:
        return job_money(conn, owner.page.job.job_id)


def take_the_deposit(owner: Person, look: Look) -> None:
    """On acceptance: the deposit the proposal asked for, and the seller's check for it, by keys."""
    owner.to_section("Money")
    look("money-accepted")
    owner.click("Deposit invoice")
    asked = money_now(owner).draft
    assert asked is not None
    look("deposit-draft")
    owner.ctrl(Key.Key_Return)
    owner.bot.waitUntil(lambda: owner.sees("Invoice I26-0001 is issued and kept among the papers"))
    assert owner.here == "Amount"
    owner.fill("Reference", "check 3107", Key.Key_Return)
    money = money_now(owner)
    assert (money.paid_cents, money.open_cents) == (asked.amounts.total_cents, 0)
    look("deposit-paid")


def invoice_the_closing(owner: Person, dialogs: FileDialogs, folder: Path, look: Look, price: str) -> None:
    """The final invoice names the escrow and its file; it comes to the price and the tax less the deposit."""
    owner.to_section("Money")
    look("before-final")
    owner.click("Final invoice")
    owner.fill("Due", "3/16", Key.Key_Tab)
    owner.fill("Who pays", ESCROW, Key.Key_Return)
    owner.fill("Their reference", ESCROW_FILE, Key.Key_Tab)
    look("final-draft")
    owner.ctrl(Key.Key_Return)
    money = money_now(owner)
    contract = money.contract
    assert contract is not None
    assert format_money(contract.total_cents) == price
    assert contract.tax_cents == _tax(contract.taxable_cents, contract.tax_percent) > 0
    assert money.invoiced_cents == contract.total_cents
    assert money.open_cents == contract.total_cents - money.paid_cents > 0
    final = money.invoices[-1] if money.invoices[-1].invoice.kind == "final" else money.invoices[0]
    owner.section.show_invoice(final.invoice.id)
    owner.settle()
    look("final-invoice")
    dialogs.answer = folder / "invoice.pdf"
    owner.click("Save as…")
    said = flat(dialogs.answer)
    for words in (ESCROW, ESCROW_FILE, "I26-0002", format_money(money.open_cents), "31 Fennel Lane"):
        assert words in said, words
    owner.press(Key.Key_Escape)


def get_paid(owner: Person, dialogs: FileDialogs, folder: Path, look: Look) -> None:
    """On the day of the closing the escrow pays: all of it stands there already; the deadline is met."""
    live_on(owner, CLOSING)
    opened = money_now(owner).open_cents
    assert owner.field("Reference").value() == ESCROW_FILE
    assert owner.sees(f"Settles {format_money(opened)} for I26-0002")
    look("escrow-pays")
    owner.fill("Amount", str(Decimal(opened).scaleb(-2)), Key.Key_Return)
    money = money_now(owner)
    assert money.open_cents == 0
    assert money.paid_cents == money.invoiced_cents == money.contract.total_cents  # type: ignore[union-attr]
    assert money.job.paid_on == CLOSING
    assert owner.sees("paid")
    look("paid")
    owner.open_facts()
    owner.click("Deadline met")
    assert owner.page.job.deadline.text() == ""
    owner.press(Key.Key_Escape)
    owner.ctrl(Key.Key_1)
    assert not owner.sees("Deadlines near")
    look("after-closing")
    owner.ctrl(Key.Key_5)
    owner.click("Papers issued")
    look("papers-issued")
    with owner.desk.read() as conn:
        kinds = sorted(one.kind for one in issued_papers(conn))
    assert kinds == ["closeout", "invoice", "invoice", "label", "letter", "proposal"]
    open_job(owner)


def _tax(cents: int, percent: Decimal) -> int:
    """Half up to the cent."""
    return int((cents * percent / 100).quantize(Decimal(1), rounding="ROUND_HALF_UP"))
