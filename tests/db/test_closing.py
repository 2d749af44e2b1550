"""A job is closed with answers to what has no log; without them the record does not learn of it."""

from __future__ import annotations

import sqlite3
from datetime import timedelta
from decimal import Decimal
from importlib import import_module
from pathlib import Path

import pytest

from db.commands.closing import answer_line, answer_lines, log_forgotten, tasks_left_within
from db.commands.jobs import close_job, mark_installed, mark_invoiced, reopen_job
from db.commands.quotes import accept_quote, add_labour, add_material, add_other, send_quote, start_quote
from db.company_file.company import Company
from db.company_file.problems import Refused
from db.migrations import FOLDER
from db.queries.billing.tonight_money import money_tonight
from db.queries.closing import closing_review, open_lines
from db.queries.firm import day_rates, firm
from db.queries.jobs import job_head
from db.queries.track_record import count_finished, past_work
from db.records import fetch_one
from db.tables import closing_answer, hours_entry, item, job, material_use
from domain.closing import COST, LEFT_OUT, MATERIAL, TASK, WITHIN, LineKey
from domain.errors import NotUnderstood
from domain.jobs import Job
from tests.small_company import TODAY, OneJob, add_one_job, empty_company

FIRST, SECOND = LineKey(TASK, 1), LineKey(TASK, 2)
PIPE, PERMIT = LineKey(MATERIAL, 1), LineKey(COST, 0, "permit")


@pytest.fixture
def company() -> Company:
    return empty_company()


@pytest.fixture
def one(company: Company) -> OneJob:
    """An accepted job: two tasks, one item, a permit; nothing logged."""
    made = add_one_job(company)
    with company.read() as conn:
        rates, this_firm = day_rates(conn, TODAY), firm(conn)
    with company.action("Sell") as edit:
        quote_id = start_quote(edit, made.job_id, TODAY, rates, this_firm, usual_lines=False)
        add_labour(edit, quote_id, 1, Decimal(1), override_minutes=100)
        add_labour(edit, quote_id, 2, Decimal(1), override_minutes=50)
        add_material(edit, quote_id, 1, Decimal(10))
        add_other(edit, quote_id, "permit", Decimal(1), Decimal("85.0000"))
        send_quote(edit, quote_id, TODAY)
        accept_quote(edit, quote_id, TODAY)
    return made


def log(company: Company, job_id: int, task_id: int, minutes: int) -> None:
    with company.action("Log") as edit:
        edit.add(
            hours_entry, job_id=job_id, day=TODAY, task_id=task_id, person_id=1, minutes=minutes, rate_cents=6000,
            overhead_rate_cents=0, unquoted=False,
        )  # fmt: skip


def close(company: Company, job_id: int) -> Job:
    with company.action("Close") as edit:
        close_job(edit, job_id, TODAY)
    with company.read() as conn:
        return fetch_one(conn, Job, job, job_id)


def learned(company: Company) -> set[tuple[int, int]]:
    with company.read() as conn:
        return {(line.quoted_minutes, line.actual_minutes) for line in past_work(conn).hours}


def test_every_quoted_line_without_a_log_is_asked_about(company: Company, one: OneJob) -> None:
    with company.read() as conn:
        assert [line.key for line in open_lines(conn, one.job_id)] == [FIRST, SECOND, PIPE, PERMIT]
        review = closing_review(conn, one.job_id, TODAY)
    assert [owed.words.partition(":")[0] for owed in review.owed] == ["Never invoiced"]
    log(company, one.job_id, 1, 130)
    with company.read() as conn:
        assert [line.key for line in open_lines(conn, one.job_id)] == [SECOND, PIPE, PERMIT]


def test_closed_unanswered_counts_in_money_and_teaches_nothing_until_it_is_answered(
    company: Company, one: OneJob
) -> None:
    log(company, one.job_id, 1, 130)
    kept = close(company, one.job_id)
    assert (kept.unanswered, kept.is_fully_logged) == (3, False)
    assert learned(company) == set()
    with company.read() as conn:
        assert count_finished(conn) == 0
    with company.action("Answer the tasks") as edit:
        assert tasks_left_within(edit, one.job_id) == 1
    assert learned(company) == set(), "materials and costs are asked for by themselves"
    with company.action("Answer") as edit:
        answer_lines(edit, one.job_id, [PIPE, PERMIT], LEFT_OUT)
    with company.read() as conn:
        assert fetch_one(conn, Job, job, one.job_id).is_fully_logged
        assert count_finished(conn) == 1
    assert learned(company) == {(150, 130)}, "the time of the second task is in the first's"
    company.undo()
    assert learned(company) == set()


def test_answers_are_changed_later_and_taken_back(company: Company, one: OneJob) -> None:
    log(company, one.job_id, 1, 130)
    with company.action("Answer") as edit:
        answer_lines(edit, one.job_id, [PIPE, PERMIT], LEFT_OUT)
        answer_line(edit, one.job_id, SECOND, WITHIN, 1)
    assert close(company, one.job_id).is_fully_logged
    assert learned(company) == {(150, 130)}
    with company.action("Answer otherwise") as edit:
        answer_line(edit, one.job_id, SECOND, LEFT_OUT)
    assert learned(company) == {(100, 130)}
    with company.action("Take back") as edit:
        answer_line(edit, one.job_id, SECOND, "")
    assert learned(company) == set()
    with company.read() as conn:
        assert fetch_one(conn, Job, job, one.job_id).unanswered == 1


