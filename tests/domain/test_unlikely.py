"""What is possible and unlikely is questioned, and the ordinary figures of the trade never are."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from db.starter.files import table_rows
from domain.units import parse_radon
from domain.units.radon import unlikely_radon
from domain.unlikely import (
    amount_doubt,
    asked,
    changed_doubt,
    done_on,
    miles_doubt,
    minutes_doubt,
    payment_doubt,
    percent_doubt,
    price_doubt,
    quantity_doubt,
    quote_price_doubt,
    tax_doubt,
)

TODAY = date(2026, 11, 30)


@pytest.mark.parametrize(
    ("quantity", "unit", "name", "odd"),
    [
        ("100", "each", "Radial fan, medium suction, 4 in", True),
        ("2", "each", "Radial fan, medium suction, 4 in", False),
        ("5000", "ft", "Pipe, 4 in, Schedule 40", True),
        ("62", "ft", "Pipe, 4 in, Schedule 40", False),
        ("1400", "sq ft", "Membrane", False),
        ("61", "each", "Elbow", True),
        ("60", "each", "Elbow", False),
        ("41", "tube", "Sealant", True),
        ("-41", "tube", "Sealant", True),
    ],
)
def test_so_much_of_one_thing(quantity: str, unit: str, name: str, odd: bool) -> None:
    assert bool(quantity_doubt(Decimal(quantity), unit, name)) is odd


def test_beside_what_is_usual_only_ten_times_as_much_is_odd() -> None:
    assert quantity_doubt(Decimal(99), "ft", usual=Decimal(10)) == ""
    assert quantity_doubt(Decimal(100), "ft", usual=Decimal(10)) == "100 ft: usual is 10 ft."
    assert quantity_doubt(Decimal(900), "ft", usual=Decimal(100)) == "", "more than usual, and known as such"


def test_a_price_beside_the_one_that_is_known() -> None:
    assert price_doubt(Decimal("26.80"), Decimal("2.68")) == "$26.80 for one; the list says $2.68."
    assert price_doubt(Decimal("0.27"), Decimal("2.68"))
    assert price_doubt(Decimal("3.90"), Decimal("2.68")) == ""
    assert price_doubt(Decimal("3.90"), None) == ""


@pytest.mark.parametrize(
    ("words", "odd"),
    [
        (payment_doubt(28_000_00, 2_800_00), True), (payment_doubt(2_800_00, 2_800_00), False),
        (percent_doubt(Decimal(300)), True), (percent_doubt(Decimal(30)), False), (percent_doubt(Decimal(-5)), True),
        (miles_doubt(Decimal(900)), True), (miles_doubt(Decimal(140)), False),
        (minutes_doubt(13 * 60), True), (minutes_doubt(90, 60), False), (minutes_doubt(660, 60), True),
        (amount_doubt(6_000_000), True), (amount_doubt(480_000), False),
        (done_on(lambda: TODAY)(date(2026, 12, 1)), True), (done_on(lambda: TODAY)(date(2025, 11, 30)), True),
        (done_on(lambda: TODAY)(TODAY), False),
        (unlikely_radon(parse_radon("4000")), True), (unlikely_radon(parse_radon("0")), True),
        (unlikely_radon(parse_radon("0.2")), False), (unlikely_radon(parse_radon("310")), False),
    ],
)  # fmt: skip
def test_figures_of_a_hurry(words: str, odd: bool) -> None:
    assert bool(words) is odd
    assert asked(words).endswith("Enter says yes.") is odd


def test_nothing_in_the_starting_library_is_odd() -> None:
    for row in table_rows("items.csv"):
        assert not percent_doubt(Decimal(row["waste"]), Decimal(50)), row
    for row in table_rows("factors.csv"):
        for name, percent in row.items():
            assert name == "task" or not percent or not percent_doubt(Decimal(percent), Decimal(250), Decimal(50))


@pytest.mark.parametrize(
    ("cents", "cost", "before", "odd"),
    [
        (30_350_000, 236_700, 303_500, True), (3_035_000, 236_700, 303_500, True), (30_350, 236_700, 303_500, True),
        (303_500, 236_700, 30_350_000, False), (303_500, 236_700, 0, False), (295_000, 236_700, 303_500, False),
        (473_400, 236_700, 303_500, False), (1_000_000, 236_700, 303_500, True), (303_500, 0, 25_000, False),
    ],
)  # fmt: skip
def test_a_price_beside_the_cost_and_the_one_before(cents: int, cost: int, before: int, odd: bool) -> None:
    assert bool(quote_price_doubt(cents, cost, before)) is odd


def test_an_amount_put_right_and_sales_tax() -> None:
    assert changed_doubt(638_000, 6_380) == "$6,380.00; before it was $63.80."
    assert changed_doubt(6_830, 6_380) == changed_doubt(638_000, 0) == ""
    assert tax_doubt(999_900, 8_992) == "$9,999.00 is a lot of sales tax on $89.92."
    assert tax_doubt(1_348, 8_992) == tax_doubt(100, 0) == ""
    assert tax_doubt(1_349, 8_992)
