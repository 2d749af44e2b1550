"""Buying as stored: counts of the truck, when to reorder, purchases, and how a supplier's sheet was read."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class StockCount:
    id: int
    item_id: int
    counted_on: date
    quantity: Decimal
    last_use_id: int  # the newest log entry when it was counted
    last_purchase_id: int  # the newest purchase when it was counted


@dataclass(frozen=True, slots=True)
class StockRule:
    id: int
    item_id: int
    reorder_at: Decimal
    fill_to: Decimal


@dataclass(frozen=True, slots=True)
class Purchase:
    id: int
    day: date
    supplier_id: int | None
    item_id: int | None  # None: something not on the price list
    description: str
    quantity: Decimal
    unit: str
    unit_cost: Decimal  # dollars paid for one unit
    receipt: str
    job_id: int | None  # bought for one job
    onto_truck: bool  # False: straight to the job
    note: str
    tax_cents: int = 0  # its share of the receipt's sales tax


@dataclass(frozen=True, slots=True)
class TruckOffcut:
    id: int
    size: Decimal  # nominal inches
    feet: Decimal
    kept_on: date
    from_job_id: int | None  # None: typed on the truck
    used_on: date | None
    used_job_id: int | None


@dataclass(frozen=True, slots=True)
class SupplierSheet:
    id: int
    headings: str  # JSON: the sheet's own headings
    columns: str  # JSON: our field -> heading
    supplier_id: int | None
    used_on: date
