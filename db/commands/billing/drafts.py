"""An invoice before it is issued: begun from the contract, changed, brought up to date, thrown away."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import select

from db.commands.billing.checks import draft_of, some_amount
from db.commands.checks import needed, only, tidied
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.billing.contracts import job_contract, job_invoiced
from db.records import fetch_one
from db.tables import company, customer, invoice, invoice_line, job, party, property_
from domain.billing.amounts import Amounts
from domain.billing.contract import Contract
from domain.billing.drafting import (
    NewLine,
    amounts_of,
    deposit_line,
    final_lines,
    progress_line,
    progress_net,
    too_much,
)
from domain.billing.invoiced import Invoiced
from domain.billing.records import Invoice, InvoiceLine
from domain.firm import Firm
from domain.jobs import Job, Party
from domain.money import format_money
from domain.people import Customer, Property

_DRAFT_FIELDS = {
    "bill_to", "payer_id", "payer_reference", "due_on", "terms_text", "note", "tax_treatment", "tax_percent",
    "tax_place",
}  # fmt: skip
ONE = Decimal(1)


def draft_invoice(
    edit: Edit, kind: str, on: date, *, job_id: int | None = None, customer_id: int | None = None,
    amount_cents: int | None = None, percent: Decimal | None = None,
) -> int:  # fmt: skip
    """Begin an invoice and return its id; it can be changed until it is issued.

    Args:
        kind: deposit, progress or final, of a job with an accepted proposal; or other, of a customer, for what
            belongs to no job.
        amount_cents: deposit: what is asked for (the agreed deposit when not given); progress: the net amount.
        percent: progress, instead of an amount: so much of the contract's net price.

    Raises:
        Refused: nothing was agreed, there is a draft already, the amount is none or more than is left, or
            everything is invoiced.
    """
    if kind == "other":
        if customer_id is None:
            raise Refused("An invoice is for a customer.", "Choose the customer first.")
        return _add(edit, kind, on, customer_id, None, None, ())
    of_job = fetch_one(edit.conn, Job, job, job_id or 0)
    contract, so_far = agreed(edit, of_job)
    _refuse_second_draft(edit, of_job)
    if kind == "deposit":
        lines = [deposit_part(of_job, contract, so_far, amount_cents)]
    elif kind == "progress":
        lines = [progress_part(contract, so_far, amount_cents, percent)]
    else:
        if so_far.complete(contract):
            raise Refused(f"All that was agreed on job {of_job.number} is invoiced.", "There is nothing left to ask.")
        lines = final_lines(contract, so_far)
    if kind != "final":
        total = amounts_of(kind, lines, contract.tax_treatment, contract.tax_percent).total_cents
        if problem := too_much(contract, so_far, total):
            raise Refused(problem, "Type a smaller amount, or write a change order for what comes on top.")
    return _add(edit, kind, on, of_job.customer_id, of_job, contract, lines)


def change_draft(edit: Edit, invoice_id: int, **values: Any) -> None:
    """Change bill_to, payer_id, payer_reference, due_on, terms_text or note of a draft.

    Of an invoice without a job also tax_treatment, tax_percent and tax_place: a job's are those of its contract.
    """
    only(values, _DRAFT_FIELDS)
    kept = draft_of(edit, invoice_id)
    if kept.job_id is not None and {"tax_treatment", "tax_percent"} & set(values):
        raise Refused("The tax of a job's invoice is the tax of its contract.", "It was agreed with the proposal.")
    if values.get("payer_id") is not None:
        payer = fetch_one(edit.conn, Party, party, values["payer_id"])
        if payer.job_id != kept.job_id:
            raise Refused(f"{payer.name} has no part in this job.", "Add them on the job's Facts first.")
    if "bill_to" in values:
        needed(values["bill_to"], "An invoice says whom it is for. Type a name and an address.")
    edit.change(invoice, invoice_id, **tidied(values))


def refresh_draft(edit: Edit, invoice_id: int) -> None:
    """Bring a final draft up to what contract and earlier invoices say now; typed lines stay."""
    kept = draft_of(edit, invoice_id)
    if kept.kind != "final" or kept.job_id is None:
        return
    contract, so_far = agreed(edit, fetch_one(edit.conn, Job, job, kept.job_id))
    edit.remove_where(
        invoice_line,
        (invoice_line.c.invoice_id == invoice_id)
        & (invoice_line.c.kind.not_in(("extra", "discount")) | invoice_line.c.quote_id.is_not(None)),
    )
    lines = final_lines(contract, so_far)
    _add_lines(edit, invoice_id, lines, first=-len(lines))
    edit.change(invoice, invoice_id, tax_treatment=contract.tax_treatment, tax_percent=contract.tax_percent)


def delete_draft_invoice(edit: Edit, invoice_id: int) -> None:
    """Throw a draft away with its lines. Undo brings it back."""
    draft_of(edit, invoice_id)
    edit.remove_where(invoice_line, invoice_line.c.invoice_id == invoice_id)
    edit.remove(invoice, invoice_id)


def draft_amounts(edit: Edit, kept: Invoice, lines: Iterable[InvoiceLine]) -> Amounts:
    """What a draft comes to now."""
    contract = so_far = None
    if kept.kind == "final" and kept.job_id is not None:
        contract, so_far = job_contract(edit.conn, kept.job_id), job_invoiced(edit.conn, kept.job_id)
    return amounts_of(kept.kind, lines, kept.tax_treatment, kept.tax_percent, contract, so_far)


def agreed(edit: Edit, of_job: Job) -> tuple[Contract, Invoiced]:
    """A job's contract and how far it is invoiced.

    Raises:
        Refused: the job is canceled, or nothing was agreed.
    """
    if of_job.cancelled_on:
        raise Refused(f"Job {of_job.number} was canceled.", "Reopen it first if it is to be invoiced after all.")
    contract = job_contract(edit.conn, of_job.id)
    if contract is None:
        raise Refused(
            f"Nothing was agreed on job {of_job.number} yet.", "Note that its proposal was accepted, then invoice it."
        )
    return contract, job_invoiced(edit.conn, of_job.id)


def _refuse_second_draft(edit: Edit, of_job: Job) -> None:
    waiting = select(invoice.c.id).where(invoice.c.job_id == of_job.id, invoice.c.issued_on.is_(None))
    if edit.conn.execute(waiting).first():
        raise Refused(f"Job {of_job.number} has a draft invoice already.", "Issue it or remove it first.")


def deposit_part(of_job: Job, contract: Contract, so_far: Invoiced, amount_cents: int | None) -> NewLine:
    """The line of a deposit invoice; the agreed deposit when no amount is given."""
    if so_far.final:
        raise Refused("The final invoice is out, so a deposit comes too late.", "Write a final invoice for the rest.")
    if amount_cents is None:
        asked = sum(one.deposit_cents for one in so_far.standing)
        amount_cents = contract.deposit_cents - asked
        if amount_cents <= 0:
            what = "is invoiced already" if asked else "was not agreed"
            raise Refused(f"A deposit on job {of_job.number} {what}.", "Type the amount to ask for one all the same.")
    some_amount(amount_cents, "A deposit")
    return deposit_line(contract, amount_cents)


def progress_part(
    contract: Contract, so_far: Invoiced, amount_cents: int | None, percent: Decimal | None
) -> NewLine:
    """The line of a progress invoice, by its net amount or by so many percent."""
    if amount_cents is None:
        if percent is None:
            raise Refused("A progress invoice asks for a part.", "Type the amount, or so many percent.")
        amount_cents = progress_net(contract, percent)
    some_amount(amount_cents, "A progress invoice")
    left = contract.net_cents - so_far.sales_cents
    if amount_cents > left:
        raise Refused(f"Only {format_money(max(left, 0))} of the agreed price is left to invoice.")
    return progress_line(contract, amount_cents)


def _add(
    edit: Edit, kind: str, on: date, customer_id: int, of_job: Job | None, contract: Contract | None,
    lines: Iterable[NewLine],
) -> int:  # fmt: skip
    firm = fetch_one(edit.conn, Firm, company, 1)
    whom = fetch_one(edit.conn, Customer, customer, customer_id)
    house = fetch_one(edit.conn, Property, property_, of_job.property_id) if of_job else None
    invoice_id = edit.add(
        invoice, kind=kind, customer_id=customer_id, job_id=of_job.id if of_job else None,
        bill_to=_bill_to(whom, house), created_on=on, terms_text="",
        tax_treatment=contract.tax_treatment if contract else firm.tax_treatment,
        tax_percent=contract.tax_percent if contract else firm.tax_percent, tax_place=firm.tax_place,
    )  # fmt: skip
    _add_lines(edit, invoice_id, lines)
    return invoice_id


def _add_lines(edit: Edit, invoice_id: int, lines: Iterable[NewLine], first: int = 1) -> None:
    rows = [
        {
            "invoice_id": invoice_id, "position": first + place, "kind": line.kind, "description": line.description,
            "quantity": ONE, "unit": "", "unit_price": line.unit_price, "net_cents": line.net_cents,
            "taxable_cents": line.taxable_cents, "quote_id": line.quote_id, "earlier_id": line.earlier_id,
        }
        for place, line in enumerate(lines)
    ]  # fmt: skip
    if rows:
        edit.add_many(invoice_line, rows)


def _bill_to(whom: Customer, house: Property | None) -> str:
    if whom.billing_address.strip() or house is None:
        return f"{whom.name}\n{whom.billing_address}".strip()
    tail = " ".join(part for part in (house.region, house.postcode) if part)
    town = ", ".join(part for part in (house.town, tail) if part)
    return "\n".join(part for part in (whom.name, house.street, town) if part)
