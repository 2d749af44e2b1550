"""How dates are told on Tonight: deadlines in trouble, tests to pick up, tomorrow, visits nobody marked."""

from __future__ import annotations

from datetime import date

from db.queries.calendar import JobOutlook
from db.queries.calendar_reminders import DateReminders
from desktop.pages.tonight.words import Line
from domain.calendar.steps_back import LOST, needs_result, when_words
from domain.calendar.visits import KIND_WORDS, PlannedVisit
from domain.dates import format_day
from domain.jobs import days_left
from domain.units import format_clock

MOST_DATES = 8
"""Lines of dates that are shown; the rest is in the week."""


def date_lines(seen: DateReminders, today: date) -> list[Line]:
    """Deadlines in trouble first, then tests to pick up, tomorrow, and visits nobody marked."""
    lines = [outlook_line(one) for one in seen.troubled]
    lines += [_visit_line(one, f"pick up, {_since(one, today)}", "over") for one in seen.pick_up]
    lines += [_visit_line(one, _tomorrow(one), "accent") for one in seen.tomorrow]
    lines += [_visit_line(one, f"{days_left(one.visit.day, today)}, not marked", "over") for one in seen.unmarked]
    if len(lines) > MOST_DATES:
        more = len(lines) - MOST_DATES + 1
        rest = Line("more-dates", f"and {more} more", "", "in the week", "ink_soft", "tonight", None, "week")
        lines = [*lines[: MOST_DATES - 1], rest]
    return lines


def outlook_line(row: JobOutlook) -> Line:
    """A deadline that cannot be met, or not as things are booked."""
    steps = row.steps
    if steps.state == LOST:
        due = format_day(steps.due_on).rsplit(",", 1)[0]
        what = "result" if needs_result(steps.reason) else "fan on"
        detail = f"{what} {when_words(steps.earliest)} at the soonest"
        fact, tone = f"{steps.reason} {due} lost", "error"
    else:
        detail = next(step.words for step in steps.steps if step.state == steps.state)
        fact, tone = f"{steps.reason} in danger", "over"
    key = f"outlook-{row.job_id}-{steps.due_on}-{steps.reason}"
    return Line(key, row.customer, detail, fact, tone, "jobs", row.job_id, "facts", icon="warning")


def _visit_line(one: PlannedVisit, fact: str, tone: str) -> Line:
    visit = one.visit
    title = one.customer if visit.job_id is not None else one.words
    what = KIND_WORDS[visit.kind]
    detail = " · ".join(part for part in (what, one.place, one.job_number) if part)
    return Line(f"date-{visit.id}", title, detail, fact, tone, "tonight", visit.id, "visit", icon="calendar")


def _tomorrow(one: PlannedVisit) -> str:
    return "tomorrow" if one.visit.starts_at is None else f"tomorrow, {format_clock(one.visit.starts_at)}"


def _since(one: PlannedVisit, today: date) -> str:
    days = (today - one.visit.day).days
    if one.visit.kind == "test_picked_up":
        return "today" if not days else f"booked {days_left(one.visit.day, today)}"
    return f"placed {days_left(one.visit.day, today)}"
