"""What can be bought: suppliers, items and their dated prices."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from domain.errors import NotUnderstood, as_typed

ITEM_CLASSES = (
    "pipe",
    "fitting",
    "fan",
    "electrical",
    "sealing",
    "membrane",
    "cement",
    "paint",
    "label",
    "indicator",
    "hardware",
    "other",
)


WHOLE, USED, CUT = "whole", "used", "cut"
COSTED_BY = {
    WHOLE: "whole pieces",
    USED: "what is used",
    CUT: "the cut list",
}
"""By what a job is costed: whole pieces as they are bought; the part that is used, the rest being the next job's; pipe
by its cut list, what is left long enough being an offcut for the next job. Whole packs are for the shopping list."""

_PARTLY_USED = frozenset({"cement", "sealing", "membrane", "paint"})


def usual_costing(item_class: str, unit: str) -> str:
    """How a new item is costed until the owner says otherwise: by its class, and by its unit where it has a length."""
    if item_class == "pipe" and unit == "ft":
        return CUT
    return USED if item_class in _PARTLY_USED or unit in ("ft", "sq ft") else WHOLE


def costing_typed(text: str) -> str:
    """The rule named by its words or their beginning. Raises NotUnderstood."""
    wanted = " ".join(text.casefold().split())
    found = [rule for rule, words in COSTED_BY.items() if wanted and words.startswith(wanted)]
    if len(found) != 1:
        raise NotUnderstood(f"{as_typed(text)} is none of {', '.join(COSTED_BY.values())}.", text)
    return found[0]


@dataclass(frozen=True, slots=True)
class Supplier:
    id: int
    name: str
    phone: str
    archived: bool
    mail: str = ""
    address: str = ""
    subcontractor: bool = False  # counted for the year's information returns
    tax_form_on: date | None = None  # the day their taxpayer form came in


@dataclass(frozen=True, slots=True)
class Item:
    id: int
    code: str
    name: str
    item_class: str
    unit: str
    pack_quantity: Decimal
    supplier_id: int | None
    waste_percent: Decimal
    archived: bool
    costed_by: str = WHOLE  # see COSTED_BY


@dataclass(frozen=True, slots=True)
class ItemPrice:
    id: int
    item_id: int
    starts_on: date
    unit_cost: Decimal  # dollars for one unit


@dataclass(frozen=True, slots=True)
class PricedItem:
    """An item with the price in force on the day asked for."""

    item: Item
    unit_cost: Decimal | None  # None: no price recorded yet on that day
    priced_on: date | None
    supplier: str
