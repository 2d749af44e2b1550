"""A reconciliation as a person reads it: both sides of a row, what each costs, the totals before and after."""

from __future__ import annotations

from domain.job_takeoff.answers import KEPT, LEFT, OFF
from domain.job_takeoff.reconciling import Reconciliation, Row
from domain.job_takeoff.stands_for import TASK
from domain.money import format_money
from domain.units import format_minutes, format_quantity

NOTHING = "–"


def standing_words(row: Row) -> str:
    """``Run pipe in basement, 12 ft``."""
    one = row.standing
    return NOTHING if one is None else f"{one.name}, {format_quantity(one.quantity, _unit(one.unit))}"


def counted_words(row: Row) -> str:
    """``Run pipe in crawl space, 22 ft``."""
    one = row.counted
    return NOTHING if one is None else f"{one.name}, {format_quantity(one.quantity, _unit(one.unit))}"


def standing_cost(row: Row) -> str:
    """``14m · $15.40`` for work, ``$15.40`` for goods."""
    one = row.standing
    return "" if one is None else _cost(one.of == TASK, one.minutes, one.cents)


def counted_cost(row: Row) -> str:
    """The same of what is counted; ``no price`` where the price list has nothing."""
    one = row.counted
    if one is None:
        return ""
    return "no price" if one.cents is None else _cost(one.of == TASK, *row.taken)


def tone_of(row: Row) -> str:
    """What stands out: what is charged twice or has no price, then what changes; what stays is quiet."""
    if row.takes and row.counted is not None and row.counted.cents is None:
        return "over"
    if row.answer in (OFF, LEFT):
        return "ink_faint"
    return "accent" if row.changes and row.answer != KEPT else ""


def totals_words(made: Reconciliation) -> tuple[str, str, str]:
    """Before, after, and the difference: ``12h 30m · $1,337.52``."""
    (minutes, cents), (then, after) = made.before, made.after
    sign = "+" if after > cents else "−" if after < cents else "±"
    more = "+" if then > minutes else "−" if then < minutes else "±"
    change = f"{more}{format_minutes(abs(then - minutes))} · {sign}{format_money(abs(after - cents))}"
    return _cost(True, minutes, cents), _cost(True, then, after), change


def summary_words(made: Reconciliation) -> str:
    """``Work and materials:  21 counted instead  ·  12 counted as well  ·  17 usual, kept``."""
    number: dict[str, int] = {}
    for row in made.rows:
        number[row.words] = number.get(row.words, 0) + 1
    return "Work and materials:  " + "  ·  ".join(f"{count} {words}" for words, count in number.items())


def caution_words(made: Reconciliation) -> str:
    """What to look at before it is applied; empty where there is nothing."""
    parts = []
    if made.twice:
        names = ", ".join(dict.fromkeys(row.standing.name for row in made.twice[:4] if row.standing is not None))
        parts.append(f"Charged twice as it stands: {names}.")
    missing = [row.counted.name for row in made.rows if row.takes and row.counted and row.counted.cents is None]
    if missing:
        parts.append(f"No price yet: {', '.join(missing[:4])}{' …' if len(missing) > 4 else ''}.")
    hand = [row for row in made.rows if row.standing is not None and row.standing.by_hand and row.answer == KEPT]
    if hand:
        names = ", ".join(row.standing.name for row in hand[:4] if row.standing is not None)
        parts.append(f"Changed by hand, so kept: {names}{' …' if len(hand) > 4 else ''}.")
    if made.over_typed:
        names = ", ".join(row.standing.name for row in made.over_typed[:4] if row.standing is not None)
        parts.append(f"Counted in place of what was typed: {names}{' …' if len(made.over_typed) > 4 else ''}.")
    return " ".join(parts)


def answers_given(made: Reconciliation, own: Reconciliation) -> dict[str, str]:
    """The rows that were switched, by their keys."""
    return {
        row.key: row.answer for row, before in zip(made.rows, own.rows, strict=True) if row.answer != before.answer
    }  # fmt: skip


def _unit(unit: str) -> str:
    return "" if unit == "each" else unit


def _cost(work: bool, minutes: int, cents: int) -> str:
    return f"{format_minutes(minutes)} · {format_money(cents)}" if work else format_money(cents)
