"""What three years of jobs say once they are added up: reworks are underbid, most of all in low crawl spaces."""

from __future__ import annotations

from collections import Counter, defaultdict
from fractions import Fraction
from statistics import median

import pytest
from sqlalchemy import Connection, func, select

from db import tables
from db.queries.heading import first_warnings
from db.queries.margins import all_job_results
from domain.costing import GroupMargin, JobResult, group_of

REWORK = "Rework of an existing system"
LOW_CRAWL = "Low crawl"


def ratio(result: JobResult) -> Fraction:
    """Logged over quoted time."""
    return Fraction(result.actual_minutes, result.quoted_minutes)


@pytest.fixture(scope="module")
def closed(sample: Connection) -> list[JobResult]:
    return all_job_results(sample, closed_only=True)


@pytest.fixture(scope="module")
def by_type(closed: list[JobResult]) -> dict[str, GroupMargin]:
    jobs: dict[str, list[JobResult]] = defaultdict(list)
    for result in closed:
        jobs[result.job_type].append(result)
    return {name: group_of(name, results) for name, results in jobs.items()}


def test_every_kind_of_job_was_done(by_type: dict[str, GroupMargin]) -> None:
    assert len(by_type) == 8
    assert by_type[REWORK].jobs >= 24
    assert by_type["New system"].jobs >= 24
    assert by_type["Fan replacement"].jobs >= 10


def test_reworks_lose_money_in_all_and_nothing_else_comes_near(by_type: dict[str, GroupMargin]) -> None:
    percents = {name: group.margin_percent for name, group in by_type.items()}
    assert all(percent is not None for percent in percents.values())
    assert -8 <= percents.pop(REWORK) <= 1  # type: ignore[operator]
    assert min(percents.values()) >= 20  # type: ignore[type-var]
    assert by_type[REWORK].lost * 3 >= by_type[REWORK].jobs


def test_no_rework_was_quoted_at_a_loss(by_type: dict[str, GroupMargin]) -> None:
    quoted = by_type[REWORK].quoted_margin_percent
    assert quoted is not None
    assert 20 <= quoted <= 30


def test_the_firm_as_a_whole_earns_so_that_nobody_looks(closed: list[JobResult]) -> None:
    whole = group_of("all", closed).margin_percent
    assert whole is not None
    assert 15 <= whole <= 30


@pytest.mark.parametrize(
    ("kind", "least", "most"),
    [("New system", "0.95", "1.12"), ("Fan replacement", "0.88", "1.05"), ("Service call", "0.9", "1.1")],
)
def test_what_the_firm_puts_in_itself_takes_the_time_quoted(
    closed: list[JobResult], kind: str, least: str, most: str
) -> None:
    middle = median(ratio(result) for result in closed if result.job_type == kind)
    assert Fraction(least) <= middle <= Fraction(most)


def test_reworks_run_over_and_low_crawls_most(closed: list[JobResult]) -> None:
    reworks = [result for result in closed if result.job_type == REWORK]
    low = [ratio(result) for result in reworks if LOW_CRAWL in result.conditions]
    rest = [ratio(result) for result in reworks if LOW_CRAWL not in result.conditions]
    assert len(low) >= 8
    assert Fraction("1.25") <= median(low + rest) <= Fraction("1.5")
    assert Fraction("1.5") <= median(low) <= Fraction("1.85")
    assert Fraction("1.15") <= median(rest) <= Fraction("1.45")
    in_crawl = group_of(LOW_CRAWL, [result for result in reworks if LOW_CRAWL in result.conditions])
    elsewhere = group_of("rest", [result for result in reworks if LOW_CRAWL not in result.conditions])
    assert in_crawl.margin_percent is not None
    assert elsewhere.margin_percent is not None
    assert in_crawl.margin_percent < elsewhere.margin_percent - 10


def test_most_jobs_come_out_near_the_quote_and_a_few_far_off(closed: list[JobResult]) -> None:
    own = [ratio(result) for result in closed if result.job_type != REWORK]
    near = sum(Fraction("0.9") <= one <= Fraction("1.1") for one in own)
    far = sum(one > Fraction("1.35") for one in own)
    assert near * 2 > len(own), "not peaked near the quote"
    assert 2 <= far <= len(own) // 8, "no tail, or too much of one"


