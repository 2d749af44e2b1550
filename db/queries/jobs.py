"""What the job list, the job page and the survey show."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from sqlalchemy import Connection, func, or_, select

from db.queries.job_rows import filter_condition, job_facts, job_rows
from db.records import fetch_all, fetch_one
from db.tables import (
    access_condition,
    company,
    contact,
    customer,
    deadline,
    job,
    job_condition,
    job_type,
    lead_source,
    party,
    photo,
    property_,
    radon_test,
    survey,
    task_factor,
)
from domain.jobs import Deadline, Job, JobFacts, JobRow, Party, Photo, RadonTest, Survey, job_state
from domain.library import AccessCondition, JobType, ListEntry
from domain.people import Contact, Customer, Property
from domain.words import search_for

__all__ = [
    "JobHead",
    "JobLists",
    "SurveyPage",
    "job_facts",
    "job_head",
    "job_list",
    "job_lists",
    "job_rows",
    "survey_page",
]


@dataclass(frozen=True, slots=True)
class JobHead:
    """All that the head and the facts of a job page show."""

    job: Job
    customer: Customer
    contacts: list[Contact]
    house: Property
    job_type: JobType
    facts: JobFacts
    state: str  # one of domain.jobs.STATES
    price_cents: int | None  # as in JobRow
    parties: list[Party]
    deadlines: list[Deadline]  # by day

    @property
    def next_deadline(self) -> Deadline | None:
        """The first one that is not met."""
        return next((one for one in self.deadlines if not one.met), None)


@dataclass(frozen=True, slots=True)
class JobLists:
    """What can be chosen for a job, without what is archived."""

    job_types: list[JobType]
    lead_sources: list[ListEntry]


@dataclass(frozen=True, slots=True)
class SurveyPage:
    """All that the survey of a job shows."""

    job: Job
    house: Property
    survey: Survey | None
    tests: list[RadonTest]  # by day
    conditions: list[AccessCondition]  # those in use, and archived ones the job has
    ticked: frozenset[int]
    photos: list[Photo]
    radon_unit: str
    effects: dict[int, tuple[int, Decimal]]  # by condition: how many tasks it makes longer, the largest factor in %


def job_list(
    conn: Connection, today: date, which: str = "open", *, job_type_id: int | None = None, text: str = "",
    limit: int | None = None,
) -> list[JobRow]:  # fmt: skip
    """Jobs of one of domain.jobs.JOB_FILTERS, newest first; `text` as `domain.words.search_for` reads it."""
    where = [filter_condition(which, today)]
    if job_type_id is not None:
        where.append(job.c.job_type_id == job_type_id)
    if not text.strip():
        return job_rows(conn, today, *where, limit=limit)
    is_wanted = search_for(text)
    found = (row for row in job_rows(conn, today, *where) if is_wanted(row.searched))
    return [row for _, row in zip(range(limit), found, strict=False)] if limit else list(found)


def job_lists(conn: Connection) -> JobLists:
    """The job types and lead sources in use, in the owner's order."""
    by_place = [(table.c.position, table.c.id) for table in (job_type, lead_source)]
    return JobLists(
        fetch_all(conn, JobType, job_type, ~job_type.c.archived, order=by_place[0]),
        fetch_all(conn, ListEntry, lead_source, ~lead_source.c.archived, order=by_place[1]),
    )


def job_head(conn: Connection, job_id: int, today: date) -> JobHead:
    """One job with who and what belongs to it.

    Raises:
        LookupError: there is no such job.
    """
    kept = fetch_one(conn, Job, job, job_id)
    (row,) = job_rows(conn, today, job.c.id == job_id)
    return JobHead(
        job=kept,
        customer=fetch_one(conn, Customer, customer, kept.customer_id),
        contacts=fetch_all(conn, Contact, contact, contact.c.customer_id == kept.customer_id),
        house=fetch_one(conn, Property, property_, kept.property_id),
        job_type=fetch_one(conn, JobType, job_type, kept.job_type_id),
        facts=row.facts,
        state=job_state(row.facts, today),
        price_cents=row.price_cents,
        parties=fetch_all(conn, Party, party, party.c.job_id == job_id),
        deadlines=fetch_all(
            conn, Deadline, deadline, deadline.c.job_id == job_id, order=(deadline.c.due_on, deadline.c.id)
        ),
    )


def survey_page(conn: Connection, job_id: int) -> SurveyPage:
    """The survey of one job.

    Raises:
        LookupError: there is no such job.
    """
    kept = fetch_one(conn, Job, job, job_id)
    ticked = select(job_condition.c.condition_id).where(job_condition.c.job_id == job_id)
    effects = (
        select(task_factor.c.condition_id, func.count(), func.max(task_factor.c.factor_percent))
        .where(task_factor.c.factor_percent > 100)
        .group_by(task_factor.c.condition_id)
    )
    kept_survey = fetch_all(conn, Survey, survey, survey.c.job_id == job_id)
    return SurveyPage(
        job=kept,
        house=fetch_one(conn, Property, property_, kept.property_id),
        survey=kept_survey[0] if kept_survey else None,
        tests=fetch_all(
            conn, RadonTest, radon_test, radon_test.c.job_id == job_id,
            order=(radon_test.c.ended_on, radon_test.c.id),
        ),
        conditions=fetch_all(
            conn, AccessCondition, access_condition,
            or_(~access_condition.c.archived, access_condition.c.id.in_(ticked)),
            order=(access_condition.c.position, access_condition.c.id),
        ),
        ticked=frozenset(conn.execute(ticked).scalars()),
        photos=fetch_all(conn, Photo, photo, photo.c.job_id == job_id),
        radon_unit=conn.execute(select(company.c.radon_unit)).scalar() or "pCi/L",
        effects={row[0]: (row[1], row[2]) for row in conn.execute(effects)},
    )  # fmt: skip
