"""Taking an issued invoice back with a credit note, in part or whole; never undone, so numbers run without a gap."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from sqlalchemy import func, select

from db.commands.billing.checks import free_number, issued_of, possible_day, some_amount
from db.commands.billing.giving_up import give_up, lines_of
from db.commands.billing.job_days import refresh_job_days
from db.commands.billing.matching import free_up, settle
from db.commands.checks import count_where, needed
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.billing.contracts import job_contract, job_invoiced
from db.queries.billing.open_items import open_cents
from db.records import fetch_all
from db.tables import bad_debt, invoice, invoice_line
from domain.billing.amounts import Amounts, split
from domain.billing.numbers import CREDITS
from domain.billing.records import Invoice, InvoiceLine
from domain.money import format_money


def credit_invoice(
    edit: Edit, invoice_id: int, on: date, reason: str, *, gives_up: bool, amount_cents: int | None = None,
    today: date | None = None,
) -> int:  # fmt: skip
    """Credit an issued invoice, in whole (no amount) or in part, and return the credit note's id. Never undone.

    Args:
        gives_up: True: the money will not be asked for again, and its net part is written off on the job. False: it
            was invoiced wrongly, and what was agreed is still to be invoiced. Without a job it makes no difference.
        amount_cents: tax included; split by the proportions of the contract.

    What payments had settled of the credited amount is the customer's credit again, the last payment first.

    Raises:
        Refused: a draft, no reason, no amount or more than the invoice, an impossible day, or a deposit at a time
            when that kind of credit makes no sense.
    """
    kept = issued_of(edit, invoice_id)
    reason = needed(reason, "Say in a few words why it is credited; it stands on the credit note.")
    possible_day(on, kept.issued_on, f"{kept.name} is of", today)
    creditable = _creditable(edit, kept)
    whole = amount_cents is None or amount_cents == creditable
    amount = creditable if amount_cents is None else amount_cents
    if creditable <= 0 and (kept.total_cents > 0 or count_where(edit.conn, invoice, invoice.c.credits_id == kept.id)):
        raise Refused(f"{kept.name} is credited or written off already.", "There is nothing left to credit.")
    if amount_cents is not None or gives_up:
        some_amount(amount, "A credit")
    if amount > creditable:
        raise Refused(f"Of {kept.name} {format_money(creditable)} can be credited.", "Type that or less.")
    waiting = _deposit_waiting(edit, kept, gives_up)
    credit_id = _credit_row(edit, kept, on, reason)
    if gives_up and kept.job_id is not None:
        amounts = _share(edit, kept, amount, wrong=False)
        number = edit.conn.execute(select(invoice.c.number).where(invoice.c.id == credit_id)).scalar_one()
        write_off_id = give_up(edit, kept.job_id, on, amounts.net_cents, f"Credit note {number}: {reason}")
        edit.change(invoice, credit_id, write_off_id=write_off_id)
        _one_line(edit, credit_id, kept, "contract", amounts)
    elif whole and not waiting:
        amounts = _mirror(edit, credit_id, kept, on)
    else:
        amounts = Amounts(amount, 0, 0) if waiting else _share(edit, kept, amount, wrong=True)
        _one_line(edit, credit_id, kept, "deposit" if waiting else "contract", amounts)
    edit.change(
        invoice, credit_id, net_cents=-amounts.net_cents, taxable_cents=-amounts.taxable_cents,
        tax_cents=-amounts.tax_cents,
    )  # fmt: skip
    free_up(edit, kept.id, amounts.total_cents - open_cents(edit.conn, kept.id), on)
    settle(edit, kept.id, on, amounts.total_cents, credit_id=credit_id)
    refresh_job_days(edit, kept.job_id)
    edit.make_final()
    return credit_id


def _creditable(edit: Edit, kept: Invoice) -> int:
    """The invoice's total less what was credited and written off of it before."""
    credits = edit.conn.execute(
        select(func.coalesce(func.sum(invoice.c.net_cents + invoice.c.tax_cents), 0)).where(
            invoice.c.credits_id == kept.id
        )
    ).scalar_one()
    debts = edit.conn.execute(
        select(func.coalesce(func.sum(bad_debt.c.net_cents + bad_debt.c.tax_cents), 0)).where(
            bad_debt.c.invoice_id == kept.id
        )
    ).scalar_one()
    return kept.total_cents + int(credits) - int(debts)


def _deposit_waiting(edit: Edit, kept: Invoice, gives_up: bool) -> bool:
    """True for a deposit that no final invoice has taken off; refuses the kind of credit it cannot have."""
    if kept.kind != "deposit" or kept.job_id is None:
        return False
    standing = {one.invoice_id: one for one in job_invoiced(edit.conn, kept.job_id).standing}[kept.id]
    waiting = standing.waiting_cents > 0
    if waiting and gives_up:
        raise Refused(
            "A deposit is only an advance: nothing is sold by it that could be given up.",
            "Credit it as invoiced wrongly; what is given up of the price belongs on the final invoice.",
        )
    if not waiting and not gives_up:
        raise Refused(
            "The final invoice has taken this deposit off.",
            "Credit the final invoice, or choose that the money is given up.",
        )
    return waiting


