"""The first day a warning was to be seen tells what that evening knew, and what was typed later does not move it."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from domain.earned_value import WARN_OVER_PERCENT
from domain.first_warning import FirstWarning, first_warning

START = date(2026, 11, 9)
SOLD = [(date.min, 1, 300), (date.min, 2, 300)]


def day(number: int) -> date:
    return START + timedelta(days=number)


def test_an_evening_that_knew_too_little_does_not_warn() -> None:
    logged = [(day(0), 1, 200), (day(1), 1, 90)]
    assert first_warning(SOLD, logged, []) is None, "nothing said is not nothing done"
    found = first_warning(SOLD, logged, [(day(1), 1, Decimal(50))])
    assert found == FirstWarning(day(1), 290, 580 + 300, 600, used_up=False)
    assert found.words == "First visible Tue, Nov 10, 2026: at this pace 14 h 40 of 10 h quoted, with 4 h 50 logged."
    assert found.short_words() == "first visible Nov 10, at this pace 14 h 40"
    assert found.short_words(taken_minutes=15 * 60) == "first visible Nov 10"  # no pace is below what is taken


def test_the_note_of_an_earlier_day_stays_when_a_later_one_follows() -> None:
    logged = [(day(0), 1, 200), (day(1), 1, 90), (day(2), 2, 150)]
    said = [(day(0), 1, Decimal(40)), (day(1), 1, Decimal(100)), (day(2), 2, Decimal(50))]
    found = first_warning(SOLD, logged, said)
    assert found is not None
    assert (found.day, found.whole_minutes) == (day(0), 800)


def test_hours_beyond_the_quote_are_seen_without_a_word() -> None:
    found = first_warning(SOLD, [(day(0), 1, 500), (day(1), 2, 130)], [])
    assert found == FirstWarning(day(1), 630, 500 + 300, 600, used_up=True)
    assert found.words == "First visible Tue, Nov 10, 2026: 10 h 30 of 10 h quoted was logged."
    assert found.short_words() == "first visible Nov 10"


def test_a_change_order_counts_from_its_day() -> None:
    logged = [(day(0), 1, 650)]
    found = first_warning([*SOLD, (day(1), 1, 100)], logged, [])
    assert found is not None
    assert found.day == day(0), "the order was not sold yet"
    assert first_warning([*SOLD, (day(0), 1, 100)], logged, []) is None
    assert first_warning([], logged, []) is None, "without a quote there is nothing to go over"


DAYS = st.integers(0, 6).map(day)
ENTRIES = st.lists(st.tuples(DAYS, st.sampled_from([0, 1, 2]), st.integers(1, 240)), max_size=12)
NOTES = st.lists(st.tuples(DAYS, st.sampled_from([1, 2]), st.integers(0, 100).map(Decimal)), max_size=8)


@given(ENTRIES, NOTES)
def test_what_comes_later_never_changes_what_was_first_seen(
    logged: list[tuple[date, int, int]], said: list[tuple[date, int, Decimal]]
) -> None:
    found = first_warning(SOLD, logged, said)
    for last in range(7):
        known = first_warning(
            SOLD, [one for one in logged if one[0] <= day(last)], [one for one in said if one[0] <= day(last)]
        )
        assert known == (found if found is not None and found.day <= day(last) else None)
    if found is not None and not found.used_up:
        assert 100 * (found.whole_minutes - 600) >= WARN_OVER_PERCENT * 600
