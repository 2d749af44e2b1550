"""Dated numbers: the one of the day, the latest when a year is missing, and never one from before the table."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.errors import NotUnderstood
from domain.standards import (
    COMMON_PRACTICE,
    COMPUTED,
    MEMORY,
    READ,
    SECOND_HAND,
    STANDARD_KEYS,
    STANDARDS,
    Standard,
    standard_on,
)


def test_every_row_says_what_it_is_and_where_it_is_from() -> None:
    for row in STANDARDS:
        assert row.unit, row
        assert row.source, row
        assert row.label, row
        assert row.seen in {READ, SECOND_HAND, COMPUTED, MEMORY, COMMON_PRACTICE}, row
        assert row.value > 0, row


def test_no_key_has_two_rows_for_one_day() -> None:
    firsts = [(row.key, row.starts_on) for row in STANDARDS]
    assert len(firsts) == len(set(firsts))


def test_years_follow_each_other_without_a_gap() -> None:
    for key in STANDARD_KEYS:
        rows = sorted((row for row in STANDARDS if row.key == key), key=lambda row: row.starts_on)
        for earlier, later in pairwise(rows):
            assert earlier.known_until == later.starts_on - timedelta(days=1), key


@given(st.sampled_from(STANDARD_KEYS), st.dates(date(2018, 1, 1), date(2040, 12, 31)))
def test_the_number_of_a_day_had_begun_and_nothing_newer_had(key: str, day: date) -> None:
    found = standard_on(key, day)
    assert found.starts_on <= day
    assert not [r for r in STANDARDS if r.key == key and found.starts_on < r.starts_on <= day]
    assert found.is_projected == (found.known_until is not None and day > found.known_until)


def test_a_year_not_in_the_table_uses_the_latest_and_says_so() -> None:
    found = standard_on("social_security_base", date(2031, 3, 1))
    assert found.value == 184_500
    assert found.is_projected
    assert "Carried forward" in found.note
    known = standard_on("social_security_base", date(2026, 12, 31))
    assert not known.is_projected
    assert "Carried forward" not in known.note


def test_a_day_before_the_table_is_refused_kindly() -> None:
    with pytest.raises(NotUnderstood, match="no business mileage rate before"):
        standard_on("mileage_rate", date(2017, 12, 31))


def test_an_unknown_key_is_our_own_mistake() -> None:
    with pytest.raises(KeyError):
        standard_on("no_such_thing", date(2026, 1, 1))


def test_the_owners_own_number_wins_from_its_first_day() -> None:
    own = Standard(
        "support_horizontal_ft", Decimal(6), "ft", "county rule", "", "", date(2024, 5, 1), COMMON_PRACTICE, "supports"
    )
    assert standard_on("support_horizontal_ft", date(2024, 4, 30), [own]).value == 4
    assert standard_on("support_horizontal_ft", date(2024, 5, 1), [own]).value == 6
    same_day = Standard("action_level", Decimal(3), "pCi/L", "own", "", "", date(2018, 1, 1), COMMON_PRACTICE, "level")
    assert standard_on("action_level", date(2026, 1, 1), [same_day]).value == 3
