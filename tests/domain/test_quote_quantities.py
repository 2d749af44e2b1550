"""Minutes and quantities of quote lines: the standard, its factors, waste, and the words that explain them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.quoting.quantities import (
    combined_factor,
    minutes_in_words,
    quantity_in_words,
    quantity_with_waste,
    standard_minutes,
)
from domain.quoting.recount import recount_labour, recount_material
from domain.quoting.state import quote_state, state_in_words
from tests.domain.test_quote_price import labour, material, quote

percents = st.decimals(50, 300, places=2)


def test_factors_multiply() -> None:
    assert combined_factor([]) == 100
    assert combined_factor([Decimal(130), Decimal(120)]) == 156
    assert combined_factor([Decimal("133.33"), Decimal("133.33")]) == Decimal("177.77")


@given(st.lists(percents, max_size=4))
def test_the_order_of_conditions_does_not_matter(factors: list[Decimal]) -> None:
    assert combined_factor(factors) == combined_factor(reversed(factors))


@given(st.decimals(0, 1000, places=3), st.decimals(0, 500, places=3), percents)
def test_minutes_are_rounded_once(quantity: Decimal, each: Decimal, factor: Decimal) -> None:
    exact = Fraction(quantity) * Fraction(each) * Fraction(factor) / 100
    assert abs(standard_minutes(quantity, each, factor) - exact) <= Fraction(1, 2)


def test_half_a_minute_goes_up() -> None:
    assert standard_minutes(Decimal("0.5"), Decimal(45), Decimal(100)) == 23


def test_twelve_joints_in_a_low_crawl() -> None:
    assert standard_minutes(Decimal(12), Decimal(9), Decimal(160)) == 173
    words = minutes_in_words(Decimal(12), "joint", Decimal("9.000"), Decimal("160.00"), "low crawl")
    assert words == "12 joints × 9 min × 1.6 low crawl"
    assert minutes_in_words(Decimal(1), "each", Decimal(35), Decimal(100), "") == "1 × 35 min"


def test_waste_is_kept_to_three_places_and_never_rounded_up_to_packs() -> None:
    assert quantity_with_waste(Decimal(62), Decimal(10)) == Decimal("68.200")
    assert quantity_with_waste(Decimal("0.333"), Decimal("7.5")) == Decimal("0.358")
    assert quantity_in_words(Decimal(62), "ft", Decimal(10)) == "62 ft + 10%"
    assert quantity_in_words(Decimal(2), "each", Decimal(0)) == "2"


def test_an_override_stands_beside_the_standard_and_goes_away_again() -> None:
    line = recount_labour(labour(60), quantity=Decimal(2), override_minutes=200)
    assert (line.standard_minutes, line.minutes) == (120, 200)
    assert recount_labour(line, override_minutes=None).minutes == 120


def test_more_net_or_more_waste_is_more_material() -> None:
    line = recount_material(material("10", "2"), waste_percent=Decimal(15))
    assert line.quantity == Decimal("11.500")
    assert recount_material(line, net_quantity=Decimal(20)).quantity == Decimal("23.000")


@pytest.mark.parametrize(
    ("dates", "state"),
    [
        ({}, "draft"),
        ({"sent_on": date(2026, 3, 1), "expires_on": date(2026, 3, 10)}, "sent"),
        ({"sent_on": date(2026, 3, 1), "expires_on": date(2026, 3, 9)}, "expired"),
        ({"sent_on": date(2026, 3, 1), "expires_on": date(2026, 3, 9), "accepted_on": date(2026, 3, 5)}, "accepted"),
        ({"sent_on": date(2026, 3, 1), "declined_on": date(2026, 3, 5)}, "declined"),
    ],
)
def test_the_state_follows_from_the_dates(dates: dict[str, date], state: str) -> None:
    assert quote_state(replace(quote(), **dates), date(2026, 3, 10)) == state


def test_the_state_in_words_names_the_day() -> None:
    assert state_in_words(quote(), date(2026, 3, 10)) == "draft"
    assert state_in_words(quote(sent_on=date(2026, 3, 3)), date(2026, 3, 10)) == "sent Mar 3, 2026"
