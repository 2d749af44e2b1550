"""What the owner does with leftover pipe: keep it on the truck after a cut list, type it, throw it away."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from sqlalchemy import and_, select

from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.takeoff import takeoff_facts
from db.records import fetch_one
from db.tables import truck_offcut
from domain.buying import TruckOffcut
from domain.job_takeoff.offcuts import LONGEST_FT, left_over, shortest_kept, used_offcuts
from domain.job_takeoff.reckoning import reckon, route_sheet, rules_of
from domain.routes.route import PIPE_SIZES
from domain.takeoff import THOROUGH

SHORTEST_AT_ALL = Decimal("0.1")


@dataclass(frozen=True, slots=True)
class Kept:
    """What keeping the offcuts of a cut list changed: pieces onto the truck and their feet, pieces taken from it."""

    kept: int
    feet: Decimal
    used: int


def keep_offcuts(edit: Edit, job_id: int, on: date) -> Kept:
    """A job's pipe is cut as listed: what it used of the truck's offcuts is gone, what it leaves goes on the truck.

    Doing it again brings the truck in step with the list as it is now.

    Raises:
        Refused: nothing is cut, or the list cannot be trusted yet.
    """
    facts = takeoff_facts(edit.conn, job_id, on)
    rules = rules_of(facts)
    counted = reckon(facts, [route_sheet(row, rules) for row in facts.routes], rules, THOROUGH)
    if counted.in_the_way:
        raise Refused(f"Put this right first: {counted.in_the_way[0]}")
    cuts = counted.takeoff.cuts if counted.takeoff is not None else ()
    if not cuts:
        raise Refused("No pipe is cut on this takeoff yet.", "Type a proposed route and mark it as built.")
    _take_back(edit, job_id)
    used = used_offcuts(cuts, facts.truck_offcuts)
    for offcut_id in used:
        edit.change(truck_offcut, offcut_id, used_on=on, used_job_id=job_id)
    left = Counter(left_over(cuts, shortest_kept(facts.choices)))
    left.subtract(_gone_elsewhere(edit, job_id))
    pieces = [piece for piece, number in left.items() for _ in range(number)]
    for size, feet in pieces:
        edit.add(truck_offcut, size=size, feet=feet, kept_on=on, from_job_id=job_id)
    return Kept(len(pieces), sum((feet for _, feet in pieces), Decimal(0)), len(used))


def _take_back(edit: Edit, job_id: int) -> None:
    """As if the job's cut list had not been used yet, except for what others have made of its leftovers since."""
    taken = select(truck_offcut.c.id).where(truck_offcut.c.used_job_id == job_id)
    for row in edit.conn.execute(taken).all():
        edit.change(truck_offcut, row.id, used_on=None, used_job_id=None)
    edit.remove_where(truck_offcut, and_(truck_offcut.c.from_job_id == job_id, truck_offcut.c.used_on.is_(None)))


def _gone_elsewhere(edit: Edit, job_id: int) -> Counter[tuple[Decimal, Decimal]]:
    query = select(truck_offcut.c.size, truck_offcut.c.feet).where(truck_offcut.c.from_job_id == job_id)
    return Counter((row.size, row.feet) for row in edit.conn.execute(query))


def add_offcut(edit: Edit, size: Decimal, feet: Decimal, on: date) -> int:
    """Put a piece of pipe on the truck and return its id."""
    return edit.add(truck_offcut, **_checked(size, feet), kept_on=on)


def change_offcut(edit: Edit, offcut_id: int, feet: Decimal) -> None:
    """Correct the length of a piece that lies on the truck."""
    kept = fetch_one(edit.conn, TruckOffcut, truck_offcut, offcut_id)
    edit.change(truck_offcut, offcut_id, **_checked(kept.size, feet))


def remove_offcut(edit: Edit, offcut_id: int) -> None:
    """A piece is no longer on the truck: thrown away, or used without a cut list."""
    edit.remove(truck_offcut, offcut_id)


def _checked(size: Decimal, feet: Decimal) -> dict[str, Decimal]:
    if size not in PIPE_SIZES:
        raise Refused("That is no pipe size.", "Choose one of the list.")
    if not SHORTEST_AT_ALL <= feet <= LONGEST_FT:
        raise Refused("An offcut is from an inch or so to 20 ft long.", "Type its length: 4'6\".")
    return {"size": size, "feet": feet}
