"""Fans with the points of their sheets, how the air of a job is judged, and what was measured on site."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import select

from db.commands.checks import needed, only, tidied
from db.company_file.problems import Refused
from db.edit import Edit
from db.records import fetch_all, fetch_one
from db.tables import air_plan, fan_curve, item, site_reading
from domain.airflow import FanCurve
from domain.errors import NotUnderstood
from domain.job_takeoff.curve_text import Points, store_points
from domain.job_takeoff.measured import checked_readings
from domain.job_takeoff.records import FANS, FLOW, READING_KINDS, TEST_FAN, FanCurveRow, ReadingRow, blank_plan
from domain.price_list import Item

MOST_SUCTION_PA = Decimal(5000)
MOST_CFM = Decimal(5000)


def add_fan_curve(
    edit: Edit, name: str, points: Points, *, item_id: int | None = None, watts: Decimal | None = None, note: str = ""
) -> int:
    """Keep a fan with the points of its own sheet (cfm, inches of water) and return its id.

    Raises:
        Refused: no name, or a curve that cannot be, in the words of the curve.
    """
    values = _fan_values(name=name, points=points, item_id=item_id, watts=watts, note=note)
    return edit.add(fan_curve, **_checked_item(edit, values))


def change_fan_curve(edit: Edit, curve_id: int, **values: Any) -> None:
    """Change name, points, item_id, watts, note or archived."""
    only(values, {"name", "points", "item_id", "watts", "note", "archived"})
    fetch_one(edit.conn, FanCurveRow, fan_curve, curve_id)
    edit.change(fan_curve, curve_id, **_checked_item(edit, _fan_values(**values)))


def set_air_plan(edit: Edit, job_id: int, **values: Any) -> None:
    """Say fan_curve_id, present_fan_id, suction_wanted (Pa), method or sharp_elbows for a job."""
    only(values, {"fan_curve_id", "present_fan_id", "suction_wanted", "method", "sharp_elbows"})
    if values.get("method", "lengths") not in ("coefficients", "lengths"):
        raise Refused(f"“{values['method']}” is no method.")
    if not 0 <= values.get("suction_wanted", 0) <= MOST_SUCTION_PA:
        raise Refused("The suction wanted lies between 0 and 5,000 Pa.", "Type it without a minus.")
    for name in ("fan_curve_id", "present_fan_id"):
        if values.get(name) is not None:
            fetch_one(edit.conn, FanCurveRow, fan_curve, values[name])
    row_id = edit.conn.execute(select(air_plan.c.id).where(air_plan.c.job_id == job_id)).scalar()
    if row_id is not None:
        edit.change(air_plan, row_id, **values)
        return
    usual = blank_plan(job_id)
    names = ("fan_curve_id", "present_fan_id", "suction_wanted", "method", "sharp_elbows")
    edit.add(air_plan, job_id=job_id, **{name: values.get(name, getattr(usual, name)) for name in names})


def add_reading(
    edit: Edit, job_id: int, kind: str, value: Decimal, read_on: date, *, place: str = "",
    at_suction: Decimal | None = None, note: str = "", fan: str = TEST_FAN,
) -> int:  # fmt: skip
    """Note what was measured: a suction (Pa) at a test hole, or a flow (cfm) with the suction (Pa) read with it.

    Args:
        fan: test or present; where the suction of a flow was read follows from it, see `domain.job_takeoff.measured`.

    Raises:
        Refused: a number that cannot be, or a hole that shows more suction than the fan of that day.
    """
    values = tidied({
        "kind": kind, "value": value, "read_on": read_on, "place": place, "at_suction": at_suction, "note": note,
        "fan": fan,
    })  # fmt: skip
    _check_reading(values)
    reading_id = edit.add(site_reading, job_id=job_id, **values)
    _check_together(edit, job_id)
    return reading_id


def change_reading(edit: Edit, reading_id: int, **values: Any) -> None:
    """Change kind, fan, value, read_on, place, at_suction or note."""
    names = ("kind", "fan", "value", "read_on", "place", "at_suction", "note")
    only(values, names)
    kept = fetch_one(edit.conn, ReadingRow, site_reading, reading_id)
    _check_reading({name: values.get(name, getattr(kept, name)) for name in names})
    edit.change(site_reading, reading_id, **tidied(values))
    _check_together(edit, kept.job_id)


def remove_reading(edit: Edit, reading_id: int) -> None:
    """Take a reading away."""
    edit.remove(site_reading, reading_id)


def _fan_values(**values: Any) -> dict[str, Any]:
    if "name" in values:
        values["name"] = needed(values["name"], "Give the fan a name, as you call it.")
    if "points" in values:
        try:
            FanCurve(values["points"])
        except NotUnderstood as problem:
            raise Refused(str(problem)) from None
        values["points"] = store_points(values["points"])
    if values.get("watts") is not None and not 0 < values["watts"] <= 5000:
        raise Refused("Watts lie between 0 and 5,000.", "Leave it empty when the sheet does not say.")
    return tidied(values)


def _checked_item(edit: Edit, values: dict[str, Any]) -> dict[str, Any]:
    if values.get("item_id") is not None and fetch_one(edit.conn, Item, item, values["item_id"]).item_class != "fan":
        raise Refused("That item is no fan.", "Choose one of the class fan, or leave it empty.")
    return values


def _check_reading(values: dict[str, Any]) -> None:
    if values["kind"] not in READING_KINDS:
        raise Refused(f"“{values['kind']}” is no kind of reading.")
    if values["fan"] not in FANS:
        raise Refused("A reading was taken with the test fan or with the present one.")
    flow = values["kind"] == FLOW
    most = MOST_CFM if flow else MOST_SUCTION_PA
    unit = "cfm" if flow else "Pa"
    if not 0 <= values["value"] <= most or (flow and not values["value"]):
        least = "more than 0" if flow else "0"
        raise Refused(f"A {values['kind']} lies between {least} and {most:,} {unit}.", "Type it without a minus.")
    at = values["at_suction"]
    if at is not None and not 0 < at <= MOST_SUCTION_PA:
        raise Refused("The suction lies between more than 0 and 5,000 Pa.", "Type it without a minus.")


def _check_together(edit: Edit, job_id: int) -> None:
    """Holes and fan of one day against each other."""
    order = (site_reading.c.read_on, site_reading.c.id)
    rows = fetch_all(edit.conn, ReadingRow, site_reading, site_reading.c.job_id == job_id, order=order)
    try:
        checked_readings(rows)
    except NotUnderstood as problem:
        raise Refused(str(problem)) from None
