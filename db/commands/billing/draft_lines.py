"""The lines of a draft invoice: their words, the amount of a share, extra lines and discounts."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from sqlalchemy import func, select

from db.commands.billing.checks import draft_of
from db.commands.billing.drafts import agreed, deposit_part, progress_part
from db.commands.checks import needed, only, tidied
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.billing.contracts import job_contract
from db.records import fetch_one
from db.tables import invoice_line, job
from domain.billing.drafting import amounts_of, too_much
from domain.billing.records import Invoice, InvoiceLine
from domain.jobs import Job
from domain.money import cents_of, divide_cents, line_cents
from domain.quoting.tax import SEPARATED

_LINE_FIELDS = {"description", "quantity", "unit", "unit_price"}


def change_line(edit: Edit, line_id: int, *, taxed: bool | None = None, **values: Any) -> None:
    """Change description, quantity, unit, unit_price or `taxed` of a line.

    A line from the contract keeps its amount; the amount of a deposit or a progress invoice is its unit price.

    Raises:
        Refused: the invoice is issued, the amount is fixed by the contract, or is none.
    """
    only(values, _LINE_FIELDS)
    line = fetch_one(edit.conn, InvoiceLine, invoice_line, line_id)
    kept = draft_of(edit, line.invoice_id)
    if "description" in values:
        needed(values["description"], "A line says what it is for. Type a few words.")
    moves = {"quantity", "unit_price"} & set(values)
    if moves and kept.kind in ("deposit", "progress"):
        _change_share(edit, kept, line, values)
        return
    if (moves or taxed is not None) and not line.typed:
        raise Refused("This amount comes from what was agreed.", "Add a discount line, or write a change order.")
    if moves or taxed is not None:
        quantity = values.get("quantity", line.quantity)
        net = line_cents(quantity, values.get("unit_price", line.unit_price))
        _check_typed(line.kind, net, quantity)
        was_taxed = line.taxable_cents != 0 if taxed is None else taxed
        values |= {"net_cents": net, "taxable_cents": _taxable(edit, kept, line.kind, net, was_taxed)}
    edit.change(invoice_line, line_id, **tidied(values))


def add_line(
    edit: Edit, invoice_id: int, kind: str, description: str, unit_price: Decimal, *,
    quantity: Decimal = Decimal(1), unit: str = "", taxed: bool = False,
) -> int:  # fmt: skip
    """Add a line and return its id: "extra" on an invoice without a job, or a "discount" (its price below nothing).

    A discount on a job's final invoice is money given up: it is written off on the job when the invoice is issued.
    Its share of the contract's taxed part goes with it.
    """
    kept = draft_of(edit, invoice_id)
    if kind == "extra" and kept.job_id is not None:
        raise Refused(
            "A job's invoice asks for what was agreed.", "Write a change order for what comes on top of it."
        )
    if kind == "discount" and kept.kind not in ("final", "other"):
        raise Refused("A discount belongs on the final invoice.", "Ask for less here instead: change the amount.")
    if kind not in ("extra", "discount"):
        raise Refused("Only extra lines and discounts are typed.", "All else comes from the contract.")
    description = needed(description, "A line says what it is for. Type a few words.")
    net = line_cents(quantity, unit_price)
    _check_typed(kind, net, quantity)
    last = edit.conn.execute(
        select(func.max(invoice_line.c.position)).where(invoice_line.c.invoice_id == invoice_id)
    ).scalar()
    return edit.add(
        invoice_line, invoice_id=invoice_id, position=int(last or 0) + 1, kind=kind, description=description,
        quantity=quantity, unit=unit.strip(), unit_price=unit_price, net_cents=net,
        taxable_cents=_taxable(edit, kept, kind, net, taxed),
    )  # fmt: skip


def remove_line(edit: Edit, line_id: int) -> None:
    """Take a typed line off a draft."""
    line = fetch_one(edit.conn, InvoiceLine, invoice_line, line_id)
    draft_of(edit, line.invoice_id)
    if not line.typed:
        raise Refused("This line comes from what was agreed.", "Remove the draft if it is not to be asked for.")
    edit.remove(invoice_line, line_id)


def _change_share(edit: Edit, kept: Invoice, line: InvoiceLine, values: dict[str, Any]) -> None:
    """A new amount for the one line of a deposit or progress invoice, held against what was agreed."""
    of_job = fetch_one(edit.conn, Job, job, kept.job_id or 0)
    contract, so_far = agreed(edit, of_job)
    amount = cents_of(values.get("unit_price", line.unit_price))
    if kept.kind == "deposit":
        fresh = deposit_part(of_job, contract, so_far, amount)
    else:
        fresh = progress_part(contract, so_far, amount, None)
    total = amounts_of(kept.kind, [fresh], kept.tax_treatment, kept.tax_percent).total_cents
    if problem := too_much(contract, so_far, total):
        raise Refused(problem, "Type a smaller amount, or write a change order for what comes on top.")
    edit.change(
        invoice_line, line.id, description=values.get("description", fresh.description).strip(),
        unit_price=fresh.unit_price, net_cents=fresh.net_cents, taxable_cents=fresh.taxable_cents,
    )  # fmt: skip


def _check_typed(kind: str, net_cents: int, quantity: Decimal) -> None:
    if quantity <= 0:
        raise Refused("A quantity is more than nothing.", "Type how many.")
    if kind == "discount" and net_cents >= 0:
        raise Refused("A discount takes something off.", "Type it with a minus, for example -50.")
    if kind == "extra" and net_cents < 0:
        raise Refused("A line below nothing is a discount.", "Add it as a discount, or credit the earlier invoice.")


def _taxable(edit: Edit, kept: Invoice, kind: str, net_cents: int, taxed: bool) -> int:
    """Taxed part of a typed line: all or nothing of it; a discount on a job takes its share of the contract's."""
    if kept.tax_treatment != SEPARATED:
        return 0
    if kind == "discount" and kept.job_id is not None:
        contract = job_contract(edit.conn, kept.job_id)
        if contract is None or contract.net_cents == 0:
            return 0
        return divide_cents(net_cents * contract.taxable_cents, contract.net_cents)
    return net_cents if taxed else 0
