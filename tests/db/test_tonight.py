"""Tonight: every band finds what is to be done, leaves out what is dealt with, and asks a fixed number of questions."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from types import SimpleNamespace

import pytest
from sqlalchemy import event, insert, select

from db.commands.firm import change_person_cost
from db.commands.jobs import cancel_job, close_job, mark_deadline_met, mark_installed, mark_invoiced, schedule_job
from db.commands.log import flag_unquoted, log_hours, start_timer
from db.commands.quotes import (
    accept_quote,
    decline_quote,
    delete_draft,
    revise_quote,
    send_quote,
    start_change_order,
)
from db.company_file import open_company
from db.company_file.company import Company
from db.queries.firm import day_rates, firm
from db.queries.log import job_log
from db.queries.quotes import quotes_of_job
from db.queries.tonight import SHOWN, Evening, evening
from db.tables import deadline, hours_entry, job, labour_line, quote
from tests.desktop.evening import TODAY, empty_company, evening_company


@pytest.fixture(scope="module")
def original(tmp_path_factory) -> tuple:
    company, ids = evening_company(tmp_path_factory.mktemp("evening"))
    company.close()
    return company.path, ids


@pytest.fixture
def company(original, tmp_path: Path) -> Iterator[Company]:
    made = open_company(shutil.copy2(original[0], tmp_path))
    yield made
    made.close()


@pytest.fixture
def ids(original) -> SimpleNamespace:
    return original[1]


def _read(company: Company) -> Evening:
    with company.read() as conn:
        return evening(conn, TODAY)


def _jobs(band) -> list[int]:
    return [row.name.job_id for row in band.rows]


def _quote_of(company: Company, job_id: int) -> int:
    with company.read() as conn:
        return quotes_of_job(conn, job_id)[0].quote.id


def test_each_band_has_its_job(company, ids):
    seen = _read(company)
    assert _jobs(seen.today) == [ids.today, ids.over]
    assert _jobs(seen.upcoming) == [ids.next_week]
    assert _jobs(seen.quotes) == [ids.draft, ids.expiring, ids.waiting]
    assert _jobs(seen.silent) == [ids.silent]
    assert _jobs(seen.deadlines) == [ids.over]
    assert _jobs(seen.over) == [ids.over]
    assert _jobs(seen.unquoted) == [ids.over]
    assert seen.clock is None
    assert seen.to_do == 7
    over, unquoted = seen.over.rows[0], seen.unquoted.rows[0]
    assert (over.minutes, over.minutes - over.quoted_minutes) == (900, 900 - 750)
    assert (unquoted.minutes, unquoted.other_entries) == (95, 0)


def test_a_logged_day_is_no_longer_asked_for(company, ids):
    with company.action("Log") as edit:
        log_hours(edit, ids.silent, TODAY - timedelta(days=3), ids.task["Set the fan"], ids.owner, 60)
    assert _read(company).silent.total == 0


def test_todays_job_tells_what_is_logged_today_and_stays(company, ids):
    with company.action("Log") as edit:
        log_hours(edit, ids.today, TODAY, ids.task["Set the fan"], ids.owner, 60)
    first = _read(company).today.rows[0]
    assert (first.name.job_id, first.minutes_today, first.minutes) == (ids.today, 60, 60)
    assert first.quoted_minutes == 750


def test_answered_replaced_and_expired_quotes_are_done_with(company, ids):
    with company.action("Answers") as edit:
        accept_quote(edit, _quote_of(company, ids.waiting), TODAY)
        decline_quote(edit, _quote_of(company, ids.expiring), TODAY, "too dear")
    assert _jobs(_read(company).quotes) == [ids.draft]
    with company.action("Revise") as edit:
        revise_quote(edit, _quote_of(company, ids.fresh), TODAY)
    assert set(_jobs(_read(company).quotes)) == {ids.draft, ids.fresh}
    with company.action("Delete") as edit:
        delete_draft(edit, _quote_of(company, ids.draft))
    assert _jobs(_read(company).quotes) == [ids.fresh]
    with company.read() as conn:
        later = evening(conn, TODAY + timedelta(days=60))
    assert _jobs(later.quotes) == [ids.fresh]


def test_a_sent_quote_is_followed_up_after_the_firms_days(company, ids):
    with company.action("Send") as edit:
        send_quote(edit, _quote_of(company, ids.draft), TODAY)
    assert ids.draft not in _jobs(_read(company).quotes)
    with company.read() as conn:
        days = firm(conn).follow_up_days
        assert ids.draft in _jobs(evening(conn, TODAY + timedelta(days=days)).quotes)
        assert ids.draft not in _jobs(evening(conn, TODAY + timedelta(days=days - 1)).quotes)


def test_closed_and_cancelled_jobs_wait_for_nothing(company, ids):
    with company.action("End") as edit:
        close_job(edit, ids.over, TODAY)
        for one in (ids.silent, ids.draft, ids.waiting, ids.expiring, ids.today, ids.next_week):
            cancel_job(edit, one, TODAY, "moved away")
    seen = _read(company)
    assert _jobs(seen.deadlines) == [ids.over]  # closed, and its closing date is ahead all the same
    assert seen.to_do == 1
    assert (seen.today.total, seen.upcoming.total) == (0, 0)


def test_a_met_deadline_and_one_far_away_are_not_near(company, ids):
    with company.action("Deadline") as edit:
        far = edit.add(deadline, job_id=ids.today, due_on=TODAY + timedelta(days=15), reason="closing date")
        edit.add(deadline, job_id=ids.next_week, due_on=TODAY - timedelta(days=2), reason="inspection")
    assert _jobs(_read(company).deadlines) == [ids.next_week, ids.over]
    with company.action("Nearer") as edit:
        edit.change(deadline, far, due_on=TODAY + timedelta(days=14))
    assert _jobs(_read(company).deadlines) == [ids.next_week, ids.over, ids.today]
    with company.read() as conn:
        of_over = conn.execute(select(deadline.c.id).where(deadline.c.job_id == ids.over)).scalar_one()
    with company.action("Met") as edit:
        mark_deadline_met(edit, of_over)
    assert _jobs(_read(company).deadlines) == [ids.next_week, ids.today]


def test_the_deadline_of_a_lost_job_is_nobodys_worry(company, ids):
    with company.action("Lost") as edit:
        edit.add(deadline, job_id=ids.waiting, due_on=TODAY + timedelta(days=3), reason="closing date")
    assert ids.waiting in _jobs(_read(company).deadlines)
    with company.action("Lost") as edit:
        decline_quote(edit, _quote_of(company, ids.waiting), TODAY, "sold as it is")
    assert ids.waiting not in _jobs(_read(company).deadlines)


def test_an_invoiced_job_is_past_running_over(company, ids):
    with company.action("Invoice") as edit:
        mark_installed(edit, ids.over, TODAY)
        mark_invoiced(edit, ids.over, TODAY)
    assert _read(company).over.total == 0


def test_a_change_order_deals_with_unquoted_work_until_it_is_declined(company, ids):
    with company.action("Change order") as edit:
        order = start_change_order(edit, ids.over, TODAY, day_rates(edit.conn, TODAY), firm(edit.conn))
    seen = _read(company)
    assert seen.unquoted.total == 0
    assert [row.kind for row in seen.quotes.rows if row.name.job_id == ids.over] == ["change_order"]
    with company.action("No") as edit:
        send_quote(edit, order, TODAY)
        decline_quote(edit, order, TODAY, "not said")
    assert _jobs(_read(company).unquoted) == [ids.over]


def test_an_accepted_change_order_quotes_the_work(company, ids):
    with company.action("Change order") as edit:
        order = start_change_order(edit, ids.over, TODAY, day_rates(edit.conn, TODAY), firm(edit.conn))
        send_quote(edit, order, TODAY)
        accept_quote(edit, order, TODAY)
    seen = _read(company)
    assert seen.unquoted.total == 0
    assert seen.over.rows[0].quoted_minutes == 750 + 95


def test_hours_on_a_task_without_a_line_are_unquoted_even_unmarked(company, ids):
    with company.action("Log") as edit:
        log_hours(edit, ids.today, TODAY, ids.task["Lay membrane"], ids.owner, 40)
    assert {row.name.job_id: row.minutes for row in _read(company).unquoted.rows} == {ids.over: 95, ids.today: 40}
    with company.action("Flag") as edit:
        assert flag_unquoted(edit, ids.today) == 1
    with company.read() as conn:
        assert [one.unquoted for one in job_log(conn, ids.today).hours] == [True]


def test_the_running_clock_is_told(company, ids):
    from datetime import datetime

    with company.action("Clock") as edit:
        start_timer(edit, ids.today, ids.task["Set the fan"], ids.owner, datetime(2026, 11, 12, 18))
    clock = _read(company).clock
    assert clock is not None
    assert (clock.task, clock.timer.job_id) == ("Set the fan", ids.today)


def test_a_new_company_has_its_first_steps(tmp_path):
    made = empty_company(tmp_path)
    seen = _read(made)
    assert not seen.steps.begun
    assert (seen.steps.hour_set, seen.steps.has_customer, seen.steps.has_job) == (False, False, False)
    assert seen.to_do == 0
    with made.action("Wage") as edit:
        change_person_cost(edit, 1, wage_cents=3600)
    assert _read(made).steps.hour_set
    made.close()


def test_long_bands_are_cut_and_counted(company, ids):
    with company.action("Many") as edit:
        for days in range(10):
            edit.add(deadline, job_id=ids.next_week, due_on=TODAY + timedelta(days=days), reason="permit")
    band = _read(company).deadlines
    assert (len(band.rows), band.total, band.more) == (SHOWN, 11, 11 - SHOWN)


def test_the_number_of_statements_does_not_grow_with_the_company(company, ids):
    def counted() -> int:
        seen: list[str] = []
        listener = lambda *a: seen.append(a[2])  # noqa: E731
        event.listen(company.engine, "before_cursor_execute", listener)
        _read(company)
        event.remove(company.engine, "before_cursor_execute", listener)
        return sum(1 for text in seen if text.lstrip().upper().startswith(("SELECT", "WITH")))

    before = counted()
    _many_more(company, ids, 400)
    assert counted() == before == 15


def _many_more(company: Company, ids: SimpleNamespace, jobs: int) -> None:
    """Finished jobs with a quote and hours, written at once; every tenth is still open."""
    with company.engine.begin() as conn:
        pattern = conn.execute(select(quote).where(quote.c.job_id == ids.over)).mappings().first()
        line = conn.execute(select(labour_line).where(labour_line.c.quote_id == pattern["id"])).mappings().first()
        base = conn.execute(select(job).where(job.c.id == ids.over)).mappings().one()
        for number in range(jobs):
            closed = None if number % 10 == 0 else TODAY
            made = conn.execute(
                insert(job).values(**{**base, "id": None, "number": f"X{number}", "closed_on": closed})
            ).inserted_primary_key[0]
            made_quote = conn.execute(
                insert(quote).values(**{**pattern, "id": None, "job_id": made})
            ).inserted_primary_key[0]
            conn.execute(insert(labour_line).values(**{**line, "id": None, "quote_id": made_quote}))
            conn.execute(
                insert(hours_entry).values(
                    job_id=made, day=TODAY - timedelta(days=2), task_id=line["task_id"], person_id=ids.owner,
                    minutes=200, rate_cents=6000, overhead_rate_cents=900,
                )
            )  # fmt: skip


def test_money_is_told_after_goodwill(company, ids):
    waiting = next(row for row in _read(company).quotes.rows if row.name.job_id == ids.waiting)
    with company.engine.begin() as conn:
        conn.execute(quote.update().where(quote.c.job_id == ids.waiting).values(goodwill_cents=2_500))
    after = next(row for row in _read(company).quotes.rows if row.name.job_id == ids.waiting)
    assert waiting.price_cents - after.price_cents == 2_500


def test_a_day_set_for_a_job_moves_it(company, ids):
    with company.action("Move") as edit:
        schedule_job(edit, ids.next_week, TODAY)
    assert ids.next_week in _jobs(_read(company).today)
    assert Decimal(_read(company).upcoming.total) == 0


def test_an_accepted_job_waits_for_a_work_day_until_it_has_one_or_is_begun(company, ids):
    with company.action("Take the day away") as edit:
        schedule_job(edit, ids.next_week, None)
    seen = _read(company)
    assert _jobs(seen.dayless) == [ids.next_week]
    assert seen.to_do == 8
    with company.action("Call it off") as edit:
        cancel_job(edit, ids.next_week, TODAY, "moved away")
    assert _jobs(_read(company).dayless) == []
    company.undo()
    with company.action("Work on it") as edit:
        edit.change(job, ids.next_week, installed_on=TODAY)
    assert _jobs(_read(company).dayless) == []
