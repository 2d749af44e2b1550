"""Net, taxed part and tax of an invoice, and how an amount is split into them."""

from __future__ import annotations

from dataclasses import dataclass

from domain.money import divide_cents


@dataclass(frozen=True, slots=True)
class Amounts:
    """Net, its taxed part, and the tax."""

    net_cents: int
    taxable_cents: int
    tax_cents: int

    @property
    def total_cents(self) -> int:
        """Tax included."""
        return self.net_cents + self.tax_cents

    def negative(self) -> Amounts:
        """The same amounts below nothing."""
        return Amounts(-self.net_cents, -self.taxable_cents, -self.tax_cents)


def split(total_cents: int, whole: Amounts) -> Amounts:
    """Split an amount with tax in it by the proportions of a whole: tax and taxed part rounded half up, rest net.

    Common practice, no source: part of a price carries its part of the tax. No tax where the whole is nothing.
    """
    if whole.total_cents == 0:
        return Amounts(total_cents, 0, 0)
    tax = divide_cents(total_cents * whole.tax_cents, whole.total_cents)
    taxable = divide_cents(total_cents * whole.taxable_cents, whole.total_cents)
    return Amounts(total_cents - tax, taxable, tax)
