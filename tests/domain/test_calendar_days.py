"""What a day holds, what overlaps, and the bounds of the way between two houses."""

from __future__ import annotations

import math
from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from domain.calendar.clashes import FULL, ORDER, OVERLAP, TIGHT, clashes, drive_between, order_clashes
from domain.calendar.days import add_months, calendar_days, capacity_of, month_grid, week_of
from domain.calendar.hours import parse_clock
from domain.calendar.visits import KIND_WORDS, USUAL_MINUTES, VISIT_KINDS, PlannedVisit, Visit, time_words
from domain.errors import NotUnderstood
from domain.units import format_clock

DAY = date(2026, 5, 19)
days = st.dates(date(2000, 1, 1), date(2199, 12, 1))


def visit(number: int = 1, **more: object) -> Visit:
    values: dict[str, object] = {
        "id": number, "job_id": number, "kind": "work", "title": "", "day": DAY, "starts_at": 480, "minutes": 60,
        "travel_minutes": 0, "who": "", "supplier_id": None, "takes_own_time": 1, "note": "", "done_on": None,
        "cancelled_on": None, "uid": str(number), "sequence": 0,
    }  # fmt: skip
    return Visit(**(values | more))  # type: ignore[arg-type]


def planned(one: Visit) -> PlannedVisit:
    return PlannedVisit(one, "26-001", "Attic", "Ada Quill", "1 Elm St")


stretches = st.builds(
    lambda number, start, minutes, travel: visit(
        number, starts_at=start, minutes=min(minutes, 1440 - start), travel_minutes=travel
    ),
    st.integers(2, 9), st.integers(0, 1438), st.integers(1, 600), st.integers(0, 240),
)  # fmt: skip


@given(stretches, stretches)
def test_two_visits_clash_the_same_whichever_is_being_put(first: Visit, second: Visit) -> None:
    if first.id == second.id:
        return
    ways = [clashes(one, [planned(other)], 10_000) for one, other in ((first, second), (second, first))]
    assert [clash.kind for clash in ways[0]] == [clash.kind for clash in ways[1]]
    share = set(range(first.starts_at, first.ends_at)) & set(range(second.starts_at, second.ends_at))  # type: ignore[arg-type]
    if share:
        assert ways[0][0].kind == OVERLAP


@given(
    st.floats(0.1, 3.0), st.floats(0.1, 3.0), st.floats(0, 6.3)
)
def test_the_way_between_two_houses_lies_within_its_bounds(first: float, second: float, angle: float) -> None:
    """Two houses at a distance from home and an angle between: the straight way at one mile a minute."""
    a, b = (visit(number, travel_minutes=round(far * 60) * 2) for number, far in ((1, first), (2, second)))
    one, two = a.travel_minutes / 2, b.travel_minutes / 2
    between = math.sqrt(max(one * one + two * two - 2 * one * two * math.cos(angle), 0))
    least, most = drive_between(a, b)
    assert least - 1e-6 <= between <= most + 1e-6


def test_the_drive_between_is_told_by_how_sure_it_is() -> None:
    near = planned(visit(2, starts_at=600, travel_minutes=20))
    assert [one.kind for one in clashes(visit(1, travel_minutes=20), [near], 999)] == []
    assert [one.kind for one in clashes(visit(1, minutes=110, travel_minutes=20), [near], 999)] == [TIGHT]
    far = clashes(visit(1, minutes=110, travel_minutes=120), [near], 999)
    assert [one.kind for one in far] == [OVERLAP]
    assert far[0].is_hard
    assert far[0].words == (
        "10 min between this and Work · Ada Quill, 10 am to 11 am, and the drive takes 50 min at least."
    )
    same_job = planned(visit(2, job_id=1, starts_at=600, travel_minutes=20))
    assert clashes(visit(1, minutes=120, travel_minutes=20), [same_job], 999) == []


def test_who_is_not_there_himself_is_in_nobodys_way_but_cannot_be_at_two_places() -> None:
    electrician = visit(2, kind="electrician", takes_own_time=0, who="Volt & Vine")
    assert clashes(visit(1), [planned(electrician)], 999) == []
    twice = clashes(visit(3, kind="electrician", takes_own_time=0, who="volt & vine "), [planned(electrician)], 999)
    assert [one.kind for one in twice] == [OVERLAP]
    assert twice[0].words.startswith("Volt & Vine cannot be at two places")
    by_firm = [visit(number, takes_own_time=0, supplier_id=4) for number in (1, 2)]
    assert clashes(by_firm[0], [planned(by_firm[1])], 999)


