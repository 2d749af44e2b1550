"""The steps back from a closing date: how late each can still start, and whether the day can still be met.

closing <- result in hand <- test picked up <- test started <- fan on <- work begins. Each latest moment is reckoned
back from the closing by the rules of `domain.calendar.timing`; the earliest result is reckoned forward from what is
done and what is booked. Both ways agree: work begun at its latest moment still meets the day.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from domain.calendar.timing import TimingRules
from domain.calendar.visits import MONITOR, Visit, moment
from domain.dates import format_day
from domain.units import format_clock

DONE, ON_COURSE, OPEN, EARLY, LATE, UNMARKED, LOST = (
    "done", "on course", "open", "too early", "too late", "not marked", "cannot be met",
)  # fmt: skip
STATES = (DONE, ON_COURSE, OPEN, EARLY, LATE, UNMARKED, LOST)

_TITLES = {
    "work": "Work begins",
    "electrician": "Electrician",
    "fan": "Fan on",
    "placed": "Test starts",
    "picked": "Test picked up",
    "result": "Result in hand",
}
_SUBJECTS = {
    "work": ("work", "begin"),
    "electrician": ("electrician", "come"),
    "fan": ("fan", "be on"),
    "placed": ("test", "start"),
    "picked": ("test's pick-up", "be"),
    "result": ("result", "be in hand"),
}
_RESULT_WORDS = ("clos", "settle", "result", "test", "sale", "escrow")


@dataclass(frozen=True, slots=True)
class Booking:
    """When a step is booked or was done."""

    start: datetime
    end: datetime
    done: bool


@dataclass(frozen=True, slots=True)
class JobDates:
    """What is booked and done on a job, as the steps need it."""

    work_minutes: int  # of all the work
    work: Booking | None = None  # first visit's start to the last one's end; done when the fan is on
    fan_on: datetime | None = None  # it runs
    electrician: Booking | None = None
    placed: Booking | None = None
    picked: Booking | None = None
    result_at: datetime | None = None
    by_monitor: bool = False  # the test that is booked or was done uses one


@dataclass(frozen=True, slots=True)
class Step:
    """One step with the latest moment it can start, and what is known of it."""

    key: str
    title: str
    latest: datetime
    planned: datetime | None
    state: str  # one of STATES
    words: str  # one sentence


@dataclass(frozen=True, slots=True)
class StepsBack:
    """All steps of one deadline and what they say together."""

    reason: str
    due_on: date
    steps: tuple[Step, ...]
    state: str  # one of STATES
    earliest: datetime  # the end of the last step, if all that is left is done as soon as it can be
    sentence: str

    @property
    def can_be_met(self) -> bool:
        """False once even the soonest way comes too late."""
        return self.state != LOST

    @property
    def is_well(self) -> bool:
        """Nothing has to be moved."""
        return self.state in (DONE, ON_COURSE, OPEN)


def needs_result(reason: str) -> bool:
    """Whether a deadline waits for a test's result, by its words: a closing, a sale, a result; else for the work."""
    return any(word in reason.casefold() for word in _RESULT_WORDS)


def job_dates(
    visits: Iterable[Visit], installed_on: date | None, result_at: datetime | None, work_minutes: int,
    rules: TimingRules, placed_at: datetime | None = None,
) -> JobDates:  # fmt: skip
    """Gather what the steps need from a job's visits and its kept facts.

    A day without an hour is taken cautiously: the fan is on at the end of the day's work, a visit at its beginning.
    ``placed_at`` is the recorded start of the test after the work, which counts before any visit.
    """
    standing = sorted((one for one in visits if one.stands), key=lambda one: one.starts(rules.day_begins))
    by_kind: dict[str, list[Visit]] = {}
    for one in standing:
        by_kind.setdefault(one.kind, []).append(one)
    work = by_kind.get("work", [])
    fan_on = None
    if installed_on is not None:
        ends = [one.ends(rules.day_begins) for one in work if one.day == installed_on]
        fan_on = max(ends, default=moment(installed_on, rules.day_begins + rules.day_work))
    whole = None
    if work:
        end = max(one.ends(rules.day_begins) for one in work)
        whole = Booking(work[0].starts(rules.day_begins), end, all(one.done_on for one in work))
    placed = _last(by_kind.get("test_placed", []), rules)
    if placed_at is not None:
        placed = Booking(placed_at, placed_at, True)
    tests = [*by_kind.get("test_placed", []), *by_kind.get("test_picked_up", [])]
    return JobDates(
        work_minutes=sum(one.minutes for one in work) or work_minutes,
        work=whole,
        fan_on=fan_on,
        electrician=_last(by_kind.get("electrician", []), rules),
        placed=placed,
        picked=_last(by_kind.get("test_picked_up", []), rules),
        result_at=result_at,
        by_monitor=any(MONITOR in one.title.casefold() for one in tests),
    )


