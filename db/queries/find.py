"""Find anything: customers and jobs by any word, number, phone or address."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Select, case, func, literal, select

from db.tables import contact, customer, job, job_type, property_
from domain.words import fold, phone_digits, search_for

RECENT = 8
"""So many of the newest jobs stand there before anything is typed."""

_CUT = "\x1f"
Key = tuple[str, int]
"""(job or customer, its id)."""


@dataclass(frozen=True, slots=True)
class Found:
    """Something that can be opened."""

    kind: str  # job | customer
    title: str
    detail: str
    key: int

    @property
    def place(self) -> str:
        """Where it is shown, as `Desk.go` takes it."""
        return f"{self.kind}s"


@dataclass(frozen=True, slots=True)
class Findable:
    """All that Find looks through: jobs newest first, then customers by name, archived ones last.

    A line holds what one is found by, folded, its title first. Only what is found is then read for showing, so that
    a search among ten years of work is as quick as in a new company.
    """

    keys: tuple[Key, ...]
    lines: tuple[str, ...]

    def best(self, text: str, most: int) -> list[Key]:
        """What matches, those whose title begins with the text first; jobs stand together, and so do customers."""
        wanted, is_wanted = fold(text).strip(), search_for(text)
        ranked: tuple[list[int], ...] = ([], [], [])
        for place, line in enumerate(self.lines):
            if is_wanted(line):
                ranked[_rank(line, wanted)].append(place)
                if len(ranked[0]) == most:
                    break
        keys = [self.keys[place] for place in (ranked[0] + ranked[1] + ranked[2])[:most]]
        return sorted(keys, key=lambda key: key[0] != keys[0][0])


def _rank(line: str, wanted: str) -> int:
    if line.startswith(wanted):
        return 0
    title = line.partition(_CUT)[0]
    if wanted in title:
        return 1
    return 1 if all(word in title for word in wanted.split()) else 2


def findable(conn: Connection) -> Findable:
    """Read what Find looks through; three statements."""
    jobs = [(("job", row_id), fold(text)) for row_id, text in conn.execute(_jobs_to_search())]
    digits: dict[int, list[str]] = {}
    numbers = select(contact.c.customer_id, contact.c.value).where(contact.c.kind == "phone")
    for row_id, number in conn.execute(numbers):
        digits.setdefault(row_id, []).append(phone_digits(number))
    people = [
        (away, _CUT.join([fold(text), *digits.get(row_id, ())]), row_id)
        for row_id, away, text in conn.execute(_customers_to_search())
    ]
    ordered = [*jobs, *((("customer", row_id), line) for _, line, row_id in sorted(people))]
    return Findable(tuple(key for key, _ in ordered), tuple(line for _, line in ordered))


_TITLE: Any = job.c.number + "  " + case((job.c.title != "", job.c.title), else_=job_type.c.name)
_ENDING = case((job.c.cancelled_on.is_not(None), "canceled"), (job.c.closed_on.is_not(None), "closed"), else_="")
_WHERE = property_.c.street + case((property_.c.town != "", ", " + property_.c.town), else_="")
_JOB = job.join(customer).join(property_, property_.c.id == job.c.property_id).join(job_type)


def _jobs_to_search() -> Select[Any]:
    text = _TITLE
    for part in (job_type.c.name, customer.c.name, _WHERE, _ENDING):
        text = text + literal(_CUT) + part
    return select(job.c.id, text).select_from(_JOB).order_by(job.c.opened_on.desc(), job.c.id.desc())


def _customers_to_search() -> Select[Any]:
    def all_of(value: Any, owner: Any) -> Any:
        return select(func.aggregate_strings(value, " ")).where(owner == customer.c.id).correlate(customer)

    text: Any = customer.c.name
    for values in (
        all_of(contact.c.value, contact.c.customer_id),
        all_of(_WHERE, property_.c.customer_id),
        all_of(job.c.number, job.c.customer_id),
    ):
        text = text + literal(_CUT) + func.coalesce(values.scalar_subquery(), "")
    return select(customer.c.id, customer.c.archived_on.is_not(None), text)


def newest_jobs(conn: Connection) -> list[Found]:
    """What Find offers before anything is typed, in two statements."""
    query = select(job.c.id).order_by(job.c.opened_on.desc(), job.c.id.desc()).limit(RECENT)
    return found_things(conn, [("job", row_id) for row_id in conn.execute(query).scalars()])


def found_things(conn: Connection, keys: Sequence[Key]) -> list[Found]:
    """How the things with these keys are shown, in the same order; a statement for each kind there is."""
    made: dict[Key, Found] = {}
    for kind, query in (("job", _jobs_shown), ("customer", _customers_shown)):
        ids = [row_id for of, row_id in keys if of == kind]
        for row_id, title, detail in conn.execute(query(ids)) if ids else ():
            made[kind, row_id] = Found(kind, title, detail, row_id)
    return [made[key] for key in keys if key in made]


def _jobs_shown(ids: list[int]) -> Select[Any]:
    detail = customer.c.name + ", " + _WHERE + case((_ENDING != "", " · " + _ENDING), else_="")
    return select(job.c.id, _TITLE, detail).select_from(_JOB).where(job.c.id.in_(ids))


def _customers_shown(ids: list[int]) -> Select[Any]:
    def first_of(value: Any, owner: Any, *where: Any) -> Any:
        own_id = owner.table.c.id
        one = select(value + " · ").where(owner == customer.c.id, *where).order_by(own_id).limit(1)
        return func.coalesce(one.correlate(customer).scalar_subquery(), "")

    parts = (
        first_of(_WHERE, property_.c.customer_id)
        + first_of(contact.c.value, contact.c.customer_id, contact.c.kind == "phone")
        + case((customer.c.archived_on.is_not(None), "archived · "), else_="")
    )
    return select(customer.c.id, customer.c.name, func.rtrim(parts, " ·")).where(customer.c.id.in_(ids))


def find_anything(conn: Connection, text: str, most: int = 12) -> list[Found]:
    """Search once; a box that searches on each keystroke keeps `findable` and asks it for the `best`."""
    return found_things(conn, findable(conn).best(text, most)) if text.strip() else newest_jobs(conn)
