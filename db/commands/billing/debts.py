"""Money that will not come: an invoice's rest written off as a bad debt, and off the job's margin with it."""

from __future__ import annotations

from datetime import date

from db.commands.billing.checks import issued_of, possible_day, some_amount
from db.commands.billing.giving_up import give_up
from db.commands.billing.job_days import refresh_job_days
from db.commands.billing.matching import settle
from db.commands.checks import needed
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.billing.contracts import job_contract, job_invoiced
from db.queries.billing.open_items import open_cents
from db.tables import bad_debt
from domain.billing.amounts import Amounts, split
from domain.billing.records import Invoice
from domain.money import format_money


def write_off_bad_debt(
    edit: Edit, invoice_id: int, on: date, reason: str, amount_cents: int | None = None, *, today: date | None = None
) -> int:
    """Write off what is open of an invoice, or part of it, and return the bad debt's id.

    It is split into net and tax by the proportions of the job's contract; whether the tax may be claimed back is for
    the state's revenue office to say. The net part is written off on the job.

    Raises:
        Refused: nothing is open, more than that, no reason, or a deposit nothing was sold by yet.
    """
    kept = issued_of(edit, invoice_id)
    reason = needed(reason, "Say in a few words why it will not come.")
    possible_day(on, kept.issued_on, f"{kept.name} is of", today)
    _refuse_waiting_deposit(edit, kept)
    owing = open_cents(edit.conn, invoice_id)
    amount = owing if amount_cents is None else amount_cents
    if owing <= 0:
        raise Refused(f"{kept.name} is settled.", "There is nothing to write off.")
    some_amount(amount, "A bad debt")
    if amount > owing:
        raise Refused(f"{format_money(owing)} of {kept.name} is open.", "Write off that or less.")
    parts = split(amount, _proportions(edit, kept))
    write_off_id = None
    if kept.job_id is not None:
        write_off_id = give_up(edit, kept.job_id, on, parts.net_cents, f"Bad debt, invoice {kept.number}: {reason}")
    debt_id = edit.add(
        bad_debt, invoice_id=invoice_id, day=on, net_cents=parts.net_cents, tax_cents=parts.tax_cents, reason=reason,
        write_off_id=write_off_id,
    )  # fmt: skip
    settle(edit, invoice_id, on, amount, bad_debt_id=debt_id)
    refresh_job_days(edit, kept.job_id)
    return debt_id


def _proportions(edit: Edit, kept: Invoice) -> Amounts:
    contract = job_contract(edit.conn, kept.job_id) if kept.job_id is not None else None
    if contract is not None:
        return contract.amounts
    return Amounts(kept.net_cents or 0, kept.taxable_cents or 0, kept.tax_cents or 0)


def _refuse_waiting_deposit(edit: Edit, kept: Invoice) -> None:
    if kept.kind != "deposit" or kept.job_id is None:
        return
    standing = {one.invoice_id: one for one in job_invoiced(edit.conn, kept.job_id).standing}[kept.id]
    if standing.waiting_cents > 0:
        raise Refused(
            "A deposit is only an advance: nothing is sold by it that could be lost.",
            "Credit it as invoiced wrongly if it will not come.",
        )
