"""Tells the takeoffs of some jobs: routes as found and proposed, what is counted beside them, fan and readings."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any

from sqlalchemy import select

from db.commands import takeoff
from db.edit import Edit
from db.tables import fan_curve
from domain.job_takeoff.curve_text import read_points
from domain.job_takeoff.parts import PartValue
from domain.takeoff import Circuit, CrawlFloor, PaintWish, SealJoint, SuctionPit
from sample_company.books import Books
from sample_company.read import Slip, read_toml
from sample_company.story import Story


@cache
def _told() -> dict[str, Any]:
    return read_toml("takeoffs.toml")


def has_takeoff(story: Story) -> bool:
    """Whether the data files tell a takeoff of this job; a retelling in another house has none."""
    return bool(story.tale) and story.tale in _told()


def tell_takeoff(edit: Edit, books: Books, story: Story, job_id: int, on: date) -> None:
    """Type the job's routes and all that is counted beside them, as on the evening of its survey."""
    told = _told()[story.tale]
    takeoff.add_route(edit, job_id, "found", "", told["found"])
    takeoff.add_route(edit, job_id, "proposed", "", told["proposed"])
    if also := told.get("also"):
        takeoff.add_route(edit, job_id, "proposed", also["name"], also["words"])
    for value in _parts(told):
        takeoff.add_part(edit, job_id, value)
    takeoff.set_air_plan(
        edit, job_id, fan_curve_id=_fan(edit, books, told["fan"]), suction_wanted=Decimal(str(told["suction"])),
        present_fan_id=_fan(edit, books, told["present"]) if "present" in told else None,
    )  # fmt: skip
    for reading in told.get("readings", ()):
        values = {name: Decimal(str(reading[name])) for name in ("value", "at_suction") if name in reading}
        words = {name: reading[name] for name in ("place", "note", "fan") if name in reading}
        takeoff.add_reading(edit, job_id, reading["kind"], read_on=on, **values, **words)


def _parts(told: dict[str, Any]) -> list[PartValue]:
    parts: list[PartValue] = [SealJoint(one["where"], _feet(one["feet"])) for one in told.get("joints", ())]
    parts += [SuctionPit(one["where"], _feet(one["across"]), _feet(one["deep"])) for one in told.get("pits", ())]
    parts += [
        Circuit(one["where"], tuple(_feet(feet) for feet in one["sections"])) for one in told.get("circuits", ())
    ]
    parts += [CrawlFloor(one["where"], _feet(one["long"]), _feet(one["wide"])) for one in told.get("floors", ())]
    if paint := told.get("paint"):
        parts.append(PaintWish(tuple(paint["spaces"]), colour=paint["colour"]))
    return parts


def _feet(number: Any) -> Decimal:
    return Decimal(str(number))


def _fan(edit: Edit, books: Books, name: str) -> int:
    """The fan's curve, typed when it is first needed."""
    kept = edit.conn.execute(select(fan_curve.c.id).where(fan_curve.c.name == name)).scalar()
    if kept is not None:
        return int(kept)
    told = _told()["fans"].get(name)
    if told is None:
        raise Slip(f"takeoffs.toml: no fan is called “{name}”")
    return takeoff.add_fan_curve(
        edit, name, read_points(told["points"]), item_id=books.items[told["item"]].id, watts=Decimal(told["watts"]),
        note="invented",
    )  # fmt: skip
