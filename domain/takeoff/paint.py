"""Paint for pipe that shows: outside area x coats / coverage, in quarts or spray cans; primer for plastic.

Area of pipe: pi x outside diameter x length, so 0.9163 sq ft a foot of 3 in (computed from ASTM D1785, Table 1).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal

from domain.errors import NotUnderstood
from domain.routes.route import Route
from domain.takeoff.lines import Need, counted
from domain.takeoff.rules import TakeoffRules
from domain.takeoff.sealing import PI
from domain.units.numbers import plain, to_places

CONTAINERS = {"quart": "Exterior paint, quart", "can": "Spray paint for plastic, 12 oz can"}
MOST_COATS = 5


@dataclass(frozen=True, slots=True)
class PaintWish:
    """Which pipe is painted, how often and in what colour. Primer: None follows the rule for plastic.

    The rule: paint from a quart needs a coat of primer made for plastic; a spray can made for plastic needs none
    (common practice, no source; the label on the can decides).
    """

    spaces: tuple[str, ...] = ("outside",)
    coats: int = 2
    container: str = "quart"
    colour: str = ""
    primer: bool | None = None

    @property
    def wants_primer(self) -> bool:
        """Whether a coat of primer comes first."""
        return self.container == "quart" if self.primer is None else self.primer


def painted_sq_ft(routes: Iterable[Route], spaces: Iterable[str], rules: TakeoffRules) -> tuple[Decimal, Decimal]:
    """Area in square feet (three places) and feet of the new pipe in these spaces."""
    wanted = set(spaces)
    area = feet = Decimal(0)
    for route in routes:
        for leg in route.legs:
            if leg.space in wanted and not leg.kept:
                length = leg.pipe_ft(rules.route.slope_in_per_ft)
                area += PI * rules.route.outside_in.get(leg.size, leg.size) / 12 * length
                feet += length
    return to_places(area, 3), to_places(feet, 3)


def paint_needs(routes: Iterable[Route], wish: PaintWish, rules: TakeoffRules) -> Iterator[Need]:
    """Paint and primer. Raises NotUnderstood for no coat or an unknown container."""
    if wish.container not in CONTAINERS:
        raise NotUnderstood("Paint comes in quarts or in spray cans: choose one.", wish.container)
    if not 1 <= wish.coats <= MOST_COATS:
        raise NotUnderstood(f"Type how many coats, from 1 to {MOST_COATS}.", str(wish.coats))
    area, feet = painted_sq_ft(routes, wish.spaces, rules)
    if not area:
        return
    can = wish.container == "can"
    covers = rules.surface.paint_sq_ft_per_can if can else rules.surface.paint_sq_ft_per_quart
    shown = plain(to_places(area, 1).normalize())
    colour = f", {wish.colour}" if wish.colour else ""
    cover = f"{plain(covers)} sq ft a {wish.container}"
    whole = plain(to_places(area * wish.coats, 1).normalize())
    why = f"{plain(feet)} ft of pipe, {shown} sq ft, {counted(wish.coats, 'coat')}: {whole} sq ft in all, {cover}"
    caution = "Air the place; read the can. Keep paint off labels, the fan and the pressure indicator."
    key = f"paint:{wish.container}" + (f":{wish.colour}" if wish.colour else "")
    words = CONTAINERS[wish.container] + colour
    yield Need(key, "paint", words, area * wish.coats / covers, wish.container, why, caution=caution)
    if wish.wants_primer:
        why = f"1 coat on {shown} sq ft of plastic, {plain(covers)} sq ft a {wish.container}, or paint may peel"
        yield Need(
            f"paint_primer:{wish.container}", "paint", f"Primer for plastic, {wish.container}", area / covers,
            wish.container, why, caution=caution,
        )  # fmt: skip
