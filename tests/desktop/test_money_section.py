"""The Money section, What is owed, Payments and the account, by keys and clicks."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot
from sqlalchemy import func, select

from db.commands import billing
from db.commands.jobs import add_party
from db.queries.billing.job_money import job_money
from db.tables import paper
from desktop.desk import Desk
from desktop.look.theme import apply_theme
from desktop.pages.company.owed_part import OwedPart
from desktop.pages.company.payments_part import PaymentsPart
from desktop.pages.customers.account import CustomerAccountView
from desktop.pages.job_sections.money import MoneySection
from domain.billing.job_money import JobMoney
from tests.db.billing_company import AGREED, DONE, AgreedJob, BillingCompany, change_order

TODAY = DONE + timedelta(days=40)


class Shown:
    """One widget in a shown window, and what the desk said and where it went."""

    def __init__(self, qtbot: QtBot) -> None:
        apply_theme(QApplication.instance(), "light")  # type: ignore[arg-type]
        self.firm, self.qtbot = BillingCompany(), qtbot
        self.desk = Desk(self.firm.company, lambda: TODAY)
        self.said: list[str] = []
        self.went: list[tuple[str, object, str]] = []
        self.desk.spoke.connect(lambda text, _tone, _undo: self.said.append(text))
        self.desk.asked_for.connect(lambda *where: self.went.append(where))

    def show(self, widget: QWidget) -> None:
        self.qtbot.addWidget(widget)
        widget.resize(1280, 760)
        with self.qtbot.waitExposed(widget):
            widget.show()
        widget.activateWindow()
        self.desk.changed.connect(widget.refresh)  # type: ignore[attr-defined]

    def section(self, job_id: int) -> MoneySection:
        made = MoneySection(self.desk)
        made.show_job(job_id)
        self.show(made)
        return made

    def type(self, widget: QWidget, text: str) -> None:
        widget.setFocus()
        if hasattr(widget, "selectAll"):
            widget.selectAll()
        QTest.keyClicks(widget, text)

    def money(self, job_id: int) -> JobMoney:
        found: JobMoney = self.firm.ask(job_money, job_id)
        return found


@pytest.fixture
def shown(qtbot: QtBot) -> Shown:
    return Shown(qtbot)


def enter(widget: QWidget) -> None:
    QTest.keyClick(widget, Qt.Key.Key_Return)


def test_from_the_deposit_to_the_last_payment_by_keys(shown: Shown) -> None:
    job_id = shown.firm.job(shown.firm.customer(), AgreedJob(treatment="separated", percent="6"))
    section = shown.section(job_id)
    section.draft.begin_buttons["deposit"].click()
    assert section.draft.total.text() == "Total $720.00" or section.draft.total.text().startswith("Total $7")
    QTest.keyClick(section.draft.issue_day, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    shown.qtbot.waitUntil(lambda: shown.money(job_id).draft is None)
    assert section.payment.amount.hasFocus()
    enter(section.payment.amount)
    assert shown.money(job_id).open_cents == 0
    section.draft.begin_kind("final")
    assert "sales tax at 6" in section.draft.totals.text()
    section.draft.issue.click()
    enter(section.payment.amount)
    money = shown.money(job_id)
    assert (money.next_step, money.paid_cents, money.open_cents) == ("done", money.agreed_cents, 0)
    assert section.step.text() == "Everything that was agreed is invoiced and settled."
    with shown.firm.company.read() as conn:
        assert conn.execute(select(func.count()).select_from(paper).where(paper.c.kind == "invoice")).scalar_one() == 2


def test_a_progress_invoice_asks_for_its_share(shown: Shown) -> None:
    job_id = shown.firm.job(shown.firm.customer(), AgreedJob(200_000))
    section = shown.section(job_id)
    section.draft.begin_buttons["progress"].click()
    assert section.asking.isVisible()
    shown.type(QApplication.focusWidget(), "120")
    section.asking.go.click()
    assert shown.money(job_id).draft is None  # 120% is refused where it stands
    percent = section.asking._fields[0]
    shown.type(percent, "30")
    enter(percent)
    draft = shown.money(job_id).draft
    assert draft is not None
    assert draft.amounts.net_cents == 60_000
    assert not section.asking.isVisible()


def test_a_line_is_changed_where_it_stands_and_a_discount_is_added(shown: Shown) -> None:
    job_id = shown.firm.job(shown.firm.customer(), AgreedJob(200_000))
    section = shown.section(job_id)
    section.draft.begin_kind("final")
    table = section.draft.lines
    line = table.rows_model().rows[0]
    assert table.rows_model().can_edit(table.rows_model().index(0, 0))
    assert not table.rows_model().can_edit(table.rows_model().index(0, 1))
    section.draft.discount.click()
    shown.type(QApplication.focusWidget(), "For the wait")
    amount = section.asking._fields[1]
    shown.type(amount, "55.50")
    enter(amount)
    draft = shown.money(job_id).draft
    assert draft is not None
    assert draft.amounts.net_cents == 200_000 - 5_550
    table.select_id(draft.lines[-1].id)
    table.remove_current()
    assert shown.money(job_id).draft.amounts.net_cents == 200_000  # type: ignore[union-attr]
    assert line.net_cents == 200_000


def test_a_draft_out_of_date_is_brought_up_with_one_button(shown: Shown) -> None:
    job_id = shown.firm.job(shown.firm.customer())
    section = shown.section(job_id)
    section.draft.begin_kind("final")
    with shown.firm.company.action("Change") as edit:
        change_order(edit, job_id, 12_000, DONE)
    section.refresh()
    assert "has" in section.draft.stale.text()
    section.draft.issue.click()
    assert "changed since" in section.draft.problem.text()
    section.draft._bring_up()
    section.draft.issue.click()
    assert shown.money(job_id).next_step == "payment"


def test_a_payment_that_is_there_is_asked_about_and_can_be_entered_all_the_same(shown: Shown) -> None:
    job_id = shown.firm.job(shown.firm.customer())
    section = shown.section(job_id)
    for _ in range(2):
        shown.type(section.payment.amount, "250")
        enter(section.payment.amount)
        enter(section.payment.amount)  # nothing is owed: it is asked about first
    assert "Twice?" in section.payment.problem.text()
    assert len(shown.money(job_id).payments) == 1
    button = section.payment.problem._button
    assert button is not None
    button.click()
    assert len(shown.money(job_id).payments) == 2
    assert shown.money(job_id).credit_cents == 50_000


@pytest.mark.parametrize("typed", ["-5", "0", "abc", ""])
def test_an_amount_that_cannot_be_is_refused_and_kept(shown: Shown, typed: str) -> None:
    job_id = shown.firm.job(shown.firm.customer())
    section = shown.section(job_id)
    section.payment.amount.setFocus()
    section.payment.amount.clear()
    QTest.keyClicks(section.payment.amount, typed)
    enter(section.payment.amount)
    assert shown.money(job_id).payments == ()
    assert section.payment.amount.problem()
    assert section.payment.amount.text() == typed


def test_the_closings_escrow_is_offered_as_payer(shown: Shown) -> None:
    job_id = shown.firm.job(shown.firm.customer())
    escrow = shown.firm.do(add_party, job_id, "closing escrow", "Hill Street Title")
    draft = shown.firm.do(billing.draft_invoice, "final", TODAY, job_id=job_id)
    shown.firm.do(billing.change_draft, draft, payer_id=escrow, payer_reference="HS-2207")
    shown.firm.do(billing.issue_invoice, draft, TODAY)
    section = shown.section(job_id)
    form = section.payment
    assert (form.means.value(), form.payer.value(), form.reference.value()) == (
        "escrow", "Hill Street Title", "HS-2207",
    )  # fmt: skip
    enter(form.amount)
    assert shown.money(job_id).payments[0].payment.payer == "Hill Street Title"


def issued_final(shown: Shown, cents: int = 180_000, on: date = DONE) -> tuple[int, int]:
    job_id = shown.firm.job(shown.firm.customer(), AgreedJob(cents))
    draft = shown.firm.do(billing.draft_invoice, "final", on, job_id=job_id)
    shown.firm.do(billing.issue_invoice, draft, on)
    return job_id, draft


def test_an_invoice_is_credited_and_written_off_where_it_stands(shown: Shown) -> None:
    job_id, _ = issued_final(shown)
    section = shown.section(job_id)
    assert section.invoices.table.rows_model().text(section.invoices.table.rows_model().rows[0], "state") == (
        "26 days overdue"
    )
    section.invoices.credit.click()
    why, amount, reason, _day = section.asking._fields
    why.set_value("up")
    shown.type(amount, "100")
    enter(amount)
    assert "needed" in section.asking._form.error_of(reason).lower() or section.asking.isVisible()
    shown.type(reason, "A scratch")
    enter(reason)
    assert shown.money(job_id).open_cents == 170_000
    section.invoices.table.select_id(shown.money(job_id).invoices[0].invoice.id)
    section.invoices.lost.click()
    _amount, reason, _day = section.asking._fields
    shown.type(reason, "Moved away")
    enter(reason)
    money = shown.money(job_id)
    assert (money.open_cents, money.written_off_cents) == (0, 170_000)
    shown.desk.undo()
    assert shown.money(job_id).open_cents == 170_000


def test_escape_leaves_a_step_undone(shown: Shown) -> None:
    job_id, _ = issued_final(shown)
    section = shown.section(job_id)
    section.invoices.credit.click()
    QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Escape)
    assert not section.asking.isVisible()
    assert len(shown.money(job_id).invoices) == 1


def test_a_refund_a_returned_check_and_a_receipt(shown: Shown) -> None:
    job_id, _ = issued_final(shown)
    section = shown.section(job_id)
    shown.type(section.payment.amount, "2000")
    enter(section.payment.amount)
    enter(section.payment.amount)  # more than is owed: it is asked about first
    section.payments.select_id(shown.money(job_id).payments[0].payment.id)
    section.verbs.refund.click()
    section.asking.go.click()
    assert shown.money(job_id).credit_cents == 0
    section.payments.select_id(shown.money(job_id).payments[1].payment.id)
    section.verbs.receipt.click()
    assert section.stack.shows_paper
    section.stack.leave()
    assert not section.verbs.back.isEnabled()  # part of it was given back
    assert not section.verbs.remove.isEnabled()  # its receipt is out


def test_what_is_owed_adds_up_ties_and_opens_the_customer(shown: Shown) -> None:
    issued_final(shown)
    issued_final(shown, 50_000, AGREED + timedelta(days=11))
    part = OwedPart(shown.desk)
    part.refresh()
    shown.show(part)
    rows = part.table.rows_model().rows
    assert rows[-1].customer == "All customers"
    assert rows[-1].open_cents == sum(row.open_cents for row in rows[:-1]) == 230_000
    part.table.sort_by("open", descending=True)
    assert part.table.rows_model().rows[-1].customer_id == 0
    shown.qtbot.waitUntil(lambda: "difference $0.00" in part.ties.text())
    part.table.select_id(rows[0].customer_id)
    part.reminder.click()
    assert part.stack.shows_paper
    part.stack.leave()
    part.table.setFocus()
    enter(part.table)
    assert shown.went[-1] == ("customers", rows[0].customer_id, "")


def test_a_loose_payment_is_found_matched_and_taken_off_again(shown: Shown) -> None:
    job_id, _ = issued_final(shown)
    whose = shown.firm.kept_job(job_id).customer_id
    shown.firm.do(billing.take_payment, whose, TODAY, 50_000, "check", matches={}, reference="1043")
    part = PaymentsPart(shown.desk)
    part.refresh()
    shown.show(part)
    part.which.set_value("left")
    part.refresh()
    part.table.select_id(part.table.rows_model().rows[0].payment.id)
    part.match.click()
    part.asking.go.click()
    assert shown.money(job_id).open_cents == 130_000
    part.which.set_value("all")
    part.refresh()
    part.table.select_id(part.table.rows_model().rows[0].payment.id)
    part.unmatch.click()
    part.asking.go.click()
    assert shown.money(job_id).open_cents == 180_000


def test_a_payment_is_entered_for_whoever_pays(shown: Shown) -> None:
    job_id, _ = issued_final(shown)
    part = PaymentsPart(shown.desk)
    part.refresh()
    shown.show(part)
    part.open_entry()
    whose = shown.firm.kept_job(job_id).customer_id
    part.customer.set_value(whose)
    part.customer.edited.emit(whose)
    assert part.payment.amount.value() == 180_000
    enter(part.payment.amount)
    assert shown.money(job_id).open_cents == 0
    assert Decimal(shown.money(job_id).paid_cents) == 180_000


def test_an_invoice_without_a_job_is_written_issued_and_credited_on_the_customers_page(shown: Shown) -> None:
    whose = shown.firm.customer()
    view = CustomerAccountView(shown.desk, lambda: whose)
    view.refresh = lambda: view.show_account({})  # type: ignore[attr-defined]
    view.show_account({})
    shown.show(view)
    asked: list[int] = []
    view.invoice_asked.connect(asked.append)
    view.new.click()
    draft = view.draft
    assert draft.words.hasFocus()
    draft.issue.click()
    assert "nothing on this invoice" in draft.problem.text()
    for words, many, price in (("Monitor", "2", "129.90"), ("Setting it up", "", "80")):
        shown.type(draft.words, words)
        shown.type(draft.quantity, many)
        shown.type(draft.price, price)
        enter(draft.price)
    assert draft.total.text() == "Total $339.80"
    draft.paper.click()
    draft.issue.click()
    assert not draft.isVisible()
    row = view.loose.table.rows_model().rows[0]
    assert (row.invoice.number, row.open_cents, asked) == ("I26-0001", 33_980, [row.invoice.id])
    view.loose.credit.click()
    reason = view.asking._fields[2]
    shown.type(reason, "Sent back")
    enter(reason)
    assert view.figures["Balance"].value() == "$0.00"


def test_what_stood_open_overnight_is_dated_today_and_a_typed_day_stays(shown: Shown) -> None:
    section = shown.section(shown.firm.job(shown.firm.customer("Fenn"), AgreedJob()))
    section.draft.begin_kind("final")
    for days, typed in ((1, None), (2, TODAY - timedelta(days=3))):
        if typed is not None:
            for field in (section.payment.received, section.draft.issue_day):
                field.take(typed)
        tomorrow = TODAY + timedelta(days=days)
        shown.desk._today = lambda day=tomorrow: day  # type: ignore[misc]
        shown.desk.changed.emit()
        assert section.payment.received.value() == (typed or tomorrow)
        assert section.draft.issue_day.value() == (typed or tomorrow)
