"""Materials and costs are answered by themselves at closing, and without an answer teach nothing."""

from __future__ import annotations

from decimal import Decimal

import pytest

from db.commands.closing import answer_lines, materials_left_as_quoted, tasks_left_within
from db.commands.jobs import close_job, reopen_job
from db.commands.log import log_hours, log_material
from db.company_file.company import Company
from db.company_file.problems import Refused
from db.queries.cases import cases_of
from db.queries.closing import open_lines
from db.queries.track_record import past_work
from db.records import fetch_one
from db.tables import job, material_use
from domain.closing import LEFT_OUT, WITHIN
from domain.jobs import Job
from domain.track_record import fit
from tests.db.test_closing import FIRST, PERMIT, PIPE, SECOND, company, one
from tests.small_company import TODAY, OneJob

__all__ = ["company", "one"]


def close(company: Company, job_id: int) -> Job:
    with company.action("Close") as edit:
        close_job(edit, job_id, TODAY)
    with company.read() as conn:
        return fetch_one(conn, Job, job, job_id)


def learned_materials(company: Company) -> list[tuple[int, int]]:
    with company.read() as conn:
        return [(one.quoted_cents, one.actual_cents) for one in past_work(conn).materials]


def log_first(company: Company, job_id: int, *, unquoted: bool = False) -> None:
    with company.action("Log") as edit:
        log_hours(edit, job_id, TODAY, 1, 1, 130, unquoted=unquoted)


def test_the_tasks_left_are_answered_and_nothing_else(company: Company, one: OneJob) -> None:
    log_first(company, one.job_id)
    with company.action("Answer") as edit:
        assert tasks_left_within(edit, one.job_id) == 1
    with company.read() as conn:
        said = {line.key: line.answer for line in open_lines(conn, one.job_id)}
    assert said == {SECOND: WITHIN, PIPE: "", PERMIT: ""}
    assert close(company, one.job_id).unanswered == 2
    assert learned_materials(company) == []


def test_used_as_quoted_is_an_entry_so_that_nothing_looks_saved(company: Company, one: OneJob) -> None:
    log_first(company, one.job_id)
    with company.action("Answer") as edit:
        answer_lines(edit, one.job_id, [SECOND, PERMIT], LEFT_OUT)
        assert materials_left_as_quoted(edit, one.job_id, TODAY, today=TODAY) == 1
    with company.read() as conn:
        assert conn.execute(material_use.select()).one().quantity == 11
    assert close(company, one.job_id).is_fully_logged
    ((quoted, actual),) = learned_materials(company)
    assert quoted == actual > 0


def test_materials_that_were_not_used_are_not_learned_as_cheap(company: Company, one: OneJob) -> None:
    log_first(company, one.job_id)
    with company.action("Answer") as edit:
        answer_lines(edit, one.job_id, [SECOND, PIPE, PERMIT], LEFT_OUT)
    assert close(company, one.job_id).is_fully_logged
    assert learned_materials(company) == []


def test_nothing_is_done_or_used_with_another_where_no_other_is_logged(company: Company, one: OneJob) -> None:
    for key in (FIRST, PIPE, PERMIT):
        with pytest.raises(Refused, match="logged on this job"), company.action("Answer") as edit:
            answer_lines(edit, one.job_id, [key], WITHIN)
    log_first(company, one.job_id)
    with pytest.raises(Refused, match="on that task"), company.action("Answer") as edit:
        answer_lines(edit, one.job_id, [SECOND], WITHIN, 9)


def test_an_answer_whose_other_line_is_taken_out_is_asked_again(company: Company, one: OneJob) -> None:
    with company.action("Log") as edit:
        use = log_material(edit, one.job_id, TODAY, None, "Box of bits", Decimal(1), "box", Decimal(40))
    with company.action("Answer") as edit:
        answer_lines(edit, one.job_id, [FIRST, SECOND, PERMIT], LEFT_OUT)
        answer_lines(edit, one.job_id, [PIPE], WITHIN)
    assert close(company, one.job_id).is_fully_logged
    assert len(learned_materials(company)) == 1
    with company.action("Reopen") as edit:
        reopen_job(edit, one.job_id)
        edit.remove(material_use, use)
    assert close(company, one.job_id).unanswered == 1
    assert learned_materials(company) == []


def test_time_marked_as_not_quoted_is_no_log_of_the_quoted_task(company: Company, one: OneJob) -> None:
    """Else the record would learn that the quoted task took no time at all."""
    log_first(company, one.job_id, unquoted=True)
    with company.read() as conn:
        assert FIRST in {line.key for line in open_lines(conn, one.job_id)}


def test_the_next_quote_says_what_of_the_quoted_hours_it_leaves_out(company: Company, one: OneJob) -> None:
    """The job's outcome says quoted 2 h 30, the record compares with 1 h 40: the rest was not done."""
    log_first(company, one.job_id)
    with company.action("Answer") as edit:
        answer_lines(edit, one.job_id, [SECOND, PIPE, PERMIT], LEFT_OUT)
    close(company, one.job_id)
    with company.read() as conn:
        work = past_work(conn).hours
        (case,) = cases_of(conn, fit(work, as_of=TODAY), work[0].job_type).jobs
    assert (case.quoted, case.actual, case.not_done) == (100, 130, 50)
