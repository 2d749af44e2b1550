"""The exposure log of all jobs: who was where, how long, in what level."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from sqlalchemy import Connection, func, select

from db.queries.standards import own_standards
from db.records import fetch_all
from db.tables import company, exposure, job, person, property_
from domain.closeout.exposure import (
    PLACES,
    ExposureRules,
    PersonExposure,
    exposure_rules,
    exposure_sums,
    working_level_months,
)
from domain.closeout.records import Exposure
from domain.closeout.reduction import years_later
from domain.units.numbers import to_places


@dataclass(frozen=True, slots=True)
class LoggedExposure:
    """An entry with what a list shows of it."""

    entry: Exposure
    person: str
    job_number: str
    place: str
    wlm: Decimal


@dataclass(frozen=True, slots=True)
class ExposureLog:
    """Every entry of a span of years, the newest first, and each person's twelve months up to today."""

    entries: list[LoggedExposure]
    sums: list[PersonExposure]
    rules: ExposureRules
    keep_years: Decimal
    radon_unit: str


def exposure_log(conn: Connection, today: date, years: int = 1) -> ExposureLog:
    """The log of so many years up to today, in four statements."""
    from domain.standards import standard_on

    own = own_standards(conn)
    rules = exposure_rules(today, own)
    since = years_later(today, -years) + timedelta(days=1)
    recorded = fetch_all(
        conn, Exposure, exposure, exposure.c.day.between(since, today), order=(exposure.c.day.desc(), exposure.c.id)
    )
    about = conn.execute(
        select(exposure.c.id, person.c.name, func.coalesce(job.c.number, ""), func.coalesce(property_.c.street, ""))
        .select_from(
            exposure.join(person, person.c.id == exposure.c.person_id)
            .outerjoin(job, job.c.id == exposure.c.job_id)
            .outerjoin(property_, property_.c.id == job.c.property_id)
        )
        .where(exposure.c.day.between(since, today))
    )
    words = {row[0]: (row[1], row[2], row[3]) for row in about}
    names = {one.person_id: words[one.id][0] for one in recorded}
    return ExposureLog(
        [
            LoggedExposure(
                one, *words[one.id],
                to_places(working_level_months(one.minutes, one.level, one.equilibrium_percent, rules), PLACES),
            )
            for one in recorded
        ],
        exposure_sums(recorded, names, today, rules), rules,
        standard_on("exposure_record_years", today, own).value,
        conn.execute(select(company.c.radon_unit)).scalar() or "pCi/L",
    )  # fmt: skip
