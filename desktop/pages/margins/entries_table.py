"""The log entries of one job, as the Margins page lists them."""

from __future__ import annotations

from decimal import Decimal

from db.queries.entries import HoursRow, SpentRow
from desktop.pages.margins.tables import FittingTable
from desktop.widgets.table import Column, RowsModel
from domain.costing import kind_name
from domain.dates import format_day_short
from domain.money import format_money
from domain.units import format_minutes, format_quantity


class EntriesTable(FittingTable):
    """The log entries of one job, as they were written."""

    def __init__(self) -> None:
        super().__init__(
            RowsModel(
                [
                    Column("day", "Day", "right"),
                    Column("what", "What", stretch=2),
                    Column("who", "Who or from"),
                    Column("amount", "How much", "right"),
                    Column("cost", "Cost", "right"),
                    Column("unquoted", "", kind="state", width=110),
                    Column("cause", "Cause given", stretch=1),
                    Column("note", "Note", stretch=2),
                ],
                text={
                    "day": lambda row: format_day_short(row.day),
                    "what": lambda row: row.task if isinstance(row, HoursRow) else _spent_name(row),
                    "who": lambda row: row.who if isinstance(row, HoursRow) else row.receipt or row.source,
                    "amount": _amount,
                    "cost": lambda row: format_money(row.cost_cents),
                    "unquoted": lambda row: "not quoted" if row.unquoted else "",
                },
                sort_key={
                    "day": lambda row: row.day,
                    "amount": _size,
                    "cost": lambda row: row.cost_cents,
                },
                tone={"unquoted": lambda row: "over"},
                tip={"cost": lambda row: "" if isinstance(row, SpentRow) else _overhead(row)},
                row_id=lambda row: (type(row).__name__, getattr(row, "kind", ""), row.entry_id),
            ),
            "Log entries",
        )
        self.set_empty("Nothing is logged", "Hours, materials and other costs of this job will stand here.")


def _spent_name(row: SpentRow) -> str:
    if row.kind == "material":
        return row.name
    kind = kind_name(row.kind)
    return f"{kind[:1].upper()}{kind[1:]}{': ' + row.name if row.name else ''}"


def _amount(row: HoursRow | SpentRow) -> str:
    return format_minutes(row.minutes) if isinstance(row, HoursRow) else format_quantity(row.quantity, row.unit)


def _size(row: HoursRow | SpentRow) -> Decimal:
    return Decimal(row.minutes) if isinstance(row, HoursRow) else row.quantity


def _overhead(row: HoursRow) -> str:
    return f"and {format_money(row.overhead_cents)} of overhead"
