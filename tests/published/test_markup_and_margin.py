"""Margin on price and markup on cost.

m = k / (1 + k) and k = m / (1 - m) follow from the two definitions (common practice, no source); every figure is
computed here by hand.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from domain import money


def test_a_margin_of_forty_percent_on_a_cost_of_one_thousand() -> None:
    price = money.price_for_margin(100_000, Decimal(40))
    assert price == 166_667
    assert money.margin_percent(price, 100_000) == 40
    assert money.markup_percent(price, 100_000) == Decimal("66.67")
    assert money.markup_from_margin(Decimal(40)) == Decimal("66.67")


def test_a_markup_of_fifty_percent_on_a_cost_of_one_thousand() -> None:
    price = money.price_for_markup(100_000, Decimal(50))
    assert price == 150_000
    assert money.margin_percent(price, 100_000) == Decimal("33.33")
    assert money.margin_from_markup(Decimal(50)) == Decimal("33.33")


@pytest.mark.parametrize(
    ("margin", "markup"),
    [("0", "0"), ("20", "25"), ("25", "33.33"), ("50", "100"), ("60", "150"), ("75", "300"), ("-25", "-20")],
)
def test_pairs(margin: str, markup: str) -> None:
    assert money.markup_from_margin(Decimal(margin)) == Decimal(markup)
    assert abs(money.margin_from_markup(Decimal(markup)) - Decimal(margin)) <= Decimal("0.01")


def test_a_loss_reads_as_one() -> None:
    assert money.margin_percent(80_000, 100_000) == -25
    assert money.markup_percent(80_000, 100_000) == -20