def test_called_off_visits_and_the_visit_itself_are_passed_over() -> None:
    others = [planned(visit(2, cancelled_on=DAY)), planned(visit(1)), planned(visit(3, day=DAY + timedelta(days=1)))]
    assert clashes(visit(1), others, 60) == []


@given(st.lists(st.tuples(st.integers(1, 300), st.integers(0, 100), st.booleans()), max_size=6), st.integers(0, 900))
def test_a_day_is_full_exactly_when_its_hours_are_more_than_fit(
    others: list[tuple[int, int, bool]], capacity: int
) -> None:
    stand = [
        planned(visit(n + 2, starts_at=None, minutes=m, travel_minutes=t, takes_own_time=int(mine)))
        for n, (m, t, mine) in enumerate(others)
    ]
    one = visit(1, starts_at=None)
    used = one.minutes + sum(m + t for m, t, mine in others if mine)
    assert bool([c for c in clashes(one, stand, capacity) if c.kind == FULL]) is (used > capacity)
    day = calendar_days(DAY, DAY, [*stand, planned(one)], [], capacity, 7)[0]
    assert day.used_minutes == used
    assert day.over_minutes == (max(used - capacity, 0) if capacity else 0)


def test_what_must_come_first_is_told() -> None:
    placed = visit(2, kind="test_placed", day=DAY + timedelta(days=2))
    picked = visit(3, kind="test_picked_up", day=DAY + timedelta(days=1))
    assert [one.words for one in order_clashes(picked, [placed])] == ["Pick up test before place test."]
    assert [one.kind for one in order_clashes(placed, [picked])] == [ORDER]
    assert order_clashes(picked, [visit(4, kind="test_placed", day=DAY)]) == []
    assert order_clashes(visit(5, kind="inspection"), [visit(6, starts_at=None)]) == []


@given(days)
def test_weeks_begin_on_monday_and_a_month_is_shown_in_whole_weeks(day: date) -> None:
    first, last = week_of(day)
    assert (first.weekday(), last.weekday()) == (0, 6)
    assert first <= day <= last
    begin, end = month_grid(day)
    assert (begin.weekday(), end.weekday()) == (0, 6)
    assert begin <= day.replace(day=1)
    assert end >= add_months(day.replace(day=1), 1) - timedelta(days=1)
    assert (end - begin).days + 1 in (28, 35, 42)


@given(days, st.integers(-500, 500))
def test_a_month_further_keeps_the_day_or_takes_the_last(day: date, months: int) -> None:
    if not 2 <= day.year + months // 12 <= 9000:
        return
    moved = add_months(day, months)
    assert (moved.year * 12 + moved.month) - (day.year * 12 + day.month) == months
    assert moved.day == day.day or (moved + timedelta(days=1)).day == 1


def test_hours_fit_on_working_days_only() -> None:
    assert [capacity_of(DAY + timedelta(days=n), 480, 5) for n in range(-1, 6)] == [480] * 5 + [0, 0]


def test_hours_are_said_as_people_say_them() -> None:
    said = ["midnight", "8 am", "noon", "1:30 pm", "11:59 pm"]
    assert [format_clock(minute) for minute in (0, 480, 720, 810, 1439)] == said
    assert time_words(visit(starts_at=None)) == "any time"
    assert time_words(visit()) == "8 am to 9 am"
    assert set(KIND_WORDS) == set(USUAL_MINUTES) == set(VISIT_KINDS)


@given(st.integers(0, 1439))
def test_an_hour_that_is_shown_reads_back(minute: int) -> None:
    assert parse_clock(format_clock(minute)) == minute
    assert parse_clock(f"{minute // 60:02}:{minute % 60:02}") == minute


def test_hours_are_read_as_people_type_them() -> None:
    typed = ["8", "830", "8:30", "8.30", "1", "1am", "5:15", "12", "12am", "13:00", " Noon ", "7 P.M."]
    hours = [480, 510, 510, 510, 780, 60, 1035, 720, 0, 780, 720, 1140]
    assert [parse_clock(text) for text in typed] == hours


@given(st.text(max_size=12))
def test_what_is_no_hour_is_refused_in_words(text: str) -> None:
    try:
        minute, said = parse_clock(text), ""
    except NotUnderstood as problem:
        minute, said = 0, str(problem)
    assert 0 <= minute < 1440
    assert not said or "Write it like" in said
