"""What finished jobs were quoted and what they took, for the track record to learn from; what was kept of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import Connection, Integer, cast, func, select

from db.queries.exact import amount_cents, as_stored
from db.queries.sold import lines_sold, sold_quotes
from db.records import fetch_all
from db.tables import (
    access_condition,
    action,
    change,
    closing_answer,
    company,
    customer,
    hours_entry,
    job,
    job_condition,
    job_type,
    labour_line,
    labour_task,
    library_proposal,
    material_line,
    material_use,
    quote,
    quote_expectation,
    task_factor,
    task_progress,
)
from domain.closing import LEFT_OUT, MATERIAL, TASK, WITHIN, with_answers
from domain.learning import LibraryProposal, QuoteExpectation, TaskProgress
from domain.learning_rules import Standards
from domain.log_so_far import material_key
from domain.track_record import MaterialOutcome, Outcome

_LEARNED_FROM = (
    "job", "closing_answer", "hours_entry", "material_use", "job_type", "access_condition", "labour_task",
    "job_condition",
)  # fmt: skip
_LEARNABLE = (job.c.closed_on.is_not(None), job.c.cancelled_on.is_(None), job.c.unanswered == 0)
"""The one rule of what may be learned from: closed, not canceled, and fully logged (`domain.closing`)."""


@dataclass(frozen=True, slots=True)
class PastWork:
    """The finished jobs: minutes by task, and the cost of materials."""

    hours: tuple[Outcome, ...]
    materials: tuple[MaterialOutcome, ...]


@dataclass(frozen=True, slots=True)
class JobSetting:
    """What a job's lines are forecast by, and the margin wanted of it."""

    job_type: str
    conditions: tuple[str, ...]
    target_percent: Decimal


@dataclass(frozen=True, slots=True)
class PastJob:
    """A finished job in one line, for the list of jobs behind a sentence."""

    job_id: int
    number: str
    customer: str
    title: str
    closed_on: date


def stamp(conn: Connection) -> tuple[int, int, int]:
    """Changes whenever something the record learns from was saved or undone; two statements, whatever the size."""
    newest = (
        select(change.c.id).where(change.c.table_name.in_(_LEARNED_FROM)).order_by(change.c.id.desc()).limit(1)
    )
    undone = select(func.coalesce(func.sum(cast(action.c.undone, Integer)), 0), func.min(action.c.id))
    steps, first = conn.execute(undone).one()
    return int(conn.execute(newest).scalar() or 0), int(steps), int(first or 0)


def past_work(conn: Connection) -> PastWork:
    """Every fully logged closed job with an accepted quote, in twelve statements whatever their number.

    A job that was closed with quoted lines neither logged nor answered teaches nothing. Where a task was answered, its
    quoted minutes go where its work went (`domain.closing.with_answers`). Quoted is what the owner meant himself,
    before any correction by the record, on the accepted proposal with the options chosen and on accepted change
    orders. Work marked as not quoted counts as quoted with nothing.
    """
    jobs = {
        row.id: row
        for row in conn.execute(
            select(job.c.id, job.c.closed_on, job_type.c.name)
            .join(job_type, job_type.c.id == job.c.job_type_id)
            .where(*_LEARNABLE)
            .order_by(job.c.closed_on, job.c.id)
        )
    }
    sold = {quote_id: one.job_id for quote_id, one in sold_quotes(conn).items() if one.job_id in jobs}
    if not sold:
        return PastWork((), ())
    days = _quoted_days(conn, sold)
    conditions = _conditions(conn)
    tasks: dict[int, str] = {row.id: row.name for row in conn.execute(select(labour_task.c.id, labour_task.c.name))}
    quoted, actual, unquoted = _minutes(conn, sold)
    answers = _answers(conn)
    hours, materials = [], []
    bought, used, gaps = _materials(conn, sold)
    for job_id, about in jobs.items():
        if job_id not in days:
            continue
        common = (about.closed_on, days[job_id])
        own = conditions.get(job_id, ())
        if job_id in answers:
            quoted[job_id] = _answered(quoted[job_id], actual[job_id], answers[job_id])
        for task_id in dict.fromkeys((*quoted[job_id], *actual[job_id], *unquoted[job_id])):
            planned = quoted[job_id].get(task_id, 0)
            took, extra = actual[job_id].get(task_id, 0), unquoted[job_id].get(task_id, 0)
            rows = [(planned, took), (0, extra)] if planned else [(0, took + extra)]
            hours += [
                Outcome(job_id, about.name, tasks[task_id], own, *row, *common) for row in rows if any(row)
            ]
        if bought[job_id] and job_id not in gaps:
            materials.append(MaterialOutcome(job_id, about.name, (), bought[job_id], used[job_id], *common))
    return PastWork(tuple(hours), tuple(materials))


