"""Lengths, quantities, percentages and radon levels as people type and read them."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.errors import NotUnderstood
from domain.units import (
    bq_to_pci,
    format_length,
    format_percent,
    format_quantity,
    format_radon,
    format_share,
    parse_length_ft,
    parse_percent,
    parse_quantity,
    parse_radon,
    pci_to_bq,
)

FEET = st.decimals(0, 1_000_000, places=3)


@pytest.mark.parametrize(
    ("typed", "feet"),
    [
        ("12'6\"", "12.5"),
        ("12' 6 1/2\"", "12.542"),
        ("12'-6\"", "12.5"),
        ("12'6", "12.5"),
        ("12\u20326\u2033", "12.5"),
        ("12\u20196\u201d", "12.5"),
        ("12 ft 6 in", "12.5"),
        ("12ft6", "12.5"),
        ("12 ft", "12"),
        ("12.5 ft", "12.5"),
        ("12.5", "12.5"),
        ("12 1/2", "12.5"),
        ("12½", "12.5"),
        ("3/4", "0.75"),
        ("6in", "0.5"),
        ('6"', "0.5"),
        ("6''", "0.5"),
        ("3/4 in", "0.063"),
        ("3 m", "9.843"),
        ("250 cm", "8.202"),
        ("75mm", "0.246"),
        ("1,250 ft", "1250"),
    ],
)
def test_lengths_are_read_as_people_type_them(typed: str, feet: str) -> None:
    assert parse_length_ft(typed) == Decimal(feet)


def test_a_bare_length_takes_the_unit_of_the_company() -> None:
    assert parse_length_ft("3", default_unit="m") == Decimal("9.843")
    assert parse_length_ft("18", default_unit="in") == Decimal("1.5")
    assert parse_length_ft("3 ft", default_unit="m") == 3


@pytest.mark.parametrize("typed", ["", "x", "-3", "12'12\"", "1/0", "12,5", "9" * 5_000, "2000000", "' \"", "3 miles"])
def test_what_is_no_length_is_refused_kindly_and_kept(typed: str) -> None:
    with pytest.raises(NotUnderstood) as caught:
        parse_length_ft(typed)
    assert caught.value.typed == typed
    assert len(str(caught.value)) < 200


@given(FEET)
def test_a_printed_length_reads_back(feet: Decimal) -> None:
    assert parse_length_ft(format_length(feet)) == feet


@given(st.integers(0, 192 * 10_000))
def test_feet_and_inches_read_back_to_the_sixteenth(sixteenths: int) -> None:
    feet = parse_quantity(str(Fraction(sixteenths, 192))) if sixteenths else Decimal(0)
    assert abs(parse_length_ft(format_length(feet, "ft-in")) - feet) <= Decimal("0.001")


def test_lengths_are_printed_for_the_reader() -> None:
    assert format_length(Decimal("12.500")) == "12.5 ft"
    assert format_length(Decimal("12.5"), "ft-in") == "12' 6\""
    assert format_length(Decimal("11.999"), "ft-in") == "12'"
    assert format_length(Decimal("0.0625"), "ft-in") == '3/4"'
    assert format_length(Decimal("12.042"), "ft-in") == "12' 1/2\""
    assert format_length(Decimal("12.5"), "m") == "3.81 m"


@given(st.decimals(-(10**9), 10**9, places=3), st.sampled_from(["", "ft", "each", "tube"]))
def test_a_printed_quantity_reads_back(quantity: Decimal, unit: str) -> None:
    assert parse_quantity(format_quantity(quantity, unit), unit) == quantity


def test_quantities() -> None:
    assert parse_quantity("62 ft", "ft") == 62
    assert parse_quantity("1/3") == Decimal("0.333")
    assert parse_quantity("1,250.5") == Decimal("1250.5")
    assert format_quantity(Decimal("100.000"), "ft") == "100 ft"
    assert format_quantity(Decimal("2.500")) == "2.5"
    assert format_quantity(Decimal("1E+3")) == "1,000"


@pytest.mark.parametrize("typed", ["", "abc", "1,25", "1e5", "0.0001", "62 ft", "1/0", "9" * 5_000, "9" * 20])
def test_what_is_no_quantity_is_refused_kindly_and_kept(typed: str) -> None:
    with pytest.raises(NotUnderstood) as caught:
        parse_quantity(typed)
    assert caught.value.typed == typed


@given(st.decimals(-1000, 1000, places=2))
def test_a_printed_percentage_reads_back(percent: Decimal) -> None:
    assert parse_percent(format_percent(percent)) == percent


def test_percentages() -> None:
    assert parse_percent("15") == parse_percent("15%") == parse_percent("15%") == 15
    assert parse_percent("8.875", places=3) == Decimal("8.875")
    assert format_percent(Decimal("15.00")) == "15%"
    assert format_share(Decimal("3.50"), signed=True) == "+3.5%"
    assert format_percent(None) == "\u2013"
    for typed, says in [("", "Type a percentage"), ("8.875", "more than 2 decimals"), ("x", "not a percentage")]:
        with pytest.raises(NotUnderstood, match=says):
            parse_percent(typed)


@pytest.mark.parametrize(
    ("typed", "level"),
    [
        ("4.1", "4.1"),
        ("4.1 pCi/L", "4.1"),
        ("4 p", "4"),
        ("148 Bq/m3", "4"),
        ("152 Bq", "4.108"),
        ("100 bq/m³", "2.703"),
    ],
)
def test_radon_levels_are_read_in_either_unit(typed: str, level: str) -> None:
    assert parse_radon(typed) == Decimal(level)


def test_a_bare_radon_level_takes_the_unit_of_the_company() -> None:
    assert parse_radon("148", "Bq/m3") == 4
    assert parse_radon("4 pCi/L", "Bq/m3") == 4


@pytest.mark.parametrize("typed", ["", "Bq", "<0.4", "-4", "high", "9" * 30])
def test_what_is_no_radon_level_is_refused_kindly_and_kept(typed: str) -> None:
    with pytest.raises(NotUnderstood) as caught:
        parse_radon(typed)
    assert caught.value.typed == typed


@given(st.integers(0, 100_000))
def test_whole_becquerels_survive_storage_in_picocuries(becquerels: int) -> None:
    level = parse_radon(f"{becquerels} Bq/m3")
    assert format_radon(level, "Bq/m3") == f"{becquerels:,} Bq/m³"


@given(st.decimals(0, 10_000, places=2))
def test_a_printed_radon_level_reads_back(level: Decimal) -> None:
    assert parse_radon(format_radon(level)) == level


@given(st.decimals(0, 10_000, places=3))
def test_conversion_there_and_back(level: Decimal) -> None:
    assert bq_to_pci(pci_to_bq(level)) == level


def test_radon_levels_are_printed_with_one_decimal_or_two() -> None:
    assert format_radon(Decimal("4")) == "4.0 pCi/L"
    assert format_radon(Decimal("3.960")) == "3.96 pCi/L"
    assert format_radon(Decimal("4"), "Bq/m3") == "148 Bq/m³"
