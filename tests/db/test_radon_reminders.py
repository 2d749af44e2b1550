"""Which radon tests Tonight tells of: due after the work, and again two years later, once and not after a newer one."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal

import pytest

from db.commands.closeout import note_closeout
from db.commands.jobs import close_job, mark_installed, open_job
from db.commands.survey import add_radon_test
from db.company_file.company import Company
from db.queries.radon_reminders import RadonReminders, radon_reminders
from desktop.pages.tonight.radon_words import radon_lines
from tests.small_company import TODAY, OneJob, add_one_job, empty_company, statements


@pytest.fixture
def company() -> Iterator[Company]:
    made = empty_company()
    yield made
    made.close()


@pytest.fixture
def kept(company: Company) -> OneJob:
    return add_one_job(company)


def told(company: Company, today: date = TODAY) -> RadonReminders:
    with company.read() as conn:
        return radon_reminders(conn, today)


def install(company: Company, job_id: int, day: date) -> None:
    with company.action("Fan on") as edit:
        mark_installed(edit, job_id, day)
        note_closeout(edit, job_id, fan_on_minute=600)


def test_a_test_is_asked_for_until_it_is_there(company: Company, kept: OneJob) -> None:
    assert told(company).to_do == 0
    install(company, kept.job_id, date(2026, 5, 8))
    (one,) = told(company).due
    assert (one.first, one.first_minute, one.last) == (date(2026, 5, 9), 600, date(2026, 6, 7))
    facts = [radon_lines(told(company, day), day)[0][0].fact for day in (date(2026, 5, 8), TODAY, date(2026, 6, 10))]
    assert facts == ["can begin May 9, 2026 at 10 am", "to place, last day in 24 days", "was due by Jun 7, 2026"]
    with company.action("Test") as edit:
        add_radon_test(edit, kept.job_id, "after", "alpha track", Decimal(2), TODAY, started_on=date(2026, 5, 10))
    assert told(company).due == ()


def test_closing_does_not_drop_a_due_test_and_time_does(company: Company, kept: OneJob) -> None:
    install(company, kept.job_id, date(2026, 5, 8))
    with company.action("Close") as edit:
        close_job(edit, kept.job_id, TODAY)
    assert [one.name.job_id for one in told(company).due] == [kept.job_id]
    assert told(company, TODAY + timedelta(days=90)).due == ()


def test_a_house_is_tested_again_after_two_years_unless_it_was(company: Company, kept: OneJob) -> None:
    install(company, kept.job_id, date(2026, 5, 8))
    with company.action("Test") as edit:
        add_radon_test(edit, kept.job_id, "after", "alpha track", Decimal(2), TODAY, started_on=date(2026, 5, 10))
    due = date(2028, 5, 14)
    assert told(company, due - timedelta(days=31)).retests == ()
    (one,) = told(company, due - timedelta(days=30)).retests
    assert one.due_on == due
    assert radon_lines(told(company, due), due)[0][0].fact == "due today"
    assert len(told(company, due + timedelta(days=60)).retests) == 1
    assert told(company, due + timedelta(days=61)).retests == ()
    with company.action("A later job at the same house") as edit:
        later = open_job(edit, kept.customer_id, kept.property_id, 8, 1, "", date(2028, 4, 20))
        add_radon_test(edit, later, "before", "alpha track", Decimal(2), date(2028, 4, 25))
    assert told(company, due).retests == ()


def test_a_chosen_day_counts_instead(company: Company, kept: OneJob) -> None:
    install(company, kept.job_id, date(2026, 5, 8))
    with company.action("Test") as edit:
        add_radon_test(edit, kept.job_id, "after", "alpha track", Decimal(2), TODAY, started_on=date(2026, 5, 10))
        note_closeout(edit, kept.job_id, retest_on=date(2027, 1, 15))
    assert [one.due_on for one in told(company, date(2027, 1, 10)).retests] == [date(2027, 1, 15)]
    assert told(company, date(2028, 5, 14)).retests == ()


def test_the_reminders_take_three_statements(company: Company, kept: OneJob) -> None:
    install(company, kept.job_id, date(2026, 5, 8))
    assert statements(company, lambda conn: radon_reminders(conn, TODAY)) == 3