def past_jobs(conn: Connection, job_ids: Any) -> dict[int, PastJob]:
    """These jobs in one line each, by id."""
    rows = conn.execute(
        select(job.c.id, job.c.number, customer.c.name, job.c.title, job.c.closed_on)
        .join(customer, customer.c.id == job.c.customer_id)
        .where(job.c.id.in_(list(job_ids)))
    )
    return {row[0]: PastJob(*row) for row in rows}


def job_setting(conn: Connection, job_id: int) -> JobSetting:
    """Type, access conditions and target margin of a job, in two statements."""
    row = conn.execute(
        select(job_type.c.name, func.coalesce(job_type.c.margin_percent, company.c.margin_percent))
        .select_from(job)
        .join(job_type, job_type.c.id == job.c.job_type_id)
        .join(company, company.c.id > 0)
        .where(job.c.id == job_id)
    ).one()
    return JobSetting(row[0], _conditions(conn, job_id).get(job_id, ()), Decimal(row[1]))


def count_finished(conn: Connection) -> int:
    """How many closed jobs there are to learn from, roughly."""
    closed = select(func.count()).where(*_LEARNABLE)
    return int(conn.execute(closed).scalar_one())


def expectation_of(conn: Connection, quote_id: int) -> QuoteExpectation | None:
    """What was kept with a quote, None when nothing was."""
    return next(
        iter(fetch_all(conn, QuoteExpectation, quote_expectation, quote_expectation.c.quote_id == quote_id)), None
    )


def expectations_by_job(conn: Connection) -> dict[int, QuoteExpectation]:
    """What was kept with the accepted proposal of each job, by job id."""
    kept = {one.quote_id: one for one in fetch_all(conn, QuoteExpectation, quote_expectation)}
    rows = conn.execute(
        select(quote.c.job_id, quote.c.id)
        .where(quote.c.kind == "proposal", quote.c.accepted_on.is_not(None), quote.c.id.in_(kept))
        .order_by(quote.c.version)
    )
    return {job_id: kept[quote_id] for job_id, quote_id in rows}


def proposals(conn: Connection) -> list[LibraryProposal]:
    """Every change of a standard that was proposed and answered, newest first."""
    return fetch_all(
        conn, LibraryProposal, library_proposal,
        order=(library_proposal.c.made_on.desc(), library_proposal.c.id.desc()),
    )  # fmt: skip


def progress_of(conn: Connection, job_id: int) -> dict[int, TaskProgress]:
    """How much of each task of a job is done, by task id, as far as it was noted: the latest note of each."""
    found = fetch_all(
        conn, TaskProgress, task_progress, task_progress.c.job_id == job_id, order=(task_progress.c.noted_on,)
    )
    return {one.task_id: one for one in found}


def standards(conn: Connection) -> Standards:
    """Standard minutes and factors as they are today, by name."""
    minutes = {
        row.name: (row.id, row.standard_minutes)
        for row in conn.execute(
            select(labour_task.c.id, labour_task.c.name, labour_task.c.standard_minutes).where(
                ~labour_task.c.archived
            )
        )
    }
    factors = {
        (row[0], row[1]): (row[2], row[3])
        for row in conn.execute(
            select(labour_task.c.name, access_condition.c.name, access_condition.c.id, task_factor.c.factor_percent)
            .join(task_factor, task_factor.c.task_id == labour_task.c.id)
            .join(access_condition, access_condition.c.id == task_factor.c.condition_id)
        )
    }
    return Standards(minutes, factors)


def library_names(conn: Connection) -> tuple[dict[int, str], dict[int, str]]:
    """Names of all tasks and of all access conditions, archived ones too, by id."""
    return (
        {row[0]: row[1] for row in conn.execute(select(labour_task.c.id, labour_task.c.name))},
        {row[0]: row[1] for row in conn.execute(select(access_condition.c.id, access_condition.c.name))},
    )


def _quoted_days(conn: Connection, sold: Mapping[int, int]) -> dict[int, date]:
    """The day the accepted proposal was written, by job."""
    rows = conn.execute(
        select(quote.c.id, quote.c.job_id, quote.c.created_on).where(
            quote.c.accepted_on.is_not(None), quote.c.kind == "proposal"
        )
    )
    return {job_id: created for quote_id, job_id, created in rows if quote_id in sold}


def _conditions(conn: Connection, only: int | None = None) -> dict[int, tuple[str, ...]]:
    found: dict[int, list[str]] = defaultdict(list)
    where = () if only is None else (job_condition.c.job_id == only,)
    for job_id, name in conn.execute(
        select(job_condition.c.job_id, access_condition.c.name)
        .join(access_condition, access_condition.c.id == job_condition.c.condition_id)
        .where(*where)
    ):
        found[job_id].append(name)
    return {job_id: tuple(names) for job_id, names in found.items()}


_ByTask = defaultdict[int, defaultdict[int, int]]


def _sums() -> _ByTask:
    return defaultdict(lambda: defaultdict(int))