def _last(visits: Sequence[Visit], rules: TimingRules) -> Booking | None:
    if not visits:
        return None
    one = visits[-1]
    return Booking(one.starts(rules.day_begins), one.ends(rules.day_begins), one.done_on is not None)


@dataclass(frozen=True, slots=True)
class _Latest:
    work: datetime
    fan: datetime
    placed: datetime
    picked: datetime
    result: datetime


def latest_moments(due_on: date, work_minutes: int, rules: TimingRules, with_result: bool = True) -> _Latest:
    """How late each step can be, reckoned back from the day."""
    if not with_result:
        end = moment(due_on, rules.day_ends)
        return _Latest(rules.work_begins(end, work_minutes), end, end, end, end)
    result = moment(due_on, rules.closing)
    picked = rules.within_day(result - timedelta(minutes=rules.result))
    placed = rules.within_day(picked - timedelta(minutes=rules.test))
    fan = rules.within_day(placed - timedelta(minutes=rules.wait))
    return _Latest(rules.work_begins(fan, work_minutes), fan, placed, picked, result)


def earliest_end(now: datetime, dates: JobDates, rules: TimingRules, with_result: bool = True) -> datetime:
    """When the last step can be over at the soonest, from what is done; what is only booked can still be moved."""
    fan = dates.fan_on or rules.next_in_day(rules.work_ends(now, dates.work_minutes))
    if not with_result:
        return fan
    if dates.result_at is not None:
        return dates.result_at
    may_start = fan + timedelta(minutes=rules.wait)
    placed = dates.placed if dates.placed and dates.placed.done and dates.placed.start >= may_start else None
    started = placed.start if placed else rules.next_in_day(max(now, may_start))
    may_end = started + timedelta(minutes=rules.test)
    picked = dates.picked if placed and dates.picked and dates.picked.done and dates.picked.start >= may_end else None
    ended = picked.start if picked else rules.next_in_day(max(now, may_end))
    return ended + timedelta(minutes=rules.result)


def steps_back(reason: str, due_on: date, today: date, dates: JobDates, rules: TimingRules) -> StepsBack:
    """The steps of one deadline as of a day, which still counts as free from its beginning."""
    with_result = needs_result(reason)
    now = moment(today, 0)
    latest = latest_moments(due_on, dates.work_minutes, rules, with_result)
    earliest = earliest_end(now, dates, rules, with_result)
    steps = tuple(_steps(latest, dates, rules, now, with_result))
    goal = latest.result if with_result else latest.fan
    reached = dates.result_at if with_result else dates.fan_on
    if reached is not None:
        state = DONE if reached <= goal else LOST
    elif earliest > goal:
        state = LOST
    else:
        states = [step.state for step in steps]
        state = next((one for one in (LATE, EARLY, UNMARKED, OPEN) if one in states), ON_COURSE)
    made = StepsBack(reason, due_on, steps, state, earliest, "")
    return replace(made, sentence=_sentence(made, reached is not None, rules))


def with_monitor_instead(found: StepsBack, today: date, dates: JobDates, monitor: TimingRules) -> StepsBack:
    """The same with a hint where a continuous monitor, which tells its result at once, would still make it."""
    if found.state != LOST or dates.result_at is not None or dates.by_monitor or not needs_result(found.reason):
        return found
    sooner = earliest_end(moment(today, 0), dates, monitor)
    if sooner > latest_moments(found.due_on, dates.work_minutes, monitor).result:
        return found
    hint = f" A {MONITOR} could still make it: result by {when_words(sooner)}."
    return replace(found, sentence=found.sentence + hint)


