"""How fast the air may go, and how much of it a pipe size may carry: the standards' figures, gathered."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from domain.airflow.loss import RouteLoss
from domain.routes.route import size_words
from domain.standards import Standard, standard_on


@dataclass(frozen=True, slots=True)
class AirLimits:
    """Speeds in feet a minute, flows in cfm; sources in `domain.standards`."""

    noise_fpm: float
    most_fpm: float
    three_inch_cfm: float  # more than this needs 4 in pipe
    two_inch_cfm: float  # up to this 2 in pipe may serve

    def most_cfm(self, size: Decimal) -> float | None:
        """The most a nominal size may carry; None from 4 in up."""
        if size < 3:
            return self.two_inch_cfm
        return self.three_inch_cfm if size < 4 else None


def air_limits(day: date, own: Iterable[Standard] = ()) -> AirLimits:
    """The limits in force on a day; the owner's own rows of the standards table win."""
    own = tuple(own)
    return AirLimits(
        float(standard_on("noise_fpm", day, own).value),
        float(standard_on("velocity_fpm", day, own).value),
        float(standard_on("three_inch_cfm", day, own).value),
        float(standard_on("two_inch_cfm", day, own).value),
    )


def limit_notes(loss: RouteLoss, limits: AirLimits) -> tuple[str, ...]:
    """Sentences about what is over a limit: the fastest air, and each size that carries more than it may."""
    notes: list[str] = []
    fastest = loss.fastest
    if fastest.part is not None and fastest.speed_fpm > limits.noise_fpm:
        where = f"{fastest.speed_fpm:,.0f} ft a minute in the {size_words(fastest.part.size)} pipe"
        if fastest.speed_fpm > limits.most_fpm:
            notes.append(f"The air would go {where}: more than the {limits.most_fpm:,.0f} to stay under.")
        else:
            notes.append(f"The air would go {where}: from {limits.noise_fpm:,.0f} on it can be heard.")
    most: dict[Decimal, float] = {}
    for item in loss.items:
        if item.is_pipe and item.part is not None:
            most[item.part.size] = max(item.flow_cfm, most.get(item.part.size, 0.0))
    for size, flow in sorted(most.items()):
        allowed = limits.most_cfm(size)
        if allowed is not None and flow > allowed:
            notes.append(
                f"{size_words(size)} pipe would carry {flow:.0f} cfm; the standard has it carry {allowed:.0f} at most."
            )
    return tuple(notes)
