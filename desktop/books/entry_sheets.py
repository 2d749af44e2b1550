"""The sheets Hours and Materials: every log entry, its cost worked out by a formula that rounds as the program does."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal

from db.queries.entries import MATERIAL, HoursRow, SpentRow
from desktop.books.book import Book
from desktop.books.sheet import COUNT, DAY, HOURS, MONEY, PLAIN, QUANTITY, UNIT_COST, Formula, Sheet, SheetColumn

HOURS_COLUMNS = (
    SheetColumn("line", "Job line", 8, COUNT),
    SheetColumn("number", "Job", 11),
    SheetColumn("day", "Day", 13, DAY),
    SheetColumn("task", "Task", 34),
    SheetColumn("who", "Who", 18),
    SheetColumn("minutes", "Minutes", 9, COUNT),
    SheetColumn("hours", "Hours (decimal)", 9, HOURS),
    SheetColumn("rate", "Cost of an hour", 12, MONEY),
    SheetColumn("cost", "Cost", 12, MONEY),
    SheetColumn("overhead_rate", "Overhead of an hour", 12, MONEY),
    SheetColumn("overhead", "Overhead", 12, MONEY),
    SheetColumn("unquoted", "Unquoted", 10),
    SheetColumn("cause", "Cause given", 26),
    SheetColumn("note", "Note", 40),
)

MATERIALS_COLUMNS = (
    SheetColumn("line", "Job line", 8, COUNT),
    SheetColumn("number", "Job", 11),
    SheetColumn("day", "Day", 13, DAY),
    SheetColumn("kind", "Kind", 14),
    SheetColumn("name", "Item", 36),
    SheetColumn("quantity", "Quantity", 10, QUANTITY),
    SheetColumn("unit", "Unit", 9, PLAIN),
    SheetColumn("unit_cost", "Cost of one", 12, UNIT_COST),
    SheetColumn("cost", "Cost", 12, MONEY),
    SheetColumn("source", "From", 10),
    SheetColumn("receipt", "Receipt", 16),
    SheetColumn("unquoted", "Unquoted", 10),
    SheetColumn("cause", "Cause given", 26),
    SheetColumn("note", "Note", 40),
)

# Whole cents first, then one rounding: a spreadsheet's own product of fractions can miss a half cent.
_HOURS = Formula("={minutes}/60")
_COST = Formula("=ROUND({minutes}*ROUND({rate}*100,0)/60,0)/100")
_OVERHEAD = Formula("=ROUND({minutes}*ROUND({overhead_rate}*100,0)/60,0)/100")
_AMOUNT = Formula("=ROUND(ROUND({quantity}*1000,0)*ROUND({unit_cost}*10000,0)/100000,0)/100")


def dollars(cents: int) -> Decimal:
    """Cents as dollars for a cell."""
    return Decimal(cents).scaleb(-2)


def hours_of(minutes: int) -> float:
    """Minutes as hours for a cell that tells them as a fraction."""
    return minutes / 60


@dataclass(slots=True)
class Spent:
    """What the entries of one job add up to, in cents."""

    labour_cents: int = 0
    overhead_cents: int = 0
    materials_cents: int = 0
    others_cents: int = 0


def spent_by_job(hours: Iterable[HoursRow], spent: Iterable[SpentRow]) -> dict[str, Spent]:
    """The sums of the two sheets by the job's number; one without entries has none."""
    found: dict[str, Spent] = defaultdict(Spent)
    for time in hours:
        found[time.number].labour_cents += time.cost_cents
        found[time.number].overhead_cents += time.overhead_cents
    for one in spent:
        if one.kind == MATERIAL:
            found[one.number].materials_cents += one.cost_cents
        else:
            found[one.number].others_cents += one.cost_cents
    return found


def yes(value: bool) -> str:
    """A tick in words."""
    return "yes" if value else ""


def write_hours(book: Book, lines: dict[str, int], entries: Iterable[HoursRow], step: Callable[[], None]) -> Sheet:
    """Write the sheet Hours; `lines` gives the line of each job in the sheet Jobs."""
    sheet = Sheet(book, "Hours", HOURS_COLUMNS)
    for row in entries:
        # fmt: off
        sheet.add((
            lines[row.number], row.number, row.day, row.task, row.who, row.minutes, _HOURS.worth(hours_of(row.minutes)),
            dollars(row.rate_cents), _COST.worth(dollars(row.cost_cents)), dollars(row.overhead_rate_cents),
            _OVERHEAD.worth(dollars(row.overhead_cents)),
            yes(row.unquoted), row.cause, row.note,
        ))
        # fmt: on
        step()
    sheet.finish()
    return sheet


def write_materials(
    book: Book, lines: dict[str, int], entries: Iterable[SpentRow], step: Callable[[], None]
) -> Sheet:
    """Write the sheet Materials: materials and other costs, told apart by their kind."""
    sheet = Sheet(book, "Materials", MATERIALS_COLUMNS)
    for row in entries:
        # fmt: off
        sheet.add((
            lines[row.number], row.number, row.day, row.kind, row.name, row.quantity, row.unit, row.unit_cost,
            _AMOUNT.worth(dollars(row.cost_cents)), row.source, row.receipt, yes(row.unquoted), row.cause, row.note,
        ))
        # fmt: on
        step()
    sheet.finish()
    return sheet