def _steps(
    latest: _Latest, dates: JobDates, rules: TimingRules, now: datetime, with_result: bool
) -> Iterable[Step]:
    work_done = dates.fan_on is not None
    begins = dates.work.start if dates.work else None
    yield _step("work", latest.work, begins, work_done or (dates.work is not None and dates.work.done), None, now)
    if dates.electrician is not None:
        by, at = dates.electrician, latest.fan - (dates.electrician.end - dates.electrician.start)
        yield _step("electrician", at, by.start, by.done or work_done, None, now)
    ends = dates.fan_on or (dates.work.end if dates.work else None)
    yield _step("fan", latest.fan, ends, work_done, None, now, said=dates.work is None)
    if not with_result:
        return
    fan = ends or rules.work_ends(now, dates.work_minutes)
    may_start = fan + timedelta(minutes=rules.wait)
    placed = dates.placed.start if dates.placed else None
    yield _step("placed", latest.placed, placed, bool(dates.placed and dates.placed.done), may_start, now)
    may_end = (placed or rules.next_in_day(may_start)) + timedelta(minutes=rules.test)
    picked = dates.picked.start if dates.picked else None
    yield _step("picked", latest.picked, picked, bool(dates.picked and dates.picked.done), may_end, now)
    expected = dates.result_at or (picked + timedelta(minutes=rules.result) if picked else None)
    yield _step("result", latest.result, expected, dates.result_at is not None, None, now, said=True)


def _step(
    key: str, latest: datetime, planned: datetime | None, done: bool, may: datetime | None, now: datetime,
    said: bool = False,
) -> Step:  # fmt: skip
    """Judge one step; ``may`` is the earliest moment the rules allow, ``said`` that another step tells it is open."""
    state = _judged(latest, planned, done, may, now, said)
    (subject, has_to), by = _SUBJECTS[key], when_words(latest)
    at = when_words(planned) if planned is not None else ""
    booked = f"The {subject} {'was' if done else 'comes' if said else 'is booked for'} {at}"
    if state == EARLY and may is not None:
        why = "the fan has not run long enough" if key == "placed" else "the test is too short"
        words = f"{booked}, but {why} before {when_words(may)}."
    elif state == LATE:
        words = f"{booked}, later than {by}."
    elif state == UNMARKED:
        words = f"The {subject} was booked for {at} and is not marked done."
    elif state == DONE:
        words = f"The {subject} is done."
    elif planned is not None:
        words = f"{booked}; latest {by}."
    else:
        words = f"The {subject} has to {has_to} by {by}."
    return Step(key, _TITLES[key], latest, planned, state, words)


def _judged(
    latest: datetime, planned: datetime | None, done: bool, may: datetime | None, now: datetime, said: bool
) -> str:
    if planned is None:
        return DONE if done else LOST if latest < now else ON_COURSE if said else OPEN
    if may is not None and planned < may:
        return EARLY
    if planned > latest:
        return LATE
    if done:
        return DONE
    return UNMARKED if planned < now and not said else ON_COURSE


def _sentence(found: StepsBack, reached: bool, rules: TimingRules) -> str:
    day = f"{found.reason} on {_day(found.due_on)}"
    if found.state == LOST:
        return f"{day} {_lost(found, reached, rules)}"
    if found.state == DONE:
        return f"{day}: {'the result is in hand' if needs_result(found.reason) else 'the fan is on'}."
    if found.state == ON_COURSE:
        return f"{day}: everything is booked in time."
    telling = next(step for step in found.steps if step.state == found.state)
    return f"{day}: {telling.words[0].lower()}{telling.words[1:]}"


def _lost(found: StepsBack, reached: bool, rules: TimingRules) -> str:
    result, when = needs_result(found.reason), when_words(found.earliest)
    if reached:
        return f"was missed: {'the result came' if result else 'the fan was on'} {when}."
    if not result:
        return f"cannot be met any more: the fan is on {when} at the soonest."
    how = f" with a {MONITOR}" if rules.by_monitor else ""
    return f"cannot be met any more: the result comes{how} {when} at the soonest."


def when_words(when: datetime) -> str:
    """``Tue, May 19, 8 am``; the year is left to the page."""
    return f"{_day(when.date())}, {format_clock(when.hour * 60 + when.minute)}"


def _day(day: date) -> str:
    return format_day(day).rsplit(",", 1)[0]
