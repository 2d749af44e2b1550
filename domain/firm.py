"""The firm's own settings, people and dated costs, as stored."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Firm:
    id: int
    name: str
    owner_name: str
    street: str
    town: str
    phone: str
    mail: str
    licence_number: str
    unit_system: str  # us | metric
    radon_unit: str  # pCi/L | Bq/m3
    margin_percent: Decimal
    minimum_charge_cents: int
    rounding_cents: int
    deposit_percent: Decimal
    tax_treatment: str  # none | lump_sum | separated
    tax_percent: Decimal
    tax_place: str
    valid_days: int
    follow_up_days: int
    capacity_minutes_per_day: int
    not_included_text: str
    warranty_text: str
    above_action_text: str
    caution_text: str
    terms_text: str
    pinned_today: date | None  # a made-up company's evening; None: the real day
    invoice_due_days: int = 14
    standard_text: str = ""  # the standard worked to, with its edition
    electricity_rate: Decimal = Decimal(0)  # dollars per kWh; 0: not entered
    heat_loss_low_cents: int = 0  # a year, the owner's stated range
    heat_loss_high_cents: int = 0
    logo_sha256: str = ""  # the picture on papers; "": none

    @property
    def letterhead_lines(self) -> tuple[str, ...]:
        """What stands under the firm's name on a paper: address, phone and mail, license."""
        address = ", ".join(part for part in (self.street, self.town) if part)
        reach = "  ·  ".join(part for part in (self.phone, self.mail) if part)
        license_line = f"Radon license or certificate {self.licence_number}" if self.licence_number else ""
        return tuple(line for line in (address, reach, license_line) if line)


@dataclass(frozen=True, slots=True)
class Person:
    id: int
    name: str
    role: str  # owner | helper
    archived: bool


@dataclass(frozen=True, slots=True)
class PersonCost:
    id: int
    person_id: int
    starts_on: date
    wage_cents: int  # per paid hour; the owner's draw
    paid_hours: int  # a year
    billable_hours: int  # a year
    workers_comp_percent: Decimal
    state_unemployment_percent: Decimal
    state_unemployment_base_cents: int
    other_cents_per_year: int


@dataclass(frozen=True, slots=True)
class OverheadEntry:
    id: int
    name: str
    cents_per_month: int
    starts_on: date
    ends_on: date | None


@dataclass(frozen=True, slots=True)
class OverheadBasis:
    id: int
    starts_on: date
    billable_minutes_per_month: int


@dataclass(frozen=True, slots=True)
class MileCost:
    id: int
    starts_on: date
    unit_cost: Decimal  # dollars per mile


@dataclass(frozen=True, slots=True)
class DayRates:
    """What an hour and a mile cost the firm on one day."""

    on: date
    owner_cents: int  # burdened, per billable hour
    helper_cents: int
    overhead_cents: int  # per billable hour
    mile_cost: Decimal
    person_cents: dict[int, int]  # burdened rate by person id


@dataclass(frozen=True, slots=True)
class RunningTimer:
    id: int
    job_id: int
    task_id: int
    person_id: int
    started_at: str  # local wall time, ISO 8601 to the second
