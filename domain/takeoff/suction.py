"""What the beginning of a run brings: a pit to dig and to close again, a sump lid, a joint to the drain tile.

Only of suction points that somebody named and that are not there yet. One to begin below a membrane brings nothing of
its own: the floor counted beside the routes is laid and sealed round it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from domain.routes.route import SUCTION_POINTS, Route
from domain.takeoff.lines import Need
from domain.takeoff.sealing import SuctionPit, pit_cubic_feet, pit_pails
from domain.units.numbers import format_quantity, plain

WORK = {"sump": "sump_lid", "tile": "tile", "block": "passage"}
"""What takes time, by the kind of suction point; pits are counted with those measured beside the routes."""
BRINGS_NOTHING = {
    "membrane": "the floor counted beside the routes is laid and sealed round it",
}
GOODS = {
    "sump": ("sump_lid", "hardware", "Sump lid", "each"),
    "tile": ("tile_connector", "hardware", "Drain-tile connector", "each"),
}
"""Key, class, description and unit of what has to be bought for one."""
PIT_CLOSING = "pit_closing"


def new_suctions(routes: Iterable[Route]) -> Counter[str]:
    """How many suction points of each kind have to be made."""
    kinds = Counter(run.new_suction for route in routes for run in route.runs if run.parts)
    del kinds[""]
    return kinds


def pits_to_dig(
    routes: Iterable[Route], pits: Sequence[SuctionPit], removed: Iterable[Route] = ()
) -> Iterator[tuple[int, str]]:
    """How many pits, and why: those measured are the route's own, and what it has more is counted beside them.

    Where the house has one already (``removed`` are routes as found) it is said how that is used again.

    Raises NotUnderstood for a measured pit of nothing.
    """
    for pit in pits:
        pails = format_quantity(pit_pails(pit), "pail")
        yield 1, f"1, {pit.label}: {plain(pit_cubic_feet(pit))} cu ft of soil, {pails} to carry out"
    more = new_suctions(routes)["pit"] - len(pits)
    if more > 0:
        old = any(run.suction == "pit" and run.said for route in removed for run in route.runs)
        again = ", to be dug: “pit kept” uses one that is there" if old else ""
        yield more, f"{more}{' more' if pits else ''} on the route{again}"


def suction_needs(routes: Sequence[Route], pits: Sequence[SuctionPit]) -> Iterator[Need]:
    """A bag of concrete mix to close each pit round its pipe (common practice, no source), a lid, a connector."""
    number = sum(count for count, _ in pits_to_dig(routes, pits))
    if number:
        why = f"{number}: one to close each pit round its pipe"
        yield Need(PIT_CLOSING, "sealing", "Concrete mix, 60 lb bag", Decimal(number), "bag", why)
    for kind, count in new_suctions(routes).items():
        if kind in GOODS:
            key, item_class, words, unit = GOODS[kind]
            yield Need(key, item_class, words, Decimal(count), unit, f"{count} on the route: {SUCTION_POINTS[kind]}")


def unnamed_notes(routes: Iterable[Route]) -> Iterator[str]:
    """Runs of which nobody said where they begin."""
    for route in routes:
        for run in route.runs:
            if run.parts and not run.said and not run.parts[0].kept:
                yield (
                    f"Run {run.name} names no suction point, so none is dug or fitted: type pit, sump, tile, membrane "
                    "or block behind its name, and kept where it is there already."
                )
