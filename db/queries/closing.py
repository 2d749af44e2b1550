"""What the review at closing shows: quoted lines without a log, their answers, and what is still owed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from sqlalchemy import Connection, exists, func, or_, select

from db.queries.billing.contracts import job_contract, job_invoiced
from db.queries.billing.open_items import open_invoices
from db.queries.log import job_budget, job_log
from db.records import fetch_all, fetch_one
from db.tables import (
    bad_debt,
    closing_answer,
    deadline,
    hours_entry,
    invoice,
    job,
    labour_task,
    paper,
    person,
    price_adjustment,
    radon_test,
    visit,
)
from domain.calendar.visits import KIND_WORDS
from domain.closing import ClosingAnswer, OpenLine, lines_without_log, unanswered
from domain.costing.figures import CALLBACK
from domain.dates import format_day_short
from domain.jobs import Deadline, Job
from domain.money import format_money


@dataclass(frozen=True, slots=True)
class Owed:
    """Something a job still owes or is owed, in words, and the section of the job where it is dealt with."""

    words: str
    section: str


@dataclass(frozen=True, slots=True)
class ClosingReview:
    """All that the review shows.

    Attributes:
        tasks: names by id.
        logged_tasks: ids of tasks with time in the log, most time first.
        day, person_id, person: when and for whom a time typed here is logged: the last day worked, and who
            worked most.
    """

    job: Job
    lines: tuple[OpenLine, ...]
    owed: tuple[Owed, ...]
    tasks: dict[int, str]
    logged_tasks: tuple[int, ...]
    day: date
    person_id: int
    person: str

    @property
    def unanswered(self) -> int:
        """How many lines have no answer yet."""
        return unanswered(self.lines)

    @property
    def is_clear(self) -> bool:
        """Nothing to ask and nothing owed."""
        return not self.unanswered and not self.owed


def open_lines(conn: Connection, job_id: int) -> list[OpenLine]:
    """Quoted lines of a job without a log, with their answers."""
    rows = conn.execute(select(labour_task.c.id, labour_task.c.name, labour_task.c.role)).all()
    return lines_without_log(
        job_budget(conn, job_id), job_log(conn, job_id),
        fetch_all(conn, ClosingAnswer, closing_answer, closing_answer.c.job_id == job_id),
        task_names={row.id: row.name for row in rows}, callbacks={row.id for row in rows if row.role == CALLBACK},
    )  # fmt: skip


def closing_review(conn: Connection, job_id: int, today: date) -> ClosingReview:
    """The review of one job, in a fixed number of statements.

    Raises:
        LookupError: there is no such job.
    """
    kept = fetch_one(conn, Job, job, job_id)
    minutes = func.sum(hours_entry.c.minutes)
    logged = conn.execute(
        select(hours_entry.c.task_id)
        .where(hours_entry.c.job_id == job_id)
        .group_by(hours_entry.c.task_id)
        .order_by(minutes.desc(), hours_entry.c.task_id)
    ).scalars()
    person_id, name = _who(conn, job_id)
    last = conn.execute(select(func.max(hours_entry.c.day)).where(hours_entry.c.job_id == job_id)).scalar()
    return ClosingReview(
        job=kept,
        lines=tuple(open_lines(conn, job_id)),
        owed=tuple(_owed(conn, kept, today)),
        tasks={row[0]: row[1] for row in conn.execute(select(labour_task.c.id, labour_task.c.name))},
        logged_tasks=tuple(logged),
        day=last or kept.installed_on or max(today, kept.opened_on),
        person_id=person_id,
        person=name,
    )


def _who(conn: Connection, job_id: int) -> tuple[int, str]:
    worked = func.coalesce(
        select(func.sum(hours_entry.c.minutes))
        .where(hours_entry.c.job_id == job_id, hours_entry.c.person_id == person.c.id)
        .scalar_subquery(),
        0,
    )
    row = conn.execute(
        select(person.c.id, person.c.name).order_by(worked.desc(), person.c.role.desc(), person.c.id).limit(1)
    ).first()
    return (row.id, row.name) if row else (0, "")


def _owed(conn: Connection, kept: Job, today: date) -> Iterator[Owed]:
    yield from _money_owed(conn, kept)
    if kept.installed_on:
        tested = exists().where(radon_test.c.job_id == kept.id, radon_test.c.purpose == "after")
        handed = exists().where(paper.c.job_id == kept.id, paper.c.kind == "closeout")
        tested_at_all, handed_over = conn.execute(select(tested, handed)).one()
        if not tested_at_all:
            yield Owed("No radon test after the work", "closeout")
        if not handed_over:
            yield Owed("The closeout pack was not handed over", "closeout")
    for one in fetch_all(conn, Deadline, deadline, deadline.c.job_id == kept.id, ~deadline.c.met,
                         order=(deadline.c.due_on, deadline.c.id)):  # fmt: skip
        word = "Deadline still ahead" if one.due_on >= today else "Deadline passed, not ticked as met"
        yield Owed(f"{word}: {one.reason} {format_day_short(one.due_on)}", "facts")
    planned = select(visit.c.kind, visit.c.day).where(
        visit.c.job_id == kept.id, visit.c.done_on.is_(None), visit.c.cancelled_on.is_(None)
    )
    for row in conn.execute(planned.order_by(visit.c.day, visit.c.id)):
        name = KIND_WORDS.get(row.kind, row.kind)
        yield Owed(f"Still on the calendar: {name.lower()} {format_day_short(row.day)}", "facts")


def _money_owed(conn: Connection, kept: Job) -> Iterator[Owed]:
    agreed = job_contract(conn, kept.id)
    if agreed is None:
        return
    given_up = conn.execute(
        select(func.coalesce(func.sum(price_adjustment.c.amount_cents), 0)).where(price_adjustment.c.job_id == kept.id)
    ).scalar_one()
    linked = or_(
        exists().where(invoice.c.write_off_id == price_adjustment.c.id),
        exists().where(bad_debt.c.write_off_id == price_adjustment.c.id),
    )
    by_hand = conn.execute(
        select(func.coalesce(func.sum(price_adjustment.c.amount_cents), 0)).where(
            price_adjustment.c.job_id == kept.id, ~linked
        )
    ).scalar_one()
    open_ones = open_invoices(conn, invoice.c.job_id == kept.id)
    so_far = job_invoiced(conn, kept.id)
    if so_far.final and (left := agreed.net_cents - so_far.sales_cents - by_hand) > 0:
        yield Owed(f"Credited and still to be invoiced: {format_money(left)} before tax", "money")
    if kept.invoiced_on is None and agreed.net_cents > given_up:
        yield Owed(f"Never invoiced: {format_money(agreed.total_cents)}", "money")
    elif kept.paid_on is None and not open_ones and kept.invoiced_on is not None and agreed.net_cents > given_up:
        yield Owed("Invoiced, and no payment is noted", "money")
    if open_ones:
        cents = sum(one.open_cents for one in open_ones)
        yield Owed(f"Not paid yet: {format_money(cents)}", "money")
