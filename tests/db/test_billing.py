"""Deposits, progress and final invoices, credits, payments, refunds, returned checks and bad debts, one by one."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from sqlalchemy import func, select

from db.commands import billing
from db.commands.billing.payments import PaidTwice
from db.commands.jobs import add_party, change_job, mark_installed, mark_invoiced, mark_paid, remove_party
from db.commands.people import add_customer, delete_customer
from db.commands.write_offs import remove_write_off
from db.company_file.problems import Refused
from db.queries.billing.accounts import aging_at, customer_account, customer_statement
from db.queries.billing.job_money import job_money
from db.queries.billing.open_items import free_cents, open_cents
from db.queries.billing.payment_list import BACK, LEFT, payer_choices, payment_list, unmatched
from db.queries.billing.tonight_money import money_tonight
from db.records import columns_of
from db.tables import bad_debt, invoice, invoice_line, payment, price_adjustment, settlement
from domain.billing.records import BadDebt, Invoice, InvoiceLine, Payment, Settlement
from tests.db.billing_company import AGREED, DONE, OPENED, AgreedJob, BillingCompany, change_order
from tests.small_company import statements

LATER = DONE + timedelta(days=10)
TAXED = AgreedJob(price_cents=183_337, treatment="separated", percent="8.875", options=(4_999,), goodwill_cents=2_500)


@pytest.fixture
def firm() -> BillingCompany:
    return BillingCompany()


def issued(firm: BillingCompany, kind: str, job_id: int, on: date = LATER, **share: Any) -> Invoice:
    draft = firm.do(billing.draft_invoice, kind, on, job_id=job_id, **share)
    firm.do(billing.issue_invoice, draft, on)
    return firm.invoice(draft)


def written_off(firm: BillingCompany, job_id: int) -> int:
    with firm.company.read() as conn:
        query = select(func.coalesce(func.sum(price_adjustment.c.amount_cents), 0))
        return int(conn.execute(query.where(price_adjustment.c.job_id == job_id)).scalar_one())


@pytest.mark.parametrize(
    ("table", "record"),
    [
        (invoice, Invoice), (invoice_line, InvoiceLine), (payment, Payment), (bad_debt, BadDebt),
        (settlement, Settlement),
    ],
)
def test_records_and_tables_have_the_same_fields(table: Any, record: Any) -> None:
    assert [column.name for column in columns_of(table, record)] == [column.name for column in table.columns]


# Invoices.


def test_deposit_progress_and_final_come_to_the_contract_to_the_cent(firm: BillingCompany) -> None:
    job_id = firm.job(firm.customer(), TAXED)
    with firm.company.action("Change") as edit:
        change_order(edit, job_id, 18_541, DONE)
    contract = firm.contract(job_id)
    deposit = issued(firm, "deposit", job_id, AGREED)
    progress = issued(firm, "progress", job_id, DONE, percent=Decimal("33.333"))
    final = issued(firm, "final", job_id)
    assert (deposit.net_cents, deposit.tax_cents) == (contract.deposit_cents, 0)
    assert progress.tax_cents != 0
    assert sum(one.net_cents or 0 for one in (deposit, progress, final)) == contract.net_cents
    assert sum(one.tax_cents or 0 for one in (deposit, progress, final)) == contract.tax_cents
    kinds = [line.kind for line in firm.lines(final.id)]
    assert kinds == ["contract", "option", "discount", "change_order", "earlier", "earlier"]
    assert firm.invoiced(job_id).complete(contract)
    assert [one.number for one in firm.issued(job_id)] == ["I26-0001", "I26-0002", "I26-0003"]
    assert final.due_on == LATER + timedelta(days=14)
    assert firm.kept_job(job_id).invoiced_on == LATER


def test_a_deposit_of_everything_leaves_a_final_of_nothing_and_the_job_paid(firm: BillingCompany) -> None:
    whose = firm.customer()
    job_id = firm.job(whose, AgreedJob(treatment="separated", percent="6", deposit_percent="100"))
    deposit = issued(firm, "deposit", job_id, AGREED)
    firm.do(billing.take_payment, whose, AGREED, deposit.total_cents, "check")
    final = issued(firm, "final", job_id)
    assert final.total_cents == 0
    assert final.tax_cents == firm.contract(job_id).tax_cents > 0
    assert (firm.kept_job(job_id).invoiced_on, firm.kept_job(job_id).paid_on) == (LATER, LATER)


def test_an_issued_invoice_never_changes_and_is_not_undone(firm: BillingCompany) -> None:
    final = issued(firm, "final", firm.job(firm.customer()))
    line = firm.lines(final.id)[0]
    for command, *given in (
        (billing.change_draft, final.id), (billing.delete_draft_invoice, final.id), (billing.remove_line, line.id),
        (billing.refresh_draft, final.id), (billing.issue_invoice, final.id, LATER),
    ):  # fmt: skip
        with pytest.raises(Refused, match="never changes"):
            firm.do(command, *given, **({"note": "x"} if command is billing.change_draft else {}))
    assert firm.company.undo_label is None


def test_a_final_draft_that_is_out_of_date_is_brought_up_first(firm: BillingCompany) -> None:
    job_id = firm.job(firm.customer())
    draft = firm.do(billing.draft_invoice, "final", LATER, job_id=job_id)
    firm.do(billing.add_line, draft, "discount", "For the wait", Decimal(-50))
    with firm.company.action("Change") as edit:
        change_order(edit, job_id, 10_000, LATER)
    assert firm.ask(job_money, job_id).draft.stale
    with pytest.raises(Refused, match="has changed since"):
        firm.do(billing.issue_invoice, draft, LATER)
    firm.do(billing.refresh_draft, draft)
    firm.do(billing.issue_invoice, draft, LATER)
    assert firm.invoice(draft).net_cents == firm.contract(job_id).net_cents - 5_000
    assert written_off(firm, job_id) == 5_000


def test_what_cannot_be_invoiced_is_said(firm: BillingCompany) -> None:
    whose = firm.customer()
    open_job, done = firm.job(whose, AgreedJob(installed=False)), firm.job(whose)
    draft = firm.do(billing.draft_invoice, "final", LATER, job_id=open_job)
    for match, command, given, named in (
        ("no day on which the work was finished", billing.issue_invoice, (draft, LATER), {}),
        ("draft invoice already", billing.draft_invoice, ("deposit", LATER), {"job_id": open_job}),
        ("too early", billing.issue_invoice, (draft, AGREED), {}),
        ("has not come yet", billing.issue_invoice, (draft, LATER), {"today": DONE}),
        ("more than nothing", billing.draft_invoice, ("deposit", LATER), {"job_id": done, "amount_cents": -5}),
        ("is left to invoice", billing.draft_invoice, ("progress", LATER), {"job_id": done, "percent": Decimal(101)}),
        ("is left", billing.draft_invoice, ("deposit", LATER), {"job_id": done, "amount_cents": 999_999}),
        ("Type the amount", billing.draft_invoice, ("progress", LATER), {"job_id": done}),
        ("Choose the customer", billing.draft_invoice, ("other", LATER), {}),
        ("change order", billing.add_line, (draft, "extra", "More", Decimal(5)), {}),
        ("takes something off", billing.add_line, (draft, "discount", "More", Decimal(5)), {}),
        ("contract", billing.change_draft, (draft,), {"tax_percent": Decimal(0)}),
    ):
        with pytest.raises(Refused, match=match):
            firm.do(command, *given, **named)
    firm.do(billing.change_draft, draft, due_on=AGREED)
    firm.do(mark_installed, open_job, DONE)
    with pytest.raises(Refused, match="before it is issued"):
        firm.do(billing.issue_invoice, draft, LATER)


def test_less_than_nothing_is_no_invoice(firm: BillingCompany) -> None:
    whose = firm.customer()
    job_id = firm.job(whose)
    issued(firm, "progress", job_id, DONE, percent=Decimal(80))
    with firm.company.action("Less") as edit:
        change_order(edit, job_id, -90_000, LATER)
    draft = firm.do(billing.draft_invoice, "final", LATER, job_id=job_id)
    with pytest.raises(Refused, match="less than nothing"):
        firm.do(billing.issue_invoice, draft, LATER)
    firm.do(billing.delete_draft_invoice, draft)
    assert firm.ask(job_money, job_id).next_step == "over"


def test_the_amount_of_a_share_is_changed_where_it_stands(firm: BillingCompany) -> None:
    job_id = firm.job(firm.customer(), TAXED)
    draft = firm.do(billing.draft_invoice, "progress", DONE, job_id=job_id, percent=Decimal(20))
    line = firm.lines(draft)[0]
    firm.do(billing.change_line, line.id, unit_price=Decimal("600.00"))
    changed = firm.lines(draft)[0]
    assert changed.net_cents == 60_000
    assert changed.taxable_cents > line.taxable_cents
    with pytest.raises(Refused, match="left to invoice"):
        firm.do(billing.change_line, line.id, unit_price=Decimal(9_000))


def test_an_invoice_without_a_job_has_lines_and_a_tax_of_its_own(firm: BillingCompany) -> None:
    draft = firm.do(billing.draft_invoice, "other", DONE, customer_id=firm.customer())
    with pytest.raises(Refused, match="nothing on this invoice"):
        firm.do(billing.issue_invoice, draft, DONE)
    firm.do(billing.change_draft, draft, tax_treatment="separated", tax_percent=Decimal("7.25"))
    two = {"quantity": Decimal(2), "unit": "each", "taxed": True}
    firm.do(billing.add_line, draft, "extra", "Monitor", Decimal("129.90"), **two)
    firm.do(billing.add_line, draft, "extra", "Setting it up", Decimal(80))
    firm.do(billing.issue_invoice, draft, DONE)
    kept = firm.invoice(draft)
    assert (kept.net_cents, kept.taxable_cents, kept.tax_cents) == (33_980, 25_980, 1_884)


# Credits.


def test_what_was_invoiced_wrongly_is_invoiced_again(firm: BillingCompany) -> None:
    job_id = firm.job(firm.customer(), TAXED)
    issued(firm, "deposit", job_id, AGREED)
    wrong = issued(firm, "final", job_id)
    credit = firm.invoice(firm.do(billing.credit_invoice, wrong.id, LATER, "Wrong address", gives_up=False))
    assert (credit.number, credit.total_cents) == ("C26-0001", -wrong.total_cents)
    assert firm.ask(open_cents, wrong.id) == 0
    assert firm.kept_job(job_id).invoiced_on is None
    again = issued(firm, "final", job_id)
    assert (again.net_cents, again.tax_cents) == (wrong.net_cents, wrong.tax_cents)
    assert written_off(firm, job_id) == 0
    with pytest.raises(Refused, match="already"):
        firm.do(billing.credit_invoice, wrong.id, LATER, "Twice", gives_up=False)


def test_money_given_up_lowers_the_margin_and_is_not_asked_for_again(firm: BillingCompany) -> None:
    whose = firm.customer()
    job_id = firm.job(whose, TAXED)
    final = issued(firm, "final", job_id)
    firm.do(billing.take_payment, whose, LATER, final.total_cents, "check")
    credit = firm.invoice(
        firm.do(billing.credit_invoice, final.id, LATER, "A scratch", gives_up=True, amount_cents=10_000)
    )
    assert credit.total_cents == -10_000
    assert written_off(firm, job_id) == -(credit.net_cents or 0) > 0
    assert firm.invoiced(job_id).complete(firm.contract(job_id))
    account = firm.ask(customer_account, whose, LATER)
    assert (account.open_cents, account.credit_cents) == (0, 10_000)
    with pytest.raises(Refused, match="belongs to an invoice"):
        firm.do(remove_write_off, credit.write_off_id)


def test_a_deposit_is_only_credited_as_wrong_and_only_before_it_is_taken_off(firm: BillingCompany) -> None:
    job_id = firm.job(firm.customer())
    deposit = issued(firm, "deposit", job_id, AGREED)
    with pytest.raises(Refused, match="only an advance"):
        firm.do(billing.credit_invoice, deposit.id, LATER, "Too much", gives_up=True)
    with pytest.raises(Refused, match="only an advance"):
        firm.do(billing.write_off_bad_debt, deposit.id, LATER, "Gone")
    firm.do(billing.credit_invoice, deposit.id, LATER, "Too much", gives_up=False, amount_cents=2_000)
    issued(firm, "final", job_id)
    with pytest.raises(Refused, match="has taken this deposit off"):
        firm.do(billing.credit_invoice, deposit.id, LATER, "Too much", gives_up=False)
    assert firm.invoiced(job_id).complete(firm.contract(job_id))


def test_a_credit_needs_a_reason_an_amount_and_a_possible_day(firm: BillingCompany) -> None:
    final = issued(firm, "final", firm.job(firm.customer()))
    for match, named in (
        ("few words", {"reason": " "}), ("more than nothing", {"amount_cents": -1}), ("can be credited",
        {"amount_cents": 10**9}), ("too early", {"on": AGREED}), ("not come yet", {"today": AGREED}),
    ):  # fmt: skip
        given = {"on": LATER, "reason": "Wrong", "gives_up": False, **named}
        with pytest.raises(Refused, match=match):
            firm.do(billing.credit_invoice, final.id, given.pop("on"), given.pop("reason"), **given)


# Payments.


def test_a_payment_settles_what_it_names_then_the_same_amount_then_the_oldest(firm: BillingCompany) -> None:
    whose = firm.customer()
    first, second = (issued(firm, "final", firm.job(whose, AgreedJob(cents))) for cents in (50_000, 80_000))
    firm.do(billing.take_payment, whose, LATER, 30_000, "check", reference=f"for {second.number}")
    assert firm.ask(open_cents, second.id) == 50_000
    firm.do(billing.take_payment, whose, LATER, 60_000, "transfer")
    assert (firm.ask(open_cents, first.id), firm.ask(open_cents, second.id)) == (0, 40_000)
    more = firm.do(billing.take_payment, whose, LATER, 50_000, "card")
    assert firm.ask(free_cents, more) == 10_000
    assert firm.ask(customer_account, whose, LATER).balance_cents == -10_000


def test_a_payment_that_is_there_already_is_asked_about(firm: BillingCompany) -> None:
    whose = firm.customer()
    firm.do(billing.take_payment, whose, LATER, 5_000, "check", reference="1043")
    for day, reference in ((LATER, ""), (LATER + timedelta(days=40), "# 1043"), (LATER - timedelta(days=2), "")):
        with pytest.raises(PaidTwice, match=r"entered already.*really came twice"):
            firm.do(billing.take_payment, whose, day, 5_000, "check", reference=reference)
    firm.do(billing.take_payment, whose, LATER, 5_000, "check", reference="1044")
    firm.do(billing.take_payment, whose, LATER, 5_000, "check", reference="1043", twice=True)
    assert firm.ask(unmatched).count == 3


def test_an_overpayment_is_used_later_or_given_back(firm: BillingCompany) -> None:
    whose = firm.customer()
    paid = firm.do(billing.take_payment, whose, AGREED, 60_000, "escrow", payer="Hill Street Title")
    final = issued(firm, "final", firm.job(whose, AgreedJob(45_000)))
    with pytest.raises(Refused, match=r"\$600.00 is left of this payment"):
        firm.do(billing.refund_payment, paid, LATER, 70_000)
    assert firm.do(billing.apply_credit, final.id, LATER) == 45_000
    firm.do(billing.refund_payment, paid, LATER)
    assert firm.ask(free_cents, paid) == 0
    with pytest.raises(Refused, match="settles invoices"):
        firm.do(billing.refund_payment, paid, LATER)
    with pytest.raises(Refused, match="refunded"):
        firm.do(billing.return_payment, paid, LATER)


def test_a_returned_check_opens_what_it_had_settled(firm: BillingCompany) -> None:
    whose = firm.customer()
    job_id = firm.job(whose)
    final = issued(firm, "final", job_id)
    paid = firm.do(billing.take_payment, whose, LATER, final.total_cents, "check", job_id=job_id)
    assert firm.kept_job(job_id).paid_on == LATER
    firm.do(billing.return_payment, paid, LATER + timedelta(days=3))
    assert firm.ask(open_cents, final.id) == final.total_cents
    assert firm.kept_job(job_id).paid_on is None
    assert firm.ask(aging_at, LATER).open_cents == 0  # on that day it was settled
    with pytest.raises(Refused, match="already"):
        firm.do(billing.return_payment, paid, LATER + timedelta(days=4))
    firm.company.undo()
    assert firm.kept_job(job_id).paid_on == LATER


def test_payments_are_corrected_while_no_receipt_is_out(firm: BillingCompany) -> None:
    whose = firm.customer()
    paid = firm.do(billing.take_payment, whose, LATER, 5_000, "check")
    firm.do(billing.change_payment, paid, means="card", reference=" 77 ")
    with pytest.raises(Refused, match="no way to pay"):
        firm.do(billing.change_payment, paid, means="cows")
    firm.do(billing.remove_payment, paid)
    firm.company.undo()
    assert firm.do(billing.number_receipt, paid, LATER) == firm.do(billing.number_receipt, paid, LATER) == "R26-0001"
    with pytest.raises(Refused, match="receipt"):
        firm.do(billing.remove_payment, paid)


def test_payments_that_cannot_be_are_refused(firm: BillingCompany) -> None:
    whose, other = firm.customer(), firm.customer("Otis Marlow")
    job_id = firm.job(other)
    final = issued(firm, "final", job_id)
    paid = firm.do(billing.take_payment, whose, LATER, 5_000, "check")
    for match, command, given, named in (
        ("more than nothing", billing.take_payment, (whose, LATER, 0, "check"), {}),
        ("no way to pay", billing.take_payment, (whose, LATER, 1, "cows"), {}),
        ("not come yet", billing.take_payment, (whose, LATER, 1, "check"), {"today": DONE}),
        ("another customer's", billing.take_payment, (whose, LATER, 1, "check"), {"job_id": job_id}),
        ("another customer", billing.match_payment, (paid, final.id, LATER), {}),
        ("does not settle", billing.unmatch_payment, (paid, final.id, LATER), {}),
        ("no credit", billing.apply_credit, (final.id, LATER), {}),
    ):
        with pytest.raises(Refused, match=match):
            firm.do(command, *given, **named)


# Bad debts, jobs, customers.


def test_a_bad_debt_takes_its_tax_with_it_and_comes_back_with_undo(firm: BillingCompany) -> None:
    job_id = firm.job(firm.customer(), TAXED)
    contract = firm.contract(job_id)
    issued(firm, "deposit", job_id, AGREED)
    final = issued(firm, "final", job_id)
    firm.do(billing.write_off_bad_debt, final.id, LATER, "Moved away")
    with firm.company.read() as conn:
        lost = conn.execute(select(bad_debt)).one()
    share = Decimal(final.total_cents) / contract.total_cents
    assert abs(lost.tax_cents - contract.tax_cents * share) <= Decimal("0.5")
    assert written_off(firm, job_id) == lost.net_cents
    assert firm.ask(job_money, job_id).written_off_cents == final.total_cents
    firm.company.undo()
    assert written_off(firm, job_id) == 0
    assert firm.ask(open_cents, final.id) == final.total_cents


def test_a_job_with_invoices_takes_its_days_from_them(firm: BillingCompany) -> None:
    job_id = firm.job(firm.customer())
    issued(firm, "final", job_id)
    for command in (mark_invoiced, mark_paid):
        with pytest.raises(Refused, match="Money section"):
            firm.do(command, job_id, LATER)
    with pytest.raises(Refused, match="present customer's"):
        firm.do(change_job, job_id, customer_id=firm.customer("Otis Marlow"))


def test_a_job_of_older_years_says_that_it_was_invoiced_by_hand(firm: BillingCompany) -> None:
    job_id = firm.job(firm.customer())
    firm.do(mark_invoiced, job_id, LATER)
    money = firm.ask(job_money, job_id)
    assert money.next_step == "by_hand"
    assert "by hand as invoiced on Mar 30, 2026; no" in money.step_words(LATER)[1]
    firm.do(mark_paid, job_id, LATER)
    assert firm.ask(money_tonight, LATER).to_do == 0


def test_a_customer_with_invoices_and_a_payer_are_kept(firm: BillingCompany) -> None:
    whose = firm.do(add_customer, "Tam Birch", OPENED)
    draft = firm.do(billing.draft_invoice, "other", DONE, customer_id=whose)
    with pytest.raises(Refused, match="Archive"):
        firm.do(delete_customer, whose)
    firm.do(billing.delete_draft_invoice, draft)
    firm.do(delete_customer, whose)
    job_id = firm.job(firm.customer())
    escrow = firm.do(add_party, job_id, "closing escrow", "Hill Street Title")
    final = firm.do(billing.draft_invoice, "final", LATER, job_id=job_id)
    firm.do(billing.change_draft, final, payer_id=escrow, payer_reference="HS-2207")
    with pytest.raises(Refused, match="payer"):
        firm.do(remove_party, escrow)
    firm.do(billing.issue_invoice, final, LATER)
    assert firm.ask(job_money, job_id).payer == ("Hill Street Title", "HS-2207")


# What screens ask.


def test_the_statement_tells_everything_and_ends_at_the_balance(firm: BillingCompany) -> None:
    whose = firm.customer()
    final = issued(firm, "final", firm.job(whose))
    paid = firm.do(billing.take_payment, whose, LATER, 50_000, "check", reference="1043")
    firm.do(billing.return_payment, paid, LATER + timedelta(days=2))
    firm.do(billing.credit_invoice, final.id, LATER + timedelta(days=3), "Late", gives_up=True, amount_cents=1_000)
    firm.do(billing.write_off_bad_debt, final.id, LATER + timedelta(days=4), "Gone", 2_000)
    told = firm.ask(customer_statement, whose, LATER + timedelta(days=9), LATER + timedelta(days=1))
    assert (told.opening_cents, told.closing_cents) == (130_000, 177_000)
    assert [line.kind for line in told.lines] == ["returned", "credit_note", "bad_debt"]
    assert [line.balance_cents for line in told.lines] == [180_000, 179_000, 177_000]


def test_payments_are_found(firm: BillingCompany) -> None:
    wren, otis = firm.customer(), firm.customer("Otis Marlow")
    issued(firm, "final", firm.job(otis, AgreedJob(50_000)))
    firm.do(billing.take_payment, otis, LATER, 50_000, "check", reference="1043")
    loose = firm.do(billing.take_payment, wren, LATER, 12_345, "escrow", payer="Hill Street Title")
    firm.do(billing.refund_payment, loose, LATER, 45)

    def found(words: str = "", which: str = "all") -> list[int]:
        return [row.payment.amount_cents for row in firm.ask(payment_list, words, which)]

    assert found() == [-45, 12_345, 50_000]
    assert found("marlow 1043") == [50_000]
    assert found("title") == [-45, 12_345]
    assert found("123.45") == [12_345]
    assert found("100%") == []
    assert (found(which=LEFT), found(which=BACK)) == ([12_345], [-45])
    issued(firm, "final", firm.job(wren))
    assert [name for _, name in firm.ask(payer_choices)] == ["Wren Halloway", "Otis Marlow"]


def test_tonight_asks_for_the_money(firm: BillingCompany) -> None:
    whose = firm.customer()
    fresh, done = firm.job(whose, AgreedJob(installed=False)), firm.job(whose)
    late = issued(firm, "final", firm.job(whose))
    firm.do(billing.take_payment, firm.customer("Otis Marlow"), LATER, 700, "cash")
    seen = firm.ask(money_tonight, LATER + timedelta(days=20))
    assert [row.invoice.id for row in seen.overdue.rows] == [late.id]
    assert [row.name.job_id for row in seen.finished.rows] == [done]
    assert [(row.name.job_id, row.cents) for row in seen.deposits.rows] == [(fresh, 72_000)]
    assert seen.to_do == 4


def test_questions_do_not_grow_with_the_company(firm: BillingCompany) -> None:
    whose = firm.customer()
    job_id = firm.job(whose, TAXED)
    asked = (
        lambda conn: job_money(conn, job_id), lambda conn: aging_at(conn, LATER), lambda conn: payment_list(conn),
        lambda conn: customer_statement(conn, whose, LATER), lambda conn: money_tonight(conn, LATER),
    )  # fmt: skip
    final = issued(firm, "final", job_id)
    firm.do(billing.take_payment, whose, LATER, final.total_cents - 500, "check", job_id=job_id)
    firm.do(billing.take_payment, whose, LATER, 999, "cash", job_id=job_id, matches={})
    before = [statements(firm.company, one) for one in asked]
    for cents in range(10_000, 13_000, 500):
        issued(firm, "final", firm.job(whose, AgreedJob(cents)))
        firm.do(billing.take_payment, whose, LATER, cents, "check", job_id=job_id, reference=str(cents))
    assert [statements(firm.company, one) for one in asked] == before
