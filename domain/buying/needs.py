"""What each job still needs: its accepted material lines, less what the log has used and what lies ready for it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from domain.actuals import MaterialUse
from domain.buying.records import Purchase
from domain.log_so_far import MaterialKey, material_key, materials_so_far
from domain.quoting.lines import MaterialLine


@dataclass(frozen=True, slots=True)
class WorkJob:
    """A job that materials are gathered for."""

    job_id: int
    number: str
    customer: str
    what: str  # its title, else its type
    street: str
    scheduled_on: date | None
    goes_on: bool  # begun before the days asked for, and not installed


@dataclass(frozen=True, slots=True)
class JobNeed:
    """One material one job still needs.

    Attributes:
        left: quoted and not yet used.
        aside: of that, bought for this job and waiting: neither truck nor shop is asked for it.
        unit_cost: as quoted, in dollars for one unit.
    """

    job_id: int
    key: MaterialKey
    item_id: int | None
    description: str
    unit: str
    left: Decimal
    aside: Decimal
    unit_cost: Decimal

    @property
    def open(self) -> Decimal:
        """What the truck or a shop has to give."""
        return self.left - self.aside


def job_needs(
    job_id: int, lines: Iterable[MaterialLine], uses: Iterable[MaterialUse], bought: Iterable[Purchase]
) -> list[JobNeed]:
    """What one job still needs, in the order of its quote.

    Args:
        lines: of its accepted proposal and change orders, options not chosen left out.
        uses: its whole log of materials.
        bought: purchases straight for this job. What came onto the truck is not among them.

    Once as much is used as was needed without waste, the rest of the waste allowance is not chased.
    What was bought for the job waits until the log uses it from a receipt, or at all for what is not on the price list.
    """
    lines, uses = tuple(replace(line, quantity=line.needed) for line in lines), tuple(uses)
    net: dict[MaterialKey, Decimal] = {}
    for line in lines:
        key = material_key(line.item_id, line.description, line.unit)
        net[key] = net.get(key, Decimal(0)) + line.net_quantity
    waiting: dict[MaterialKey, Decimal] = {}
    for one in bought:
        key = material_key(one.item_id, one.description, one.unit)
        waiting[key] = waiting.get(key, Decimal(0)) + one.quantity
    for use in uses:
        key = material_key(use.item_id, use.description, use.unit)
        if key in waiting and (use.item_id is None or use.source == "receipt"):
            waiting[key] -= use.quantity
    return [
        JobNeed(
            job_id, row.key, row.item_id, row.description, row.unit, row.left,
            min(max(waiting.get(row.key, Decimal(0)), Decimal(0)), row.left), row.quoted_unit_cost,
        )
        for row in materials_so_far(lines, uses)
        if row.left > 0 and row.used < net[row.key]
    ]  # fmt: skip
