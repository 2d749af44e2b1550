"""Visits: booked, moved, done, called off; the job's first work day follows; questions take a fixed number of steps."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import select

from db.commands import jobs
from db.commands.standards import set_own_standard
from db.commands.survey import add_radon_test
from db.commands.visits import (
    book_visit,
    bring_back_visit,
    cancel_visit,
    change_visit,
    mark_visit_done,
    move_visit,
    remove_visit,
)
from db.company_file.company import Company
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.calendar import (
    choice,
    days_between,
    one_visit,
    outlooks_until,
    steps_of_job,
    visits_between,
    visits_of_job,
    visits_to_export,
)
from db.queries.calendar_reminders import date_reminders
from db.tables import job, radon_test, visit
from domain.calendar.days import week_of
from domain.calendar.steps_back import LOST, OPEN
from domain.calendar.visits import Visit
from tests.small_company import TODAY, OneJob, add_one_job, empty_company, statements

WORK = TODAY + timedelta(days=4)


@pytest.fixture
def company() -> Iterator[Company]:
    made = empty_company()
    yield made
    made.close()


@pytest.fixture
def kept(company: Company) -> OneJob:
    return add_one_job(company)


def do(company: Company, work: Callable[[Edit], Any]) -> Any:
    with company.action("Do") as edit:
        return work(edit)


def book(company: Company, job_id: int | None, kind: str, day: date, **more: Any) -> int:
    return int(do(company, lambda edit: book_visit(edit, job_id, kind, day, **more)))


def one(company: Company, visit_id: int) -> Visit:
    with company.read() as conn:
        return one_visit(conn, visit_id).visit


def first_work_day(company: Company, job_id: int) -> date | None:
    with company.read() as conn:
        day: date | None = conn.execute(select(job.c.scheduled_on).where(job.c.id == job_id)).scalar_one()
        return day


def test_a_visit_takes_what_its_kind_usually_takes(company: Company, kept: OneJob) -> None:
    found = one(company, book(company, kept.job_id, "electrician", WORK, who=" Volt & Vine "))
    assert (found.minutes, found.takes_own_time, found.who, found.sequence) == (120, 0, "Volt & Vine", 0)
    assert one(company, book(company, kept.job_id, "work", WORK)).takes_own_time == 1


@pytest.mark.parametrize(
    ("job_known", "kind", "more", "words"),
    [
        (True, "party", {}, "no kind of visit"),
        (False, "work", {}, "belongs to a job"),
        (False, "own", {}, "Say what the time is for"),
        (True, "work", {"minutes": 0}, "from a minute to a day"),
        (True, "work", {"minutes": 1500}, "from a minute to a day"),
        (True, "work", {"travel_minutes": -1}, "The way there and back"),
        (True, "work", {"starts_at": 1440}, "between midnight and midnight"),
        (True, "work", {"starts_at": 1000, "minutes": 500}, "past midnight"),
        (True, "work", {"who": "x" * 201}, "200 letters"),
        (True, "work", {"supplier_id": 9999}, "no longer there"),
        (True, "work", {"done_on": WORK - timedelta(days=1)}, "cannot have been done"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_kept(
    company: Company, kept: OneJob, job_known: bool, kind: str, more: dict[str, Any], words: str
) -> None:
    with pytest.raises(Refused, match=words):
        book(company, kept.job_id if job_known else None, kind, WORK, **more)
    with company.read() as conn:
        assert visits_between(conn, date(2000, 1, 1), date(2199, 1, 1)) == []


def test_a_day_far_away_or_before_the_job_is_refused(company: Company, kept: OneJob) -> None:
    with pytest.raises(Refused, match="Check the year"):
        book(company, kept.job_id, "survey", date(1926, 5, 1))
    with pytest.raises(Refused, match="would come before"):
        book(company, kept.job_id, "work", date(2020, 5, 1))


def test_the_first_work_day_is_that_of_the_first_work_visit_that_stands(company: Company, kept: OneJob) -> None:
    late = book(company, kept.job_id, "work", WORK + timedelta(days=3))
    assert first_work_day(company, kept.job_id) == WORK + timedelta(days=3)
    early = book(company, kept.job_id, "work", WORK)
    assert first_work_day(company, kept.job_id) == WORK
    do(company, lambda edit: move_visit(edit, early, WORK + timedelta(days=1), 600))
    assert first_work_day(company, kept.job_id) == WORK + timedelta(days=1)
    do(company, lambda edit: cancel_visit(edit, early, TODAY))
    assert first_work_day(company, kept.job_id) == WORK + timedelta(days=3)
    do(company, lambda edit: bring_back_visit(edit, early))
    do(company, lambda edit: remove_visit(edit, late))
    assert first_work_day(company, kept.job_id) == WORK + timedelta(days=1)
    company.undo()
    company.undo()
    assert first_work_day(company, kept.job_id) == WORK + timedelta(days=3)


def test_the_field_first_work_day_books_moves_and_calls_off(company: Company, kept: OneJob) -> None:
    do(company, lambda edit: jobs.schedule_job(edit, kept.job_id, WORK))
    with company.read() as conn:
        booked = visits_of_job(conn, kept.job_id)[0].visit
    do(company, lambda edit: jobs.schedule_job(edit, kept.job_id, WORK + timedelta(days=2)))
    moved = one(company, booked.id)
    assert (moved.day, moved.uid, moved.sequence) == (WORK + timedelta(days=2), booked.uid, booked.sequence + 1)
    do(company, lambda edit: jobs.schedule_job(edit, kept.job_id, None, today=TODAY))
    assert one(company, booked.id).cancelled_on == TODAY
    assert first_work_day(company, kept.job_id) is None
    do(company, lambda edit: jobs.schedule_job(edit, kept.job_id, WORK))
    do(company, lambda edit: jobs.schedule_job(edit, kept.job_id, None))
    with company.read() as conn:
        assert [planned.visit.id for planned in visits_of_job(conn, kept.job_id)] == [booked.id]


def test_the_day_the_fan_was_on_marks_the_work_done_and_taking_it_back_does_not_lose_the_visit(
    company: Company, kept: OneJob
) -> None:
    first, second = (book(company, kept.job_id, "work", WORK + timedelta(days=n)) for n in (0, 1))
    do(company, lambda edit: jobs.mark_installed(edit, kept.job_id, WORK))
    assert (one(company, first).done_on, one(company, second).done_on) == (WORK, None)
    with pytest.raises(Refused, match="Work was done"):
        do(company, lambda edit: jobs.schedule_job(edit, kept.job_id, None))
    do(company, lambda edit: jobs.mark_installed(edit, kept.job_id, None))
    assert one(company, first).done_on is None


def test_a_cancelled_job_calls_its_visits_off_and_reopening_brings_them_back(company: Company, kept: OneJob) -> None:
    visit_id = book(company, kept.job_id, "work", WORK)
    done = book(company, kept.job_id, "survey", TODAY, done_on=TODAY)
    do(company, lambda edit: jobs.cancel_job(edit, kept.job_id, TODAY, "sold"))
    assert one(company, visit_id).cancelled_on == TODAY
    assert one(company, done).stands
    with pytest.raises(Refused, match="was canceled"):
        book(company, kept.job_id, "work", WORK)
    do(company, lambda edit: jobs.reopen_job(edit, kept.job_id))
    assert one(company, visit_id).is_open
    assert first_work_day(company, kept.job_id) == WORK


def test_a_closed_job_takes_what_comes_after_closing_alone(company: Company, kept: OneJob) -> None:
    do(company, lambda edit: jobs.close_job(edit, kept.job_id, TODAY))
    with pytest.raises(Refused, match="is closed"):
        book(company, kept.job_id, "work", WORK)
    assert book(company, kept.job_id, "callback", WORK)


def test_a_job_opened_by_mistake_takes_its_plans_along_but_not_what_was_done(company: Company, kept: OneJob) -> None:
    visit_id = book(company, kept.job_id, "survey", WORK)
    do(company, lambda edit: mark_visit_done(edit, visit_id, WORK))
    with pytest.raises(Refused, match="would be lost"):
        do(company, lambda edit: jobs.delete_job(edit, kept.job_id))
    do(company, lambda edit: mark_visit_done(edit, visit_id, None))
    do(company, lambda edit: jobs.delete_job(edit, kept.job_id))
    company.undo()
    assert one(company, visit_id).day == WORK


def test_done_and_called_off_exclude_each_other(company: Company, kept: OneJob) -> None:
    visit_id = book(company, kept.job_id, "survey", WORK)
    with pytest.raises(Refused, match="cannot have been done"):
        do(company, lambda edit: mark_visit_done(edit, visit_id, WORK - timedelta(days=1)))
    do(company, lambda edit: mark_visit_done(edit, visit_id, WORK))
    with pytest.raises(Refused, match="It took place"):
        do(company, lambda edit: cancel_visit(edit, visit_id, TODAY))
    with pytest.raises(Refused, match="before the new day"):
        do(company, lambda edit: move_visit(edit, visit_id, WORK + timedelta(days=1)))
    do(company, lambda edit: mark_visit_done(edit, visit_id, None))
    do(company, lambda edit: cancel_visit(edit, visit_id, TODAY))
    for work in (
        lambda edit: mark_visit_done(edit, visit_id, WORK),
        lambda edit: move_visit(edit, visit_id, WORK),
    ):
        with pytest.raises(Refused, match="called off"):
            do(company, work)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.sampled_from(["move", "same", "words", "off", "back", "done"]), max_size=12))
def test_the_sequence_never_falls_and_the_uid_never_changes(steps: list[str]) -> None:
    company = empty_company()
    try:
        kept = add_one_job(company)
        visit_id = book(company, kept.job_id, "work", WORK)
        before = one(company, visit_id)
        for number, step in enumerate(steps):
            works: dict[str, Callable[[Edit], None]] = {
                "move": lambda edit, n=number: move_visit(edit, visit_id, WORK + timedelta(days=n)),  # type: ignore[misc]
                "same": lambda edit, now=before: change_visit(edit, visit_id, minutes=now.minutes),  # type: ignore[misc]
                "words": lambda edit, n=number: change_visit(edit, visit_id, note=f"gate code {n}"),  # type: ignore[misc]
                "off": lambda edit: cancel_visit(edit, visit_id, TODAY),
                "back": lambda edit: bring_back_visit(edit, visit_id),
                "done": lambda edit, now=before: mark_visit_done(edit, visit_id, now.day),  # type: ignore[misc]
            }
            with suppress(Refused):
                do(company, works[step])
            after = one(company, visit_id)
            seen = ("day", "starts_at", "minutes", "note", "cancelled_on")
            told = any(getattr(after, name) != getattr(before, name) for name in seen)
            assert after.uid == before.uid
            assert after.sequence == before.sequence + told
            with company.read() as conn:
                standing = [planned.visit.day for planned in visits_of_job(conn, kept.job_id) if planned.visit.stands]
            assert first_work_day(company, kept.job_id) == min(standing, default=None)
            before = after
    finally:
        company.close()


def test_a_choice_tells_clashes_the_day_and_the_deadline_at_once(company: Company, kept: OneJob) -> None:
    do(company, lambda edit: jobs.add_deadline(edit, kept.job_id, WORK + timedelta(days=9), "closing date"))
    own = book(company, None, "own", WORK, title="Dentist", starts_at=600, minutes=60)
    put = Visit(
        0, kept.job_id, "work", "", WORK, 540, 480, 30, "", None, 1, "", None, None, "", 0
    )
    with company.read() as conn:
        found = choice(conn, put, TODAY)
        late = choice(conn, Visit(**{**_values(put), "day": WORK + timedelta(days=8)}), TODAY)
    assert [clash.kind for clash in found.clashes] == ["overlap", "full"]
    assert found.clashes[0].other_id == own
    assert found.day.used_minutes == 60
    assert found.outlooks[0].steps.state == OPEN
    assert late.outlooks[0].steps.state == "too late"
    assert "is booked for" in late.outlooks[0].steps.sentence


def _values(one: Visit) -> dict[str, Any]:
    return {name: getattr(one, name) for name in Visit.__slots__}


def test_the_owners_own_laboratory_days_count(company: Company, kept: OneJob) -> None:
    due = TODAY + timedelta(days=8)
    do(company, lambda edit: jobs.add_deadline(edit, kept.job_id, due, "closing date"))
    with company.read() as conn:
        before = steps_of_job(conn, kept.job_id, TODAY)[0].steps
    do(company, lambda edit: set_own_standard(edit, "laboratory_days", date(2026, 1, 1), Decimal(6), "our laboratory"))
    with company.read() as conn:
        after = steps_of_job(conn, kept.job_id, TODAY)[0].steps
    assert before.steps[0].latest - after.steps[0].latest == timedelta(days=2)


def test_tonight_is_told_of_tomorrow_tests_and_days_that_cannot_be_met(company: Company, kept: OneJob) -> None:
    day = timedelta(days=1)
    tomorrow = book(company, kept.job_id, "survey", TODAY + day)
    forgotten = book(company, kept.job_id, "inspection", TODAY - 3 * day)
    book(company, None, "own", TODAY - 3 * day, title="Course")
    book(company, kept.job_id, "work", TODAY - 3 * day)
    placed = book(company, kept.job_id, "test_placed", TODAY - 2 * day, done_on=TODAY - 2 * day)
    do(company, lambda edit: jobs.add_deadline(edit, kept.job_id, TODAY + day, "closing date"))
    do(company, lambda edit: jobs.add_deadline(edit, kept.job_id, TODAY + 40 * day, "permit"))
    with company.read() as conn:
        found = date_reminders(conn, TODAY)
    assert [one.visit.id for one in found.tomorrow] == [tomorrow]
    assert [one.visit.id for one in found.unmarked] == [forgotten]
    assert [one.visit.id for one in found.pick_up] == [placed]
    assert [(one.steps.reason, one.steps.state) for one in found.troubled] == [("closing date", LOST)]
    assert found.to_do == 3
    picked = book(company, kept.job_id, "test_picked_up", TODAY)
    with company.read() as conn:
        assert [one.visit.id for one in date_reminders(conn, TODAY).pick_up] == [picked]
    do(company, lambda edit: mark_visit_done(edit, picked, TODAY))
    with company.read() as conn:
        assert date_reminders(conn, TODAY).pick_up == ()


def test_a_result_that_is_in_hand_meets_the_closing(company: Company, kept: OneJob) -> None:
    do(company, lambda edit: jobs.mark_installed(edit, kept.job_id, TODAY - timedelta(days=5)))
    do(company, lambda edit: jobs.add_deadline(edit, kept.job_id, TODAY + timedelta(days=1), "closing date"))
    do(company, lambda edit: edit.add(
        radon_test, job_id=kept.job_id, purpose="after", device="charcoal canister", ended_on=TODAY, result=Decimal(1),
    ))  # fmt: skip
    with company.read() as conn:
        assert steps_of_job(conn, kept.job_id, TODAY)[0].steps.state == "done"


def test_questions_take_the_same_number_of_statements_however_much_there_is(company: Company, kept: OneJob) -> None:
    first, last = week_of(WORK)

    def ask() -> list[int]:
        put = Visit(0, kept.job_id, "work", "", WORK, 540, 480, 30, "", None, 1, "", None, None, "", 0)
        return [
            statements(company, lambda conn: days_between(conn, first, last)),
            statements(company, lambda conn: choice(conn, put, TODAY)),
            statements(company, lambda conn: date_reminders(conn, TODAY)),
            statements(company, lambda conn: outlooks_until(conn, TODAY, last)),
            statements(company, lambda conn: visits_to_export(conn)),
        ]

    do(company, lambda edit: jobs.add_deadline(edit, kept.job_id, WORK, "closing date"))
    book(company, kept.job_id, "work", WORK)
    few = ask()
    for number in range(12):
        more = add_one_job(company)
        do(company, lambda edit, job_id=more.job_id: jobs.add_deadline(edit, job_id, WORK, "closing date"))
        book(company, more.job_id, "work", WORK + timedelta(days=number % 3))
    assert ask() == few
    assert max(few) <= 12


def test_every_column_has_its_field() -> None:
    assert list(Visit.__slots__) == [column.name for column in visit.c]


def test_a_tests_result_answers_the_visits_for_it(company: Company, kept: OneJob) -> None:
    placed = book(company, kept.job_id, "test_placed", WORK)
    picked_up = book(company, kept.job_id, "test_picked_up", WORK + timedelta(days=2))
    later = book(company, kept.job_id, "test_placed", WORK + timedelta(days=9))
    ended = WORK + timedelta(days=2)
    do(company, lambda edit: add_radon_test(edit, kept.job_id, "before", "charcoal", Decimal("5.1"), ended))
    assert one(company, placed).done_on == WORK
    assert one(company, picked_up).done_on == ended
    assert one(company, later).done_on is None
