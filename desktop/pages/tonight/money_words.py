"""What Tonight says about money, a line each."""

from __future__ import annotations

from datetime import date

from db.queries.billing.tonight_money import MoneyTonight, OverdueInvoice, ToInvoice
from desktop.desk import COMPANY, JOBS
from desktop.pages.tonight.words import Line
from domain.billing.records import INVOICE_KINDS
from domain.jobs import days_left
from domain.money import format_money


def money_lines(seen: MoneyTonight, today: date) -> list[Line]:
    """Overdue first, then what is to be invoiced, then money that settles nothing yet."""
    lines = [overdue_line(row, today) for row in seen.overdue.rows]
    if seen.overdue.more:
        lines.append(
            Line("overdue-more", f"and {seen.overdue.more} more overdue", "", format_money(seen.overdue_cents)
                 + " in all", "over", COMPANY, None, "owed")
        )  # fmt: skip
    lines += [_finished(row, today) for row in seen.finished.rows]
    lines += _more(seen.finished.more, "finished and not invoiced", "finished-more")
    lines += [
        _to_invoice(row, f"deposit of {format_money(row.cents)} not invoiced", "deposit") for row in seen.deposits.rows
    ]
    lines += _more(seen.deposits.more, "deposits to invoice", "deposit-more")
    if seen.unmatched.count:
        many = "1 payment" if seen.unmatched.count == 1 else f"{seen.unmatched.count} payments"
        lines.append(
            Line("unmatched", f"{many} not matched", "", format_money(seen.unmatched.cents), "ink_soft", COMPANY, None,
                 "payments")
        )  # fmt: skip
    return lines


def overdue_line(row: OverdueInvoice, today: date) -> Line:
    """An invoice that is late, with its days."""
    one, days = row.invoice, row.invoice.days_overdue(today)
    fact = f"{format_money(one.open_cents)}, {days} day{'' if days == 1 else 's'} overdue"
    words = " · ".join(part for part in (f"{INVOICE_KINDS[one.kind]} {one.number}", row.job_number) if part)
    place = (JOBS, one.job_id, "money") if one.job_id is not None else (COMPANY, None, "owed")
    return Line(f"overdue-{one.id}", row.customer, words, fact, "over", *place)


def _finished(row: ToInvoice, today: date) -> Line:
    """Work that stands, or a closed job, that nobody was asked to pay for."""
    if row.credited:
        fact = f"{format_money(row.cents)} credited, still to be invoiced"
        return _to_invoice(row, fact, "credited", "over")
    if row.closed:
        return _to_invoice(row, f"closed, {format_money(row.cents)} never invoiced", "finished", "over")
    return _to_invoice(row, f"not invoiced, work finished {days_left(row.since, today)}", "finished")


def _to_invoice(row: ToInvoice, fact: str, kind: str, tone: str = "ink_soft") -> Line:
    name = row.name
    return Line(
        f"{kind}-{name.job_id}", name.customer, f"{name.what} · {name.number}", fact, tone, JOBS, name.job_id,
        "money",
    )  # fmt: skip


def _more(count: int, what: str, key: str) -> list[Line]:
    return [Line(key, f"and {count} more {what}", "", "", "ink_soft", JOBS, "list")] if count > 0 else []