def test_what_was_forgotten_is_typed_there_and_logged(company: Company, one: OneJob) -> None:
    typed = ((FIRST, "2h10"), (SECOND, "8-8:45"), (PIPE, "all"), (PERMIT, "$92.50"))
    for key, text in typed:
        with company.action("Log") as edit:
            log_forgotten(edit, one.job_id, key, text, TODAY, 1, today=TODAY)
    assert close(company, one.job_id).is_fully_logged
    assert learned(company) == {(100, 130), (50, 45)}
    with company.read() as conn:
        assert conn.execute(material_use.select()).one().quantity == 11, "as quoted, with its waste"


@pytest.mark.parametrize(("key", "text"), [(FIRST, "soon"), (FIRST, ""), (PIPE, "many"), (PERMIT, "free")])
def test_what_cannot_be_read_is_refused_in_words(company: Company, one: OneJob, key: LineKey, text: str) -> None:
    with pytest.raises(NotUnderstood), company.action("Log") as edit:
        log_forgotten(edit, one.job_id, key, text, TODAY, 1, today=TODAY)


def test_only_lines_without_a_log_are_answered(company: Company, one: OneJob) -> None:
    log(company, one.job_id, 1, 130)
    for key in (FIRST, LineKey(TASK, 9), LineKey(COST, 0, "equipment")):
        with pytest.raises(Refused), company.action("Answer") as edit:
            answer_line(edit, one.job_id, key, WITHIN)
    with pytest.raises(Refused), company.action("Answer") as edit:
        answer_line(edit, one.job_id, SECOND, WITHIN, 2)


def test_an_answer_to_what_was_logged_after_all_is_let_go(company: Company, one: OneJob) -> None:
    with company.action("Answer") as edit:
        answer_lines(edit, one.job_id, [FIRST, SECOND, PIPE, PERMIT], LEFT_OUT)
    close(company, one.job_id)
    with company.action("Reopen") as edit:
        reopen_job(edit, one.job_id)
    log(company, one.job_id, 1, 130)
    assert close(company, one.job_id).is_fully_logged
    with company.read() as conn:
        assert conn.execute(closing_answer.select().where(closing_answer.c.task_id == 1)).first() is None


def test_a_closed_job_that_was_never_invoiced_stays_on_tonight_and_can_be_invoiced(
    company: Company, one: OneJob
) -> None:
    with company.action("Done") as edit:
        mark_installed(edit, one.job_id, TODAY)
    close(company, one.job_id)
    later = TODAY + timedelta(days=40)
    with company.read() as conn:
        much_later = later + timedelta(days=800)
        for day in (later, much_later):
            assert [row.name.job_id for row in money_tonight(conn, day).finished.rows] == [one.job_id]
        assert job_head(conn, one.job_id, much_later).state == "installed", "nothing says paid or invoiced"
        assert closing_review(conn, one.job_id, much_later).owed[0].words.startswith("Never invoiced")
    with company.action("Invoice") as edit:
        mark_invoiced(edit, one.job_id, later)
    with company.read() as conn:
        assert money_tonight(conn, later).finished.total == 0


def test_an_item_is_known_by_its_id_and_a_material_by_its_words(company: Company, one: OneJob) -> None:
    with company.read() as conn:
        name = conn.execute(item.select().where(item.c.id == 1)).one().name
        line = next(line for line in open_lines(conn, one.job_id) if line.key.kind == MATERIAL)
    assert (line.key, line.name) == (PIPE, name)


def test_jobs_closed_before_the_review_are_taken_by_their_evidence(sample_file: Path) -> None:
    """Hours on every quoted task count as fully logged; a task without hours marks its job."""
    (name,) = (file.stem for file in (FOLDER / "versions").glob("*_a_closing_is_answered_line_by_line.py"))
    step = import_module(f"db.migrations.versions.{name}")
    with sqlite3.connect(sample_file) as conn:
        job_id, task_id = conn.execute(
            "SELECT job.id, labour_line.task_id FROM job JOIN quote ON quote.job_id = job.id "
            "JOIN labour_line ON labour_line.quote_id = quote.id AND labour_line.option_id IS NULL "
            "JOIN labour_task ON labour_task.id = labour_line.task_id AND labour_task.role <> 'callback' "
            "WHERE job.closed_on IS NOT NULL AND quote.accepted_on IS NOT NULL AND labour_line.minutes > 0"
        ).fetchone()
        conn.execute("DELETE FROM hours_entry WHERE job_id = ? AND task_id = ?", (job_id, task_id))
        conn.execute("DELETE FROM material_use")
        conn.execute("UPDATE job SET unanswered = 99 WHERE closed_on IS NOT NULL")
        conn.execute(step._BY_EVIDENCE)
        marked = conn.execute("SELECT id, unanswered FROM job WHERE unanswered > 0").fetchall()
        answered = conn.execute("SELECT job_id, count(*) FROM closing_answer GROUP BY job_id").fetchall()
        closed = conn.execute("SELECT count(*) FROM job WHERE closed_on IS NOT NULL").fetchone()[0]
    assert marked == sorted([(job_id, 1), *answered])  # such a job has no hours there either, only an answer
    assert closed > 100
