"""Fittings, passages, the fan with what belongs to it, cement and primer, labels: counted from the route."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from domain.routes.route import PASSAGES, SPACES, Fitting, Leg, Part, Route, Run, size_words
from domain.takeoff.lines import Need, counted, sized, sized_words
from domain.takeoff.rules import TakeoffRules
from domain.units import format_percent
from domain.units.numbers import plain, to_places

ONE = Decimal(1)

COUNTED_KINDS = {
    "elbow_90": "Elbow, 90 degrees",
    "elbow_90_long": "Elbow, 90 degrees, long sweep",
    "elbow_45": "Elbow, 45 degrees",
    "elbow_22": "Elbow, 22½ degrees",
    "coupling": "Coupling",
    "valve": "Balancing valve",
    "drain": "Condensate drain",
    "sleeve": "Wall or floor sleeve",
    "roof_flashing": "Roof flashing",
}
HARDWARE = frozenset({"sleeve"})
FIRE_CAUTION = (
    "Where a garage or another fire separation is crossed, its rating has to be kept with listed parts, fitted as"
    " listed. Local code decides."
)
SEPARATED = frozenset({"basement", "crawl", "room", "attic"})
"""What a fire separation usually divides from a garage; common practice, no source."""
OPEN_TO_EACH_OTHER = frozenset({"slab", "roof"})
"""The slab is gone through with its pit; pipe gets onto a roof along the wall, or through a flashing."""


def fitting_needs(route: Route) -> Iterator[Need]:
    """Elbows, junctions, reducers, sleeves, flashings and the like that are not there yet."""
    number: Counter[tuple[str, str, str]] = Counter()
    for part in route.fittings:
        kind = _kind(part)
        if kind is not None and not part.kept:
            number[kind] += 1
    for (key, item_class, words), count in number.items():
        yield Need(key, item_class, words, Decimal(count), "each", f"{count} on the route")


def _kind(part: Fitting) -> tuple[str, str, str] | None:
    """Key, class and description of a fitting that is counted one by one."""
    if part.kind in COUNTED_KINDS:
        item_class = "hardware" if part.kind in HARDWARE else "fitting"
        return sized(part.kind, part.size), item_class, sized_words(COUNTED_KINDS[part.kind], part.size)
    if part.kind in ("wye", "tee"):
        side = part.side_size
        sizes = (part.size,) if side is None or side == part.size else (part.size, side)
        words = sized_words(part.kind.capitalize(), part.size)
        words += f", side {size_words(side)}" if side is not None and len(sizes) > 1 else ""
        return sized(part.kind, *sizes), "fitting", words
    if part.kind == "reducer":
        return (
            sized("reducer", part.size, part.size_after),
            "fitting",
            sized_words("Reducer", part.size, part.size_after),
        )
    return None


# ---------------------------------------------------------------------- fire separation


def fire_needs(route: Route) -> Iterator[Need]:
    """Fire-rated parts where one is typed, and where the pipe goes from a garage into the house without one."""
    for run in route.runs:
        for place in fire_places(run):
            words = sized_words("Fire-rated passage", place.size)
            yield Need(
                sized("fire_passage", place.size), "hardware", words, ONE, "each", place.reason, caution=FIRE_CAUTION
            )  # fmt: skip


@dataclass(frozen=True, slots=True)
class FirePlace:
    """Where a fire-rated part is needed. ``bare``: nobody typed that the pipe goes through anything there."""

    size: Decimal
    space: str
    reason: str
    bare: bool = False


def fire_places(run: Run) -> Iterator[FirePlace]:
    """Fire-rated passages typed, and where one is needed though none was typed."""
    before: Part | None = None
    rated = through = False
    for part in run.parts:
        if isinstance(part, Fitting):
            through = through or part.kind in PASSAGES
        if isinstance(part, Fitting) and part.kind == "fire_passage":
            rated = True
            if not part.kept:
                yield FirePlace(part.size, part.space, "1 typed on the route")
        if before is not None and isinstance(part, Leg):
            both = {before.space, part.space}
            if "garage" in both and both & SEPARATED and not rated and not (before.kept and part.kept):
                why = f"1 where the pipe goes from {SPACES[before.space]} to {SPACES[part.space]}"
                yield FirePlace(part.size, part.space, why, not through)
        if isinstance(part, Leg):
            before, rated, through = part, False, False


def hole_notes(routes: Iterable[Route]) -> Iterator[str]:
    """Where new pipe goes from one space to another and nobody typed what it goes through."""
    for route in routes:
        for run in route.runs:
            for before, after in _bare_changes(run):
                yield (
                    f"Run {run.name} goes from {SPACES[before]} to {SPACES[after]} with no sleeve, fire or flashing "
                    "typed there: no hole is counted."
                )


def _bare_changes(run: Run) -> Iterator[tuple[str, str]]:
    before: Leg | None = None
    through = False
    for part in run.parts:
        if isinstance(part, Fitting):
            through = through or part.kind in PASSAGES
            continue
        if before is not None and not through and not (before.kept and part.kept):
            both = {before.space, part.space}
            rated = "garage" in both and both & SEPARATED  # counted as fire-rated
            if len(both) == 2 and not rated and not both & OPEN_TO_EACH_OTHER:
                yield before.space, part.space
        before, through = part, False


# ---------------------------------------------------------------------- fan


def fan_needs(route: Route, rules: TakeoffRules) -> Iterator[Need]:
    """The fan, its flexible couplings (typed or not), a pressure indicator with tubing, a label for the circuit."""
    typed = Counter(
        (part.size, part.size_after)
        for part in route.fittings if part.kind == "flexible_coupling" and not part.kept
    )  # fmt: skip
    for (size, size_after), count in typed.items():
        yield _flexible(size, size_after, count, "on the route")
    for run in route.runs:
        for position, part in enumerate(run.parts):
            if isinstance(part, Fitting) and part.kind == "fan" and not part.kept:
                yield from _fan_kit(run, position, part, rules)


def _fan_kit(run: Run, position: int, fan: Fitting, rules: TakeoffRules) -> Iterator[Need]:
    words = sized_words("Fan", fan.size)
    yield Need(sized("fan", fan.size), "fan", words, ONE, "each", "1 on the route")
    missing = 0
    for beside in (position - 1, position + 1):
        part = run.parts[beside] if 0 <= beside < len(run.parts) else None
        missing += not (isinstance(part, Fitting) and part.kind == "flexible_coupling")
    if missing:
        yield _flexible(fan.size, fan.size, missing, "to take the fan out again")
    yield Need(
        "pressure_indicator", "indicator", "Pressure indicator", ONE, "each", "1 for the fan: it must show a failure"
    )
    tubing = rules.tubing_ft.normalize()
    yield Need(
        "indicator_tubing", "indicator", "Tubing for the indicator", tubing, "ft", f"{plain(tubing)} ft for the fan"
    )
    yield Need("label:circuit", "label", "Circuit label for the electric panel", ONE, "each", "1 for the fan")


def _flexible(size: Decimal, to_size: Decimal, count: int, why: str) -> Need:
    sizes = (size,) if size == to_size else (size, to_size)
    words = sized_words("Flexible coupling with clamps", *sizes)
    return Need(sized("flexible_coupling", *sizes), "fitting", words, Decimal(count), "each", f"{count} {why}")


# ---------------------------------------------------------------------- cement


def cement_needs(joints: Mapping[Decimal, int], rules: TakeoffRules) -> Iterator[Need]:
    """Cement and primer by joints and size: joints / joints a quart makes, summed over the sizes."""
    quarts, parts = Decimal(0), []
    for size, count in sorted(joints.items()):
        per_quart = rules.joints_per_quart.get(size)
        if count and per_quart:
            quarts += count / per_quart
            parts.append(f"{counted(count, 'joint')} of {size_words(size)} at {plain(per_quart.normalize())} a quart")
    if not quarts:
        return
    caution = "Cement and primer burn and their vapor is heavy: air the space, no flames, nothing that sparks."
    yield Need("cement", "cement", "Solvent cement", quarts, "quart", ", ".join(parts), caution=caution)
    primer = quarts * rules.primer_percent / 100
    why = f"{format_percent(rules.primer_percent)} of {plain(to_places(quarts, 3))} of cement"
    yield Need("primer", "cement", "Primer", primer, "quart", why, caution=caution)


# ---------------------------------------------------------------------- labels


def label_needs(route: Route, rules: TakeoffRules) -> Iterator[Need]:
    """One primary label a system, and pipe labels: one in each space the pipe shows in, and one each so many feet.

    Each 20 ft is common practice, no source; the primary label is asked for by ANSI/AARST SGM-SF 8.4.2.1.
    """
    feet: dict[str, Decimal] = defaultdict(Decimal)
    for leg in route.legs:
        if leg.space not in ("slab", "roof") and leg.length_ft > 0:
            feet[leg.space] += leg.length_ft
    if not feet:
        return
    number = {space: _labels(length, rules.label_every_ft) for space, length in feet.items()}
    spread = ", ".join(f"{SPACES.get(space, space)} {count}" for space, count in number.items())
    why = f"one in each space and each {plain(rules.label_every_ft.normalize())} ft: {spread}"
    yield Need("label:pipe", "label", "Pipe label", Decimal(sum(number.values())), "each", why)
    yield Need("label:primary", "label", "Primary system label", ONE, "each", "1 for the system")


def _labels(feet: Decimal, every_ft: Decimal) -> int:
    return int((feet / every_ft).to_integral_value(ROUND_CEILING))


def cap_needs(route: Route) -> Iterable[Need]:
    """A cap for the side of each wye or tee that nothing joins."""
    sizes = Counter(
        part.side_size or part.size
        for part in route.fittings
        if part.kind in ("wye", "tee") and not part.joins and not part.kept
    )
    for size, count in sizes.items():
        yield Need(
            sized("cap", size), "fitting", sized_words("Cap", size), Decimal(count), "each",
            f"{counted(count, 'side')} that nothing joins",
        )  # fmt: skip
