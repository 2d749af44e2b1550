"""How each thing to do is told in one line: who and what at the left, how it stands at the right."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from db.queries.heading import HeadingJob
from db.queries.log_offers import OfferedJob
from db.queries.tonight import (
    DaylessJob,
    Evening,
    JobName,
    NearDeadline,
    OverJob,
    QuoteToDo,
    SilentJob,
    TodaysJob,
    UnquotedJob,
)
from domain.dates import format_day, format_day_short
from domain.first_warning import FirstWarning
from domain.jobs import days_left
from domain.money import format_money
from domain.units import format_minutes

SOON_DAYS = 7


@dataclass(frozen=True, slots=True)
class Line:
    """One row of a band and where it is dealt with."""

    key: str
    title: str
    detail: str
    fact: str
    tone: str  # of the fact: a token of the look
    place: str
    target: object
    section: str = ""
    quoted: int | None = None  # with `actual`: a bar
    actual: int | None = None
    icon: str = ""


def _to_job(kind: str, name: JobName, section: str, fact: str, tone: str = "ink_soft", **more: object) -> Line:
    detail = f"{name.what} · {name.number}"
    return Line(f"{kind}-{name.job_id}", name.customer, detail, fact, tone, "jobs", name.job_id, section, **more)  # type: ignore[arg-type]


def quote_line(row: QuoteToDo, today: date) -> Line:
    """A draft and its age, or a sent quote and what it waits for."""
    if row.sent_on is None:
        what = "change order" if row.kind == "change_order" else "draft"
        return _to_job(f"draft{row.version}", row.name, "quote", f"{what}, begun {_ago(row.created_on, today)}")
    price = f"{format_money(row.price_cents)} · " if row.price_cents is not None else ""
    if row.expires_on is not None and (row.expires_on - today).days <= 3:
        fact, tone = f"{price}expires {days_left(row.expires_on, today)}", "over"
    else:
        fact, tone = f"{price}sent {_ago(row.sent_on, today)}", "ink_soft"
    return _to_job(f"sent{row.version}", row.name, "quote", fact, tone)


def silent_line(row: SilentJob, today: date) -> Line:
    """A job that was worked on, or was to be, and has no hours."""
    word = "installed" if row.installed else "was to begin"
    return _to_job("silent", row.name, "log", f"{word} {_ago(row.on, today)}")


def dayless_line(row: DaylessJob, today: date) -> Line:
    """An accepted job nobody has planned yet."""
    return _to_job("dayless", row.name, "", f"needs a work day, accepted {_ago(row.accepted_on, today)}")


def deadline_line(row: NearDeadline, today: date) -> Line:
    """A day that comes, with the days left."""
    near = (row.due_on - today).days <= SOON_DAYS
    day = format_day_short(row.due_on)
    if row.due_on.year == today.year:
        day = day.partition(",")[0]
    fact = f"{row.reason} {day}, {days_left(row.due_on, today)}"
    return _to_job(f"due-{row.due_on}-{row.reason}", row.name, "", fact, "over" if near else "ink_soft")


def over_line(row: OverJob, first: FirstWarning | None = None) -> Line:
    """A job beyond its hours, with its bar, and the day on which that was first to be seen."""
    far = row.so_far
    fact = f"{format_minutes(far.over_minutes)} over {format_minutes(far.quoted_minutes)}"
    line = _to_job("over", row.name, "outcome", fact, "over", quoted=far.quoted_minutes, actual=far.minutes)
    return replace(line, detail=_with_first(row.name.number, row.name.what, first, far.minutes))


def heading_line(row: HeadingJob) -> Line:
    """An open job that will end beyond its hours if it goes on as it did."""
    fact = f"heading for {format_minutes(row.expected_minutes)} of {format_minutes(row.quoted_minutes)}"
    detail = _with_first(row.number, row.title, row.first)
    return Line(
        f"heading-{row.job_id}", row.customer, detail, fact, "over", "jobs", row.job_id, "outcome",
        quoted=row.quoted_minutes, actual=row.expected_minutes,
    )  # fmt: skip


def _with_first(number: str, what: str, first: FirstWarning | None, taken_minutes: int = 0) -> str:
    """``26-043 · first visible Nov 9: at this pace 21 h · Crawl system``; the day stands where it is not cut off."""
    if first is None:
        return f"{what} · {number}"
    return f"{number} · {first.short_words(taken_minutes)} · {what}"


def unquoted_line(row: UnquotedJob) -> Line:
    """Work nobody has quoted."""
    word = "entry" if row.other_entries == 1 else "entries"
    entries = f"{row.other_entries} other {word}" if row.other_entries else ""
    spent = format_minutes(row.so_far.unquoted_minutes) if row.so_far.unquoted_minutes else ""
    return _to_job("unquoted", row.name, "log", " and ".join(part for part in (spent, entries) if part), "over")


def offered_line(row: OfferedJob, today: date) -> Line:
    """A job that may have been worked on today all the same."""
    if row.logged_on is not None:
        fact = f"last logged {_ago(row.logged_on, today)}"
    elif row.scheduled_on is None:
        fact = "no day set"
    else:
        word = "begins" if row.scheduled_on > today else "was to begin"
        fact = f"{word} {_ago(row.scheduled_on, today)}"
    detail = f"{row.title} · {row.number}"
    return Line(f"offered-{row.id}", row.customer, detail, fact, "ink_soft", "jobs", row.id, "log")


def upcoming_words(row: TodaysJob, today: date) -> str:
    """The next work day in one line."""
    assert row.scheduled_on is not None
    when = format_day(row.scheduled_on).rsplit(",", 1)[0]
    return f"Next: {when} ({days_left(row.scheduled_on, today)}), {row.name.customer}, {row.name.what}"


def pull_words(jobs: int) -> str:
    """The way to tomorrow's pull sheet."""
    return f"Pull sheet for tomorrow: {jobs} job{'' if jobs == 1 else 's'}"


def greeting(seen: Evening) -> str:
    """The first words of the page."""
    first = seen.owner_name.split()[0] if seen.owner_name.split() else ""
    return f"Good evening, {first}" if first else "Good evening"


def summary(seen: Evening, today: date, beside: int = 0) -> str:
    """The date and how much waits, in one sentence; `beside` counts what the other cards hold."""
    day = format_day(today)
    if not seen.steps.begun:
        return f"{day}. Three steps, and the first quote is written."
    waiting = seen.to_do + beside
    if not waiting:
        return f"{day}. Nothing waits besides today's work."
    things = "1 thing waits" if waiting == 1 else f"{waiting} things wait"
    return f"{day}. {things} besides today's work."


def today_words(row: TodaysJob) -> tuple[str, str]:
    """What was logged on a job today, and its tone."""
    if row.minutes_today:
        return f"{format_minutes(row.minutes_today)} logged today", "under"
    return "nothing logged today yet", "over"


def so_far_words(row: TodaysJob) -> str:
    """Hours so far against the quote, with what is beside it."""
    return row.so_far.hours_words


def _ago(day: date, today: date) -> str:
    return days_left(day, today)
