"""A defect in words, and the cost of the line that offers it at its price."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from domain.closeout.records import LEFT, NOT_OURS, OPEN, OUTCOME_WORDS, Defect
from domain.dates import format_day_short
from domain.units.numbers import to_places

COST_PLACES = 4


def defect_words(one: Defect) -> str:
    """``Water stands in the run (crawl space)``."""
    return f"{one.description} ({one.place})" if one.place else one.description


def scope_line(one: Defect) -> str:
    """The sentence of the scope that offers it."""
    return f"- Put right: {defect_words(one)}"


def line_reason(one: Defect) -> str:
    """Why the line is there."""
    rule = f"; {one.rule}" if one.rule else ""
    return f"Defect found on {format_day_short(one.found_on)}{rule}"


def line_cost(price_cents: int, pricing: str, percent: Decimal) -> Decimal:
    """The cost in dollars, to four places, at which margin or markup gives the price.

    Margin m % of the price: cost = price x (100 - m) / 100; markup u % on cost: cost = price x 100 / (100 + u). Under
    a fixed price the price itself stands as cost, as nothing is put on top of it.
    """
    price = Fraction(price_cents, 100)
    if pricing == "margin":
        price = price * (100 - Fraction(percent)) / 100
    elif pricing == "markup":
        price = price * 100 / (100 + Fraction(percent))
    return to_places(price, COST_PLACES)


def outcome_words(one: Defect) -> str:
    """``put right on Jun 2, 2026: new run hung``; ``open``."""
    text = OUTCOME_WORDS[one.outcome]
    if one.answered_on is not None:
        text += f" on {format_day_short(one.answered_on)}"
    return f"{text}: {one.answer}" if one.answer else text


def unanswered(defects: Iterable[Defect]) -> list[Defect]:
    """Those nobody has answered for."""
    return [one for one in defects if one.outcome == OPEN]


def left_standing(defects: Iterable[Defect]) -> list[Defect]:
    """Those that stay as they were found, which the pack must name."""
    return [one for one in defects if one.outcome in (OPEN, LEFT, NOT_OURS)]
