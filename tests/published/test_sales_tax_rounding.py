"""Sales tax: carried to the third decimal, up to the next cent when that is greater than four.

Source: Rhode Island General Laws 44-18.1-25, "Uniform rule for tax rounding" (the state's adoption of the Streamlined
Sales and Use Tax Agreement), webserver.rilegislature.gov/Statutes/TITLE44/44-18.1/44-18.1-25.HTM; seen:
the rule of the third decimal, the seller's choice of item or invoice basis, and that it may be applied to
state and local tax together. The same rule stands in N.D.C.C. 57-39.4-25 and RCW 82.08.054.

The statutes print no worked figures; the amounts below are computed from the rule. The three treatments (none, lump
sum, separated) are common practice, no source: which one applies is for the state's revenue office to say.
"""

from __future__ import annotations

from decimal import ROUND_DOWN, Decimal

import pytest

from domain.quoting.price import build_price
from domain.quoting.tax import tax_of
from tests.domain.test_quote_price import plain_job


@pytest.mark.parametrize(
    ("dollars_of_tax", "cents"),
    [("0.1249", 12), ("0.1250", 13), ("0.1240", 12), ("0.1244999", 12), ("0.1299", 13), ("0.0049", 0), ("0.0050", 1)],
)
def test_the_third_decimal_decides(dollars_of_tax: str, cents: int) -> None:
    base_cents = 100_000
    percent = Decimal(dollars_of_tax) * 100 / (base_cents // 100)
    assert tax_of(base_cents, percent) == cents


def test_every_cent_of_a_thousand_dollars_follows_the_rule_done_by_hand() -> None:
    percent = Decimal("8.875")
    for cents in range(0, 100_000, 7):
        carried = (Decimal(cents) / 100 * percent / 100).quantize(Decimal("0.001"), ROUND_DOWN)
        third = int(carried * 1000) % 10
        by_hand = int(carried * 100) + (1 if third > 4 else 0)
        assert tax_of(cents, percent) == by_hand


def test_the_invoice_basis_taxes_the_sum_once() -> None:
    """Ours is the invoice basis: one tax on all materials. Item by item the same goods could differ by cents."""
    items = [107, 107, 107]
    by_item = sum(tax_of(cents, Decimal(7)) for cents in items)
    by_invoice = tax_of(sum(items), Decimal(7))
    assert (by_item, by_invoice) == (21, 22)


@pytest.mark.parametrize(
    ("treatment", "cost_cents", "tax_cents"), [("none", 40000, 0), ("lump_sum", 41200, 0), ("separated", 40000, 2000)]
)
def test_each_treatment_puts_the_tax_in_its_own_place(treatment: str, cost_cents: int, tax_cents: int) -> None:
    totals = build_price(plain_job(tax_treatment=treatment, tax_percent=Decimal(6))).alone
    assert (totals.cost_cents, totals.tax_cents) == (cost_cents, tax_cents)
