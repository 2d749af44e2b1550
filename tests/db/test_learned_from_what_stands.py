"""Whatever was done and undone, the record learns exactly from what stands in the file."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import suppress
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from hypothesis import example, given, settings
from hypothesis import strategies as st
from sqlalchemy import create_engine, select
from sqlalchemy.pool import StaticPool

from db.commands.closing import answer_lines, materials_left_as_quoted, tasks_left_within
from db.commands.corrections import correct_hours, correct_material
from db.commands.jobs import cancel_job, close_job, reopen_job
from db.commands.log import change_hours, log_hours, log_material, remove_hours, remove_material
from db.commands.month_close import close_month
from db.commands.quotes import accept_quote, add_labour, add_material, add_other, send_quote, start_quote
from db.company_file.company import Company
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.closing import open_lines
from db.queries.firm import day_rates, firm
from db.queries.track_record import PastWork, past_work, stamp
from db.tables import hours_entry, job, material_use
from domain.closing import ANSWERS, unanswered
from tests.small_company import TODAY, add_one_job, empty_company

LATER = date(2026, 6, 3)
STEPS = (
    "log", "unquoted", "use", "used words", "longer", "other task", "take out", "put back", "move", "answer", "within",
    "as quoted", "close", "close", "reopen", "cancel", "undo", "redo", "end the month", "correct", "correct use",
)  # fmt: skip


def sold_job(company: Company, name: str) -> int:
    job_id = add_one_job(company, name).job_id
    with company.read() as conn:
        rates, this_firm = day_rates(conn, TODAY), firm(conn)
    with company.action("Sell") as edit:
        quote_id = start_quote(edit, job_id, TODAY, rates, this_firm, usual_lines=False)
        for task, minutes in ((1, 100), (2, 50), (3, 25)):
            add_labour(edit, quote_id, task, Decimal(1), override_minutes=minutes)
        add_material(edit, quote_id, 1, Decimal(10))
        add_other(edit, quote_id, "permit", Decimal(1), Decimal("85.0000"))
        send_quote(edit, quote_id, TODAY)
        accept_quote(edit, quote_id, TODAY)
    return job_id


def entries(company: Company, table: Any, job_id: int) -> list[Any]:
    with company.read() as conn:
        return list(conn.execute(select(table).where(table.c.job_id == job_id)).all())


def step(company: Company, name: str, job_id: int, other: int, number: int) -> None:
    """Do one thing, or nothing where there is nothing to do it with."""
    if name in ("undo", "redo"):
        getattr(company, name)()
        return
    hours, uses = entries(company, hours_entry, job_id), entries(company, material_use, job_id)
    entry = hours[number % len(hours)] if hours else None
    use = uses[number % len(uses)] if uses else None
    task = number % 4 + 1
    simple: dict[str, Callable[[Edit], object]] = {
        "log": lambda edit: log_hours(edit, job_id, TODAY, task, 1, 20 + number),
        "unquoted": lambda edit: log_hours(edit, job_id, TODAY, task, 1, 20 + number, unquoted=True),
        "use": lambda edit: log_material(edit, job_id, TODAY, 1, "", Decimal(number + 1)),
        "used words": lambda edit: log_material(edit, job_id, TODAY, None, "Bits", Decimal(1), "box", Decimal(number)),
        "within": lambda edit: tasks_left_within(edit, job_id),
        "as quoted": lambda edit: materials_left_as_quoted(edit, job_id, TODAY),
        "close": lambda edit: close_job(edit, job_id, LATER if number % 2 else TODAY),
        "reopen": lambda edit: reopen_job(edit, job_id),
        "cancel": lambda edit: cancel_job(edit, job_id, TODAY, "sold the house"),
        "end the month": lambda edit: close_month(edit, "2026-05", LATER, today=LATER),
    }
    of_entry: dict[str, Callable[[Edit], object]] = {
        "longer": lambda edit: change_hours(edit, entry.id, minutes=entry.minutes + 7),
        "other task": lambda edit: change_hours(edit, entry.id, task_id=task, unquoted=bool(number % 2)),
        "take out": lambda edit: remove_hours(edit, entry.id),
        "move": lambda edit: (
            remove_hours(edit, entry.id), log_hours(edit, other, entry.day, entry.task_id, 1, entry.minutes),
        ),
        "correct": lambda edit: correct_hours(
            edit, entry.id, LATER, "wrong", today=LATER, **({"minutes": 33} if number % 2 else {})
        ),
    }  # fmt: skip
    of_use: dict[str, Callable[[Edit], object]] = {
        "put back": lambda edit: remove_material(edit, use.id),
        "correct use": lambda edit: correct_material(edit, use.id, LATER, "wrong", today=LATER),
    }
    work = simple.get(name) or (entry and of_entry.get(name)) or (use and of_use.get(name))
    if name == "answer":
        with company.read() as conn:
            lines = open_lines(conn, job_id)
        key = lines[number % len(lines)].key if lines else None
        work = key and (lambda edit: answer_lines(edit, job_id, [key], (*ANSWERS, "")[number % 3]))
    if work:
        with suppress(Refused), company.action(name) as edit:
            work(edit)


def rebuilt(company: Company, job_ids: list[int]) -> PastWork:
    """The record of a copy in which every closed job was opened and closed anew."""
    raw, copy = company.engine.raw_connection(), sqlite3.connect(":memory:", check_same_thread=False)
    raw.driver_connection.backup(copy)  # type: ignore[union-attr]
    raw.close()
    again = Company(Path(":memory:"), create_engine("sqlite://", poolclass=StaticPool, creator=lambda: copy))
    for job_id in job_ids:
        with suppress(Refused), again.action("Anew") as edit:  # where its month is closed it stays closed
            closed = edit.conn.execute(select(job.c.closed_on).where(job.c.id == job_id)).scalar()
            if closed is not None:
                reopen_job(edit, job_id)
                close_job(edit, job_id, closed)
    with again.read() as conn:
        return past_work(conn)


@settings(max_examples=8, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(STEPS), st.booleans(), st.integers(0, 11)), min_size=4, max_size=18))
@example([(name, True, 0) for name in ("log", "within", "close", "end the month", "correct")])
def test_the_record_after_any_steps_is_that_of_the_file(steps: list[tuple[str, bool, int]]) -> None:
    company = empty_company()
    jobs = [sold_job(company, name) for name in ("Wren Halloway", "Ida Birch")]
    kept: dict[Any, PastWork] = {}  # as the shelf keeps it: learned again only when the stamp is another
    for name, first, number in [*steps, ("close", True, 0), ("close", False, 0)]:
        one, other = jobs if first else reversed(jobs)
        step(company, name, one, other, number)
        with company.read() as conn:
            fresh = past_work(conn)
            assert kept.setdefault(stamp(conn), fresh) == fresh
            for job_id, closed, count in conn.execute(select(job.c.id, job.c.closed_on, job.c.unanswered)):
                assert count == (unanswered(open_lines(conn, job_id)) if closed else 0)
    assert rebuilt(company, jobs) == fresh
