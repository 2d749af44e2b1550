"""What was measured on site, cell by cell: the day, what, where, how much."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from domain.choosing import one_beginning
from domain.dates import format_day_short, parse_day
from domain.errors import as_typed
from domain.job_takeoff.records import FANS, FLOW, PRESENT_FAN, READING_KINDS, SUCTION, TEST_FAN, ReadingRow
from domain.units.numbers import parse_quantity, plain

UNITS = {SUCTION: "Pa", FLOW: "cfm"}
INVITE = "suction or flow…"


def new_reading(job_id: int, on: date) -> ReadingRow:
    """The empty row at the foot."""
    return ReadingRow(0, job_id, on, SUCTION, "", Decimal(0), None, "")


def reading_cells(row: ReadingRow) -> dict[str, str]:
    """What each cell says."""
    if not row.id:
        return {"kind": INVITE, "fan": "", "place": "", "value": "", "at_suction": "", "read_on": "", "note": ""}
    at = "" if row.at_suction is None else f"{plain(row.at_suction)} Pa"
    return {
        "kind": row.kind, "fan": row.fan, "place": row.place,
        "value": f"{plain(row.value)} {UNITS[row.kind]}", "at_suction": at,
        "read_on": format_day_short(row.read_on), "note": row.note,
    }  # fmt: skip


def reading_values(row: ReadingRow, key: str, text: str, today: date) -> dict[str, Any]:
    """The columns a typed cell changes; for a new row all that are needed. Raises NotUnderstood."""
    if key == "kind":
        return _kind(row, text)
    if key == "fan":
        return {"fan": _fan(text)}
    if key == "value":
        return {"value": _number(text, UNITS[row.kind])}
    if key == "at_suction":
        return {"at_suction": _number(text, "Pa") if text.strip() else None}
    if key == "read_on":
        return {"read_on": parse_day(text, today)}
    return {key: " ".join(text.split())}


def _kind(row: ReadingRow, text: str) -> dict[str, Any]:
    """``suction`` or ``flow``; a fan and a number behind it are read too: ``flow 38``, ``flow present 42``."""
    words = text.split()
    missing = f"{as_typed(text)} is no reading. Type suction or flow, and the number: flow 38."
    kind = one_beginning({kind: kind for kind in READING_KINDS}, words[0] if words else "", missing)
    if row.id:
        return {"kind": kind}
    rest = words[1:]
    fan = TEST_FAN
    if rest and rest[0].isalpha() and rest[0].casefold() not in ("at", "of"):
        fan = _fan(rest.pop(0))
        rest = rest[1:] if rest and rest[0].casefold() == "fan" else rest
    number = " ".join(rest)
    value = _number(number, UNITS[kind]) if number[:1].isdigit() else Decimal(1)
    return {"kind": kind, "fan": fan, "value": value, "read_on": row.read_on}


def _fan(text: str) -> str:
    """The test fan, or the one that is installed now."""
    word = text.strip().casefold()
    if word in ("now", "installed", "old"):
        return PRESENT_FAN
    return one_beginning(FANS, text, f"{as_typed(text)} is no fan here. Type test or present.")


def _number(text: str, unit: str) -> Decimal:
    return parse_quantity(text, unit)
