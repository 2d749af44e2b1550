"""What a new invoice says: its lines from the contract and from what was invoiced before, its tax and totals."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from domain.billing.amounts import Amounts
from domain.billing.contract import Contract
from domain.billing.invoiced import Invoiced, Standing
from domain.billing.records import InvoiceLine
from domain.money import divide_cents, format_money, percent_of
from domain.quoting.tax import SEPARATED, tax_of
from domain.units import format_percent


@dataclass(frozen=True, slots=True)
class NewLine:
    """A line as the contract makes it: quantity one, at its net amount."""

    kind: str
    description: str
    net_cents: int
    taxable_cents: int = 0
    quote_id: int | None = None
    earlier_id: int | None = None

    @property
    def unit_price(self) -> Decimal:
        """The net amount in dollars."""
        return Decimal(self.net_cents).scaleb(-2)


def deposit_line(contract: Contract, amount_cents: int) -> NewLine:
    """The one line of a deposit invoice: an advance on the whole, without tax."""
    words = f"Deposit on the agreed {format_money(contract.total_cents)}"
    return NewLine("deposit", words, amount_cents, quote_id=contract.parts[0].quote_id)


def progress_line(contract: Contract, net_cents: int) -> NewLine:
    """The one line of a progress invoice: a share of the contract's net price, with its share of the taxed part."""
    whole = contract.net_cents
    taxable = divide_cents(net_cents * contract.taxable_cents, whole) if whole else 0
    share = f", {format_percent(Decimal(divide_cents(net_cents * 10_000, whole)).scaleb(-2))} of it" if whole else ""
    words = f"Work done so far under the agreed {format_money(whole)}{share}"
    return NewLine("contract", words, net_cents, taxable, contract.parts[0].quote_id)


def progress_net(contract: Contract, percent: Decimal) -> int:
    """So many percent of the contract's net price, half up."""
    return percent_of(contract.net_cents, percent)


def final_lines(contract: Contract, so_far: Invoiced) -> list[NewLine]:
    """Every part of the contract, less each invoice that stands before; deposits once, when first taken off."""
    shares = _shares(contract)
    lines = [
        NewLine(part.kind, part.description, part.net_cents, taxable, part.quote_id)
        for part, taxable in zip(contract.parts, shares, strict=True)
    ]
    return lines + [line for one in so_far.standing if (line := _taken_off(one)) is not None]


def _shares(contract: Contract) -> list[int]:
    """The taxed part over the parts in proportion to their price, to the cent: each the growth of a rounded sum."""
    shares, so_far, given = [], 0, 0
    for part in contract.parts:
        so_far += part.net_cents
        upto = divide_cents(so_far * contract.taxable_cents, contract.net_cents) if contract.net_cents else 0
        shares.append(upto - given)
        given = upto
    if shares:
        shares[-1] += contract.taxable_cents - given
    return shares


def _taken_off(one: Standing) -> NewLine | None:
    if one.kind == "deposit":
        words, net, taxable = f"Less deposit, invoice {one.number}", -one.waiting_cents, 0
    else:
        words, net, taxable = f"Less invoice {one.number}", -one.sales_cents, -one.taxable_cents
        if one.kind == "final":
            words += ", with the deposit it took off" if one.deposit_cents else ""
    return NewLine("earlier", words, net, taxable, earlier_id=one.invoice_id) if net or taxable else None


def amounts_of(
    kind: str,
    lines: Iterable[InvoiceLine | NewLine],
    tax_treatment: str,
    tax_percent: Decimal,
    contract: Contract | None = None,
    so_far: Invoiced | None = None,
) -> Amounts:
    """Net, taxed part and tax of a draft.

    Tax is rounded once, on the sum of what is taxed (`domain.quoting.tax.tax_of`). A deposit is an advance and bears
    none. A final invoice asks for the contract's tax, as the accepted papers told it, less what was taxed before.
    """
    lines = list(lines)
    net = sum(line.net_cents for line in lines)
    taxable = sum(line.taxable_cents for line in lines)
    if kind == "deposit" or tax_treatment != SEPARATED:
        return Amounts(net, 0, 0)
    if kind == "final" and contract is not None and so_far is not None:
        given = sum(line.taxable_cents for line in lines if line.kind == "discount" and line.quote_id is None)
        return Amounts(net, taxable, contract.tax_cents - so_far.tax_cents + tax_of(given, tax_percent))
    return Amounts(net, taxable, tax_of(taxable, tax_percent))


def same_as_drafted(lines: Iterable[InvoiceLine], wanted: Iterable[NewLine]) -> bool:
    """True when a final draft still says what contract and earlier invoices say now; wording and discounts aside."""
    drafted = [
        (line.kind, line.net_cents, line.taxable_cents, line.quote_id, line.earlier_id)
        for line in lines
        if not line.typed
    ]
    now = [(line.kind, line.net_cents, line.taxable_cents, line.quote_id, line.earlier_id) for line in wanted]
    return drafted == now


def too_much(contract: Contract, so_far: Invoiced, total_cents: int) -> str:
    """Say kindly why a deposit or progress invoice asks for more than was agreed; "" when it does not."""
    left = contract.total_cents - so_far.total_cents
    if total_cents <= left:
        return ""
    if left <= 0:
        return f"All of the agreed {format_money(contract.total_cents)} is invoiced already."
    return f"With {format_money(total_cents)} more than was agreed would be invoiced: {format_money(left)} is left."
