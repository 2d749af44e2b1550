"""Visits as an iCalendar file (RFC 5545), which any calendar reads; a second import moves what the first one made.

Each visit keeps its UID for ever and its SEQUENCE grows with each change (3.8.4.7, 3.8.7.4), so that a calendar knows
the same visit again; one that was called off goes along as STATUS:CANCELLED (3.8.1.11). Times are floating local times
(3.3.5, form 1): the owner works where he lives, and the file needs no time zone table.
"""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterable
from contextlib import suppress
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from db.company_file.files import make_private
from domain.calendar.visits import KIND_WORDS, PlannedVisit, moment
from domain.leaving import many_lines, one_line
from domain.units import format_minutes

if TYPE_CHECKING:
    from icalendar import Event

MAKER = "-//Riserbook//Visits//EN"


def write_calendar(visits: Iterable[PlannedVisit], path: Path, made_at: datetime, name: str) -> int:
    """Write the visits and return how many; a file of that name is replaced only when the new one is whole.

    Args:
        visits: those called off too.
        path: where to write.
        made_at: the moment of writing, in local time or with a zone.
        name: what a calendar may call them, e.g. the firm's name.

    Raises:
        OSError: the folder is missing, the disk is full.
    """
    told = list(visits)
    fresh = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
    make_private(fresh)
    try:
        fresh.write_bytes(calendar_bytes(told, made_at, name))
        os.replace(fresh, path)
    finally:
        with suppress(OSError):
            fresh.unlink()
    return len(told)


def calendar_bytes(visits: Iterable[PlannedVisit], made_at: datetime, name: str) -> bytes:
    """The file's content."""
    from icalendar import Calendar

    made = Calendar()
    made.add("prodid", MAKER)
    made.add("version", "2.0")
    called = one_line(name)
    made.add("name", called)  # RFC 7986, 5.1
    made.add("x-wr-calname", called)  # what calendars read before that
    stamp = made_at.astimezone(UTC).replace(microsecond=0)
    for one in visits:
        made.add_component(_event(one, stamp))
    return bytes(made.to_ical())


def _event(planned: PlannedVisit, stamp: datetime) -> Event:
    from icalendar import Event

    visit, event = planned.visit, Event()
    event.add("uid", one_line(visit.uid))
    event.add("dtstamp", stamp)
    event.add("sequence", visit.sequence)
    starts, ends = _stretch(planned)
    event.add("dtstart", starts)
    event.add("dtend", ends)
    event.add("summary", one_line(_summary(planned)))
    event.add("categories", [KIND_WORDS[visit.kind]])
    if planned.place:
        event.add("location", one_line(planned.place))
    if about := _about(planned):
        event.add("description", many_lines(about))
    event.add("status", "CONFIRMED" if visit.stands else "CANCELLED")
    event.add("transp", "OPAQUE" if visit.takes_own_time and visit.stands else "TRANSPARENT")
    return event


def _stretch(planned: PlannedVisit) -> tuple[Any, Any]:
    """Start and end; a visit without an hour is a whole day, whose end is the day after (3.6.1)."""
    visit = planned.visit
    if visit.starts_at is None:
        day: date = visit.day
        return day, day + timedelta(days=1)
    return moment(visit.day, visit.starts_at), moment(visit.day, visit.starts_at + visit.minutes)


def _summary(planned: PlannedVisit) -> str:
    who = f" ({planned.visit.who})" if planned.visit.who else ""
    return f"{planned.words}{who}"


def _about(planned: PlannedVisit) -> str:
    visit = planned.visit
    lines = [
        f"{planned.job_number} {planned.job_title}".strip(),
        visit.title if visit.job_id is not None else "",
        f"Phone {planned.phone}" if planned.phone else "",
        f"{format_minutes(visit.minutes)} there" if visit.starts_at is None else "",
        f"{format_minutes(visit.travel_minutes)} on the way, there and back" if visit.travel_minutes else "",
        visit.note,
    ]
    return "\n".join(line for line in lines if line)
