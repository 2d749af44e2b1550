"""The steps back from a closing: reckoned back and forward they agree, and each state is told as it is."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.calendar.steps_back import (
    DONE,
    EARLY,
    LATE,
    LOST,
    ON_COURSE,
    OPEN,
    UNMARKED,
    Booking,
    JobDates,
    StepsBack,
    earliest_end,
    job_dates,
    latest_moments,
    needs_result,
    steps_back,
    when_words,
    with_monitor_instead,
)
from domain.calendar.timing import TimingRules, timing_rules
from domain.calendar.visits import Visit, moment

MONDAY = date(2026, 5, 18)
CLOSING = date(2026, 6, 1)  # a Monday, two weeks later
DAY_WORK = 480
LAB = timing_rules(MONDAY, (), DAY_WORK)
MONITOR = timing_rules(MONDAY, (), DAY_WORK, by_monitor=True)

hours = st.integers(0, 96).map(lambda number: number * 60)
rules = st.builds(
    lambda begin, length, work, **more: TimingRules(
        day_begins=begin, day_ends=min(begin + length, 1439), day_work=work, **more
    ),
    begin=st.integers(0, 700), length=st.integers(0, 700), work=st.integers(60, 720), after_fan=hours,
    closed_house=hours, test=hours, result=hours, closing=st.integers(0, 1439),
)  # fmt: skip
moments = st.integers(0, 30 * 24 * 60).map(lambda minute: moment(MONDAY, minute))


@given(rules, st.integers(1, 3000), st.integers(0, 60))
def test_work_begun_at_its_latest_moment_meets_the_day_and_a_minute_later_does_not(
    given_rules: TimingRules, work: int, days: int
) -> None:
    due = MONDAY + timedelta(days=days)
    for with_result in (True, False):
        latest = latest_moments(due, work, given_rules, with_result)
        goal = latest.result if with_result else latest.fan
        dates = JobDates(work_minutes=work)
        assert earliest_end(latest.work, dates, given_rules, with_result) <= goal
        assert earliest_end(latest.work + timedelta(minutes=1), dates, given_rules, with_result) > goal


@given(rules, moments, st.integers(1, 3000))
def test_work_fills_a_day_after_the_other_and_no_more(given_rules: TimingRules, start: datetime, work: int) -> None:
    end = given_rules.work_ends(start, work)
    assert end > start
    least_days = -(-work // given_rules.day_work) - 1
    assert (end - start) >= timedelta(days=least_days) - timedelta(days=1)
    back = given_rules.work_begins(end, work)
    assert back >= start or given_rules.work_ends(back, work) == end


@given(rules, moments)
def test_nobody_is_asked_to_come_at_night(given_rules: TimingRules, when: datetime) -> None:
    before, after = given_rules.within_day(when), given_rules.next_in_day(when)
    assert before <= when <= after
    for one in (before, after):
        assert given_rules.day_begins <= one.hour * 60 + one.minute <= given_rules.day_ends


@given(rules, st.integers(1, 1000), st.integers(0, 40))
def test_the_steps_stand_in_their_order_with_the_hours_of_the_rules_between(
    given_rules: TimingRules, work: int, days: int
) -> None:
    latest = latest_moments(MONDAY + timedelta(days=days), work, given_rules)
    assert latest.work < latest.fan <= latest.placed <= latest.picked <= latest.result
    assert latest.placed - latest.fan >= timedelta(minutes=given_rules.after_fan)
    assert latest.placed - latest.fan >= timedelta(minutes=given_rules.closed_house)
    assert latest.picked - latest.placed >= timedelta(minutes=given_rules.test)


def test_two_weeks_to_closing_by_hand() -> None:
    """Closing Mon Jun 1, 9 am; four days for the laboratory: picked up Thu May 28, 9 am; 48 h before: Tue May 26,
    9 am; fan on 24 h before: Mon May 25, 9 am; a day's work of 8 h with one hour on that day: Sun May 24, 9 am."""
    latest = latest_moments(CLOSING, DAY_WORK, LAB)
    assert latest.result == datetime(2026, 6, 1, 9)
    assert latest.picked == datetime(2026, 5, 28, 9)
    assert latest.placed == datetime(2026, 5, 26, 9)
    assert latest.fan == datetime(2026, 5, 25, 9)
    assert latest.work == datetime(2026, 5, 24, 9)


def told(dates: JobDates, today: date = MONDAY, reason: str = "closing date", due: date = CLOSING) -> StepsBack:
    return steps_back(reason, due, today, dates, LAB)


def at(day: int, hour: int, length: int = 1, done: bool = False, month: int = 5) -> Booking:
    start = datetime(2026, month, day, hour)
    return Booking(start, start + timedelta(hours=length), done)


def test_nothing_booked_yet_tells_when_the_work_must_begin() -> None:
    found = told(JobDates(DAY_WORK))
    assert found.state == OPEN
    assert found.sentence == "closing date on Mon, Jun 1: the work has to begin by Sun, May 24, 9 am."


def test_all_booked_in_time_is_on_course() -> None:
    found = told(JobDates(DAY_WORK, work=at(20, 8, 8), placed=at(21, 16), picked=at(23, 16)))
    assert [step.state for step in found.steps] == [ON_COURSE] * 5
    assert found.sentence.endswith("everything is booked in time.")


