"""What the record learns from, and what is kept of it, in a company file."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from db.commands.closing import answer_lines
from db.commands.jobs import close_job
from db.commands.learning import (
    Expected,
    accept_proposal,
    add_forgotten,
    decline_proposal,
    note_expectation,
    note_progress,
    take_back_proposal,
    take_correction,
)
from db.commands.library import change_labour_task, set_task_factor
from db.commands.quotes import accept_quote, add_labour, change_labour, delete_draft, send_quote, start_quote
from db.company_file.company import Company
from db.company_file.problems import Refused
from db.queries.closing import open_lines
from db.queries.firm import day_rates, firm
from db.queries.heading import heading_over
from db.queries.quotes import quote_document
from db.queries.track_record import expectation_of, past_work, proposals, stamp, standards
from db.tables import hours_entry
from domain.closing import LEFT_OUT
from tests.small_company import TODAY, add_one_job, empty_company, statements

EXPECTED = Expected(600, 600, 900, 700, 1200, 100_000, 90_000, Decimal("61.5"), 9, True)


@pytest.fixture
def company() -> Company:
    return empty_company()


def quoted_job(company: Company, name: str = "Wren Halloway", number: str | None = None) -> tuple[int, int, int]:
    """A job with a draft of two lines: (job, quote, first line)."""
    one = add_one_job(company, name, number)
    with company.read() as conn:
        rates, this_firm = day_rates(conn, TODAY), firm(conn)
    with company.action("Quote") as edit:
        quote_id = start_quote(edit, one.job_id, TODAY, rates, this_firm, usual_lines=False)
        line = add_labour(edit, quote_id, 1, Decimal(1), override_minutes=100)
        add_labour(edit, quote_id, 2, Decimal(1), override_minutes=50)
    return one.job_id, quote_id, line


def log(company: Company, job_id: int, task_id: int, minutes: int, *, unquoted: bool = False) -> None:
    with company.action("Log") as edit:
        edit.add(
            hours_entry, job_id=job_id, day=TODAY, task_id=task_id, person_id=1, minutes=minutes, rate_cents=6000,
            overhead_rate_cents=0, unquoted=unquoted,
        )  # fmt: skip


def finish(company: Company, job_id: int, quote_id: int) -> None:
    with company.action("Finish") as edit:
        send_quote(edit, quote_id, TODAY)
        accept_quote(edit, quote_id, TODAY)
        answer_lines(edit, job_id, [line.key for line in open_lines(edit.conn, job_id)], LEFT_OUT)
        close_job(edit, job_id, TODAY)


def test_a_finished_job_is_told_task_by_task_with_its_unquoted_work_apart(company: Company) -> None:
    job_id, quote_id, _ = quoted_job(company)
    log(company, job_id, 1, 130)
    log(company, job_id, 1, 20, unquoted=True)
    log(company, job_id, 3, 40)
    with company.read() as conn:
        assert past_work(conn).hours == (), "an open job says nothing yet"
    finish(company, job_id, quote_id)
    with company.read() as conn:
        names = {value[0]: name for name, value in standards(conn).minutes.items()}
        told = {(line.task, line.quoted_minutes, line.actual_minutes) for line in past_work(conn).hours}
    assert told == {(names[1], 100, 130), (names[1], 0, 20), (names[3], 0, 40)}, "what was not done is no fast work"


def test_a_correction_that_was_taken_is_no_part_of_what_is_learned(company: Company) -> None:
    job_id, quote_id, line = quoted_job(company)
    with company.action("Take") as edit:
        take_correction(edit, quote_id, TODAY, {line: 160}, Decimal(50), EXPECTED, "9 jobs ran over")
        add_forgotten(edit, quote_id, 4, 75, "needed on 3 of 9 such jobs")
    with company.read() as conn:
        now = {one.id: one for one in quote_document(conn, quote_id).labour}
    assert (now[line].minutes, now[line].own_minutes, now[line].reason[-15:]) == (130, 100, "9 jobs ran over")
    log(company, job_id, 1, 120)
    log(company, job_id, 2, 45)
    finish(company, job_id, quote_id)
    with company.read() as conn:
        quoted = sorted(one.quoted_minutes for one in past_work(conn).hours)
    assert quoted == [50, 100], "neither the correction nor what was forgotten is the owner's own estimate"


def test_all_then_none_leaves_the_quote_as_it_was_and_undo_takes_one_step_back(company: Company) -> None:
    _, quote_id, line = quoted_job(company)
    with company.read() as conn:
        before = quote_document(conn, quote_id)
    for share in (100, 0):
        with company.action(f"Take {share}") as edit:
            take_correction(edit, quote_id, TODAY, {line: 160}, Decimal(share), EXPECTED, "why")
    with company.read() as conn:
        assert quote_document(conn, quote_id) == before
    company.undo()
    with company.read() as conn:
        assert next(one for one in quote_document(conn, quote_id).labour if one.id == line).minutes == 160
        kept = expectation_of(conn, quote_id)
    assert kept is not None
    assert kept.share_percent == 100


def test_typing_over_a_corrected_line_makes_it_the_owners_own_again(company: Company) -> None:
    _, quote_id, line = quoted_job(company)
    with company.action("Take") as edit:
        take_correction(edit, quote_id, TODAY, {line: 160}, Decimal(100), EXPECTED, "why")
        change_labour(edit, line, override_minutes=140)
    with company.read() as conn:
        now = next(one for one in quote_document(conn, quote_id).labour if one.id == line)
    assert (now.minutes, now.own_minutes) == (140, None)


def test_a_sent_quote_takes_no_correction(company: Company) -> None:
    _, quote_id, line = quoted_job(company)
    with company.action("Send") as edit:
        note_expectation(edit, quote_id, TODAY, EXPECTED)
        send_quote(edit, quote_id, TODAY)
    with pytest.raises(Refused), company.action("Take") as edit:
        take_correction(edit, quote_id, TODAY, {line: 160}, Decimal(100), EXPECTED, "why")
    with company.read() as conn:
        kept = expectation_of(conn, quote_id)
    assert kept is not None
    assert (kept.expected_minutes, kept.share_percent, kept.loss_percent) == (900, None, Decimal("61.5"))


def test_a_draft_with_a_choice_can_be_deleted(company: Company) -> None:
    _, quote_id, line = quoted_job(company)
    with company.action("Take") as edit:
        take_correction(edit, quote_id, TODAY, {line: 160}, Decimal(100), EXPECTED, "why")
    with company.action("Delete") as edit:
        delete_draft(edit, quote_id)
    company.undo()
    with company.read() as conn:
        assert expectation_of(conn, quote_id) is not None


def test_a_standard_is_changed_with_its_evidence_and_put_back(company: Company) -> None:
    with company.read() as conn:
        old = next(value for _, (task_id, value) in standards(conn).minutes.items() if task_id == 1)
    with company.action("Accept") as edit:
        made = accept_proposal(edit, 1, None, old + 5, TODAY, 8, "8 jobs took longer")
    with company.read() as conn:
        (kept,) = proposals(conn)
        assert next(value for task_id, value in standards(conn).minutes.values() if task_id == 1) == old + 5
    assert (kept.in_force, kept.old_value, kept.evidence) == (True, old, "8 jobs took longer")
    with company.action("Back") as edit:
        take_back_proposal(edit, made, date(2026, 6, 1))
    with company.read() as conn:
        assert next(value for task_id, value in standards(conn).minutes.values() if task_id == 1) == old
    with pytest.raises(Refused), company.action("Again") as edit:
        take_back_proposal(edit, made, date(2026, 6, 1))


def test_a_value_changed_by_hand_since_is_not_overwritten(company: Company) -> None:
    with company.action("Accept") as edit:
        made = accept_proposal(edit, 1, None, Decimal(33), TODAY, 8, "")
        change_labour_task(edit, 1, standard_minutes=Decimal(40))
    with pytest.raises(Refused, match="changed since"), company.action("Back") as edit:
        take_back_proposal(edit, made, TODAY)


def test_a_factor_can_be_proposed_and_a_no_changes_nothing(company: Company) -> None:
    with company.action("Factor") as edit:
        set_task_factor(edit, 1, 1, Decimal(130))
        accept_proposal(edit, 1, 1, Decimal(160), TODAY, 7, "")
        decline_proposal(edit, 1, 1, Decimal(200), TODAY, 9, "")
    with company.read() as conn:
        factors = standards(conn).factors
        newest = proposals(conn)[0]
    assert Decimal(160) in [value for _, value in factors.values()]
    assert (newest.declined_on, newest.in_force) == (TODAY, False)


def test_an_open_job_is_told_when_it_heads_over(company: Company) -> None:
    """60 of 150 minutes are spent and 20% is done: heading for five hours."""
    job_id, quote_id, _ = quoted_job(company)
    with company.action("Sell") as edit:
        send_quote(edit, quote_id, TODAY)
        accept_quote(edit, quote_id, TODAY)
    log(company, job_id, 1, 60)
    with company.read() as conn:
        assert heading_over(conn).jobs == ()
    with company.action("So far") as edit:
        for task_id in (1, 2):
            note_progress(edit, job_id, task_id, Decimal(20), TODAY)
    with company.read() as conn:
        (found,) = heading_over(conn).jobs
    assert (found.job_id, found.quoted_minutes, found.expected_minutes) == (job_id, 150, 300)
    with pytest.raises(Refused), company.action("Too much") as edit:
        note_progress(edit, job_id, 1, Decimal(101), TODAY)
    with company.action("Nothing said") as edit:
        for task_id in (1, 2):
            note_progress(edit, job_id, task_id, None, TODAY)
    with company.read() as conn:
        assert heading_over(conn).jobs == ()


def test_the_stamp_moves_with_finished_work_and_with_undo_and_not_with_a_draft(company: Company) -> None:
    _, _, line = quoted_job(company)
    job_id, _, _ = quoted_job(company, "Odell Fenn", "26-900")

    def now() -> object:
        with company.read() as conn:
            return stamp(conn)

    first = now()
    with company.action("Type") as edit:
        change_labour(edit, line, override_minutes=90)
    assert now() == first
    log(company, job_id, 1, 30)
    logged = now()
    assert logged != first
    company.undo()
    assert now() != logged


def test_questions_do_not_multiply_with_jobs(company: Company) -> None:
    job_id, quote_id, _ = quoted_job(company)
    log(company, job_id, 1, 130)
    finish(company, job_id, quote_id)
    few = statements(company, past_work)
    for number in range(4):
        job_id, quote_id, _ = quoted_job(company, f"Customer {number}", f"26-80{number}")
        log(company, job_id, 1, 130)
        finish(company, job_id, quote_id)
    assert statements(company, past_work) == few
    with company.read() as conn:
        assert len({line.job for line in past_work(conn).hours}) == 5
