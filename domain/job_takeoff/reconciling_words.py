"""A reconciliation as a person reads it: both sides of a row, what each costs, the totals before and after."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from domain.job_takeoff.answers import KEPT, LEFT, OFF
from domain.job_takeoff.reconciliation import Reconciliation, Row, reason_of_answer
from domain.job_takeoff.stands_for import TASK
from domain.money import format_money
from domain.units import format_minutes, format_quantity
from domain.units.numbers import plain

NOTHING = "–"
QUOTE = "quote"


def standing_words(row: Row) -> str:
    """``Run pipe in basement, 12 ft``."""
    one = row.standing
    return NOTHING if one is None else f"{one.name}, {format_quantity(one.quantity, one.unit)}"


def counted_words(row: Row) -> str:
    """``Run pipe in crawl space, 22 ft``."""
    one = row.counted
    return NOTHING if one is None else f"{one.name}, {format_quantity(one.quantity, one.unit)}"


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
    """``Work and materials:  21 counted instead  ·  17 usual, kept. On the quote: 21 lines added, 4 removed.``"""
    number: dict[str, int] = {}
    for row in made.rows:
        number[row.words] = number.get(row.words, 0) + 1
    rows = "Work and materials:  " + "  ·  ".join(f"{count} {words}" for words, count in number.items())
    return f"{rows}.  {quote_words(made)}" if made.into == QUOTE else f"{rows}.  All other lines stay as sold."


def quote_words(made: Reconciliation) -> str:
    """What applying it does to the lines of the quote: ``On the quote: 4 lines changed, 1 removed.``"""
    lines = made.lines
    if made.begins:
        with_usual = f" with {_so_many_lines(lines.usual)} as usual" if lines.usual else ""
        return f"A quote begins{with_usual} and {lines.words or 'nothing counted'}."
    return f"On the quote: {lines.words or 'nothing changes'}."


def _so_many_lines(count: int) -> str:
    return "1 line" if count == 1 else f"{count} lines"


def caution_words(made: Reconciliation) -> str:
    """What to look at before it is applied; empty where there is nothing."""
    parts = []

    def name(begin: str, names: list[str]) -> None:
        if names:
            parts.append(f"{begin}: {', '.join(dict.fromkeys(names))}.")

    named = {row.key: row.standing.name for row in made.rows if row.standing is not None}
    name("Charged twice as it stands", [named[row.key] for row in made.twice])
    gone = [row for row in made.rows if with_nothing_instead(row, made)]
    name("Taken off, with nothing counted in its place", [named[row.key] for row in gone])
    own = [row for row in made.rows if row.own_minutes is not None]
    name("Your own minutes stay on another quantity", [own_minutes_words(row) for row in own])
    missing = [row.counted.name for row in made.rows if row.takes and row.counted and row.counted.cents is None]
    name("No price yet", missing)
    hand = [row for row in made.rows if row.standing and row.standing.by_hand and row.answer == KEPT and row.by]
    gone_hand = [row for row in made.rows if row.standing and row.standing.takeoff_key and row.standing.by_hand]
    name("Changed by hand, so kept", [named[row.key] for row in made.rows if row.answer == KEPT
                                      and (row in hand or row in gone_hand)])  # fmt: skip
    name("Counted in place of what was typed", [named[row.key] for row in made.over_typed])
    return " ".join(parts)


def own_minutes_words(row: Row) -> str:
    """``Set the fan, 1h 30m of your own, the standard for 2 is 3h``."""
    if row.own_minutes is None or row.counted is None or row.standing is None:
        return ""
    many = format_quantity(row.counted.quantity, row.counted.unit)
    standard = f"the standard for {many} is {format_minutes(row.counted.minutes)}"
    return f"{row.standing.name}, {format_minutes(row.own_minutes)} of your own, {standard}"


def with_nothing_instead(row: Row, made: Reconciliation) -> bool:
    """Whether a usual line goes though nothing of what would take its place is taken."""
    if row.standing is None or row.keeps or row.takes or not row.by or row.standing.takeoff_key:
        return False
    return not any(other.takes and other.counted and other.counted.key in row.by for other in made.rows)


@dataclass(frozen=True, slots=True)
class RowSaid:
    """What is said of a row as it is switched now, beside the others."""

    words: str
    reason: str
    twice: bool = False


def said_of(made: Reconciliation, own: Reconciliation) -> dict[str, RowSaid]:
    """Words and reason of each row; ``own``: as the program had them, before any was switched."""
    twice = {row.key for row in made.twice}
    return {
        row.key: _said(row, before, made, row.key in twice) for row, before in zip(made.rows, own.rows, strict=True)
    }


def _said(row: Row, before: Row, made: Reconciliation, twice: bool) -> RowSaid:
    reason = row.reason if row.answer == before.answer else reason_of_answer(row, "switched by you")
    if with_nothing_instead(row, made):
        reason = "nothing takes its place as the rows are switched now: switch it back if it is still needed"
    if row.own_minutes is not None:
        reason = f"{own_minutes_words(row)}; {reason}"
    if not twice or row.standing is None:
        return RowSaid(row.words, reason)
    counted = [other.counted for other in made.counted_of(row.standing) if other.counted is not None]
    if counted:
        sums = " + ".join(plain(one.quantity) for one in counted)
        total = sum((one.quantity for one in counted), Decimal(0))
        many = f"{sums} = {plain(total)}" if counted[1:] else sums
        reason = f"charged twice: {plain(row.standing.quantity)} here, while the takeoff counts {many} in all; {reason}"
    return RowSaid(f"{row.words}, charged twice", reason, True)


def answers_given(made: Reconciliation, own: Reconciliation) -> dict[str, str]:
    """The rows that were switched, by their keys."""
    return {
        row.key: row.answer for row, before in zip(made.rows, own.rows, strict=True) if row.answer != before.answer
    }  # fmt: skip


def _cost(work: bool, minutes: int, cents: int) -> str:
    return f"{format_minutes(minutes)} · {format_money(cents)}" if work else format_money(cents)
