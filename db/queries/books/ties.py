"""The ties of the books: sums reached by two ways, and their differences, which are zero."""

from __future__ import annotations

from collections import defaultdict
from datetime import date

from sqlalchemy import Connection, Select, and_, exists, func, or_, select

from db.queries.billing.accounts import aging_at, receivable_at
from db.queries.billing.open_items import free_of, open_invoices
from db.queries.books.bills import logged_without_bill, payables_at
from db.queries.books.closing import deviations
from db.queries.books.ledger import deposit_parts, trial
from db.queries.books.miles import miles_log
from db.queries.books.tax import tax_by_place
from db.queries.exact import amount_cents
from db.queries.job_totals import job_totals
from db.tables import bad_debt, bill_line, invoice, job, material_use, other_cost, price_adjustment
from domain.bills import FOR_A_JOB
from domain.ledger import TrialBalance
from domain.money import format_money, line_cents
from domain.ties import Tie

_FIRST = date(1900, 1, 1)

NAMED = 5
"""So many jobs that do not come out are named."""


def ties(conn: Connection, today: date) -> list[Tie]:
    """Every tie as of a day, in a number of statements that does not depend on the company's size."""
    books = trial(conn, _FIRST, today)
    return [
        Tie(
            "balance", "Debits and credits", "all debits", books.debit_cents, "all credits", books.credit_cents,
            "A posting without its other side: tell whoever keeps the program.",
        ),
        *_receivables(conn, today, books),
        *_sold(conn),
        _tax(conn, today, books),
        *_payables(conn, today, books),
        *_logs(conn),
        _miles(conn, today),
        _closed(conn),
    ]  # fmt: skip


def _receivables(conn: Connection, today: date, books: TrialBalance) -> list[Tie]:
    aging = aging_at(conn, today)
    owed = sum(one.open_cents for one in open_invoices(conn, day=today)) - sum(free_of(conn, day=today).values())
    ledger = books.balance("receivable")
    return [
        Tie(
            "receivable", "Receivables", "open invoices less customers' credits", owed, "account in the ledger", ledger
        ),
        Tie(
            "posted", "Receivables as posted", "invoices less payments and bad debts", receivable_at(conn, today),
            "account in the ledger", ledger,
        ),
        Tie(
            "aging", "Aging adds up", "sum of its columns", sum(aging.buckets), "sum of its customers", aging.open_cents
        ),
    ]  # fmt: skip


def _final_jobs() -> Select[tuple[int]]:
    """Jobs closed and finally invoiced, with nothing of the final invoice waiting to be invoiced again."""
    final = exists().where(invoice.c.job_id == job.c.id, invoice.c.kind == "final", invoice.c.issued_on.is_not(None))
    return select(job.c.id).where(job.c.closed_on.is_not(None), job.c.cancelled_on.is_(None), final)


def _sold(conn: Connection) -> list[Tie]:
    """Invoiced of closed jobs, less what was given up, against the revenue Margins counts; job by job, to name them."""
    jobs = _final_jobs()
    deposits = deposit_parts()
    asked: dict[int, int] = defaultdict(int)
    of_jobs = (
        select(invoice.c.job_id, func.sum(invoice.c.net_cents - func.coalesce(deposits.c.cents, 0)))
        .select_from(invoice.outerjoin(deposits, deposits.c.of == invoice.c.id))
        .where(invoice.c.job_id.in_(jobs), invoice.c.issued_on.is_not(None))
        .group_by(invoice.c.job_id)
    )
    lost = (
        select(invoice.c.job_id, -func.sum(bad_debt.c.net_cents))
        .join(invoice, invoice.c.id == bad_debt.c.invoice_id)
        .where(invoice.c.job_id.in_(jobs))
        .group_by(invoice.c.job_id)
    )
    linked = or_(
        exists().where(invoice.c.write_off_id == price_adjustment.c.id),
        exists().where(bad_debt.c.write_off_id == price_adjustment.c.id),
    )
    by_hand = (
        select(price_adjustment.c.job_id, -func.sum(price_adjustment.c.amount_cents))
        .where(price_adjustment.c.job_id.in_(jobs), price_adjustment.c.amount_cents > 0, ~linked)
        .group_by(price_adjustment.c.job_id)
    )
    for query in (of_jobs, lost, by_hand):
        for job_id, cents in conn.execute(query):
            asked[job_id] += int(cents)
    revenue, off = 0, []
    for row in conn.execute(job_totals((), jobs).where(job.c.id.in_(jobs))):
        price, _, order_price, _, goodwill, given_up = row[13:19]
        of_job = price + order_price - goodwill - given_up
        revenue += of_job
        if asked[row.id] != of_job:
            off.append((row[1], asked[row.id] - of_job))
    return [
        Tie(
            "margins", "Closed jobs with a final invoice", "invoiced less credits, bad debts and write-offs by hand",
            sum(asked.values()), "revenue in Margins", revenue, _sold_advice(off),
        )
    ]  # fmt: skip


