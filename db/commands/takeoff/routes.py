"""The routes of a job: add, change, copy, remove. A route is kept as typed, whatever is still wrong with it."""

from __future__ import annotations

from typing import Any

from sqlalchemy import func, select

from db.commands.checks import count_where, only
from db.company_file.problems import Refused
from db.edit import Edit
from db.records import fetch_one
from db.tables import job, route
from domain.job_takeoff.reckoning import stated_head, without_head
from domain.job_takeoff.records import RouteRow
from domain.routes.route import STATUSES

LONGEST_WORDS = 20_000
MOST_ROUTES = 12


def add_route(
    edit: Edit, job_id: int, status: str, name: str = "", words: str = "", *, built: bool | None = None
) -> int:
    """Add a route and return its id; status is found or proposed.

    The first proposed route counts in the list, a further one does not until it is marked as built.

    Raises:
        Refused: no such status, too many routes, or more words than a route has.
    """
    live = edit.conn.execute(select(job.c.id).where(job.c.id == job_id)).scalar()
    if live is None:
        raise LookupError(f"job {job_id} does not exist")
    if count_where(edit.conn, route, route.c.job_id == job_id) >= MOST_ROUTES:
        raise Refused(f"A job keeps {MOST_ROUTES} routes.", "Remove one that is no longer needed.")
    values = _values(status=status, name=name, words=words)
    if built is None:
        others = count_where(edit.conn, route, route.c.job_id == job_id, route.c.built)
        built = values["status"] == "proposed" and not others
    last = edit.conn.execute(select(func.max(route.c.position)).where(route.c.job_id == job_id)).scalar()
    return edit.add(route, job_id=job_id, position=int(last or 0) + 1, built=built, **values)


def change_route(edit: Edit, route_id: int, **values: Any) -> None:
    """Change status, name, words or built. A line ``proposed: name`` in the words says status and name too."""
    only(values, {"status", "name", "words", "built"})
    edit.change(route, route_id, **_values(**values))


def copy_route(edit: Edit, route_id: int, name: str = "") -> int:
    """Add a proposed route with the same words and return its id: the way to begin from what was found."""
    kept = fetch_one(edit.conn, RouteRow, route, route_id)
    if not name:
        name = f"copy of {kept.name}" if kept.name and kept.status == "proposed" else ""
    return add_route(edit, kept.job_id, "proposed", name, without_head(kept.words))


def remove_route(edit: Edit, route_id: int) -> None:
    """Delete a route; Undo brings it back."""
    edit.remove(route, route_id)


def _values(**values: Any) -> dict[str, Any]:
    """The columns, with status and name as a head line in the words says them."""
    words = values.get("words")
    if words is not None:
        if len(words) > LONGEST_WORDS:
            raise Refused(f"A route has {LONGEST_WORDS:,} characters at most.", "Split it into two routes.")
        head = stated_head(words)
        if head is not None:
            values |= {"status": head[0], "name": head[1]}
    if "name" in values:
        values["name"] = " ".join(values["name"].split())[:80]
    if "status" in values and values["status"] not in STATUSES:
        raise Refused(f"A route is found or proposed, not “{values['status']}”.")
    return values
