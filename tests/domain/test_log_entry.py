"""What is typed into the log: read, printed, compared, for every length and place in the day."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.errors import NotUnderstood
from domain.log_entry import (
    DAY_MINUTES,
    Stretch,
    TypedHours,
    TypedUse,
    day_problem,
    format_hours,
    minutes_problem,
    parse_hours,
    parse_typed_use,
    parse_use,
    timer_minutes,
)

DAY = date(2026, 11, 12)
lengths = st.integers(1, DAY_MINUTES)
minutes_of_day = st.integers(0, DAY_MINUTES - 1)


@given(lengths)
def test_a_length_reads_back_as_itself(minutes):
    assert parse_hours(format_hours(minutes, None)) == TypedHours(minutes)


@given(minutes_of_day, st.integers(1, DAY_MINUTES - 1))
def test_a_stretch_within_the_day_reads_back_with_its_place(began, minutes):
    if began + minutes < DAY_MINUTES:
        assert parse_hours(format_hours(minutes, began)) == TypedHours(minutes, began)


@given(st.integers(12 * 60, DAY_MINUTES - 1), st.integers(1, 12 * 60 - 1))
def test_an_evening_past_midnight_reads_back_with_its_place(began, minutes):
    if DAY_MINUTES <= began + minutes < DAY_MINUTES + 12 * 60:
        assert parse_hours(format_hours(minutes, began)) == TypedHours(minutes, began)


@pytest.mark.parametrize("text", ["", "  ", "0", "0h", "0m"])
def test_nothing_typed_is_no_entry(text):
    assert parse_hours(text) is None


@pytest.mark.parametrize("text", ["25h", "1441m", "soon", "8:15-8:15", "-2"])
def test_what_is_no_time_of_a_day_is_said_and_kept(text):
    with pytest.raises(NotUnderstood) as told:
        parse_hours(text)
    assert told.value.typed == text


stretches = st.builds(Stretch, st.dates(DAY, DAY + timedelta(days=2)), minutes_of_day, lengths)


@given(stretches, stretches)
def test_meeting_is_mutual(one, other):
    assert one.meets(other) == other.meets(one)


@given(stretches)
def test_every_stretch_meets_itself_and_not_its_neighbour(one):
    assert one.meets(one)
    after = one.began + one.minutes
    neighbour = Stretch(one.day + timedelta(days=after // DAY_MINUTES), after % DAY_MINUTES, 30)
    assert not one.meets(neighbour)


@given(stretches, stretches)
def test_meeting_means_that_some_minute_is_in_both(one, other):
    def minutes(stretch):
        start = stretch.day.toordinal() * DAY_MINUTES + stretch.began
        return range(start, start + stretch.minutes)

    a, b = minutes(one), minutes(other)
    assert one.meets(other) == (max(a.start, b.start) < min(a.stop, b.stop))


@given(st.integers(0, 200_000), st.sampled_from([1, 5, 6, 15, 30]))
def test_the_clock_rounds_to_the_nearest_step(seconds, step):
    minutes = timer_minutes(datetime(2026, 11, 12, 6), datetime(2026, 11, 12, 6) + timedelta(seconds=seconds), step)
    assert minutes % step == 0
    assert abs(minutes * 60 - seconds) <= step * 30


def test_a_clock_set_back_never_gives_less_than_no_time():
    assert timer_minutes(datetime(2026, 11, 12, 8), datetime(2026, 11, 12, 7)) == 0


@pytest.mark.parametrize(
    ("text", "used"),
    [("a", 22), ("All", 22), ("0", 0), ("none", 0), ("n", 0), ("12", 12), ("12 ft", 12), ("1/2", Decimal("0.5"))],
)
def test_all_some_or_none(text, used):
    assert parse_use(text, Decimal(22), "ft") == used


@pytest.mark.parametrize(
    ("text", "unit", "typed"),
    [
        ("2 @ 4.10", "ft", TypedUse(Decimal(2), "", Decimal("4.1000"), "")),
        ("2@$4.10 till 8812", "ft", TypedUse(Decimal(2), "", Decimal("4.1000"), "till 8812")),
        ("3 boxes @ 11", "", TypedUse(Decimal(3), "boxes", Decimal(11), "")),
        ("3 boxes", "", TypedUse(Decimal(3), "boxes", None, "")),
        ("1 1/2 roll @ 8", "", TypedUse(Decimal("1.5"), "roll", Decimal(8), "")),
        ("all", "ft", TypedUse(Decimal(22), "", None, "")),
    ],
)
def test_a_use_with_its_price_and_receipt(text, unit, typed):
    assert parse_typed_use(text, Decimal(22), unit) == typed


@pytest.mark.parametrize("text", ["3 boxes", "2 @ much", "2 @ -4", "-2", "@ 4"])
def test_a_use_that_cannot_be_read_is_said(text):
    with pytest.raises(NotUnderstood):
        parse_typed_use(text, Decimal(22), "ft")


def test_days_and_lengths_that_cannot_be_have_their_reason():
    assert "not come yet" in day_problem(DAY + timedelta(days=1), DAY, DAY)
    assert "opened on" in day_problem(DAY - timedelta(days=1), DAY, DAY)
    assert day_problem(DAY, DAY, DAY) == ""
    assert day_problem(DAY + timedelta(days=1), DAY, None) == ""
    assert minutes_problem(1) == minutes_problem(DAY_MINUTES) == ""
    assert minutes_problem(0)
    assert minutes_problem(DAY_MINUTES + 1)
