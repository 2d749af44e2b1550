"""Amounts: reading, printing, the one rounding rule, margin and markup."""

from __future__ import annotations

from contextlib import suppress
from decimal import ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain import money
from domain.errors import NotUnderstood

CENTS = st.integers(-money.LARGEST_CENTS, money.LARGEST_CENTS)
QUANTITIES = st.decimals(-100_000, 100_000, places=3)
UNIT_COSTS = st.decimals(0, 100_000, places=4)
PERCENTS = st.decimals(-500, 500, places=2)


def half_up(value: Fraction) -> int:
    """The rule by another road: decimal's own half-up rounding, with digits to spare."""
    with localcontext() as context:
        context.prec = 80
        exact = Decimal(value.numerator) / Decimal(value.denominator)
        return int(exact.quantize(Decimal(1), ROUND_HALF_UP))


@pytest.mark.parametrize(
    ("typed", "cents"),
    [
        ("1,234.5", 123_450),
        ("$12", 1_200),
        ("(12.00)", -1_200),
        ("-3.25", -325),
        (" 12 ", 1_200),
        ("-$3", -300),
        ("$-3", -300),
        ("($4.10)", -410),
        (".5", 50),
        ("5.", 500),
        ("+7", 700),
        ("12.500", 1_250),
        ("\u22127.05", -705),
    ],
)
def test_amounts_are_read_as_people_type_them(typed: str, cents: int) -> None:
    assert money.parse_money(typed) == cents


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "Type an amount"),
        ("   ", "Type an amount"),
        ("abc", "“abc” is not an amount"),
        ("12,50", "Cents come after a point"),
        ("1,2345", "Cents come after a point"),
        ("1.005", "more than 2 decimals"),
        ("--3", "not an amount"),
        ("(-3)", "not an amount"),
        ("-$-3", "not an amount"),
        ("$", "not an amount"),
        (".", "not an amount"),
        ("1e5", "not an amount"),
        ("nan", "not an amount"),
        ("\u0661\u0662", "not an amount"),
        ("9" * 5_000, "more than this program can keep"),
    ],
)
def test_what_is_no_amount_is_refused_kindly_and_kept(typed: str, says: str) -> None:
    with pytest.raises(NotUnderstood, match=says) as caught:
        money.parse_money(typed)
    assert caught.value.typed == typed
    assert len(str(caught.value)) < 200


@given(CENTS, st.booleans(), st.booleans())
def test_a_printed_amount_reads_back(cents: int, symbol: bool, signed: bool) -> None:
    assert money.parse_money(money.format_money(cents, symbol, signed)) == cents


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused_never_a_crash(typed: str) -> None:
    with suppress(NotUnderstood):
        assert isinstance(money.parse_money(typed), int)


@pytest.mark.parametrize(
    ("cents", "printed"), [(123_450, "$1,234.50"), (-1_200, "-$12.00"), (0, "$0.00"), (-5, "-$0.05"), (7, "$0.07")]
)
def test_printing(cents: int, printed: str) -> None:
    assert money.format_money(cents) == printed


def test_a_gain_can_be_marked_and_the_symbol_left_out() -> None:
    assert money.format_money(1_200, signed=True) == "+$12.00"
    assert money.format_money(-1_200, signed=True) == "-$12.00"
    assert money.format_money(0, signed=True) == "$0.00"
    assert money.format_money(123_450, symbol=False) == "1,234.50"


@given(UNIT_COSTS)
def test_a_printed_unit_cost_reads_back(unit_cost: Decimal) -> None:
    assert money.parse_unit_cost(money.format_unit_cost(unit_cost)) == unit_cost


def test_unit_costs_show_two_to_four_places() -> None:
    assert money.format_unit_cost(Decimal("2.1")) == "$2.10"
    assert money.format_unit_cost(Decimal("0.0875")) == "$0.0875"
    assert money.format_unit_cost(Decimal("-1234.1250")) == "-$1,234.125"
    with pytest.raises(NotUnderstood, match="more than 4 decimals"):
        money.parse_unit_cost("0.08751")


