"""Writes the sample company into a file: founded, then every story told in the order of its days."""

from __future__ import annotations

import gc
import secrets
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import date, datetime, time, timedelta, timezone
from itertools import groupby
from pathlib import Path
from typing import Any

from sqlalchemy import func, select

from db.commands import firm, people
from db.company_file import create_company
from db.company_file.company import Company
from db.company_file.files import put_without_overwriting
from db.company_file.opening import must_be_free
from db.company_file.places import lock_file, side_files
from db.company_file.problems import Refused
from db.company_file.row_sums import seal_within
from db.edit import Edit
from db.tables import hours_entry, job, material_line, material_use
from domain.dates import format_month
from sample_company.bookkeeping import keep_the_books
from sample_company.books import Books, open_books
from sample_company.coming import book_coming
from sample_company.founding import add_helper, found, the_firm
from sample_company.handing_over import steady_uids
from sample_company.read import Slip, read_customers, read_houses
from sample_company.retell import Cast, cast_for
from sample_company.run_tasks import tell_joints_and_supports_apart
from sample_company.telling import Crew, Deed, Telling, Told
from sample_company.truck import load_truck

EVENING = date(2026, 11, 12)
"""The day the sample company is opened on, a Thursday; nothing that has happened is later."""

_CLOSE_OF_DAY = time(20, 30)
_ZONE = timezone(timedelta(hours=-5))  # the invented state keeps one time all year, so that files are alike anywhere

Progress = Callable[[int, int], None]


class _Clock:
    """The company's clock while its story is told."""

    def __init__(self, day: date) -> None:
        self.day = day

    def __call__(self) -> datetime:
        return datetime.combine(self.day, _CLOSE_OF_DAY, _ZONE)


def write(path: Path, jobs: int | None, progress: Progress | None) -> str:
    """As `sample_company.write_sample`."""
    path = Path(path)
    must_be_free(path)
    fresh = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
    try:
        with _no_collections():
            sentence = _tell_all(fresh, path.name, jobs, progress or (lambda done, of: None))
        put_without_overwriting(fresh, path)
    finally:
        for leftover in (fresh, lock_file(fresh), *side_files(fresh)):
            with suppress(OSError):
                leftover.unlink()
    return sentence


@contextmanager
def _no_collections() -> Iterator[None]:
    """Python does not search for what may go, which takes a tenth of the time and finds little here.

    Where it does not search anyway, as while the window runs slow work, it is left at that.
    """
    looking = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if looking:
            gc.enable()
            gc.collect()


def _tell_all(path: Path, name: str, jobs: int | None, progress: Progress) -> str:
    told = the_firm()
    cast = cast_for(jobs)
    clock = _Clock(told["begun"])
    firm_name, owner = told["firm"]["name"], told["firm"]["owner_name"]
    with create_company(path, firm_name, owner, told["begun"], clock=clock) as company:
        with company.action("Say what hours, months and materials cost") as edit:
            found(edit, told, EVENING)
            for new in cast.more_helpers:
                add_helper(edit, new.name, [new.cost])
        with company.read() as conn:
            books = open_books(conn)
        met = Told()
        _tell(company, clock, _deeds(cast, books, met, told["helper"]), progress)
        clock.day = EVENING
        with company.action("Put away who is gone", undoable=False) as edit:
            _put_away(edit, books, met, told["helper"])
        with company.action("Tell joints and supports apart", undoable=False) as edit:
            tell_joints_and_supports_apart(edit)
        with company.action("Book the weeks to come", undoable=False) as edit:
            book_coming(edit, {part.story.tale: part.story.number for part in cast.parts if part.story.tale})
        with company.writing() as conn:
            steady_uids(conn)
        with company.action("Count the truck", undoable=False) as edit:
            load_truck(edit, books, EVENING)
        with company.action("Keep the books", undoable=False) as edit:
            keep_the_books(edit, books.firm.tax_percent, EVENING)
        with company.writing() as conn:
            seal_within(conn)
        return _sentence(company, name, firm_name)


def _deeds(cast: Cast, books: Books, met: Told, helpers: list[dict[str, Any]]) -> list[tuple[date, Deed]]:
    """Everything that was done, by day; on one day job after job."""
    customers, houses = read_customers(), read_houses()
    crews = [Crew(books.owner, books.people)]
    for lead, mate in cast.crews:  # whichever helper the story names, in another crew it is the crew's own
        crews.append(Crew(books.people[lead], {one["name"]: books.people[mate] for one in helpers}, True))
    deeds: list[tuple[date, int, int, Deed]] = []
    for place, part in enumerate(cast.parts):
        house = part.house or houses[part.story.house]
        customer = part.customer or customers[house.customer]
        telling = Telling(books, met, part.story, house, customer, crews[part.crew])
        deeds += [(day, place, step, deed) for step, (day, deed) in enumerate(telling.deeds())]
    deeds.sort(key=lambda one: one[:3])
    return [(day, _told_with(cast.parts[place].story.number, day, deed)) for day, place, _, deed in deeds]


def _told_with(number: str, day: date, deed: Deed) -> Deed:
    """The deed, whose refusal says which job and day of the data files it is about."""

    def told(edit: Edit) -> None:
        try:
            deed(edit)
        except Refused as refused:
            raise Slip(f"job {number}, {day}: {refused}") from refused

    return told


def _tell(company: Company, clock: _Clock, deeds: list[tuple[date, Deed]], progress: Progress) -> None:
    """One action a month: few enough to be quick, and the journal still says when."""
    done = 0
    for _, month in groupby(deeds, key=lambda one: (one[0].year, one[0].month)):
        some = list(month)
        clock.day = some[-1][0]
        with company.action(f"Work of {format_month(clock.day)}", undoable=False) as edit:
            for _, deed in some:
                deed(edit)
                done += 1
                if done % 25 == 0:
                    progress(done, len(deeds))
    progress(len(deeds), len(deeds))


def _put_away(edit: Edit, books: Books, met: Told, helpers: list[dict[str, Any]]) -> None:
    for helper in helpers:
        if helper.get("left"):
            firm.archive_person(edit, books.people[helper["name"]])
    for who in read_customers().values():
        if who.archived and who.name in met.customers:
            people.archive_customer(edit, met.customers[who.name], who.archived)


def _sentence(company: Company, name: str, firm_name: str) -> str:
    with company.read() as conn:
        counts = [
            conn.execute(select(func.count()).select_from(table)).scalar_one()
            for table in (job, hours_entry, material_line, material_use)
        ]
    return (
        f"Wrote “{name}”: the invented firm {firm_name} with {counts[0]:,} jobs, {counts[1]:,} hours entries and "
        f"{counts[2] + counts[3]:,} material lines ({counts[2]:,} quoted, {counts[3]:,} used)."
    )
