"""Sales tax by place and rate: what was taxed, and the tax invoiced, credited and lost with bad debts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from sqlalchemy import Connection, case, func, select

from db.tables import bad_debt, invoice


@dataclass(frozen=True, slots=True)
class TaxPlace:
    """One place at one rate over a period; credits are taken off."""

    place: str
    percent: Decimal
    taxable_cents: int
    invoiced_cents: int  # tax on invoices
    credited_cents: int  # tax on credit notes, below nothing
    lost_cents: int  # tax of bad debts, as a positive amount

    @property
    def due_cents(self) -> int:
        """What is to be paid over; whether lost tax may be left out is for the state's revenue office to say."""
        return self.invoiced_cents + self.credited_cents - self.lost_cents


def tax_by_place(conn: Connection, first: date, last: date) -> list[TaxPlace]:
    """Every place and rate something was taxed at in a period, by name. Two statements."""
    credit = invoice.c.kind == "credit_note"
    keys = (invoice.c.tax_place, invoice.c.tax_percent)
    rows: dict[tuple[str, Decimal], list[int]] = {}
    query = (
        select(
            *keys, func.sum(invoice.c.taxable_cents),
            func.sum(case((credit, 0), else_=invoice.c.tax_cents)),
            func.sum(case((credit, invoice.c.tax_cents), else_=0)),
        )
        .where(invoice.c.issued_on.between(first, last), (invoice.c.tax_cents != 0) | (invoice.c.taxable_cents != 0))
        .group_by(*keys)
    )  # fmt: skip
    for place, percent, *sums in conn.execute(query):
        rows[place, percent] = [*sums, 0]
    lost = (
        select(*keys, func.sum(bad_debt.c.tax_cents))
        .select_from(bad_debt.join(invoice, invoice.c.id == bad_debt.c.invoice_id))
        .where(bad_debt.c.day.between(first, last), bad_debt.c.tax_cents != 0)
        .group_by(*keys)
    )
    for place, percent, cents in conn.execute(lost):
        rows.setdefault((place, percent), [0, 0, 0, 0])[3] = cents
    return [TaxPlace(*key, *sums) for key, sums in sorted(rows.items())]
