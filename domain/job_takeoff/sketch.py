"""What the customer's paper shows of the routes and their air, and how it is kept when a quote is sent.

The words of the routes are kept, not the picture: the drawing follows from them. So a proposal that was sent shows
the routes as they were on that day, however they are changed later.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from domain.airflow import FanCurve, air_limits
from domain.job_takeoff.air import JobAir, job_air
from domain.job_takeoff.curve_text import curve_of
from domain.job_takeoff.reckoning import RouteSheet, built_sheets, found_sheets
from domain.job_takeoff.records import AirPlan, FanCurveRow, ReadingRow, RouteRow
from domain.routes import Route, RouteRules, RouteStudy
from domain.standards import Standard


@dataclass(frozen=True, slots=True)
class SketchSource:
    """What a sketch is made from: the routes shown, the fan, how the air is judged, what was measured.

    ``present``: the fan that is there now, where it is another one. ``sold``: the items of the kind fan in the quote
    the paper belongs to; None where no quote is asked.
    """

    routes: tuple[RouteRow, ...]
    fan: FanCurveRow | None
    plan: AirPlan
    readings: tuple[ReadingRow, ...]
    present: FanCurveRow | None = None
    sold: frozenset[int] | None = None

    @property
    def speaks_of_air(self) -> bool:
        """Whether the fan reckoned with is the fan this paper sells; without a fan sold, the one that is there."""
        if self.sold is None or self.fan is None:
            return self.fan is not None
        return fan_is_sold(self.fan, self.present, self.sold)


def fan_is_sold(fan: FanCurveRow, present: FanCurveRow | None, sold: frozenset[int]) -> bool:
    """Whether a sentence about this fan is one about the fan that is quoted."""
    if sold:
        return fan.item_id in sold
    return present is None or present.id == fan.id


@dataclass(frozen=True, slots=True)
class Sketch:
    """The sketch itself, as found first; ``air`` is None where no fan was chosen or it cannot be reckoned."""

    found: tuple[RouteStudy, ...]
    proposed: tuple[RouteStudy, ...]
    air: JobAir | None
    rules: RouteRules
    length_unit: str


def sketch(
    sheets: Sequence[RouteSheet], source: SketchSource, rules: RouteRules, day: date, own: Iterable[Standard],
    length_unit: str,
) -> Sketch | None:  # fmt: skip
    """The sketch of what is built beside what was found; None when nothing is built."""
    built, found = built_sheets(sheets), found_sheets(sheets)
    if not built:
        return None
    curve: FanCurve | None = curve_of(source.fan) if source.fan is not None and source.speaks_of_air else None
    first = found[0].study.route if found else None
    present = curve_of(source.present) if source.present is not None else None
    limits = air_limits(day, own)
    air = job_air(first, built[0].study.route, curve, source.plan, source.readings, limits, present, rules=rules)
    return Sketch(
        tuple(sheet.study for sheet in found), tuple(sheet.study for sheet in built),
        None if air.problem or not air.cases else air, rules, length_unit,
    )  # fmt: skip


def main_routes(sheets: Sequence[RouteSheet]) -> tuple[Route | None, Route | None]:
    """The routes whose air is compared when nothing else is asked: the first found, the first that is built."""
    found, built = found_sheets(sheets), built_sheets(sheets)
    proposed = built or [sheet for sheet in sheets if sheet.row.status == "proposed" and not sheet.is_empty]
    return found[0].study.route if found else None, proposed[0].study.route if proposed else None


# ---------------------------------------------------------------------- kept as JSON


def write_sketch(source: SketchSource) -> str:
    """The source as it is kept with a sent quote."""
    plan = source.plan
    fan = source.fan if source.speaks_of_air else None  # the paper stays silent, as it was on that day
    return json.dumps({
        "routes": [[row.status, row.name, row.words, row.built] for row in source.routes],
        "fan": None if fan is None else [fan.name, fan.points],
        "plan": [str(plan.suction_wanted), plan.method, plan.sharp_elbows],
        "readings": [
            [row.read_on.isoformat(), row.kind, row.place, str(row.value), _text(row.at_suction), row.fan]
            for row in source.readings
        ],
        "present": None if source.present is None else [source.present.name, source.present.points],
    })  # fmt: skip


def read_sketch(details: str, job_id: int) -> SketchSource:
    """The source that `write_sketch` kept."""
    stored = json.loads(details)
    suction, method, sharp = stored["plan"]
    fan, present = stored["fan"], stored.get("present")
    return SketchSource(
        tuple(RouteRow(0, job_id, n, *row) for n, row in enumerate(stored["routes"])),
        _fan(fan),
        AirPlan(0, job_id, None, Decimal(suction), method, sharp),
        tuple(
            ReadingRow(0, job_id, date.fromisoformat(day), kind, place, Decimal(value),
                       None if at is None else Decimal(at), "", *which)
            for day, kind, place, value, at, *which in stored["readings"]
        ),
        _fan(present),
    )  # fmt: skip


def _fan(kept: Sequence[str] | None) -> FanCurveRow | None:
    return None if kept is None else FanCurveRow(0, kept[0], None, kept[1], None, "", False)


def _text(value: Decimal | None) -> str | None:
    return None if value is None else str(value)
