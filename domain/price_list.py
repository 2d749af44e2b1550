"""What can be bought: suppliers, items and their dated prices."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

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
