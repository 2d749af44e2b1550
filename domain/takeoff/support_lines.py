"""Supports as things to buy: hangers for what lies, straps or brackets for what stands, each with its rule in words."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from decimal import Decimal

from domain.routes.rules import RouteRules
from domain.routes.supports import Support, Supports
from domain.takeoff.lines import Need, counted, sized, sized_words
from domain.units.numbers import plain

KINDS = {
    "hanger": "Pipe hanger",
    "strap": "Pipe strap",
    "bracket": "Wall bracket, stand-off",
}


def support_kind(support: Support) -> str:
    """A hanger along a ceiling, a bracket outside, a strap for any other upright pipe."""
    if support.space in ("outside", "roof"):
        return "bracket"
    return "strap" if support.upright else "hanger"


def support_needs(found: Supports, rules: RouteRules) -> Iterator[Need]:
    """Hangers, straps and brackets by size; every reason says the whole count of the route."""
    number: Counter[tuple[str, Decimal]] = Counter(
        (support_kind(support), support.size) for support in found.all
    )  # fmt: skip
    why = support_words(found, rules)
    for (kind, size), count in number.items():
        reason = why if len(number) == 1 else f"{count} of {why}"
        words = sized_words(KINDS[kind], size)
        yield Need(sized(f"support_{kind}", size), "hardware", words, Decimal(count), "each", reason)


def support_words(found: Supports, rules: RouteRules) -> str:
    """``9 supports: 31 ft level run at 4 ft, one within 3 ft of the discharge``."""
    feet: dict[tuple[bool, Decimal], list[Decimal]] = defaultdict(list)
    held = short = 0
    for stretch in found.stretches:
        if stretch.count:
            feet[(stretch.upright, stretch.spacing_ft)].append(stretch.feet)
        elif stretch.held_by_passage:
            held += 1
        else:
            short += 1
    parts = []
    for (upright, spacing), runs in sorted(feet.items()):
        lengths = " + ".join(plain(length.normalize()) for length in runs)
        what = "upright" if upright else "level"
        parts.append(f"{lengths} ft {what} {'run' if len(runs) == 1 else 'runs'} at {plain(spacing.normalize())} ft")
    asked = Counter(support.rule for support in found.all)
    if asked["discharge"]:
        near = f"one within {plain(rules.support_discharge_ft.normalize())} ft of the discharge"
        parts.append(near if asked["discharge"] == 1 else "one near each discharge")
    if asked["fan"]:
        reach = plain(rules.support_fan_in.normalize())
        parts.append(f"{counted(asked['fan'], 'support')} within {reach} in of the attic fan (advice)")
    if held:
        parts.append(f"{counted(held, 'upright run')} held by the floor or roof passed")
    if short:
        parts.append(f"none for {counted(short, 'short stretch', 'short stretches')}")
    return f"{counted(len(found.all), 'support')}: {', '.join(parts)}"
