"""Whether wires fit a conduit: NEC Chapter 9, Tables 1, 4 and 5 with Note 7, as figures of the standards table.

53% of the inside for one wire, 31% for two, 40% for more, 60% in a nipple of at most 24 in. Where all wires are
alike, a count that ends in a decimal of 0.8 or more is rounded up (Note 7). A licensed electrician and the edition in
force at the house have the last word.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal

from domain.errors import NotUnderstood
from domain.units import format_percent

CONDUITS = {"emt": "metal conduit (EMT)", "pvc": "PVC conduit"}
TRADE_SIZES = ("1/2", "3/4", "1")
GAUGES = ("14", "12", "10", "8")


@dataclass(frozen=True, slots=True)
class FillRules:
    """Inside areas by (kind, trade size) and wire areas by gauge, in square inches; shares in percent."""

    conduit_in2: Mapping[tuple[str, str], Decimal]
    wire_in2: Mapping[str, Decimal]
    one_percent: Decimal
    two_percent: Decimal
    more_percent: Decimal
    nipple_percent: Decimal
    nipple_in: Decimal  # longest conduit that is a nipple
    round_up_from: Decimal


@dataclass(frozen=True, slots=True)
class ConduitFill:
    """How full a conduit is, in percent of its inside, and how full it may be."""

    percent: Decimal  # two places, half up
    allowed_percent: Decimal
    fits: bool
    words: str


def fill_rules(figure: Callable[[str], Decimal]) -> FillRules:
    """The fill figures of a day, from a look-up by key."""
    areas = {
        (kind, size): figure(f"{kind}_area_{size.replace('/', '_')}_in2")
        for kind in CONDUITS
        for size in TRADE_SIZES
    }  # fmt: skip
    return FillRules(
        conduit_in2=areas,
        wire_in2={gauge: figure(f"wire_area_{gauge}_in2") for gauge in GAUGES},
        one_percent=figure("fill_one_percent"),
        two_percent=figure("fill_two_percent"),
        more_percent=figure("fill_more_percent"),
        nipple_percent=figure("fill_nipple_percent"),
        nipple_in=figure("nipple_in"),
        round_up_from=figure("fill_round_up_from"),
    )


def allowed_percent(wires: int, rules: FillRules, nipple: bool = False) -> Decimal:
    """Share of the inside that so many wires may take, in percent."""
    if nipple:
        return rules.nipple_percent
    return {1: rules.one_percent, 2: rules.two_percent}.get(wires, rules.more_percent)


def most_wires(kind: str, trade_size: str, gauge: str, rules: FillRules, nipple: bool = False) -> int:
    """Like wires that fit at the share for three and more, by Note 7: 21.98 is 22, 12.53 is 12.

    Raises NotUnderstood for a conduit or gauge the tables do not have.
    """
    inside, wire = _areas(kind, trade_size, gauge, rules)
    count = inside * allowed_percent(3, rules, nipple) / 100 / wire
    whole = count.to_integral_value(ROUND_FLOOR)
    return int(whole) + (count - whole >= rules.round_up_from)


def conduit_fill(
    kind: str, trade_size: str, gauges: Sequence[str], rules: FillRules, nipple: bool = False
) -> ConduitFill:
    """How full these wires (one gauge a wire, the ground counts) make a conduit. Raises NotUnderstood."""
    if not gauges:
        raise NotUnderstood("Say which wires go in, for example three of 12 gauge.")
    inside = _areas(kind, trade_size, gauges[0], rules)[0]
    taken = sum((_areas(kind, trade_size, gauge, rules)[1] for gauge in gauges), Decimal(0))
    allowed = allowed_percent(len(gauges), rules, nipple)
    fits = taken * 100 <= inside * allowed
    if not fits and len(gauges) > 2 and len(set(gauges)) == 1:
        fits = len(gauges) <= most_wires(kind, trade_size, gauges[0], rules, nipple)
    percent = (taken * 100 / inside).quantize(Decimal("0.01"), ROUND_HALF_UP)
    verdict = "fits" if fits else "is too full: take the next size"
    words = (
        f"{len(gauges)} wires fill {format_percent(percent)} of {trade_size} in {CONDUITS[kind]}, "
        f"{format_percent(allowed)} allowed: {verdict}"
    )
    return ConduitFill(percent, allowed, fits, words)


def _areas(kind: str, trade_size: str, gauge: str, rules: FillRules) -> tuple[Decimal, Decimal]:
    inside, wire = rules.conduit_in2.get((kind, trade_size)), rules.wire_in2.get(gauge)
    if inside is None:
        raise NotUnderstood(f"No conduit “{kind} {trade_size}” in the tables. Sizes are {', '.join(TRADE_SIZES)} in.")
    if wire is None:
        raise NotUnderstood(f"No wire of {gauge} gauge in the tables. They have {', '.join(GAUGES)}.", gauge)
    return inside, wire
