"""The takeoff of one job reckoned from what is kept and what is being typed: list, cost, minutes, obstacles.

Pure, and quick enough for every keystroke: a route is read and studied only when its words change.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from typing import TypeVar

from domain.buying.records import TruckOffcut
from domain.errors import NotUnderstood
from domain.job_takeoff.driving import Driven, TaskTotal, drive, task_totals
from domain.job_takeoff.matching import Bought, Known, buy
from domain.job_takeoff.offcuts import shortest_kept
from domain.job_takeoff.parts import Offcuts, PartValue, read_part
from domain.job_takeoff.records import AirPlan, ExtraRow, FanCurveRow, PartRow, ReadingRow, RouteRow
from domain.job_takeoff.stands_for import ALONE, ITEM, UNSAID, UsualPart
from domain.quoting.typed import Picks
from domain.routes import Reading, RouteStudy, read_route, study_route
from domain.routes.rules import LONGEST_LEG_FT, OPENING_RULES, SUPPORT_RULES
from domain.routes.shorthand import size_of
from domain.standards import Standard
from domain.takeoff import (
    QUICK,
    Circuit,
    CrawlFloor,
    PaintWish,
    SealJoint,
    SuctionPit,
    Takeoff,
    TakeoffRules,
    Wanted,
    take_off,
    takeoff_rules,
)
from domain.takeoff.build import Extra
from domain.takeoff.rules import WASTE_PERCENT
from domain.units.numbers import parse_percent


@dataclass(frozen=True, slots=True)
class TakeoffFacts:
    """Everything kept about the takeoff of one job, as it stands on ``day``."""

    job_id: int
    job_number: str
    job_type: str
    day: date
    length_unit: str  # ft-in | m
    cancelled: bool
    draft_id: int | None  # the proposal that is being written
    accepted: bool  # the customer accepted a proposal of this job
    routes: tuple[RouteRow, ...]
    parts: tuple[PartRow, ...]
    extras: tuple[ExtraRow, ...]
    overrides: Mapping[str, Decimal]
    items_chosen: Mapping[str, int | None]
    tasks_chosen: Mapping[str, int | None]
    choices: Mapping[str, str]
    own: tuple[Standard, ...]
    curves: tuple[FanCurveRow, ...]
    plan: AirPlan
    readings: tuple[ReadingRow, ...]
    picks: Picks
    truck_offcuts: tuple[TruckOffcut, ...] = ()  # what the cut list may use, see `db.queries.buying.offcuts`
    usual: tuple[UsualPart, ...] = ()  # the usual lines of the job type
    answers: Mapping[str, str] = field(default_factory=dict)  # what was said of rows taken before
    fans_sold: frozenset[int] = frozenset()  # items of the kind fan in the draft, else in the newest proposal
    sent_id: int | None = None  # the version of the proposal that was sent last

    @property
    def base_id(self) -> int | None:
        """The proposal the list is taken into: the draft, else the version sent last, which is revised by that."""
        return self.sent_id if self.draft_id is None else self.draft_id

    @property
    def fan_item_id(self) -> int | None:
        """The item the fan of the air plan is bought as."""
        return next((curve.item_id for curve in self.curves if curve.id == self.plan.fan_curve_id), None)

    def route(self, route_id: int) -> RouteRow | None:
        """The route with this id."""
        return next((row for row in self.routes if row.id == route_id), None)


def rules_of(facts: TakeoffFacts) -> TakeoffRules:
    """The rules in force on the day, with the owner's rows and choices."""
    choices = facts.choices
    waste = dict(WASTE_PERCENT)
    for name, value in choices.items():
        if name.startswith("waste:"):
            waste[name.removeprefix("waste:")] = parse_percent(value)
    belled = [size for word in choices.get("belled", "").split() if (size := size_of(f"{word}in")) is not None]
    return takeoff_rules(
        facts.day, facts.own,
        supports=_choice(choices, "supports", SUPPORT_RULES), openings=_choice(choices, "openings", OPENING_RULES),
        belled=belled, waste_percent=waste, shortest_kept_ft=shortest_kept(choices),
    )  # fmt: skip


def _choice(choices: Mapping[str, str], name: str, allowed: Sequence[str]) -> str:
    value = choices.get(name, allowed[0])
    return value if value in allowed else allowed[0]