def _minutes(conn: Connection, sold: Mapping[int, int]) -> tuple[_ByTask, _ByTask, _ByTask]:
    """Quoted, logged, and logged as not quoted, by job and task."""
    quoted, actual, unquoted = _sums(), _sums(), _sums()
    line = labour_line.c
    planned = lines_sold(
        labour_line, (line.quote_id, line.task_id, func.sum(func.coalesce(line.own_minutes, line.minutes)))
    ).group_by(line.quote_id, line.task_id)
    for quote_id, task_id, minutes in conn.execute(planned):
        if quote_id in sold:
            quoted[sold[quote_id]][task_id] += minutes
    entry = hours_entry.c
    logged = select(entry.job_id, entry.task_id, entry.unquoted, func.sum(entry.minutes)).group_by(
        entry.job_id, entry.task_id, entry.unquoted
    )
    for job_id, task_id, extra, minutes in conn.execute(logged):
        (unquoted if extra else actual)[job_id][task_id] += minutes
    return quoted, actual, unquoted


def _answers(conn: Connection) -> dict[int, dict[int, tuple[str, int | None]]]:
    """What was said of tasks without a log, by job and task."""
    found: dict[int, dict[int, tuple[str, int | None]]] = defaultdict(dict)
    said = select(
        closing_answer.c.job_id, closing_answer.c.task_id, closing_answer.c.answer, closing_answer.c.within_task_id
    ).where(closing_answer.c.kind == TASK)
    for job_id, task_id, answer, within in conn.execute(said):
        found[job_id][task_id] = (answer, within)
    return found


def _answered(
    quoted: Mapping[int, int], logged: Mapping[int, int], answers: Mapping[int, tuple[str, int | None]]
) -> defaultdict[int, int]:
    return defaultdict(int, with_answers(quoted, [task for task, minutes in logged.items() if minutes], answers))


def _materials(conn: Connection, sold: Mapping[int, int]) -> tuple[dict[int, int], dict[int, int], set[int]]:
    """The cost of materials quoted and used, in cents, by job; and the jobs of which materials say nothing.

    What was not used was not cheap: it is left out of what was quoted, as is a task that was not done. A quoted
    material with neither an entry nor an answer makes the sum of its job a guess.
    """
    bought: dict[int, int] = defaultdict(int)
    line = material_line.c
    planned = lines_sold(
        material_line, (line.quote_id, func.sum(amount_cents(line.quantity, line.unit_cost)))
    ).group_by(line.quote_id)
    for quote_id, cents in conn.execute(planned):
        if quote_id in sold:
            bought[sold[quote_id]] += cents
    used: dict[int, int] = defaultdict(int)
    spent = select(
        material_use.c.job_id, func.sum(amount_cents(material_use.c.quantity, material_use.c.unit_cost))
    ).group_by(material_use.c.job_id)
    for job_id, cents in conn.execute(spent):
        used[job_id] = max(0, cents)
    gaps: set[int] = set()
    for job_id, cents, answer in _without_use(conn, sold):
        if answer == LEFT_OUT:
            bought[job_id] -= cents
        elif answer != WITHIN or not used[job_id]:
            gaps.add(job_id)
    return bought, used, gaps


def _without_use(conn: Connection, sold: Mapping[int, int]) -> Iterator[tuple[int, int, str]]:
    """(job, quoted cents, answer or "") of every quoted material of which nothing is logged.

    Items are looked up in the file; the few materials in own words are compared as `material_key` does.
    """
    line, use = material_line.c, material_use.c
    there = func.sum(as_stored(use.quantity))
    of_item = (
        select(use.job_id, use.item_id, there.label("there"))
        .where(use.item_id.is_not(None), ~use.unquoted)
        .group_by(use.job_id, use.item_id)
        .subquery()
    )
    lacking = (
        lines_sold(
            material_line,
            (line.quote_id, line.item_id, line.description, line.unit, amount_cents(line.quantity, line.unit_cost)),
        )
        .join(quote, quote.c.id == line.quote_id)
        .outerjoin(of_item, (of_item.c.job_id == quote.c.job_id) & (of_item.c.item_id == line.item_id))
        .where(quote.c.accepted_on.is_not(None), line.quantity > 0, func.coalesce(of_item.c.there, 0) <= 0)
    )
    in_words = select(use.job_id, use.description, use.unit).where(use.item_id.is_(None), ~use.unquoted)
    in_words = in_words.group_by(use.job_id, use.description, use.unit).having(there > 0)
    noted = {(job_id, *material_key(None, words, unit)) for job_id, words, unit in conn.execute(in_words)}
    answer = closing_answer.c
    said = {
        (job_id, item_id or 0, words): one
        for job_id, item_id, words, one in conn.execute(
            select(answer.job_id, answer.item_id, answer.words, answer.answer).where(answer.kind == MATERIAL)
        )
    }
    for quote_id, item_id, words, unit, cents in conn.execute(lacking):
        key = (sold.get(quote_id, 0), *material_key(item_id, words, unit))
        if quote_id in sold and key not in noted:
            yield key[0], cents, said.get(key, "")