@given(st.integers(), st.integers().filter(bool))
def test_division_rounds_half_away_from_zero(numerator: int, denominator: int) -> None:
    exact = Fraction(numerator, denominator)
    rounded = money.divide_cents(numerator, denominator)
    assert abs(rounded - exact) <= Fraction(1, 2)
    if abs(rounded - exact) == Fraction(1, 2):
        assert abs(rounded) > abs(exact)
    assert money.divide_cents(-numerator, denominator) == -rounded


def test_division_by_nothing_is_an_error() -> None:
    with pytest.raises(ZeroDivisionError):
        money.divide_cents(1, 0)


@given(st.decimals(-(10**12), 10**12, places=6))
def test_rounding_agrees_with_decimal(amount: Decimal) -> None:
    assert money.round_cents(amount) == half_up(Fraction(amount))
    assert money.round_cents(Fraction(amount)) == half_up(Fraction(amount))
    assert money.cents_of(amount) == half_up(Fraction(amount) * 100)


def test_rounding_by_hand() -> None:
    assert money.round_cents(Decimal("12.5")) == 13
    assert money.round_cents(Decimal("-12.5")) == -13
    assert money.round_cents(Fraction(1, 3)) == 0
    assert money.cents_of(Decimal("12.345")) == 1_235


@given(QUANTITIES, UNIT_COSTS)
def test_a_line_is_quantity_times_unit_cost_rounded_once(quantity: Decimal, unit_cost: Decimal) -> None:
    assert money.line_cents(quantity, unit_cost) == half_up(Fraction(quantity) * Fraction(unit_cost) * 100)


@given(st.integers(0, 10**6), st.integers(0, 10**6))
def test_labour_is_minutes_times_rate_over_sixty(minutes: int, rate_cents: int) -> None:
    assert money.labour_cents(minutes, rate_cents) == half_up(Fraction(minutes * rate_cents, 60))


def test_labour_by_hand() -> None:
    assert money.labour_cents(135, 4_800) == 10_800
    assert money.labour_cents(1, 4_830) == 81  # 80.5


@given(CENTS, PERCENTS)
def test_percent_of_an_amount(cents: int, percent: Decimal) -> None:
    assert money.percent_of(cents, percent) == half_up(cents * Fraction(percent) / 100)


def test_there_is_no_margin_without_a_price_and_no_markup_without_a_cost() -> None:
    assert money.margin_percent(0, 500) is None
    assert money.margin_percent(-100, 500) is None
    assert money.markup_percent(500, 0) is None


@given(st.integers(100, 10**9), st.decimals(0, 95, places=2))
def test_a_price_for_a_margin_has_that_margin(cost_cents: int, margin: Decimal) -> None:
    price = money.price_for_margin(cost_cents, margin)
    left = price - cost_cents
    assert abs(Fraction(left) - price * Fraction(margin) / 100) <= Fraction(1, 2)


@given(st.integers(0, 10**9), st.decimals(0, 900, places=2))
def test_a_price_for_a_markup_has_that_markup(cost_cents: int, markup: Decimal) -> None:
    added = money.price_for_markup(cost_cents, markup) - cost_cents
    assert abs(added - cost_cents * Fraction(markup) / 100) <= Fraction(1, 2)


@given(st.decimals(-50, 70, places=2))
def test_margin_and_markup_turn_into_each_other(margin: Decimal) -> None:
    back = money.margin_from_markup(money.markup_from_margin(margin))
    assert abs(back - margin) <= Decimal("0.01")


@pytest.mark.parametrize("percent", ["100", "100.01", "250"])
def test_a_margin_of_a_hundred_percent_is_refused(percent: str) -> None:
    for use in (lambda p: money.price_for_margin(100, p), money.markup_from_margin):
        with pytest.raises(NotUnderstood, match="below 100%"):
            use(Decimal(percent))
    with pytest.raises(NotUnderstood, match="above -100%"):
        money.margin_from_markup(Decimal(-100))
