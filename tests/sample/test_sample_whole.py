"""The sample company holds together: nothing points nowhere, no day is impossible, every cent has its place."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from pathlib import Path

import pytest
from sqlalchemy import Connection, Date, Table, func, select

from db import tables
from db.company_file import check_file
from db.queries.costing import figures_of_jobs
from db.queries.margins import all_job_results
from db.records import fetch_all
from domain.costing import variance_tree
from domain.firm import Firm, Person
from domain.job_dates import first_problem
from domain.jobs import Deadline, Job, RadonTest
from domain.quoting.lines import Quote

EVENING = date(2026, 11, 12)
FIRST_DAY = date(2023, 11, 1)
STILL_TO_COME = {
    "job.scheduled_on", "deadline.due_on", "quote.expires_on", "visit.day", "invoice.due_on", "closeout.warranty_until",
    "closeout.retest_on", "bill.due_on",
}  # fmt: skip


def count(conn: Connection, table: Table, *where: object) -> int:
    return int(conn.execute(select(func.count()).select_from(table).where(*where)).scalar_one())  # type: ignore[arg-type]


def test_the_file_is_in_order(sample_file: Path) -> None:
    report = check_file(sample_file)
    assert report.ok, report.lines


def test_its_evening_is_a_thursday_in_november(sample: Connection) -> None:
    firm = fetch_all(sample, Firm, tables.company)[0]
    assert firm.pinned_today == EVENING
    assert EVENING.strftime("%A") == "Thursday"


@pytest.mark.parametrize(
    ("table", "least", "most"),
    [
        (tables.job, 138, 145),
        (tables.hours_entry, 1_400, 1_750),
        (tables.customer, 100, 135),
        (tables.radon_test, 180, 260),
        (tables.item, 80, 120),
        (tables.price_adjustment, 2, 4),
    ],
    ids=lambda value: value.name if isinstance(value, Table) else None,
)
def test_there_is_as_much_as_three_years_leave_behind(
    sample: Connection, table: Table, least: int, most: int
) -> None:
    assert least <= count(sample, table) <= most


def test_there_are_about_six_thousand_material_lines(sample: Connection) -> None:
    assert 5_900 <= count(sample, tables.material_line) + count(sample, tables.material_use) <= 6_600


def test_installations_are_quoted_with_real_lists(sample: Connection) -> None:
    lines = select(tables.quote.c.id, func.count()).join(
        tables.material_line, tables.material_line.c.quote_id == tables.quote.c.id
    ).join(tables.job, tables.job.c.id == tables.quote.c.job_id).join(
        tables.job_type, tables.job_type.c.id == tables.job.c.job_type_id
    ).where(
        tables.quote.c.kind == "proposal",
        tables.job_type.c.name.not_in(["Fan replacement", "Service call", "Passive activation"]),
    ).group_by(tables.quote.c.id)  # fmt: skip
    sizes = [size for _, size in sample.execute(lines)]
    assert min(sizes) >= 15
    assert max(sizes) <= 40


def test_quotes_are_won_and_lost(sample: Connection) -> None:
    quotes = fetch_all(sample, Quote, tables.quote)
    proposals = [quote for quote in quotes if quote.kind == "proposal"]
    assert sum(quote.declined_on is not None for quote in proposals) >= 12
    assert all(quote.declined_reason for quote in proposals if quote.declined_on)
    waiting = [quote for quote in proposals if quote.sent_on and not quote.accepted_on and not quote.declined_on]
    assert sum(quote.expires_on is not None and quote.expires_on < EVENING for quote in waiting) >= 5
    assert {quote.pricing for quote in proposals} == {"margin", "markup", "fixed"}
    assert sum(quote.version > 1 for quote in proposals) >= 2
    assert sum(quote.goodwill_cents > 0 for quote in quotes) >= 12
    orders = Counter(bool(quote.accepted_on) for quote in quotes if quote.kind == "change_order")
    assert orders[True] >= 5
    assert orders[False] >= 1


def test_the_evening_finds_work_in_every_state(sample: Connection) -> None:
    quotes = [quote for quote in fetch_all(sample, Quote, tables.quote) if quote.kind == "proposal"]
    out = [
        quote for quote in quotes
        if quote.sent_on and not quote.accepted_on and not quote.declined_on
        and quote.expires_on and quote.expires_on >= EVENING
    ]  # fmt: skip
    assert sum(quote.sent_on is None for quote in quotes) == 2
    assert len(out) == 3
    assert any(quote.expires_on == EVENING + timedelta(days=1) for quote in out)
    assert any(quote.sent_on == EVENING - timedelta(days=1) for quote in out)
    jobs = fetch_all(sample, Job, tables.job)
    logged = set(sample.execute(select(tables.hours_entry.c.job_id)).scalars())
    assert [job.id in logged for job in jobs if job.scheduled_on == EVENING] == [False]
    half_done = [job for job in jobs if job.id in logged and not job.installed_on and not job.closed_on]
    assert len(half_done) == 1
    closing = fetch_all(sample, Deadline, tables.deadline, tables.deadline.c.job_id == half_done[0].id)
    assert [(one.due_on, one.met) for one in closing] == [(date(2026, 11, 24), False)]
    assert any(job.scheduled_on and job.scheduled_on > EVENING for job in jobs)
    assert any(job.installed_on and job.id not in logged for job in jobs)


def test_nothing_has_happened_after_the_evening_or_before_the_firm(sample: Connection) -> None:
    for table in tables.METADATA.sorted_tables:
        for column in table.c:
            if not isinstance(column.type, Date):
                continue
            earliest, latest = sample.execute(select(func.min(column), func.max(column))).one()
            if f"{table.name}.{column.name}" not in STILL_TO_COME:
                assert latest is None or latest <= EVENING, (table.name, column.name)
            if table.name not in ("radon_test", "mile_cost"):
                assert earliest is None or earliest >= FIRST_DAY, (table.name, column.name)


def test_the_days_of_every_job_stand_in_order(sample: Connection) -> None:
    jobs = fetch_all(sample, Job, tables.job)
    assert [problem for job in jobs if (problem := first_problem(job))] == []
    by_id = {job.id: job for job in jobs}
    for test in fetch_all(sample, RadonTest, tables.radon_test):
        job = by_id[test.job_id]
        assert test.started_on is not None
        assert timedelta(days=2) <= test.ended_on - test.started_on <= timedelta(days=7)
        if test.purpose == "after":  # no sooner than 24 hours after the fan was on: MAH-2019 s. 7.3.2
            assert job.installed_on is not None
            assert test.started_on > job.installed_on
        else:
            assert test.ended_on <= job.opened_on
    for quote in fetch_all(sample, Quote, tables.quote):
        steps = [by_id[quote.job_id].opened_on, quote.created_on, quote.sent_on, quote.accepted_on or quote.declined_on]
        known = [step for step in steps if step]
        assert known == sorted(known)


def test_work_is_logged_only_between_acceptance_and_closing(sample: Connection) -> None:
    accepted = {
        quote.job_id: quote.accepted_on
        for quote in fetch_all(sample, Quote, tables.quote)
        if quote.kind == "proposal" and quote.accepted_on
    }
    closed = {job.id: job.closed_on or EVENING for job in fetch_all(sample, Job, tables.job)}
    for table in (tables.hours_entry, tables.material_use, tables.other_cost, tables.price_adjustment):
        for job_id, day in sample.execute(select(table.c.job_id, table.c.day)):
            assert accepted[job_id] <= day <= closed[job_id], (table.name, job_id)


def test_nobody_works_more_than_a_long_day(sample: Connection) -> None:
    days = sample.execute(
        select(tables.hours_entry.c.day, tables.hours_entry.c.person_id, func.sum(tables.hours_entry.c.minutes))
        .group_by(tables.hours_entry.c.day, tables.hours_entry.c.person_id)
    ).all()  # fmt: skip
    assert max(minutes for _, _, minutes in days) <= 12 * 60
    assert all(day.weekday() < 5 for day, _, _ in days)


def test_people_work_while_they_are_with_the_firm(sample: Connection) -> None:
    people = {person.id: person for person in fetch_all(sample, Person, tables.person)}
    assert sorted(person.role for person in people.values()) == ["helper", "helper", "helper", "owner"]
    costs, entries = tables.person_cost, tables.hours_entry
    hired = select(costs.c.person_id, func.min(costs.c.starts_on)).group_by(costs.c.person_id)
    first = dict(sample.execute(hired).all())
    seen = select(entries.c.person_id, func.min(entries.c.day), func.max(entries.c.day)).group_by(entries.c.person_id)
    begun = {person_id: day for person_id, day, _ in sample.execute(seen)}
    left = {person_id: day for person_id, _, day in sample.execute(seen)}
    assert set(begun) == set(people), "somebody never worked"
    assert all(day >= first[person_id] for person_id, day in begun.items())
    gone = [person.id for person in people.values() if person.archived]
    assert len(gone) == 1
    assert left[gone[0]] < date(2025, 8, 16)


def test_nothing_stands_alone(sample: Connection) -> None:
    jobs = fetch_all(sample, Job, tables.job)
    assert {job.customer_id for job in jobs} == set(sample.execute(select(tables.customer.c.id)).scalars())
    assert {job.property_id for job in jobs} == set(sample.execute(select(tables.property_.c.id)).scalars())
    priced = set(sample.execute(select(tables.labour_line.c.quote_id)).scalars())
    priced |= set(sample.execute(select(tables.material_line.c.quote_id)).scalars())
    assert priced == set(sample.execute(select(tables.quote.c.id)).scalars())
    assert sample.exec_driver_sql("PRAGMA foreign_key_check").all() == []


def test_quoted_margin_and_variances_make_the_actual_margin_of_every_job(sample: Connection) -> None:
    results = {result.job_id: result for result in all_job_results(sample)}
    trees = {job_id: variance_tree(figures) for job_id, figures in figures_of_jobs(sample).items()}
    assert len(trees) >= 100
    for job_id, tree in trees.items():
        assert tree.balances, results[job_id].number
        assert tree.actual_margin_cents == results[job_id].margin_cents, results[job_id].number
        assert tree.quoted_margin_cents == results[job_id].quoted_margin_cents, results[job_id].number


def test_quiet_months_and_busy_ones(sample: Connection) -> None:
    opened = Counter((job.opened_on.year, job.opened_on.month) for job in fetch_all(sample, Job, tables.job))
    assert [opened[2024, 7], opened[2025, 8], opened[2025, 12]] == [1, 1, 1]
    assert max(opened.values()) >= 5
    assert len(opened) == 37
