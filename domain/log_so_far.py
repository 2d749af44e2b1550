"""A running job so far: what its budget allows, what its log says, and how much material is left to use."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from domain.actuals import HoursEntry, MaterialUse, OtherCost
from domain.money import labour_cents
from domain.quoting.lines import LabourLine, MaterialLine, OtherLine

MaterialKey = tuple[int, str]
"""(item id, "") for an item of the price list; (0, folded description and unit) for anything else."""


@dataclass(frozen=True, slots=True)
class JobBudget:
    """Every line that the accepted proposal (base and chosen options) and the accepted change orders allow."""

    labour: tuple[LabourLine, ...] = ()
    materials: tuple[MaterialLine, ...] = ()
    others: tuple[OtherLine, ...] = ()


@dataclass(frozen=True, slots=True)
class JobLog:
    """Everything logged on one job."""

    hours: tuple[HoursEntry, ...] = ()
    materials: tuple[MaterialUse, ...] = ()
    others: tuple[OtherCost, ...] = ()


def hours_cents(entry: HoursEntry) -> int:
    """What an entry cost: its burdened time and its overhead, each rounded half up to the cent."""
    return labour_cents(entry.minutes, entry.rate_cents) + labour_cents(entry.minutes, entry.overhead_rate_cents)


@dataclass(frozen=True, slots=True)
class MaterialSoFar:
    """One material of the job: how much was quoted and how much is used, in one unit."""

    key: MaterialKey
    item_id: int | None
    description: str
    unit: str
    quoted: Decimal
    quoted_unit_cost: Decimal  # of the first line that quotes it; 0 when none does
    used: Decimal

    @property
    def left(self) -> Decimal:
        """Quoted and not yet used, never less than none."""
        return max(self.quoted - self.used, Decimal(0))


def material_key(item_id: int | None, description: str, unit: str) -> MaterialKey:
    """What makes two lines the same material."""
    if item_id is not None:
        return (item_id, "")
    return (0, f"{' '.join(description.casefold().split())}|{unit.casefold()}")


def materials_so_far(lines: Iterable[MaterialLine], used: Iterable[MaterialUse]) -> list[MaterialSoFar]:
    """Materials in the order of the quote, then those that were only used. Uses marked unquoted count as used too."""
    rows: dict[MaterialKey, MaterialSoFar] = {}
    for line in lines:
        key = material_key(line.item_id, line.description, line.unit)
        row = rows.get(key)
        rows[key] = MaterialSoFar(
            key, line.item_id, row.description if row else line.description, row.unit if row else line.unit,
            line.quantity + (row.quoted if row else 0), row.quoted_unit_cost if row else line.unit_cost, Decimal(0),
        )  # fmt: skip
    for use in used:
        key = material_key(use.item_id, use.description, use.unit)
        row = rows.get(key) or MaterialSoFar(
            key, use.item_id, use.description, use.unit, Decimal(0), Decimal(0), Decimal(0)
        )
        rows[key] = MaterialSoFar(
            key, row.item_id, row.description, row.unit, row.quoted, row.quoted_unit_cost, row.used + use.quantity
        )
    return list(rows.values())
