"""Between which readings of the pressure indicator nothing needs to be done."""

from __future__ import annotations

from decimal import Decimal

from domain.units import format_percent
from domain.units.numbers import plain, to_places


def service_range(suction: Decimal, change_percent: Decimal) -> tuple[Decimal, Decimal]:
    """The readings at which service is called: suction x (1 - change), suction x (1 + change), two places."""
    share = change_percent / 100
    return to_places(suction * (1 - share), 2), to_places(suction * (1 + share), 2)


def reading_words(suction: Decimal, change_percent: Decimal) -> str:
    """``It read 1.15 in. w.c. ...``: the reading at start and the two at which service is called."""
    low, high = service_range(suction, change_percent)
    return (
        f"The suction was {plain(suction)} in. w.c. when the fan was started. Call for service when the reading is "
        f"{plain(low)} or less, or {plain(high)} or more: a change of {format_percent(change_percent)}; and at "
        "once at zero."
    )
