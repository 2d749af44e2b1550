"""Invoices, credits, payments, refunds, bad debts, undo and closed months in any order: the balances always tie."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from functools import cache
from typing import Any

from hypothesis import note, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from sqlalchemy import func, select

from db.commands import billing
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.billing.accounts import aging_at, customer_account, customer_statement, receivable_at
from db.queries.billing.open_items import free_of, open_invoices
from db.tables import bad_debt, closed_month, invoice, invoice_line, payment, price_adjustment, settlement
from domain.billing.numbers import gaps
from domain.money import percent_of
from tests.db.billing_company import DONE, AgreedJob, BillingCompany, change_order

JOBS = (
    AgreedJob(price_cents=183_337, treatment="separated", percent="8.875", options=(4_999, 12_001)),
    AgreedJob(price_cents=99_999, treatment="separated", percent="5.5", goodwill_cents=3_333, deposit_percent="100"),
    AgreedJob(price_cents=250_001, treatment="lump_sum", percent="6", deposit_percent="33.333"),
    AgreedJob(price_cents=120_000),
)
picks = st.integers(0, 1000)
percents = st.integers(1, 120)


def close_month(edit: Edit, month: str, on: date) -> None:
    """The bookkeeper's step as far as it matters here."""
    edit.add(closed_month, month=month, closed_on=on)
    edit.make_final()


@cache
def two_customers() -> tuple[BillingCompany, list[int], list[int]]:
    """Two customers with two agreed jobs each, made once."""
    firm = BillingCompany()
    customers = [firm.customer("Wren Halloway"), firm.customer("Otis Marlow")]
    return firm, customers, [firm.job(customers[place % 2], agreed) for place, agreed in enumerate(JOBS)]