def _sold_advice(off: list[tuple[str, int]]) -> str:
    """Each job that does not come out, and what to do there."""
    short = [f"job {number}, {format_money(-cents)}" for number, cents in off if cents < 0]
    beyond = [f"job {number}, {format_money(cents)}" for number, cents in off if cents > 0]
    words = []
    if short:
        words.append(
            f"Agreed and not invoiced: {_listed(short)}. Invoice it in the job's Money section, or write it off on its "
            "Outcome."
        )
    if beyond:
        words.append(f"Invoiced beyond what Margins counts: {_listed(beyond)}. Credit it in the job's Money section.")
    return " ".join(words)


def _listed(jobs: list[str]) -> str:
    more = f" and {len(jobs) - NAMED} more" if len(jobs) > NAMED else ""
    return "; ".join(jobs[:NAMED]) + more


def _tax(conn: Connection, today: date, books: TrialBalance) -> Tie:
    by_place = sum(one.due_cents for one in tax_by_place(conn, _FIRST, today))
    return Tie(
        "tax", "Sales tax payable", "tax by place", by_place, "account in the ledger",
        -books.balance("sales_tax_payable"),
    )  # fmt: skip


def _payables(conn: Connection, today: date, books: TrialBalance) -> list[Tie]:
    owed = payables_at(conn, today)
    return [
        Tie(
            "payable", "Payables", "open bills less suppliers' credits", owed.balance_cents, "account in the ledger",
            -books.balance("payable"),
        )
    ]  # fmt: skip


def _logs(conn: Connection) -> list[Tie]:
    """What bills say was for jobs, with what waits on either side, against what the logs say was bought."""
    use, cost, line = material_use.c, other_cost.c, bill_line.c
    for_jobs = and_(line.job_id.is_not(None), line.kind.in_(FOR_A_JOB))
    matched_use = amount_cents(use.quantity, use.unit_cost)
    matched_cost = amount_cents(cost.quantity, cost.unit_cost)
    logged = sum(
        int(conn.execute(query).scalar() or 0)
        for query in (
            select(func.sum(matched_use)).where(use.source == "receipt"),
            select(func.sum(matched_cost)).where(cost.kind.in_(FOR_A_JOB)),
        )
    )
    waiting = sum(one.cents for one in logged_without_bill(conn, limit=None))
    on_bills = conn.execute(
        select(func.sum(line.net_cents)).where(
            for_jobs, or_(line.material_use_id.is_not(None), line.other_cost_id.is_not(None))
        )
    ).scalar()
    return [
        Tie(
            "logs", "Bills and the jobs' logs", "bill lines matched to a log, and logged without a bill",
            int(on_bills or 0) + waiting, "bought for jobs by the logs", logged,
            "A bill's line and the entry it is matched to come to different amounts.",
        )
    ]  # fmt: skip


def _miles(conn: Connection, today: date) -> Tie:
    """This year's miles by drive against each rate's miles; both rounded drive by drive."""
    drives = miles_log(conn, date(today.year, 1, 1), today)
    one_by_one = sum(line_cents(one.miles, one.rate) for one in drives.drives)
    by_rate = sum(cents for _, _, cents in drives.by_rate)
    return Tie("miles", f"Miles of {today.year}", "drive by drive", one_by_one, "by rate", by_rate)


def _closed(conn: Connection) -> Tie:
    whole, found = deviations(conn)
    off = sum(abs(one.now - one.then) for one in found)
    advice = "; ".join(f"{one.month}, {one.name.replace('_', ' ')}" for one in found[:3])
    return Tie(
        "closed", "Closed months", "sums when they were closed", whole, "the same sums today", whole + off, advice
    )