# ---------------------------------------------------------------------- one route


@dataclass(frozen=True, slots=True)
class RouteSheet:
    """A route with its words read and studied. ``row.words`` are the words read, typed or kept."""

    row: RouteRow
    reading: Reading
    study: RouteStudy

    @property
    def is_empty(self) -> bool:
        """Nothing has been typed that is a part of a pipe."""
        return not any(run.parts for run in self.study.route.runs)

    @property
    def counts(self) -> bool:
        """Whether it can be counted: a leg longer than any in a house is refused, and nothing follows from it."""
        return all(leg.length_ft <= LONGEST_LEG_FT for leg in self.study.route.legs)

    @property
    def title(self) -> str:
        """``As found``, ``Proposed: north wall``."""
        return route_title(self.row.status, self.row.name)


def route_title(status: str, name: str) -> str:
    """How a route is called: ``As found``, ``Proposed: north wall``."""
    word = "As found" if status == "found" else "Proposed"
    return f"{word}: {name}" if name else word


_HEAD_LINE = re.compile(r"^[ \t]*(found|proposed)[ \t]*:(.*)$", re.IGNORECASE | re.MULTILINE)


def stated_head(words: str) -> tuple[str, str] | None:
    """Status and name where the words have a line that says them, the last one counting; None without."""
    lines = list(_HEAD_LINE.finditer(words))
    return (lines[-1][1].casefold(), " ".join(lines[-1][2].split())) if lines else None


def without_head(words: str) -> str:
    """The words without lines that say status and name."""
    return _HEAD_LINE.sub("", words).strip("\n")


def route_sheet(row: RouteRow, rules: TakeoffRules) -> RouteSheet:
    """Read and study a route; a head line in the words wins over the row's own status and name."""
    reading = read_route(row.words)
    head = stated_head(row.words)
    if head is not None:
        row = replace(row, status=head[0], name=head[1])
    route = replace(reading.route, status=row.status, name=row.name)
    return RouteSheet(row, replace(reading, route=route), study_route(route, rules.route))


# ---------------------------------------------------------------------- the whole


@dataclass(frozen=True, slots=True)
class JobTakeoff:
    """The list of one job with what it buys and drives.

    ``in_the_way`` are sentences about what has to be put right before the list can be trusted; ``problem`` is set
    when a part could not be counted at all, and then the list is empty. ``old_pipe_goes``: all of the old pipe comes
    out, so that none of it is left to be put right.
    """

    takeoff: Takeoff | None
    bought: tuple[Bought, ...]
    driven: tuple[Driven, ...]
    totals: tuple[TaskTotal, ...]
    in_the_way: tuple[str, ...]
    problem: str = ""
    old_pipe_goes: bool = False

    @property
    def cost_cents(self) -> int:
        """What the materials cost, as far as prices are known."""
        return sum(one.cost_cents or 0 for one in self.bought)

    @property
    def shop_cents(self) -> int:
        """What a shop is paid for the whole list, in packs, as far as prices are known."""
        return sum(one.shop_cents or 0 for one in self.bought)

    @property
    def minutes(self) -> int:
        """What the tasks driven take together."""
        return sum(total.minutes for total in self.totals)

    @property
    def open_lines(self) -> tuple[Bought, ...]:
        """Lines for which an item or a price is still missing."""
        return tuple(one for one in self.bought if one.cost_cents is None and one.how != "none" and one.quantity)


def reckon(
    facts: TakeoffFacts, sheets: Sequence[RouteSheet], rules: TakeoffRules, steps: int = QUICK,
    known: Known | None = None,
) -> JobTakeoff:  # fmt: skip
    """The takeoff of everything that is built. ``sheets`` are the job's routes, with what is being typed in them.

    ``known``: see `domain.job_takeoff.matching.buy`.
    """
    built = [sheet for sheet in built_sheets(sheets) if sheet.counts]
    blocked = tuple(_in_the_way(built_sheets(sheets)))
    sheets = [sheet for sheet in sheets if sheet.counts]
    try:
        takeoff = take_off(wanted(facts, sheets), rules, steps, [sheet.study for sheet in built])
    except NotUnderstood as problem:
        return JobTakeoff(None, (), (), (), (*blocked, str(problem)), str(problem))
    driven = drive(takeoff.drivers, facts.picks.tasks, facts.tasks_chosen)
    return JobTakeoff(
        takeoff,
        buy(takeoff.lines, facts.picks.items, facts.items_chosen, facts.fan_item_id, known, usual_items(facts)),
        driven, task_totals(driven), blocked, old_pipe_goes=_old_pipe_goes(sheets),
    )  # fmt: skip


