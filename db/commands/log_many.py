"""A whole day of one job in the log at once, checked like single entries: a few statements however long it was."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import NamedTuple

from sqlalchemy import bindparam, select

from db.commands.checks import needed
from db.commands.log_checks import counted, loggable_job
from db.commands.log_hours import hour_cents
from db.company_file.problems import Refused
from db.edit import Edit
from db.records import fetch_all
from db.tables import hours_entry, material_use, person
from domain.firm import DayRates, Person
from domain.log_entry import DAY_MINUTES, SOURCES, Stretch, format_hours, minutes_problem


@dataclass(frozen=True, slots=True)
class NewHours:
    """Time on a task; `began` is the minute of the day when it was noted as a span."""

    task_id: int
    person_id: int
    minutes: int
    began: int | None = None
    unquoted: bool = False
    cause_id: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class NewUse:
    """A material used, at the price paid (dollars for one unit)."""

    item_id: int | None
    description: str
    quantity: Decimal
    unit: str
    unit_cost: Decimal
    source: str = "stock"
    receipt: str = ""
    unquoted: bool = False
    cause_id: int | None = None
    note: str = ""


class _Logged(NamedTuple):
    day: date
    person_id: int
    began: int | None
    minutes: int


def log_whole_day(
    edit: Edit, job_id: int, day: date, hours: Sequence[NewHours], uses: Sequence[NewUse], rates: DayRates,
    *, today: date | None = None,
) -> None:  # fmt: skip
    """Enter the hours and materials of a day at its rates.

    Raises:
        Refused: as `log_hours` and `log_material` do; then nothing of the day is entered.
    """
    loggable_job(edit, job_id, day, today)
    crew = {one.id: one for one in fetch_all(edit.conn, Person, person)} if hours else {}
    near = _near(edit, day, {entry.person_id for entry in hours})
    for entry in hours:
        near.append(_checked_hours(crew[entry.person_id], day, entry, near))
    for use in uses:
        _check_use(use)
    edit.add_many(
        hours_entry,
        [
            {
                "job_id": job_id, "day": day, "task_id": entry.task_id, "person_id": entry.person_id,
                "minutes": entry.minutes, "began": entry.began, "rate_cents": hour_cents(rates, crew[entry.person_id]),
                "overhead_rate_cents": rates.overhead_cents, "unquoted": entry.unquoted, "cause_id": entry.cause_id,
                "note": entry.note.strip(),
            }
            for entry in hours
        ],
    )  # fmt: skip
    edit.add_many(
        material_use,
        [
            {
                "job_id": job_id, "day": day, "item_id": use.item_id, "description": use.description.strip(),
                "quantity": use.quantity, "unit": use.unit.strip(), "unit_cost": use.unit_cost, "source": use.source,
                "receipt": use.receipt.strip(), "unquoted": use.unquoted, "cause_id": use.cause_id,
                "note": use.note.strip(),
            }
            for use in uses
        ],
    )  # fmt: skip


_NEAR = select(hours_entry.c.day, hours_entry.c.person_id, hours_entry.c.began, hours_entry.c.minutes).where(
    hours_entry.c.day.between(bindparam("before"), bindparam("after")),
    hours_entry.c.person_id.in_(bindparam("people", expanding=True)),
)


def _near(edit: Edit, day: date, people: set[int]) -> list[_Logged]:
    """What these people have on the day and the days beside it, for a span may run past midnight."""
    one = timedelta(days=1)
    rows = edit.conn.execute(_NEAR, {"before": day - one, "after": day + one, "people": sorted(people)})
    return [_Logged(*row) for row in rows]


def _checked_hours(who: Person, day: date, entry: NewHours, near: Sequence[_Logged]) -> _Logged:
    if problem := minutes_problem(entry.minutes):
        raise Refused(problem)
    own = [row for row in near if row.person_id == who.id]
    if entry.began is not None:
        wanted = Stretch(day, entry.began, entry.minutes)
        for row in own:
            if row.began is not None and wanted.meets(Stretch(row.day, row.began, row.minutes)):
                raise Refused(
                    f"{format_hours(entry.minutes, entry.began)} overlaps {format_hours(row.minutes, row.began)} that "
                    f"{who.name} has already.",
                    "Change one of the two, or type only how long it took.",
                )
    if sum(row.minutes for row in own if row.day == day) + entry.minutes > DAY_MINUTES:
        raise Refused(f"{who.name} would have more than 24 hours on that day.", "Check the day and the hours.")
    return _Logged(day, who.id, entry.began, entry.minutes)


def _check_use(use: NewUse) -> None:
    if use.source not in SOURCES:
        raise Refused(f"Materials come from {' or '.join(SOURCES)}, not from “{use.source}”.")
    needed(use.description, "Say what was used.")
    counted(use.quantity, use.unit, use.unit_cost)
