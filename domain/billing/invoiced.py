"""How far a job is invoiced: what stands of each issued invoice, deposits and sales told apart."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from domain.billing.contract import Contract
from domain.billing.records import Invoice, InvoiceLine
from domain.quoting.tax import tax_of


@dataclass(frozen=True, slots=True)
class Standing:
    """What stands of an issued invoice of a job: itself less what was credited because it was invoiced wrongly.

    Attributes:
        sales_cents: what it invoiced of the contract, before deposits were taken off.
        deposit_cents: deposits asked for (positive) or taken off (negative).
        taxable_cents, tax_cents: of the contract's tax.
        waiting_cents: of a deposit: what no final invoice has taken off yet.
    """

    invoice_id: int
    kind: str
    number: str
    sales_cents: int
    deposit_cents: int
    taxable_cents: int
    tax_cents: int
    waiting_cents: int = 0

    @property
    def gone(self) -> bool:
        """Credited away completely."""
        return not (self.sales_cents or self.deposit_cents or self.tax_cents)


@dataclass(frozen=True, slots=True)
class Invoiced:
    """How far a contract is invoiced."""

    standing: tuple[Standing, ...]

    @property
    def sales_cents(self) -> int:
        """Invoiced of the contract's net price."""
        return sum(one.sales_cents for one in self.standing)

    @property
    def deposits_cents(self) -> int:
        """Deposits invoiced and not yet taken off by a final invoice."""
        return sum(one.deposit_cents for one in self.standing)

    @property
    def taxable_cents(self) -> int:
        """Taxed part invoiced."""
        return sum(one.taxable_cents for one in self.standing)

    @property
    def tax_cents(self) -> int:
        """Tax invoiced."""
        return sum(one.tax_cents for one in self.standing)

    @property
    def total_cents(self) -> int:
        """All that was asked for so far."""
        return self.sales_cents + self.deposits_cents + self.tax_cents

    @property
    def final(self) -> bool:
        """A final invoice stands."""
        return any(one.kind == "final" and not one.gone for one in self.standing)

    def complete(self, contract: Contract) -> bool:
        """Everything that was agreed is invoiced, and no deposit waits to be taken off."""
        same = (self.sales_cents, self.tax_cents) == (contract.net_cents, contract.tax_cents)
        return self.final and same and self.deposits_cents == 0


def deposit_part(lines: Iterable[InvoiceLine], deposit_ids: Iterable[int]) -> int:
    """The part of some lines that is deposit: asked for, or taken off again (negative).

    The rest of the lines is sales. The books post the two apart: a deposit is owed to the customer until the final
    invoice turns it into a sale.
    """
    known = set(deposit_ids)
    return sum(
        line.net_cents
        for line in lines
        if line.kind == "deposit" or (line.kind == "earlier" and line.earlier_id in known)
    )


def invoiced(invoices: Sequence[Invoice], lines: Iterable[InvoiceLine]) -> Invoiced:
    """What stands of a job's issued invoices, in their order.

    A credit that gives money up takes nothing back, and a discount given on an invoice counts as invoiced: neither
    is asked for again. Both stand in the job's margin as written off.
    """
    by_invoice: dict[int, list[InvoiceLine]] = {}
    for line in lines:
        by_invoice.setdefault(line.invoice_id, []).append(line)
    issued = [one for one in invoices if one.issued]
    deposits = {one.id for one in issued if one.kind == "deposit"}
    wrong: dict[int | None, list[Invoice]] = {}
    for one in issued:
        if one.kind == "credit_note" and not one.gives_up:
            wrong.setdefault(one.credits_id, []).append(one)
    taken: dict[int | None, int] = {}
    for one in issued:
        for line in by_invoice.get(one.id, ()):
            if line.kind == "earlier" and line.earlier_id in deposits:
                taken[line.earlier_id] = taken.get(line.earlier_id, 0) + line.net_cents
    standing = []
    for one in issued:
        if one.kind == "credit_note":
            continue
        parts = [_parts(each, by_invoice.get(each.id, ()), deposits) for each in (one, *wrong.get(one.id, ()))]
        sales, deposit, taxable, tax = (sum(column) for column in zip(*parts, strict=True))
        waiting = deposit + taken.get(one.id, 0) if one.kind == "deposit" else 0
        standing.append(Standing(one.id, one.kind, one.number or "", sales, deposit, taxable, tax, waiting))
    return Invoiced(tuple(standing))


def _parts(one: Invoice, lines: Iterable[InvoiceLine], deposits: set[int]) -> tuple[int, int, int, int]:
    """Sales, deposit, taxed part and tax of an invoice or credit note, discounts typed on it added back."""
    lines = tuple(lines)
    given = [line for line in lines if line.kind == "discount" and line.quote_id is None]
    given_taxable = sum(line.taxable_cents for line in given)
    deposit = deposit_part(lines, deposits)
    sales = (one.net_cents or 0) - deposit - sum(line.net_cents for line in given)
    tax = (one.tax_cents or 0) - tax_of(given_taxable, one.tax_percent)
    return sales, deposit, (one.taxable_cents or 0) - given_taxable, tax
