"""Find anything: customers and jobs by any word, number, phone or address."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Connection, select

from db.queries.people import customer_list
from db.tables import customer, job, job_type, property_
from domain.words import fold, search_for, search_text


@dataclass(frozen=True, slots=True)
class Found:
    """Something that can be opened."""

    kind: str  # job | customer
    title: str
    detail: str
    key: int
    searched: str

    @property
    def place(self) -> str:
        """Where it is shown, as `Desk.go` takes it."""
        return f"{self.kind}s"


def findable(conn: Connection) -> list[Found]:
    """Everything Find looks through: jobs newest first, then customers by name; three statements."""
    people = [row for archived in (False, True) for row in customer_list(conn, archived=archived)]
    return _jobs(conn) + [
        Found(
            "customer", row.name,
            " · ".join(part for part in (row.place, row.phone, "archived" if row.archived else "") if part),
            row.id, row.searched,
        )
        for row in people
    ]  # fmt: skip


def _jobs(conn: Connection) -> list[Found]:
    columns = (
        job.c.id, job.c.number, job.c.title, job_type.c.name, customer.c.name, property_.c.street, property_.c.town,
        job.c.closed_on, job.c.cancelled_on,
    )  # fmt: skip
    joined = job.join(customer).join(property_, property_.c.id == job.c.property_id).join(job_type)
    query = select(*columns).select_from(joined).order_by(job.c.opened_on.desc(), job.c.id.desc())
    found = []
    for job_id, number, title, kind, name, street, town, closed, cancelled in conn.execute(query):
        ending = " · cancelled" if cancelled else " · closed" if closed else ""
        detail = f"{name}, {street}{', ' if town else ''}{town}{ending}"
        found.append(
            Found("job", f"{number}  {title or kind}", detail, job_id, search_text(number, title, kind, detail))
        )
    return found


def best(things: list[Found], text: str, most: int = 12) -> list[Found]:
    """The things that match, those whose title begins with the text first; the newest jobs for an empty text."""
    wanted = fold(text).strip()
    if not wanted:
        return [thing for thing in things if thing.kind == "job"][: min(most, 8)]
    is_wanted = search_for(text)
    found = [thing for thing in things if is_wanted(thing.searched)]
    found.sort(key=lambda thing: _rank(thing, wanted))
    return sorted(found[:most], key=lambda thing: thing.kind != found[0].kind)


def find_anything(conn: Connection, text: str, most: int = 12) -> list[Found]:
    """Search once; a box that searches on each keystroke keeps `findable` and asks `best`."""
    return best(findable(conn), text, most)


def _rank(thing: Found, wanted: str) -> int:
    title = search_text(thing.title)
    if title.startswith(wanted):
        return 0
    return 1 if all(word in title for word in wanted.split()) else 2
