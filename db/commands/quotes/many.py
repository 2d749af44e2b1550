"""Many lines of a draft at once, checked like single ones: a few statements however many lines there are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from db.commands.quotes.checks import (
    draft,
    next_position,
    own_option,
    sensible_cost,
    sensible_minutes,
    sensible_quantity,
    values_of,
)
from db.commands.quotes.lines import CREWS
from db.company_file.problems import Refused
from db.edit import Edit
from db.tables import labour_line, material_line
from domain.price_list import Item
from domain.quoting.lines import LabourLine, Quote
from domain.quoting.quantities import quantity_with_waste
from domain.quoting.recount import recount_labour
from domain.quoting.refresh import TaskPick, crew_rate


@dataclass(frozen=True, slots=True)
class NewLabour:
    """Work to be quoted; without a reason the access conditions are named."""

    pick: TaskPick
    quantity: Decimal
    crew: str = "owner"
    override_minutes: int | None = None
    reason: str | None = None


@dataclass(frozen=True, slots=True)
class NewMaterial:
    """Material to be quoted, from the price list at the price of the day (dollars for one unit)."""

    item: Item
    net_quantity: Decimal
    unit_cost: Decimal
    reason: str = ""


def add_lines(
    edit: Edit, quote_id: int, labour: Sequence[NewLabour], materials: Sequence[NewMaterial],
    *, option_id: int | None = None,
) -> None:  # fmt: skip
    """Add work and material to the base of a draft, or to one of its options.

    Raises:
        Refused: the quote was sent, or a line cannot be meant; then none is added.
    """
    kept = draft(edit, quote_id)
    own_option(edit, quote_id, option_id)
    place = next_position(edit, labour_line, quote_id, option_id)
    work = [_labour(kept, option_id, position, new) for position, new in enumerate(labour, place)]
    place = next_position(edit, material_line, quote_id, option_id)
    things = [
        {
            "quote_id": quote_id, "option_id": option_id, "position": position, "item_id": new.item.id,
            "description": new.item.name, "net_quantity": sensible_quantity(kept, new.net_quantity),
            "waste_percent": new.item.waste_percent,
            "quantity": quantity_with_waste(new.net_quantity, new.item.waste_percent),
            "unit": new.item.unit, "unit_cost": sensible_cost(new.unit_cost), "reason": new.reason.strip(),
        }
        for position, new in enumerate(materials, place)
    ]  # fmt: skip
    edit.add_many(labour_line, [values_of(line) for line in work])
    edit.add_many(material_line, things)


def _labour(kept: Quote, option_id: int | None, position: int, new: NewLabour) -> LabourLine:
    if new.crew not in CREWS:
        raise Refused(f"“{new.crew}” is neither owner nor helper.")
    blank = LabourLine(
        id=0, quote_id=kept.id, option_id=option_id, position=position, task_id=new.pick.task.id, crew=new.crew,
        quantity=sensible_quantity(kept, new.quantity), unit_minutes=new.pick.task.standard_minutes,
        factor_percent=new.pick.factor_percent, standard_minutes=0, override_minutes=new.override_minutes,
        minutes=0, rate_cents=crew_rate(new.crew, kept.owner_rate_cents, kept.helper_rate_cents),
        reason=new.pick.why if new.reason is None else new.reason.strip(),
    )  # fmt: skip
    line = recount_labour(blank)
    sensible_minutes(kept, line.standard_minutes)
    sensible_minutes(kept, line.minutes)
    return line
