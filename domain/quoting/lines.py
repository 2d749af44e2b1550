"""The stored parts of a quote: its header, options and three kinds of line."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

OTHER_KINDS = ("permit", "subcontractor", "equipment", "travel", "other")
PRICINGS = ("margin", "markup", "fixed")
TAX_TREATMENTS = ("none", "lump_sum", "separated")


@dataclass(frozen=True, slots=True)
class Quote:
    id: int
    job_id: int
    kind: str  # proposal | change_order
    version: int
    title: str
    created_on: date
    sent_on: date | None
    expires_on: date | None
    accepted_on: date | None
    declined_on: date | None
    declined_reason: str
    pricing: str  # margin | markup | fixed
    pricing_percent: Decimal
    fixed_price_cents: int
    minimum_charge_cents: int
    rounding_cents: int
    goodwill_cents: int
    goodwill_reason: str
    tax_treatment: str
    tax_percent: Decimal
    deposit_percent: Decimal
    owner_rate_cents: int
    helper_rate_cents: int
    overhead_rate_cents: int
    mile_cost: Decimal
    scope_text: str
    not_included_text: str
    warranty_text: str
    above_action_text: str
    caution_text: str
    terms_text: str
    price_cents: int | None
    tax_cents: int | None
    deposit_cents: int | None
    lists_work: bool = False  # the work on the quote is printed below the scope
    work_listed: str = ""  # as it was sent
    shows_route: bool = False  # also where the quote was not made from it

    @property
    def frozen(self) -> bool:
        """Once sent, nothing on the quote moves any more."""
        return self.sent_on is not None


@dataclass(frozen=True, slots=True)
class QuoteOption:
    id: int
    quote_id: int
    position: int
    name: str
    description: str
    chosen: bool
    price_cents: int | None


@dataclass(frozen=True, slots=True)
class LabourLine:
    id: int
    quote_id: int
    option_id: int | None
    position: int
    task_id: int
    crew: str  # owner | helper
    quantity: Decimal
    unit_minutes: Decimal
    factor_percent: Decimal
    standard_minutes: int
    override_minutes: int | None
    minutes: int
    rate_cents: int
    reason: str
    takeoff_key: str = ""  # "": typed, not counted by the takeoff
    own_minutes: int | None = None  # what the owner meant before the record's correction was taken
    takeoff_quantity: Decimal | None = None  # what the takeoff wrote; another quantity was typed over it


@dataclass(frozen=True, slots=True)
class MaterialLine:
    id: int
    quote_id: int
    option_id: int | None
    position: int
    item_id: int | None
    description: str
    net_quantity: Decimal
    waste_percent: Decimal
    quantity: Decimal
    unit: str
    unit_cost: Decimal
    reason: str
    takeoff_key: str = ""
    takeoff_quantity: Decimal | None = None  # as for labour; of the net quantity
    buy_quantity: Decimal | None = None  # new sticks, where the job is costed by the cut list

    @property
    def needed(self) -> Decimal:
        """What the truck or a shop has to give for the line: whole sticks, until another quantity was typed."""
        if self.buy_quantity is None or self.net_quantity != self.takeoff_quantity:
            return self.quantity
        return self.buy_quantity


@dataclass(frozen=True, slots=True)
class OtherLine:
    id: int
    quote_id: int
    option_id: int | None
    position: int
    kind: str
    description: str
    quantity: Decimal
    unit: str
    unit_cost: Decimal
    reason: str


@dataclass(frozen=True, slots=True)
class QuoteDocument:
    """One quote with everything on it: what the price is computed from and the proposal is printed from."""

    quote: Quote
    options: tuple[QuoteOption, ...]
    labour: tuple[LabourLine, ...]
    materials: tuple[MaterialLine, ...]
    others: tuple[OtherLine, ...]