def _share(edit: Edit, kept: Invoice, amount: int, *, wrong: bool) -> Amounts:
    """An amount split by the contract, without a job by the invoice; what was invoiced too much keeps its own split."""
    contract = job_contract(edit.conn, kept.job_id) if kept.job_id is not None else None
    if contract is None or kept.job_id is None:
        return split(amount, Amounts(kept.net_cents or 0, kept.taxable_cents or 0, kept.tax_cents or 0))
    if wrong:
        so_far = job_invoiced(edit.conn, kept.job_id)
        over = Amounts(
            so_far.sales_cents - contract.net_cents, so_far.taxable_cents - contract.taxable_cents,
            so_far.tax_cents - contract.tax_cents,
        )  # fmt: skip
        if over.total_cents == amount:
            return over
    return split(amount, contract.amounts)


def _credit_row(edit: Edit, kept: Invoice, on: date, reason: str) -> int:
    number = free_number(edit, invoice.c.number, CREDITS, on)
    return edit.add(
        invoice, kind="credit_note", number=number, customer_id=kept.customer_id, job_id=kept.job_id,
        bill_to=kept.bill_to, payer_id=kept.payer_id, payer_reference=kept.payer_reference, created_on=on,
        issued_on=on, due_on=on, tax_treatment=kept.tax_treatment, tax_percent=kept.tax_percent,
        tax_place=kept.tax_place, credits_id=kept.id, reason=reason, net_cents=0, taxable_cents=0, tax_cents=0,
    )  # fmt: skip


def _one_line(edit: Edit, credit_id: int, kept: Invoice, kind: str, amounts: Amounts) -> None:
    whole = amounts.total_cents == kept.total_cents
    edit.add_many(
        invoice_line, [_line(credit_id, 1, kind, f"{'' if whole else 'Part of '}{kept.name}", amounts.negative())]
    )


def _line(invoice_id: int, position: int, kind: str, description: str, amounts: Amounts) -> dict[str, object]:
    return {
        "invoice_id": invoice_id, "position": position, "kind": kind, "description": description, "quantity": 1,
        "unit": "", "unit_price": Decimal(amounts.net_cents).scaleb(-2), "net_cents": amounts.net_cents,
        "taxable_cents": amounts.taxable_cents,
    }  # fmt: skip


def _mirror(edit: Edit, credit_id: int, kept: Invoice, on: date) -> Amounts:
    """Take back all that is left of an invoice: each line below nothing, and what was credited before above it."""
    earlier = fetch_all(edit.conn, Invoice, invoice, invoice.c.credits_id == kept.id, invoice.c.id != credit_id)
    rows = [_turned(credit_id, place, line) for place, line in enumerate(lines_of(edit, kept.id), 1)]
    if debts := _written_off(edit, kept):
        rows.append(_line(credit_id, len(rows) + 1, "contract", "Written off before", debts))
    for one in earlier:
        back = Amounts(-(one.net_cents or 0), -(one.taxable_cents or 0), -(one.tax_cents or 0))
        rows.append(_line(credit_id, len(rows) + 1, "contract", f"Credited before with {one.number}", back))
    edit.add_many(invoice_line, rows)
    given = -sum(line.net_cents for line in lines_of(edit, kept.id) if line.kind == "discount" and not line.quote_id)
    if given and kept.job_id is not None:
        give_up(edit, kept.job_id, on, -given, f"Discount of invoice {kept.number}, which was credited")
    tax = (kept.tax_cents or 0) + sum(one.tax_cents or 0 for one in earlier) - (debts.tax_cents if debts else 0)
    net, taxable = (-sum(int(str(row[name])) for row in rows) for name in ("net_cents", "taxable_cents"))
    return Amounts(net, taxable, tax)


def _written_off(edit: Edit, kept: Invoice) -> Amounts | None:
    net, tax = edit.conn.execute(
        select(func.sum(bad_debt.c.net_cents), func.sum(bad_debt.c.tax_cents)).where(bad_debt.c.invoice_id == kept.id)
    ).one()
    return None if net is None else Amounts(int(net), 0, int(tax))


def _turned(credit_id: int, place: int, line: InvoiceLine) -> dict[str, object]:
    return {
        "invoice_id": credit_id, "position": place, "kind": line.kind, "description": line.description,
        "quantity": line.quantity, "unit": line.unit, "unit_price": -line.unit_price, "net_cents": -line.net_cents,
        "taxable_cents": -line.taxable_cents, "quote_id": line.quote_id, "earlier_id": line.earlier_id,
    }  # fmt: skip
