"""What of a quote is no longer what its takeoff says: counted anew since it was taken, or charged twice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from domain.job_takeoff.reconciliation import Reconciliation, Row
from domain.job_takeoff.stands_for import ITEM, TASK
from domain.money import format_money
from domain.quoting.lines import QuoteDocument
from domain.units import format_minutes
from domain.units.numbers import plain

NAMED = 4


@dataclass(frozen=True, slots=True)
class Double:
    """A line typed in the base beside lines of the takeoff that are of the same item or task."""

    of: str  # task | item
    line_id: int
    name: str
    typed: Decimal
    counted: Decimal

    @property
    def words(self) -> str:
        """``Wall bracket (3 typed, 2 counted)``."""
        return f"{self.name} ({plain(self.typed)} typed, {plain(self.counted)} counted)"


def doubles_of(document: QuoteDocument, task_names: Mapping[int, str]) -> tuple[Double, ...]:
    """What the quote charges twice as it stands, work first."""
    work = [
        Double(TASK, line.id, task_names.get(line.task_id, "a task"), line.quantity, counted)
        for line, counted in _beside(document.labour, "task_id", "quantity")
    ]
    goods = [
        Double(ITEM, line.id, line.description, line.net_quantity, counted)
        for line, counted in _beside(document.materials, "item_id", "net_quantity")
    ]
    return (*work, *goods)


def _beside(lines: Sequence[Any], of_id: str, number: str) -> list[tuple[Any, Decimal]]:
    made: dict[int, Decimal] = {}
    for line in lines:
        if line.takeoff_key and line.option_id is None and getattr(line, of_id) is not None:
            made[getattr(line, of_id)] = made.get(getattr(line, of_id), Decimal(0)) + getattr(line, number)
    return [
        (line, made[getattr(line, of_id)]) for line in lines
        if not line.takeoff_key and line.option_id is None and getattr(line, of_id) in made
    ]  # fmt: skip


def doubles_words(doubles: Sequence[Double]) -> str:
    """``Charged twice, typed and counted: Wall bracket (3 typed, 2 counted).``; empty where nothing is."""
    return f"Charged twice, typed and counted: {', '.join(one.words for one in doubles)}." if doubles else ""


def rows_since(made: Reconciliation) -> tuple[Row, ...]:
    """Rows of what is counted otherwise than it was taken; none where the takeoff was never taken.

    What was changed by hand, or left out on purpose, stays as the owner has it and is no difference.
    """
    if not any(row.standing is not None and row.standing.takeoff_key for row in made.rows):
        return ()
    return tuple(
        row for row in made.rows
        if row.changes and (row.standing is None or bool(row.standing.takeoff_key) or row.is_new)
    )  # fmt: skip


def since_words(made: Reconciliation, name: str = "this quote") -> str:
    """What differs, in lines, minutes and money; empty where nothing does."""
    rows = rows_since(made)
    if not rows:
        return ""
    before = [row.standing for row in rows if row.standing is not None and not row.is_new]
    minutes = sum(row.after[0] for row in rows) - sum(one.minutes for one in before)
    cents = sum(row.after[1] for row in rows) - sum(one.cents for one in before)
    names = dict.fromkeys(_name(row) for row in rows)
    shown = ", ".join(list(names)[:NAMED]) + (f" and {len(names) - NAMED} more" if len(names) > NAMED else "")
    lines = "1 line differs" if len(rows) == 1 else f"{len(rows)} lines differ"
    return (
        f"The takeoff counts otherwise than {name} has it: {lines}, {_signed(minutes, format_minutes)} and "
        f"{_signed(cents, format_money)} of cost ({shown})."
    )


def _name(row: Row) -> str:
    side = row.counted or row.standing
    assert side is not None
    return side.name


def _signed(value: int, words: Any) -> str:
    return f"{'+' if value > 0 else '−' if value < 0 else '±'}{words(abs(value))}"
