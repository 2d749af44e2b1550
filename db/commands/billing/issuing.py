"""Issuing an invoice: it gets its number and never changes again, nor is it undone, so numbers have no gap."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from sqlalchemy import func, select

from db.commands.billing.checks import draft_of, free_number, possible_day
from db.commands.billing.drafts import draft_amounts
from db.commands.billing.giving_up import give_up, lines_of
from db.commands.billing.job_days import refresh_job_days
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.billing.contracts import job_contract, job_invoiced
from db.records import fetch_one
from db.tables import company, hours_entry, invoice, job, quote
from domain.billing.amounts import Amounts
from domain.billing.drafting import final_lines, same_as_drafted, too_much
from domain.billing.numbers import INVOICES
from domain.billing.records import Invoice, InvoiceLine
from domain.dates import format_day_short
from domain.job_dates import date_problem
from domain.jobs import Job
from domain.money import format_money


def issue_invoice(edit: Edit, invoice_id: int, on: date, *, today: date | None = None) -> str:
    """Give a draft its number and freeze it; return the number. Final: it is never undone, only credited.

    It is due after the firm's own number of days unless the draft says when. A discount typed on it is written off
    on the job, and the job's day of invoice is set by a final one.

    Raises:
        Refused: nothing on it, less than nothing, a day that cannot be right, or what was agreed has changed since.
    """
    kept = draft_of(edit, invoice_id)
    lines = lines_of(edit, invoice_id)
    possible_day(on, kept.created_on, "the draft was begun on", today)
    if kept.job_id is not None:
        _check_job(edit, kept, lines, on)
    amounts = draft_amounts(edit, kept, lines)
    _check_total(kept, lines, amounts)
    due_on = kept.due_on or on + timedelta(days=_due_days(edit))
    if due_on < on:
        raise Refused(
            f"It would be due on {format_day_short(due_on)}, before it is issued.", "Change the due day, or clear it."
        )
    given = -sum(line.net_cents for line in lines if line.kind == "discount" and line.quote_id is None)
    write_off_id = None
    number = free_number(edit, invoice.c.number, INVOICES, on)
    if given and kept.job_id is not None:
        words = "; ".join(line.description for line in lines if line.kind == "discount" and line.quote_id is None)
        write_off_id = give_up(edit, kept.job_id, on, given, f"Discount on invoice {number}: {words}")
    edit.change(
        invoice, invoice_id, number=number, issued_on=on, due_on=due_on, net_cents=amounts.net_cents,
        taxable_cents=amounts.taxable_cents, tax_cents=amounts.tax_cents, write_off_id=write_off_id,
    )  # fmt: skip
    refresh_job_days(edit, kept.job_id)
    edit.make_final()
    return number


def _due_days(edit: Edit) -> int:
    return int(edit.conn.execute(select(company.c.invoice_due_days)).scalar_one())


def _check_job(edit: Edit, kept: Invoice, lines: list[InvoiceLine], on: date) -> None:
    of_job = fetch_one(edit.conn, Job, job, kept.job_id or 0)
    if of_job.cancelled_on:
        raise Refused(f"Job {of_job.number} was canceled.", "Reopen it first if it is to be invoiced after all.")
    accepted = edit.conn.execute(
        select(func.max(quote.c.accepted_on)).where(quote.c.job_id == of_job.id, quote.c.kind == "proposal")
    ).scalar()
    possible_day(on, accepted, "the proposal was accepted on", None)
    contract, so_far = job_contract(edit.conn, of_job.id), job_invoiced(edit.conn, of_job.id)
    if kept.kind != "final":
        total = draft_amounts(edit, kept, lines).total_cents
        if contract is not None and (problem := too_much(contract, so_far, total)):
            raise Refused(problem, "Change the amount of the draft.")
        return
    if of_job.installed_on is None and not _worked(edit, of_job.id, on):
        raise Refused(
            f"Job {of_job.number} has no work logged and no day on which the work was finished, and the final"
            " invoice comes after it.",
            "Enter that day on the job's Facts, or ask for the money with a progress invoice.",
        )
    if problem := date_problem(replace(of_job, invoiced_on=None, paid_on=None), "invoiced_on", on):
        raise Refused(problem)
    if contract is None or not same_as_drafted(lines, final_lines(contract, so_far)):
        raise Refused(
            "What was agreed, or what was invoiced before, has changed since this draft was begun.",
            "Bring the draft up to date, look it over, then issue it.",
        )


def _worked(edit: Edit, job_id: int, on: date) -> bool:
    """A service call installs nothing: its hours say that it was done."""
    hours = select(hours_entry.c.id).where(hours_entry.c.job_id == job_id, hours_entry.c.day <= on).limit(1)
    return edit.conn.execute(hours).first() is not None


def _check_total(kept: Invoice, lines: list[InvoiceLine], amounts: Amounts) -> None:
    if not lines:
        raise Refused("There is nothing on this invoice yet.", "Add a line, then issue it.")
    if amounts.total_cents < 0:
        raise Refused(
            f"It comes to {format_money(amounts.total_cents)}, and an invoice cannot ask for less than nothing.",
            "Take the discount down, or credit an earlier invoice by that amount first.",
        )
    if amounts.total_cents == 0 and kept.kind != "final":
        raise Refused("It comes to nothing.", "Type an amount, then issue it.")
