"""Tonight's lines on radon tests: to place after the work, and houses to test again."""

from __future__ import annotations

from datetime import date

from db.queries.radon_reminders import RadonReminders, Retest, ToTest
from desktop.pages.tonight.words import Line
from domain.closeout.timing import moment_words
from domain.dates import format_day_short
from domain.jobs import days_left

SHOWN = 4


def radon_lines(seen: RadonReminders, today: date) -> tuple[list[Line], int]:
    """The first lines and how many more there are."""
    lines = [_due_line(one, today) for one in seen.due[:SHOWN]] + [_again_line(one, today) for one in seen.retests]
    return lines[:SHOWN], max(len(seen.due) + len(seen.retests) - SHOWN, 0)


def _due_line(one: ToTest, today: date) -> Line:
    if one.last < today:
        fact, tone = f"was due by {format_day_short(one.last)}", "over"
    elif one.first > today:
        fact, tone = f"can begin {moment_words(one.first, one.first_minute)}", "ink_soft"
    else:
        left = (one.last - today).days
        fact, tone = f"to place, last day {days_left(one.last, today)}", "over" if left <= 7 else "ink_soft"
    return Line(f"test-{one.name.job_id}", one.name.customer, f"Test after the work · {one.name.number}", fact, tone,
                "jobs", one.name.job_id, "closeout")  # fmt: skip


def _again_line(one: Retest, today: date) -> Line:
    word = "was due" if one.due_on < today else "due"
    return Line(f"retest-{one.name.job_id}", one.name.customer, f"Test again · {one.name.street}",
                f"{word} {days_left(one.due_on, today)}", "ink_soft", "jobs", one.name.job_id, "closeout")  # fmt: skip
