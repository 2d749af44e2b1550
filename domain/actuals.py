"""Log entries: hours, materials, other costs and money given up afterwards."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class HoursEntry:
    id: int
    job_id: int
    day: date
    task_id: int
    person_id: int
    minutes: int
    began: int | None  # minute of the day
    rate_cents: int  # burdened, per hour, on that day
    overhead_rate_cents: int
    unquoted: bool
    cause_id: int | None
    note: str


@dataclass(frozen=True, slots=True)
class MaterialUse:
    id: int
    job_id: int
    day: date
    item_id: int | None
    description: str
    quantity: Decimal
    unit: str
    unit_cost: Decimal
    source: str  # stock | receipt
    receipt: str
    unquoted: bool
    cause_id: int | None
    note: str


@dataclass(frozen=True, slots=True)
class OtherCost:
    id: int
    job_id: int
    day: date
    kind: str
    description: str
    quantity: Decimal
    unit: str
    unit_cost: Decimal
    unquoted: bool
    cause_id: int | None
    note: str


@dataclass(frozen=True, slots=True)
class PriceAdjustment:
    id: int
    job_id: int
    day: date
    kind: str  # write_off
    amount_cents: int
    reason: str
