"""Quantities on a customer's paper and on the lists are words a person says; sums are made from the exact ones."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.buying import make_pull_sheet, make_shopping_list
from domain.units.lengths import format_inches, parse_length_ft
from domain.units.said import MEASURED, OPENED, customer_name, customer_quantity, held_quantity, needed_quantity
from tests.domain.test_buying import DAY, ONE, TWO, need

PIECES = ("each", "joint", "wire connector", "elbow", "stick")
many = st.decimals("0.001", "5000", places=3)


@pytest.mark.parametrize(
    ("quantity", "unit", "words"),
    [("10.932", "ft", "10.9 ft"), ("12", "ft", "12 ft"), ("0.02", "ft", "0.1 ft"), ("-10.95", "ft", "-11 ft"),
     ("700.04", "sq ft", "700 sq ft"), ("1.04", "foot", "1 foot"), ("10.932", "feet", "10.9 feet"),
     ("3.15", "wire connector", "4 wire connectors"), ("0.4", "wire connector", "1 wire connector"),
     ("3.15", "each", "4"), ("0.3", "each", "1"), ("-3.15", "each", "-3"), ("-0.4", "each", ""),
     ("0.05", "quart", ""), ("1.3", "Quarts", ""), ("0.25", "10 oz tube", ""),
     ("2", "quart", "2 quarts"), ("1", "can", "1 can"), ("2.333", "hour", "2 h 20"), ("0.5", "day", "0.5 day")],
)  # fmt: skip
def test_a_customer_reads_words_not_arithmetic(quantity: str, unit: str, words: str) -> None:
    assert customer_quantity(Decimal(quantity), unit) == words


def test_a_thing_without_a_quantity_is_named_without_its_pack() -> None:
    assert customer_name("Solvent cement, quart", "quart") == "Solvent cement"
    assert customer_name("Elbow, each", "each") == "Elbow, each"


@given(many, st.sampled_from([*PIECES, *sorted(OPENED), *sorted(MEASURED)]))
def test_what_is_said_is_never_finer_than_one_can_measure(quantity: Decimal, unit: str) -> None:
    for words in (customer_quantity(quantity, unit), needed_quantity(quantity, unit)):
        number = words.partition(" ")[0].replace(",", "").removeprefix("<")
        if words and unit in MEASURED:
            assert abs(Decimal(number) - quantity) <= Decimal("0.1")
        elif words:
            assert quantity <= int(number) < quantity + 1


@given(many, st.sampled_from(PIECES))
def test_what_is_held_never_claims_a_piece_that_is_cut(quantity: Decimal, unit: str) -> None:
    assert quantity - 1 < int(held_quantity(quantity, unit).partition(" ")[0].replace(",", "")) <= quantity
    assert held_quantity(Decimal("0.95"), "quart") == "0.95 quart"


def test_of_one_opened_pack_several_jobs_take_their_part() -> None:
    said = [needed_quantity(Decimal(part), "quart") for part in ("0.05", "0.1", "1", "1.3")]
    assert said == ["<1 quart", "<1 quart", "1 quart", "2 quarts"]


def test_the_lists_ask_for_whole_pieces_and_keep_what_is_bought_exact() -> None:
    needs = [need(1, "3.15", item_id=None, unit="each"), need(2, "0.35", item_id=None, unit="each")]
    shopping = make_shopping_list(DAY, DAY, [ONE, TWO], needs, {})
    (row,) = shopping.lines
    assert (row.quantity, row.buy, row.pieces, row.cost_cents) == (Decimal("3.5"), "3.5", "4", 1400)
    assert shopping.why(row) == "4 for 26-001, 1 for 26-002"
    sheet = make_pull_sheet(DAY, [ONE, TWO], needs, {})
    assert (sheet.lines[0].need, sheet.lines[0].take) == (Decimal("3.5"), "4")
    assert sheet.shares_in_words(sheet.lines[0]) == "26-001 4 · 26-002 1"


@pytest.mark.parametrize(
    ("inches", "words"),
    [("0.25", '1/4"'), ("3.88", '3 7/8"'), ("0", '0"'), ("14", "1' 2\""), ("0.02", 'less than 1/16"'), ("-2", '-2"'),
     ("0.03125", '1/16"'), ("11.99", "1'")],
)  # fmt: skip
def test_a_fall_reads_like_a_tape(inches: str, words: str) -> None:
    assert format_inches(Decimal(inches)) == words


@given(st.decimals("0.032", "600", places=3))
def test_a_fall_said_is_within_half_a_sixteenth(inches: Decimal) -> None:
    assert abs(parse_length_ft(format_inches(inches)) * 12 - inches) <= Decimal("0.0375")  # and feet to three places
