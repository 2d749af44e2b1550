"""What the closeout section of a job shows, and everything its papers are made from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from sqlalchemy import Connection, func, or_, select

from db.queries.firm import firm
from db.queries.papers import own_texts
from db.queries.standards import own_standards
from db.records import fetch, fetch_all, fetch_one
from db.tables import (
    attachment,
    check_answer,
    check_point,
    closeout,
    customer,
    defect,
    exposure,
    hours_entry,
    job,
    job_type,
    labour_task,
    person,
    photo,
    property_,
    quote,
    radon_test,
)
from domain.cautions import work_cautions
from domain.closeout.checklist import checklist, points_of
from domain.closeout.exposure import (
    ExposureRules,
    PersonExposure,
    exposure_rules,
    exposure_sums,
    is_below_ground,
)
from domain.closeout.handover import Handover, TestSeen
from domain.closeout.points import built_in_points, work_kinds
from domain.closeout.records import Attachment, CheckAnswer, Closeout, Defect, Exposure, OwnPoint
from domain.closeout.reduction import reduction, retest_day, years_later
from domain.closeout.running_cost import running_cost
from domain.closeout.timing import FanOn, TimingRules, timing_of, timing_rules
from domain.firm import Person
from domain.jobs import Job, Photo, RadonTest
from domain.people import Customer, Property
from domain.standards import Standard, standard_on
from domain.standards.trade import FIRST_DAY


@dataclass(frozen=True, slots=True)
class OfferedHours:
    """Hours of one person on one day where radon gathers, logged on the job and not in the exposure log yet."""

    person_id: int
    person: str
    day: date
    minutes: int
    tasks: str


@dataclass(frozen=True, slots=True)
class CloseoutPage:
    """All that the closeout of a job shows."""

    facts: Handover
    rules: TimingRules
    fan_on: FanOn | None
    people: list[Person]
    entries: list[Exposure]  # of this job
    sums: list[PersonExposure]  # twelve months up to today, all jobs
    exposure_rules: ExposureRules
    offered: list[OfferedHours]
    offered_level: Decimal | None  # pCi/L: the newest test before the work


def handover(conn: Connection, job_id: int, today: date) -> Handover:
    """Everything the pack and the label are made from.

    Raises:
        LookupError: there is no such job.
    """
    return _handover(conn, job_id, today, own_standards(conn))


def closeout_page(conn: Connection, job_id: int, today: date) -> CloseoutPage:
    """The closeout of one job, in a fixed number of statements.

    Raises:
        LookupError: there is no such job.
    """
    own = own_standards(conn)
    facts = _handover(conn, job_id, today, own)
    rules, exposed = timing_rules(_day(facts.job, today), own), exposure_rules(today, own)
    everyone = fetch_all(conn, Person, person, order=(person.c.role.desc(), person.c.id))
    names = {one.id: one.name for one in everyone}
    lately = exposure.c.day > years_later(today, -1) - timedelta(days=1)
    entries = fetch_all(
        conn, Exposure, exposure, or_(lately, exposure.c.job_id == job_id), order=(exposure.c.day, exposure.c.id)
    )
    mine = [one for one in entries if one.job_id == job_id]
    before = [seen.record for seen in facts.tests if seen.record.purpose == "before"]
    return CloseoutPage(
        facts=facts, rules=rules, fan_on=_fan_on(facts.job, facts.system),
        people=[one for one in everyone if not one.archived], entries=mine,
        sums=exposure_sums(entries, names, today, exposed), exposure_rules=exposed,
        offered=_offered(conn, job_id, names, mine),
        offered_level=before[-1].result if before else None,
    )  # fmt: skip


def own_points(conn: Connection) -> list[OwnPoint]:
    """The owner's own points and what was changed of the built-in ones."""
    return fetch_all(conn, OwnPoint, check_point, order=(check_point.c.position, check_point.c.id))


def attachment_named(conn: Connection, attachment_id: int) -> Attachment:
    """One attachment. Raises LookupError when there is none."""
    return fetch_one(conn, Attachment, attachment, attachment_id)


