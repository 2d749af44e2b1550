"""Figures that are possible and unlikely: what to ask of them where they are typed. Nothing here is refused.

Each function returns the beginning of a question, a sentence that names what is odd; "" when nothing is. The window
adds `ASK`. Hours have rules of their own in `log_doubts`, radon levels in `units.radon`, far days in `jobs`.
All bounds are ours: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal

from domain.dates import format_day_short
from domain.jobs import far_words
from domain.log_doubts import LONG_ENTRY
from domain.money import format_money, format_unit_cost
from domain.units import format_minutes, format_percent, format_quantity

ASK = "Is that right? Enter says yes."
"""How every such question ends, beneath a field and in a cell."""

MOST_OF_ONE_JOB = {"ft": 300, "sq ft": 5000, "each": 60, "joint": 100, "hour": 60, "h": 60, "mile": 400, "mi": 400}
"""More of one thing, by the unit it is counted in, than the jobs of a one-person firm take."""
MOST_OF_THE_REST = 40
"""Tubes, quarts, pounds, bags and whatever else a unit may be."""
MOST_SMALL_PIECES = 500
SMALL_PIECE = Decimal(1)
"""Dollars: pieces cheaper than this (screws, straps, labels) come by the hundred."""
MOST_FANS = 4
MANY_TIMES = 10
"""So many times what is usual."""
PRICE_TIMES = 3
"""So many times the known price, or so small a part of it."""
LEAST_STANDARD = 10
"""Minutes: of shorter standards a multiple says nothing."""
MOST_TAX = Decimal(15)
"""Percent of sales tax above which it is asked about (from memory, no state with its cities comes near it)."""
MOST_MILES_A_DAY = Decimal(400)
MOST_OF_A_CARD = 5_000_000
"""Cents: an amount for one thing on one paper above this is asked about where nothing is known to compare with."""


def asked(words: str) -> str:
    """The whole question; "" for nothing to ask."""
    return f"{words} {ASK}" if words else ""


def quantity_doubt(
    quantity: Decimal, unit: str, name: str = "", *, usual: Decimal | None = None, unit_cost: Decimal | None = None
) -> str:
    """What is odd about so much of one thing.

    Args:
        name: what it is; a fan is counted in ones.
        usual: so much was bought or used of it before, where that is known: then only a multiple of it is odd.
        unit_cost: dollars for one, where known.
    """
    much = abs(quantity)
    if usual is not None and usual > 0:
        if much < MANY_TIMES * usual:
            return ""
        return f"{format_quantity(quantity, unit)}: usual is {format_quantity(usual, unit)}."
    most = Decimal(MOST_OF_ONE_JOB.get(unit.strip().casefold() or "each", MOST_OF_THE_REST))
    words = name.casefold().replace(",", " ").split()
    if unit in ("", "each") and {"fan", "blower"} & set(words) and (unit_cost is None or unit_cost >= 50):
        most = Decimal(MOST_FANS)
    elif unit_cost is not None and 0 < unit_cost < SMALL_PIECE and unit in ("", "each"):
        most = Decimal(MOST_SMALL_PIECES)
    return f"{format_quantity(quantity, unit)} is a lot{f' of {name}' if name else ''}." if much > most else ""


def price_doubt(unit_cost: Decimal, known: Decimal | None, where: str = "the list says") -> str:
    """What is odd about a price for one, in dollars, beside the one that is known; ``where`` leads to that one."""
    if known is None or known <= 0 or unit_cost <= 0:
        return ""
    if known / PRICE_TIMES < unit_cost < known * PRICE_TIMES:
        return ""
    return f"{format_unit_cost(unit_cost)} for one; {where} {format_unit_cost(known)}."


def amount_doubt(cents: int) -> str:
    """What is odd about an amount of money of which nothing else is known."""
    return f"{format_money(cents)} is a lot for one line." if abs(cents) > MOST_OF_A_CARD else ""


def quote_price_doubt(cents: int, cost_cents: int, before_cents: int = 0) -> str:
    """What is odd about the price of a quote beside what it costs, and beside the one that stood there.

    Args:
        before_cents: the price it replaces; one that is odd itself says nothing, so that a slip can be put right.
    """
    if cost_cents <= 0:
        return amount_doubt(cents)
    if cents >= MANY_TIMES * cost_cents:
        return f"{format_money(cents)} is more than {cents // cost_cents} times the cost of {format_money(cost_cents)}."
    if PRICE_TIMES * cents <= cost_cents:
        return f"{format_money(cents)} is little beside the cost of {format_money(cost_cents)}."
    if before_cents <= 0 or quote_price_doubt(before_cents, cost_cents):
        return ""
    return changed_doubt(cents, before_cents)


def changed_doubt(cents: int, before_cents: int) -> str:
    """What is odd about an amount that is put right, beside the one that stood there; none stood there: see amount."""
    if before_cents <= 0:
        return amount_doubt(cents)
    if before_cents < PRICE_TIMES * cents and cents < PRICE_TIMES * before_cents:
        return ""
    return f"{format_money(cents)}; before it was {format_money(before_cents)}."


def tax_doubt(tax_cents: int, net_cents: int) -> str:
    """What is odd about the sales tax on a paper, beside what it is charged on."""
    if net_cents <= 0 or tax_cents * 100 <= MOST_TAX * net_cents:
        return ""
    return f"{format_money(tax_cents)} is a lot of sales tax on {format_money(net_cents)}."


def payment_doubt(cents: int, owed_cents: int) -> str:
    """What is odd about money that comes in beside what is owed."""
    if cents <= owed_cents:
        return ""
    if not owed_cents:
        return f"Nothing is owed, and {format_money(cents)} came in."
    return f"{format_money(cents - owed_cents)} more than the {format_money(owed_cents)} owed."


def percent_doubt(percent: Decimal, most: Decimal = Decimal(100), least: Decimal = Decimal(0)) -> str:
    """What is odd about a share, or about a factor with bounds of its own."""
    if least <= percent <= most:
        return ""
    return f"{format_percent(percent)} is {'a lot' if percent > most else 'very little'}."


def minutes_doubt(minutes: int, standard: int = 0) -> str:
    """What is odd about so long for one thing, beside its standard minutes where there are any."""
    if minutes <= LONG_ENTRY and not (standard >= LEAST_STANDARD and minutes > MANY_TIMES * standard):
        return ""
    beside = f", standard is {format_minutes(standard)}" if standard else ""
    return f"{format_minutes(minutes)}{beside}."


def miles_doubt(miles: Decimal) -> str:
    """What is odd about the miles of one day."""
    return f"{format_quantity(miles)} miles in one day." if miles > MOST_MILES_A_DAY else ""


def far_from(today: Callable[[], date]) -> Callable[[date], str]:
    """The doubt about a day that may lie ahead or back, though not by many months."""
    return lambda day: far_words(day, today())


def done_on(today: Callable[[], date]) -> Callable[[date], str]:
    """The doubt about the day of something that has happened: not come yet, or far from today."""

    def doubt(day: date) -> str:
        if far := far_words(day, today()):
            return far
        return f"{format_day_short(day)} has not come yet." if day > today() else ""

    return doubt
