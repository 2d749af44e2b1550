"""Time as a tired owner types it."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.errors import NotUnderstood
from domain.units import (
    format_hours_decimal,
    format_minutes,
    format_time_of_day,
    parse_minutes,
    parse_time_span,
    parse_time_spans,
)


@pytest.mark.parametrize(
    ("typed", "minutes"),
    [
        ("2h15", 135),
        ("2h", 120),
        ("2:15", 135),
        ("2.25", 135),
        ("150m", 150),
        ("45 min", 45),
        ("8:15-10:30", 135),
        ("8:15am-1pm", 285),
        ("2 1/2 h", 150),
        ("2½", 150),
        ("1/2 h", 30),
        ("1h 30m", 90),
        ("3 h 10", 190),
        ("1 hour and 5 minutes", 65),
        ("1.5 hrs", 90),
        ("2H5", 125),
        ("0", 0),
        ("24", 1440),
        ("40h", 2400),
        ("2.33", 140),
        ("815-1030", 135),
        ("8:15 to 10", 105),
        ("08:00 \u2013 09:00", 60),
        ("22-24", 120),
        ("10pm-1am", 180),
        ("11pm-12am", 60),
        ("8-10pm", 120),
        ("11-1pm", 120),
        ("8am-1", 300),
        ("8am-10", 120),
        ("1pm-5", 240),
        ("8am-13:30", 330),
        ("12am-1am", 60),
        ("11:30am-12", 30),
        ("8:00 a.m. - 9:00 p.m.", 780),
        ("7-3", 480),
        ("8:15-2:45", 390),
        ("8-5", 540),
        ("10-1", 180),
        ("12:30-4", 210),
        ("7-6", 660),
        ("7a-3p", 480),
        ("8 to 12", 240),
        ("8 till 12", 240),
        ("from 8 to noon", 240),
        ("noon-4", 240),
        ("8-12 and 12:30-4", 450),
        ("8-12, 12:30-4", 450),
        ("8-12 & 1-4", 420),
        ("8-12 + 1-4:30", 450),
        ("7-9; 10-12; 1-3", 360),
        ("8am-12pm and 1pm-4pm", 420),
        ("2 1/4", 135),
        ("1:30", 90),
        ("90 min", 90),
        (",5", 30),
        ("1,5", 90),
        ("1,25 h", 75),
    ],
)
def test_time_is_read_as_people_type_it(typed: str, minutes: int) -> None:
    assert parse_minutes(typed) == minutes


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "Type how long"),
        ("soon", "not a length of time"),
        ("h", "not a length of time"),
        ("1/0", "not a length of time"),
        ("7:5", "not a length of time"),
        ("9" * 5_000, "not a length of time"),
        ("90", "90m for minutes or 90h for hours"),
        ("2h75", "minutes up to 59"),
        ("2:75", "minutes up to 59"),
        ("2.5h15", "minutes up to 59"),
        ("-2h", "less than no time"),
        ("22:00-1:00", "ends before it starts"),
        (" 5 PM - 4 PM ", "5 PM - 4 PM"),
        ("9:30-9:15", "ends before it starts"),
        ("13-4", "ends before it starts"),
        ("7.30-3.30", "with a colon"),
        ("8-12 and 11-1", "overlap"),
        ("8am-12pm and 9am-10am", "overlap"),
        ("8-12 and 12:30", "not a length of time"),
        ("1,5,5", "not a length of time"),
        ("8pm-1", "ends before it starts"),
        ("5pm-4pm", "ends before it starts"),
        ("8-8", "same time"),
        ("25-26", "no clock shows"),
        ("8:61-9", "no clock shows"),
        ("13pm-2pm", "no clock shows"),
        ("0am-1am", "no clock shows"),
        ("200000h", "more than 100,000 hours"),
    ],
)
def test_what_is_no_time_is_refused_kindly_and_kept(typed: str, says: str) -> None:
    with pytest.raises(NotUnderstood, match=says) as caught:
        parse_minutes(typed)
    assert caught.value.typed == typed
    assert len(str(caught.value)) < 200


def test_a_span_keeps_its_two_times() -> None:
    assert parse_time_span("8:15am-1pm") == (495, 780)
    assert parse_time_span("10pm-1am") == (1320, 1500)
    assert parse_time_span("2h15") is None
    assert parse_time_span("-2h") is None


@pytest.mark.parametrize(
    ("typed", "spans"),
    [
        ("1-4", [(13, 16)]),
        ("2-3", [(14, 15)]),
        ("5-7", [(17, 19)]),
        ("5-8", [(17, 20)]),
        ("5-9", [(5, 9)]),  # an early start, or an evening: as the clock says
        ("6-9", [(6, 9)]),
        ("7-3", [(7, 15)]),
        ("5-3", [(5, 15)]),
        ("1a-4", [(1, 4)]),
        ("01-04", [(1, 4)]),
        ("8-12 and 1-4", [(8, 12), (13, 16)]),
        ("1-3, 4-6", [(13, 15), (16, 18)]),
        ("5-7 and 8-12", [(5, 7), (8, 12)]),
        ("4-6 and 7-9", [(4, 6), (7, 9)]),
    ],
)
def test_a_stretch_of_the_afternoon_needs_no_pm(typed: str, spans: list[tuple[int, int]]) -> None:
    assert parse_time_spans(typed) == tuple((start * 60, end * 60) for start, end in spans)


@given(st.integers(60, 719), st.integers(1, 660))
def test_a_stretch_of_the_afternoon_is_placed_there_and_its_minutes_are_right(start: int, minutes: int) -> None:
    """Whatever half of day is meant, the minutes are the same; only what the working day cannot hold stays early."""
    end = start + minutes
    if end > 12 * 60:
        return
    typed = f"{start // 60}:{start % 60:02}-{end // 60}:{end % 60:02}"
    assert parse_minutes(typed) == minutes
    later = start < 6 * 60 and end + 12 * 60 <= 20 * 60
    assert parse_time_span(typed) == ((start + 720, end + 720) if later else (start, end))


@given(st.integers(0, 719), st.integers(1, 720))
def test_a_working_stretch_without_am_or_pm_is_what_the_clock_says(start: int, minutes: int) -> None:
    """Written as a wall clock shows it, a stretch that crosses noon is read as it was worked, or refused."""
    end = start + minutes
    if start < 60 or end <= 12 * 60:
        return
    typed = f"{format_time_of_day(start)}-{(end - 60) % 720 // 60 + 1}:{end % 60:02}"
    if (end - 60) % 720 + 60 >= 720:  # twelve something: not before its start
        assert parse_minutes(typed) == minutes
        return
    try:
        assert parse_minutes(typed) in (minutes, minutes - 720)
    except NotUnderstood:
        assert minutes > 11 * 60 or minutes == 720


MINUTES_OF_DAY = st.integers(0, 1439)


@given(MINUTES_OF_DAY, MINUTES_OF_DAY)
def test_a_span_on_the_clock_is_its_difference(first: int, second: int) -> None:
    start, end = sorted((first, second))
    typed = f"{format_time_of_day(start):0>5}-{format_time_of_day(end):0>5}"  # a clock of 24 hours
    if start == end:
        with pytest.raises(NotUnderstood):
            parse_time_span(typed)
    else:
        assert parse_time_span(typed) == (start, end)


def twelve_hours(minute: int) -> str:
    hour, rest = divmod(minute, 60)
    return f"{hour % 12 or 12}:{rest:02}{'pm' if hour >= 12 else 'am'}"


@given(MINUTES_OF_DAY, MINUTES_OF_DAY)
def test_marked_halves_of_the_day_pass_midnight_only_from_pm_to_am(start: int, end: int) -> None:
    typed = f"{twelve_hours(start)}-{twelve_hours(end)}"
    if end > start:
        assert parse_minutes(typed) == end - start
    elif start >= 720 > end:
        assert parse_minutes(typed) == end + 1440 - start
    else:
        with pytest.raises(NotUnderstood):
            parse_minutes(typed)


@given(st.integers(-6_000_000, 6_000_000), st.booleans())
def test_a_printed_duration_reads_back(minutes: int, signed: bool) -> None:
    assert parse_minutes(format_minutes(minutes, signed), allow_negative=True) == minutes


@given(st.integers(0, 24 * 60))
def test_decimal_hours_read_back_to_the_minute(minutes: int) -> None:
    assert parse_minutes(format_hours_decimal(minutes)) == minutes


@given(st.text(alphabet="0123456789:hm.-/ apto½,+", max_size=14))
def test_any_text_is_read_or_refused_never_a_crash(typed: str) -> None:
    with suppress(NotUnderstood):
        assert parse_minutes(typed) >= 0


def test_printing() -> None:
    assert [format_minutes(m) for m in (0, 45, 60, 65, 190, -190)] == [
        "0 min",
        "45 min",
        "1 h",
        "1 h 05",
        "3 h 10",
        "-3 h 10",
    ]
    assert format_minutes(190, signed=True) == "+3 h 10"
    assert format_minutes(0, signed=True) == "0 min"
    assert format_hours_decimal(135) == "2.25"
    assert format_hours_decimal(10) == "0.17"