def _handover(conn: Connection, job_id: int, today: date, own: tuple[Standard, ...]) -> Handover:
    kept = fetch_one(conn, Job, job, job_id)
    house = fetch_one(conn, Property, property_, kept.property_id)
    settings = firm(conn)
    type_name = conn.execute(select(job_type.c.name).where(job_type.c.id == kept.job_type_id)).scalar_one()
    system = next(iter(fetch_all(conn, Closeout, closeout, closeout.c.job_id == job_id)), None)
    day = _day(kept, today)
    rules = timing_rules(day, own)
    tests = fetch_all(
        conn, RadonTest, radon_test, radon_test.c.job_id == job_id, order=(radon_test.c.ended_on, radon_test.c.id)
    )
    reports = {
        row.id: row
        for row in fetch(
            conn, Attachment,
            select(attachment).join(radon_test, radon_test.c.attachment_id == attachment.c.id).where(
                radon_test.c.job_id == job_id
            ),
        )
    }  # fmt: skip
    points = points_of(built_in_points(work_kinds(type_name), day, own), own_points(conn), kept.job_type_id)
    answers = fetch_all(conn, CheckAnswer, check_answer, check_answer.c.job_id == job_id)
    watts = system.fan_watts if system else None
    change = standard_on("monitor_change_percent", day, own)
    return Handover(
        firm=settings, customer=fetch_one(conn, Customer, customer, kept.customer_id), house=house, job=kept,
        job_type=type_name, system=system,
        tests=tuple(_seen(test, system, kept, rules, reports) for test in tests),
        reduction=reduction(tests),
        retest_on=retest_day(tests, rules.recheck.value, system.retest_on if system else None),
        recheck_years=rules.recheck.value, recheck_source=rules.recheck.note, change_percent=change.value,
        rows=tuple(checklist(points, answers)),
        defects=tuple(fetch_all(conn, Defect, defect, defect.c.job_id == job_id)),
        photos=tuple(fetch_all(conn, Photo, photo, photo.c.job_id == job_id)),
        cost=running_cost(
            watts, settings.electricity_rate, settings.heat_loss_low_cents, settings.heat_loss_high_cents
        ),
        warranty=_warranty(conn, job_id, system) or settings.warranty_text,
        standard=(system.standard if system else "") or settings.standard_text,
        cautions=tuple(work_cautions(house)), texts=own_texts(conn),
    )  # fmt: skip


def _day(kept: Job, today: date) -> date:
    """The day whose figures count: that of the work, else today."""
    return max(kept.installed_on or kept.scheduled_on or today, FIRST_DAY)


def _fan_on(kept: Job, system: Closeout | None) -> FanOn | None:
    if kept.installed_on is None:
        return None
    return FanOn(kept.installed_on, system.fan_on_minute if system else None)


def _seen(
    test: RadonTest, system: Closeout | None, kept: Job, rules: TimingRules, reports: dict[int, Attachment]
) -> TestSeen:
    report = reports.get(test.attachment_id or 0)
    return TestSeen(
        test, timing_of(test, _fan_on(kept, system), rules), report.original_name if report else "",
        report.file_name if report else "",
    )  # fmt: skip


def _warranty(conn: Connection, job_id: int, system: Closeout | None) -> str:
    """The closeout's own words, else those of the proposal that was accepted."""
    if system and system.warranty_text:
        return system.warranty_text
    said = select(quote.c.warranty_text).where(
        quote.c.job_id == job_id, quote.c.kind == "proposal", quote.c.accepted_on.is_not(None)
    )
    return conn.execute(said).scalar() or ""


def _offered(conn: Connection, job_id: int, names: dict[int, str], logged: list[Exposure]) -> list[OfferedHours]:
    rows = conn.execute(
        select(hours_entry.c.person_id, hours_entry.c.day, labour_task.c.name, func.sum(hours_entry.c.minutes))
        .join(labour_task, labour_task.c.id == hours_entry.c.task_id)
        .where(hours_entry.c.job_id == job_id)
        .group_by(hours_entry.c.person_id, hours_entry.c.day, labour_task.c.name)
        .order_by(hours_entry.c.day, hours_entry.c.person_id, labour_task.c.name)
    )
    there = {(one.person_id, one.day) for one in logged}
    found: dict[tuple[int, date], list[tuple[str, int]]] = {}
    for person_id, day, task, minutes in rows:
        if (person_id, day) not in there and is_below_ground(task):
            found.setdefault((person_id, day), []).append((task, int(minutes)))
    return [
        OfferedHours(
            who, names.get(who, ""), day, sum(minutes for _, minutes in tasks), ", ".join(task for task, _ in tasks)
        )
        for (who, day), tasks in found.items()
    ]