def test_there_is_the_odd_loss_elsewhere(closed: list[JobResult]) -> None:
    losses = [result for result in closed if result.margin_cents < 0 and result.job_type != REWORK]
    assert 1 <= len(losses) <= 6


def test_what_ran_over_has_a_cause_and_slope_leads_on_reworks(sample: Connection) -> None:
    entries = (
        select(tables.cause.c.name, func.sum(tables.hours_entry.c.minutes))
        .join(tables.cause, tables.cause.c.id == tables.hours_entry.c.cause_id)
        .join(tables.job, tables.job.c.id == tables.hours_entry.c.job_id)
        .join(tables.job_type, tables.job_type.c.id == tables.job.c.job_type_id)
        .where(tables.job_type.c.name == REWORK)
        .group_by(tables.cause.c.name)
    )
    minutes = Counter(dict(sample.execute(entries).all()))
    assert minutes.most_common(1)[0][0] == "Slope had to be corrected"
    assert len(minutes) >= 8


def test_reworks_have_work_nobody_quoted_and_most_of_it_was_swallowed(sample: Connection) -> None:
    def reworks_with(condition: object) -> int:
        jobs = (
            select(func.count(func.distinct(tables.hours_entry.c.job_id)))
            .join(tables.job, tables.job.c.id == tables.hours_entry.c.job_id)
            .join(tables.job_type, tables.job_type.c.id == tables.job.c.job_type_id)
            .where(tables.job_type.c.name == REWORK, condition)  # type: ignore[arg-type]
        )
        return int(sample.execute(jobs).scalar_one())

    swallowed = reworks_with(tables.hours_entry.c.unquoted)
    ordered = sample.execute(
        select(func.count()).where(tables.quote.c.kind == "change_order", tables.quote.c.accepted_on.is_not(None))
    ).scalar_one()
    assert swallowed >= 8
    assert 4 <= ordered < swallowed


def test_the_level_came_down_everywhere_and_some_reworks_needed_a_second_visit(sample: Connection) -> None:
    tests = sample.execute(
        select(tables.radon_test.c.job_id, tables.radon_test.c.purpose, tables.radon_test.c.result)
        .order_by(tables.radon_test.c.job_id, tables.radon_test.c.started_on)
    ).all()  # fmt: skip
    before = [row.result for row in tests if row.purpose == "before"]
    after: dict[int, list[object]] = defaultdict(list)
    for row in tests:
        if row.purpose == "after":
            after[row.job_id].append(row.result)
    assert min(before) >= 4
    assert max(before) <= 28
    assert all(results[-1] < 2 for results in after.values())  # type: ignore[operator]
    assert sum(results[0] >= 4 for results in after.values()) == 3  # type: ignore[operator]


def test_mistakes_are_owned_up_to(sample: Connection) -> None:
    callbacks = sample.execute(
        select(func.count()).select_from(tables.hours_entry)
        .join(tables.labour_task, tables.labour_task.c.id == tables.hours_entry.c.task_id)
        .where(tables.labour_task.c.role == "callback")
    ).scalar_one()  # fmt: skip
    own = sample.execute(
        select(func.count()).select_from(tables.hours_entry)
        .join(tables.cause, tables.cause.c.id == tables.hours_entry.c.cause_id)
        .where(tables.cause.c.name == "Own mistake")
    ).scalar_one()  # fmt: skip
    assert callbacks >= 5
    assert own >= 3


def test_a_running_job_warned_while_it_ran(sample: Connection) -> None:
    """By what was logged and said on the first of three days, before the quoted hours were used."""
    running = sample.execute(
        select(tables.job.c.id).where(tables.job.c.closed_on.is_(None), tables.job.c.installed_on.is_(None))
    ).scalars().all()  # fmt: skip
    found = {job: one for job, one in first_warnings(sample, running).items() if not one.used_up}
    assert found
    for one in found.values():
        assert one.spent_minutes < one.quoted_minutes < one.whole_minutes