class Money(RuleBasedStateMachine):
    """Two customers with two jobs each; every refusal is fine, every sum must stay right."""

    @initialize()
    def begin(self) -> None:
        original, self.customers, self.jobs = two_customers()
        self.firm = original.copy()
        self.today = DONE + timedelta(days=1)
        self.numbers: set[str] = set()
        self.closed: dict[date, int] = {}

    def do(self, command: Any, *args: Any, **named: Any) -> Any:
        try:
            return self.firm.do(command, *args, **named)
        except Refused as refused:
            note(f"{command.__name__}: {refused.message}")
            return None

    def ids(self, column: Any, *where: Any) -> list[int]:
        with self.firm.company.read() as conn:
            return list(conn.execute(select(column).where(*where).order_by(column)).scalars())

    def one(self, pick: int, column: Any, *where: Any) -> int | None:
        found = self.ids(column, *where)
        return found[pick % len(found)] if found else None

    def an_invoice(self, pick: int) -> int | None:
        return self.one(pick, invoice.c.id, invoice.c.issued_on.is_not(None), invoice.c.kind != "credit_note")

    @rule(days=st.integers(1, 50))
    def days_pass(self, days: int) -> None:
        self.today += timedelta(days=days)

    @rule(pick=picks, kind=st.sampled_from(["deposit", "progress", "final"]), percent=percents, plain=st.booleans())
    def invoice_a_job(self, pick: int, kind: str, percent: int, plain: bool) -> None:
        job_id = self.jobs[pick % len(self.jobs)]
        share = {"percent": Decimal(percent)} if kind == "progress" else {}
        if kind == "deposit" and not plain:
            share = {"amount_cents": percent * 1_001}  # type: ignore[dict-item]
        draft = self.do(billing.draft_invoice, kind, self.today, job_id=job_id, **share)
        if draft is not None and self.do(billing.issue_invoice, draft, self.today) is None:
            self.do(billing.delete_draft_invoice, draft)

    @rule(pick=picks, cents=st.integers(1, 90_000))
    def invoice_with_a_discount(self, pick: int, cents: int) -> None:
        draft = self.do(billing.draft_invoice, "final", self.today, job_id=self.jobs[pick % len(self.jobs)])
        if draft is None:
            return
        self.do(billing.add_line, draft, "discount", "For the wait", -Decimal(cents).scaleb(-2))
        if self.do(billing.issue_invoice, draft, self.today) is None:
            self.do(billing.delete_draft_invoice, draft)

    @rule(pick=picks, kind=st.sampled_from(["deposit", "progress", "final"]), percent=percents)
    def draft_only(self, pick: int, kind: str, percent: int) -> None:
        share = {"percent": Decimal(percent)} if kind == "progress" else {}
        self.do(billing.draft_invoice, kind, self.today, job_id=self.jobs[pick % len(self.jobs)], **share)

    @rule(pick=picks, fresh=st.booleans())
    def finish_a_draft(self, pick: int, fresh: bool) -> None:
        draft = self.one(pick, invoice.c.id, invoice.c.issued_on.is_(None))
        if draft is None:
            return
        if fresh:
            self.do(billing.refresh_draft, draft)
        if self.do(billing.issue_invoice, draft, self.today) is None:
            self.do(billing.delete_draft_invoice, draft)

    @rule(pick=picks, cents=st.integers(1, 40_000), taxed=st.booleans())
    def invoice_without_a_job(self, pick: int, cents: int, taxed: bool) -> None:
        whom = self.customers[pick % 2]
        draft = self.do(billing.draft_invoice, "other", self.today, customer_id=whom)
        self.do(billing.change_draft, draft, tax_treatment="separated", tax_percent=Decimal("7.25"))
        self.do(billing.add_line, draft, "extra", "Monitor", Decimal(cents).scaleb(-2), taxed=taxed)
        if self.do(billing.issue_invoice, draft, self.today) is None:
            self.do(billing.delete_draft_invoice, draft)

    @rule(pick=picks, cents=st.integers(-150_000, 60_000))
    def agree_a_change(self, pick: int, cents: int) -> None:
        job_id = self.jobs[pick % len(self.jobs)]
        if self.firm.contract(job_id).net_cents + cents > 0:  # a job that pays the customer is none
            self.do(change_order, job_id, cents, self.today)

    @rule(pick=picks, cents=st.integers(1, 300_000), exact=st.booleans(), days_ago=st.integers(0, 20))
    def money_comes(self, pick: int, cents: int, exact: bool, days_ago: int) -> None:
        whom = self.customers[pick % 2]
        owed = self.firm.ask(open_invoices, invoice.c.customer_id == whom)
        if exact and owed:
            cents = owed[pick % len(owed)].open_cents
        day = self.today - timedelta(days=days_ago)
        self.do(billing.take_payment, whom, day, cents, "check", twice=True, today=self.today)

    @rule(pick=picks, cents=st.integers(1, 300_000))
    def money_comes_unmatched(self, pick: int, cents: int) -> None:
        self.do(
            billing.take_payment, self.customers[pick % 2], self.today, cents, "escrow", matches={}, twice=True
        )

    @rule(pick=picks, other=picks, part=st.none() | st.integers(1, 50_000))
    def match(self, pick: int, other: int, part: int | None) -> None:
        paid, owed = self.one(pick, payment.c.id), self.an_invoice(other)
        if paid and owed:
            self.do(billing.match_payment, paid, owed, self.today, part)

    @rule(pick=picks, other=picks)
    def unmatch(self, pick: int, other: int) -> None:
        paid, owed = self.one(pick, payment.c.id), self.an_invoice(other)
        if paid and owed:
            self.do(billing.unmatch_payment, paid, owed, self.today)

    @rule(pick=picks)
    def use_credit(self, pick: int) -> None:
        if owed := self.an_invoice(pick):
            self.do(billing.apply_credit, owed, self.today)

    @rule(pick=picks, gives_up=st.booleans(), part=st.none() | percents)
    def credit(self, pick: int, gives_up: bool, part: int | None) -> None:
        owed = self.an_invoice(pick)
        if owed is None:
            return
        total = self.firm.invoice(owed).total_cents
        cents = None if part is None else percent_of(total, Decimal(part))
        self.do(
            billing.credit_invoice, owed, self.today, "It was wrong", gives_up=gives_up, amount_cents=cents
        )

    @rule(pick=picks)
    def credit_what_is_invoiced_too_much(self, pick: int) -> None:
        job_id = self.jobs[pick % len(self.jobs)]
        contract, so_far = self.firm.contract(job_id), self.firm.invoiced(job_id)
        over = so_far.sales_cents + so_far.tax_cents - contract.total_cents
        finals = self.ids(invoice.c.id, invoice.c.job_id == job_id, invoice.c.kind == "final", invoice.c.number != "")
        if over > 0 and finals:
            self.do(
                billing.credit_invoice, finals[-1], self.today, "Less was done", gives_up=False, amount_cents=over
            )

    @rule(pick=picks, part=st.none() | st.integers(1, 50_000))
    def refund(self, pick: int, part: int | None) -> None:
        if paid := self.one(pick, payment.c.id):
            self.do(billing.refund_payment, paid, self.today, part)

    @rule(pick=picks)
    def the_check_comes_back(self, pick: int) -> None:
        if paid := self.one(pick, payment.c.id):
            self.do(billing.return_payment, paid, self.today)

    @rule(pick=picks)
    def remove_a_payment(self, pick: int) -> None:
        if paid := self.one(pick, payment.c.id):
            self.do(billing.remove_payment, paid)

    @rule(pick=picks)
    def hand_out_a_receipt(self, pick: int) -> None:
        if paid := self.one(pick, payment.c.id):
            self.do(billing.number_receipt, paid, self.today)

    @rule(pick=picks, part=st.none() | st.integers(1, 50_000))
    def it_will_not_come(self, pick: int, part: int | None) -> None:
        if owed := self.an_invoice(pick):
            self.do(billing.write_off_bad_debt, owed, self.today, "Gone away", part)

    @rule()
    def close_last_month(self) -> None:
        last = self.today.replace(day=1) - timedelta(days=1)
        if last not in self.closed:
            self.closed[last] = self.firm.ask(receivable_at, last)
            self.do(close_month, f"{last:%Y-%m}", self.today)

    @precondition(lambda self: self.firm.company.undo_label is not None)
    @rule()
    def undo(self) -> None:
        try:
            self.firm.company.undo()
        except Refused as refused:
            note(f"undo: {refused.message}")

    @precondition(lambda self: self.firm.company.redo_label is not None)
    @rule()
    def redo(self) -> None:
        try:
            self.firm.company.redo()
        except Refused as refused:
            note(f"redo: {refused.message}")

    @invariant()
    def the_receivables_tie(self) -> None:
        for day in (self.today, self.today - timedelta(days=17), *self.closed):
            owed = self.firm.ask(aging_at, day)
            assert owed.balance_cents == self.firm.ask(receivable_at, day)
            assert sum(owed.buckets) == owed.open_cents
        assert {day: self.firm.ask(receivable_at, day) for day in self.closed} == self.closed

    @invariant()
    def nothing_is_settled_beyond_itself(self) -> None:
        assert all(one.open_cents > 0 for one in self.firm.ask(open_invoices))
        assert all(cents > 0 for cents in self.firm.ask(free_of).values())
        with self.firm.company.read() as conn:
            of_credit = select(func.sum(settlement.c.amount_cents)).where(settlement.c.credit_id == invoice.c.id)
            for total, settled in conn.execute(
                select(invoice.c.net_cents + invoice.c.tax_cents, of_credit.scalar_subquery()).where(
                    invoice.c.kind == "credit_note"
                )
            ):
                assert -total == (settled or 0)

    @invariant()
    def each_account_ends_at_its_balance(self) -> None:
        for whom in self.customers:
            account = self.firm.ask(customer_account, whom, self.today)
            assert self.firm.ask(customer_statement, whom, self.today).closing_cents == account.balance_cents
            late = self.firm.ask(customer_statement, whom, self.today, self.today - timedelta(days=9))
            assert late.closing_cents == account.balance_cents

    @invariant()
    def a_finished_job_is_invoiced_to_the_cent(self) -> None:
        for job_id in self.jobs:
            contract, so_far, issued = (ask(job_id) for ask in (
                self.firm.contract, self.firm.invoiced, self.firm.issued
            ))  # fmt: skip
            waiting = sum(one.waiting_cents for one in so_far.standing)
            assert so_far.deposits_cents == waiting >= 0
            assert all(one.waiting_cents >= 0 for one in so_far.standing)
            if not so_far.complete(contract):
                continue
            with self.firm.company.read() as conn:
                given = conn.execute(
                    select(func.coalesce(func.sum(price_adjustment.c.amount_cents), 0)).where(
                        price_adjustment.c.job_id == job_id
                    )
                ).scalar_one()
                lost = conn.execute(
                    select(func.coalesce(func.sum(bad_debt.c.net_cents), 0))
                    .join(invoice, invoice.c.id == bad_debt.c.invoice_id)
                    .where(invoice.c.job_id == job_id)
                ).scalar_one()
            assert sum(one.net_cents or 0 for one in issued) == contract.net_cents - (given - lost)
            if given == 0:
                assert sum(one.tax_cents or 0 for one in issued) == contract.tax_cents

    @invariant()
    def every_invoice_is_the_sum_of_its_lines(self) -> None:
        with self.firm.company.read() as conn:
            rows = conn.execute(
                select(invoice.c.net_cents, func.sum(invoice_line.c.net_cents), invoice.c.number)
                .join(invoice_line, invoice_line.c.invoice_id == invoice.c.id)
                .where(invoice.c.issued_on.is_not(None))
                .group_by(invoice.c.id)
            ).all()
        assert all(net == lines for net, lines, _ in rows)

    @invariant()
    def numbers_run_without_a_gap_and_none_is_lost(self) -> None:
        with self.firm.company.read() as conn:
            found = {
                *conn.execute(select(invoice.c.number).where(invoice.c.number.is_not(None))).scalars(),
                *conn.execute(select(payment.c.number).where(payment.c.number.is_not(None))).scalars(),
            }
        assert gaps(found) == []
        assert self.numbers <= found
        self.numbers = found

    @invariant()
    def the_jobs_days_follow_from_its_invoices(self) -> None:
        for job_id in self.jobs:
            kept, so_far = self.firm.kept_job(job_id), self.firm.invoiced(job_id)
            owed = self.firm.ask(open_invoices, invoice.c.job_id == job_id)
            assert (kept.invoiced_on is not None) == so_far.final
            assert (kept.paid_on is not None) == (so_far.final and not owed)


Money.TestCase.settings = settings(max_examples=10, stateful_step_count=25, deadline=None)
TestMoney = Money.TestCase
