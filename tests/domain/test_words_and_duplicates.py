"""Search and likely duplicates forgive case, accents, punctuation and ways of writing a phone number."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.duplicates import KeptCustomer, Traits, likely_duplicates, likeness, street_key
from domain.words import fold, matches, phone_digits, search_text

KEPT = Traits("Wren Halloway", ("(207) 555-0143",), ("wren@example.org",), ("12 Mill Road",))


@pytest.mark.parametrize(
    ("typed", "kept"),
    [("lukasz", "Łukasz"), ("soren", "SØREN"), ("strasse", "Straße"), ("aerie", "Ærie"), ("peña", "pena")],
)
def test_accents_and_case_do_not_hide_a_name(typed: str, kept: str) -> None:
    assert fold(typed) == fold(kept)


@given(st.text(max_size=30))
def test_folding_twice_changes_nothing(text: str) -> None:
    assert fold(fold(text)) == fold(text)


@pytest.mark.parametrize(
    "typed", ["2075550143", "207.555.0143", "+1 (207) 555-0143", "1-207-555-0143", "207 555 0143 x12"]
)
def test_a_phone_number_is_its_digits(typed: str) -> None:
    assert phone_digits(typed) == "2075550143"


@pytest.mark.parametrize("wanted", ["hallo wren", "555 01", "555-0143", "MILL", "26-014", "", "  "])
def test_search_finds_by_any_word_or_part_of_a_number(wanted: str) -> None:
    searched = search_text("Wren Halloway", "12 Mill Road", "26-014", phones=["(207) 555-0143"])
    assert matches(wanted, searched)


@pytest.mark.parametrize("wanted", ["hallo mary", "5550199", "wrenn"])
def test_search_leaves_out_what_does_not_match(wanted: str) -> None:
    assert not matches(wanted, search_text("Wren Halloway", "12 Mill Road", phones=["(207) 555-0143"]))


@pytest.mark.parametrize(
    ("entered", "reasons"),
    [
        (Traits(phones=("207-555-0143",)), ("same phone",)),
        (Traits(mails=(" Wren@Example.org",)), ("same mail",)),
        (Traits(streets=("12 mill rd.",)), ("same street address",)),
        (Traits("halloway, WREN"), ("same name",)),
        (Traits("Wren Haloway"), ("similar name",)),
        (Traits("Wren Haloway", ("2075550143",)), ("same phone", "similar name")),
    ],
)
def test_why_a_customer_may_be_the_same(entered: Traits, reasons: tuple[str, ...]) -> None:
    assert likeness(entered, KEPT)[1] == reasons


@pytest.mark.parametrize(
    "entered",
    [Traits(), Traits("Ren"), Traits("Mara Stillwell"), Traits(phones=("555",)), Traits(streets=("Mill Road",)),
     Traits(mails=("wren",))],
)  # fmt: skip
def test_half_typed_or_common_things_point_at_nobody(entered: Traits) -> None:
    assert likeness(entered, KEPT) == (0, ())


def test_the_likeliest_comes_first_and_there_are_never_many() -> None:
    kept = [KeptCustomer(n, False, Traits(f"Wren Hallowa{n}")) for n in range(9)]
    kept.append(KeptCustomer(99, True, KEPT))
    found = likely_duplicates(Traits("Wren Halloway", ("2075550143",)), kept)
    assert (len(found), found[0].customer_id, found[0].archived) == (4, 99, True)


def test_streets_agree_however_they_are_shortened() -> None:
    assert street_key("4 North Beacon Street") == street_key("4 N. Beacon St")
    assert street_key("4 North Beacon Street") != street_key("5 North Beacon Street")