def usual_items(facts: TakeoffFacts) -> dict[str, list[int]]:
    """The items usual on jobs of this type, by the part they stand for."""
    found: dict[str, list[int]] = {}
    for part in facts.usual:
        if part.of == ITEM and part.stands_for not in (UNSAID, ALONE):
            found.setdefault(part.stands_for, []).append(part.of_id)
    return found


def _old_pipe_goes(sheets: Sequence[RouteSheet]) -> bool:
    found, built = found_sheets(sheets), built_sheets(sheets)
    stays = any(leg.kept and leg.space != "slab" for sheet in (*found, *built) for leg in sheet.study.route.legs)
    legs = [leg for sheet in found for leg in sheet.study.route.legs]
    comes_out = any(not leg.kept and leg.space != "slab" and leg.length_ft > 0 for leg in legs)
    return bool(built) and comes_out and not stays


def built_sheets(sheets: Iterable[RouteSheet]) -> list[RouteSheet]:
    """The proposed routes that count in the list."""
    return [sheet for sheet in sheets if sheet.row.status == "proposed" and sheet.row.built and not sheet.is_empty]


def found_sheets(sheets: Iterable[RouteSheet]) -> list[RouteSheet]:
    """The routes as they were found."""
    return [sheet for sheet in sheets if sheet.row.status == "found" and not sheet.is_empty]


def wanted(facts: TakeoffFacts, sheets: Sequence[RouteSheet]) -> Wanted:
    """What the takeoff is made from: routes as found come out when something is built in their place.

    Raises NotUnderstood for a part that cannot be read.
    """
    built = built_sheets(sheets)
    values = [read_part(part.kind, part.details) for part in facts.parts]
    paint = _of(values, PaintWish)
    offcuts: dict[Decimal, list[Decimal]] = {}
    for value in _of(values, Offcuts):
        offcuts.setdefault(value.size, []).extend(value.feet)
    for one in facts.truck_offcuts:
        offcuts.setdefault(one.size, []).append(one.feet)
    return Wanted(
        routes=tuple(sheet.study.route for sheet in built),
        removed=tuple(sheet.study.route for sheet in found_sheets(sheets)) if built else (),
        offcuts=offcuts,
        circuits=_of(values, Circuit),
        joints=_of(values, SealJoint),
        pits=_of(values, SuctionPit),
        floors=_of(values, CrawlFloor),
        paint=paint[0] if paint else None,
        extras=tuple(
            Extra(row.description, row.quantity, row.unit, row.item_class, row.reason or "typed")
            for row in facts.extras
        ),
        overrides=facts.overrides,
    )


def count_alone(value: PartValue, rules: TakeoffRules) -> Takeoff:
    """The takeoff of one part by itself. Raises NotUnderstood, in words for the screen, when it cannot be counted."""
    return take_off(
        Wanted(
            circuits=_of([value], Circuit), joints=_of([value], SealJoint), pits=_of([value], SuctionPit),
            floors=_of([value], CrawlFloor), offcuts={one.size: one.feet for one in _of([value], Offcuts)},
        ),
        rules,
    )  # fmt: skip


Kind = TypeVar("Kind", Circuit, SealJoint, SuctionPit, CrawlFloor, PaintWish, Offcuts)


def _of(values: Iterable[PartValue], kind: type[Kind]) -> tuple[Kind, ...]:
    return tuple(value for value in values if isinstance(value, kind))


def _in_the_way(built: Iterable[RouteSheet]) -> Iterable[str]:
    for sheet in built:
        for mistake in sheet.reading.mistakes:
            yield f"{sheet.title}: {mistake.message}"
        for problem in sheet.study.stops:
            yield f"{sheet.title}: {problem.message}"