@pytest.mark.parametrize(
    ("dates", "state", "words"),
    [
        (JobDates(DAY_WORK, work=at(25, 8, 8)), LATE, "the work is booked for Mon, May 25, 8 am, later than Sun"),
        (JobDates(DAY_WORK, work=at(20, 8, 8), placed=at(21, 9)), EARLY, "has not run long enough before Thu,"),
        (JobDates(DAY_WORK, work=at(20, 8, 8), placed=at(22, 9), picked=at(24, 8)), EARLY, "is too short before Sun"),
        (JobDates(DAY_WORK, work=at(15, 8, 8)), UNMARKED, "was booked for Fri, May 15, 8 am and is not marked done"),
        (JobDates(DAY_WORK, fan_on=datetime(2026, 5, 15, 16)), OPEN, "the test has to start by Tue, May 26, 9 am"),
        (JobDates(DAY_WORK, work=at(20, 8, 8), electrician=at(26, 8)), LATE, "electrician is booked for Tue, May 26"),
        (JobDates(DAY_WORK, result_at=datetime(2026, 5, 29, 12)), DONE, "the result is in hand"),
        (JobDates(DAY_WORK, result_at=datetime(2026, 6, 2, 12)), LOST, "was missed: the result came Tue, Jun 2, noon"),
    ],
)  # fmt: skip
def test_what_stands_in_the_way_is_named(dates: JobDates, state: str, words: str) -> None:
    found = told(dates)
    assert found.state == state
    assert words in found.sentence


def test_a_test_that_began_too_early_does_not_count() -> None:
    ran = datetime(2026, 5, 20, 16)
    early = JobDates(DAY_WORK, fan_on=ran, placed=at(21, 9, done=True), picked=at(24, 9, done=True))
    well = JobDates(DAY_WORK, fan_on=ran, placed=at(21, 17, done=True), picked=at(24, 9, done=True))
    today = moment(date(2026, 5, 25), 0)
    assert earliest_end(today, well, LAB) == datetime(2026, 5, 28, 9)
    assert earliest_end(today, early, LAB) > datetime(2026, 5, 31)


def test_a_day_that_cannot_be_met_says_so_and_offers_the_monitor_where_it_helps() -> None:
    late = date(2026, 5, 26)
    dates = JobDates(DAY_WORK)
    found = with_monitor_instead(told(dates, today=late), late, dates, MONITOR)
    assert found.state == LOST
    assert not found.can_be_met
    assert "cannot be met any more" in found.sentence
    assert "A continuous monitor could still make it: result by Fri, May 29, 2 pm." in found.sentence
    later = date(2026, 5, 30)
    assert "monitor" not in with_monitor_instead(told(dates, today=later), later, dates, MONITOR).sentence


def test_other_deadlines_wait_for_the_fan_alone() -> None:
    found = told(JobDates(DAY_WORK), reason="inspection", due=date(2026, 5, 22))
    assert [step.key for step in found.steps] == ["work", "fan"]
    assert found.steps[0].latest == datetime(2026, 5, 22, 8)
    assert needs_result("Closing date")
    assert not needs_result("permit")
    run = JobDates(DAY_WORK, fan_on=datetime(2026, 5, 21, 16))
    assert told(run, reason="permit", due=date(2026, 5, 22)).state == DONE
    missed = told(JobDates(DAY_WORK), reason="permit", due=date(2026, 5, 15))
    assert missed.sentence.endswith("cannot be met any more: the fan is on Mon, May 18, 4 pm at the soonest.")


def visit(kind: str, day: date, **more: object) -> Visit:
    values: dict[str, object] = {
        "id": 1, "job_id": 7, "kind": kind, "title": "", "day": day, "starts_at": None, "minutes": 60,
        "travel_minutes": 0, "who": "", "supplier_id": None, "takes_own_time": 1, "note": "", "done_on": None,
        "cancelled_on": None, "uid": "x", "sequence": 0,
    }  # fmt: skip
    return Visit(**(values | more))  # type: ignore[arg-type]


def test_the_facts_of_a_job_become_its_steps() -> None:
    work = [visit("work", MONDAY, minutes=300, starts_at=540), visit("work", MONDAY + timedelta(days=1), minutes=200)]
    off = visit("work", MONDAY - timedelta(days=9), cancelled_on=MONDAY)
    test = visit("test_placed", MONDAY + timedelta(days=4), title="Continuous monitor")
    found = job_dates([*reversed(work), off, test], MONDAY + timedelta(days=1), None, 999, LAB)
    assert found.work_minutes == 500
    assert found.work == Booking(datetime(2026, 5, 18, 9), datetime(2026, 5, 19, 11, 20), False)
    assert found.fan_on == datetime(2026, 5, 19, 11, 20)
    assert found.by_monitor
    cautious = job_dates([], MONDAY, None, 999, LAB)
    assert cautious.fan_on == datetime(2026, 5, 18, 16)
    assert cautious.work_minutes == 999
    assert when_words(datetime(2026, 5, 18, 0, 5)) == "Mon, May 18, 12:05 am"
