"""The days of a job stand in their order, numbers count on, and every job is in the lists it belongs to."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.job_dates import STEPS, date_problem, first_problem, next_job_number
from domain.jobs import JOB_FILTERS, STATES, Job, days_left, in_filter

DAY = date(2026, 5, 4)
JOB = Job(1, "26-001", 1, 1, 1, None, "", DAY, None, None, None, None, None, None, "", "")
NAMES = [name for name, _ in STEPS]


@given(st.lists(st.one_of(st.none(), st.integers(0, 60)), min_size=5, max_size=5))
def test_days_are_accepted_exactly_when_they_are_in_order(offsets: list[int | None]) -> None:
    """A job may be closed before it is invoiced or paid; every other pair stands in its order."""
    days = [DAY, *(DAY + timedelta(n) if n is not None else None for n in offsets)]
    job = replace(JOB, **dict(zip(NAMES, days, strict=True)))
    *work, invoiced, paid, closed = days
    in_order = all(
        [day for day in some if day] == sorted(day for day in some if day)
        for some in ([*work, invoiced, paid], [*work, closed])
    )
    assert (first_problem(job) == "") == in_order


def test_the_words_name_both_days_and_what_to_do() -> None:
    job = replace(JOB, installed_on=date(2026, 5, 20))
    words = date_problem(job, "invoiced_on", date(2026, 5, 19))
    assert "May 19, 2026" in words
    assert "May 20, 2026" in words
    assert "Correct whichever" in words


def test_taking_a_day_away_is_never_out_of_order() -> None:
    assert date_problem(replace(JOB, paid_on=DAY), "installed_on", None) == ""


@pytest.mark.parametrize(
    ("numbers", "expected"),
    [
        ([], "26-001"),
        (["26-013", "25-099", "26-009"], "26-014"),
        (["26-999"], "26-1000"),
        (["X-26-5", "26-7b"], "26-001"),
    ],
)
def test_the_next_number_follows_the_highest_of_its_year(numbers: list[str], expected: str) -> None:
    assert next_job_number(numbers, date(2026, 1, 2)) == expected


@pytest.mark.parametrize("state", STATES)
@pytest.mark.parametrize("closed", [False, True])
def test_every_job_is_open_or_closed_or_lost_and_never_two_of_them(state: str, closed: bool) -> None:
    groups = [which for which in ("open", "closed", "lost") if in_filter(state, closed, which)]
    assert len(groups) == 1
    assert in_filter(state, closed, "all")
    for part in ("waiting", "running"):
        assert not in_filter(state, closed, part) or in_filter(state, closed, "open")
    assert set(JOB_FILTERS) == {"open", "waiting", "running", "closed", "lost", "all"}


@pytest.mark.parametrize(
    ("days", "words"), [(0, "today"), (1, "tomorrow"), (-1, "yesterday"), (9, "in 9 days"), (-4, "4 days ago")]
)
def test_how_far_a_deadline_is(days: int, words: str) -> None:
    assert days_left(DAY + timedelta(days), DAY) == words
