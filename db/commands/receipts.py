"""Books a whole receipt: each line a purchase, onto the truck or straight for a job, and there into the log if used."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from sqlalchemy import func, select

from db.commands.buying import buy
from db.commands.log_materials import log_material
from db.commands.price_list import add_supplier
from db.company_file.problems import Refused
from db.edit import Edit
from db.tables import purchase, supplier
from domain.buying.receipt import ReceiptLine, shared_tax

MOST_TAX = 10**8


def book_receipt(
    edit: Edit, lines: Sequence[ReceiptLine], day: date, today: date, *, supplier_id: int | str | None = None,
    receipt: str = "", tax_cents: int = 0, used: bool = False,
) -> list[int]:  # fmt: skip
    """Note everything on a receipt and return the purchases' ids.

    Args:
        supplier_id: who sold it; a name not known yet is put on the list of suppliers; None: each item's own.
        tax_cents: sales tax of the whole receipt, shared over its lines.
        used: what was bought for a job is used there already: it is entered in the job's log, from this receipt.

    Raises:
        Refused: nothing on it, a line without price or words, a day to come, a receipt that is booked already.
    """
    if not lines:
        raise Refused("There is nothing on the receipt yet.", "Type what was bought.")
    if not 0 <= tax_cents <= MOST_TAX:
        raise Refused("Sales tax is not less than nothing.", "Type it as it stands on the receipt.")
    seller = _supplier(edit, supplier_id)
    _not_booked(edit, seller, receipt.strip(), day)
    bought = []
    for line, tax in zip(lines, shared_tax([line.cents for line in lines], tax_cents), strict=True):
        if line.unit_cost is None:
            raise Refused(f"{line.description} has no price yet.", "Type what was paid for one.")
        purchase_id = buy(
            edit, day, line.item_id, line.quantity, line.unit_cost, today, description=line.description,
            unit=line.unit, supplier_id=seller, receipt=receipt, job_id=line.job_id,
        )  # fmt: skip
        if tax:
            edit.change(purchase, purchase_id, tax_cents=tax)
        bought.append(purchase_id)
        if used and line.job_id is not None:
            log_material(
                edit, line.job_id, day, line.item_id, line.description, line.quantity, line.unit, line.unit_cost,
                "receipt", receipt, today=today,
            )  # fmt: skip
    return bought


def _supplier(edit: Edit, given: int | str | None) -> int | None:
    if not isinstance(given, str):
        return given
    name = " ".join(given.split())
    known = select(supplier.c.id).where(func.lower(supplier.c.name) == name.lower())
    found = edit.conn.execute(known).scalar()
    return int(found) if found is not None else add_supplier(edit, name)


def _not_booked(edit: Edit, supplier_id: int | None, receipt: str, day: date) -> None:
    """Stop the same receipt from being booked twice."""
    if not receipt or supplier_id is None:
        return
    same = purchase.c.receipt == receipt, purchase.c.supplier_id == supplier_id, purchase.c.day == day
    number = edit.conn.execute(select(func.count()).select_from(purchase).where(*same)).scalar_one()
    if number:
        things = "1 thing" if number == 1 else f"{number} things"
        raise Refused(
            f"Receipt {receipt} of that day is booked already, with {things} on it.",
            "Look at Bought lately; for a second one with that number, add a letter to it.",
        )
