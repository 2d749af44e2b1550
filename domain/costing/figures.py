"""What the costing of one job is computed from: what was sold, line by line, and what was logged."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

CALLBACK = "callback"
"""The role of tasks that put right what was already done; they are never a matter of working fast or slow."""


@dataclass(frozen=True, slots=True)
class QuotedLabour:
    """Time the customer was quoted for one task; lines of the same task may stand apart or added up."""

    task_id: int
    task: str
    role: str  # work | travel | callback
    minutes: int
    cents: int  # each line rounded to the cent, then added


@dataclass(frozen=True, slots=True)
class LoggedLabour:
    """Time logged on one task."""

    task_id: int
    task: str
    role: str
    minutes: int
    cents: int  # each entry rounded to the cent, then added
    overhead_cents: int
    unquoted: bool = False  # the owner says: not in the quote
    own: bool = False  # the owner's own time, not a helper's


@dataclass(frozen=True, slots=True)
class Material:
    """A material, quoted or used; one without an item is known by its description and unit."""

    item_id: int | None
    name: str
    unit: str
    quantity: Decimal
    cents: int
    unquoted: bool = False  # of a used one: the owner says it was not in the quote

    @property
    def key(self) -> tuple[object, str]:
        """What makes quoted and used the same material: the item, else the description; and the unit."""
        return (self.name.strip().casefold() if self.item_id is None else self.item_id, self.unit)


@dataclass(frozen=True, slots=True)
class OtherDirect:
    """A permit, subcontractor, equipment, travel or other cost, quoted or paid."""

    kind: str
    cents: int
    unquoted: bool = False


@dataclass(frozen=True, slots=True)
class SoldQuote:
    """An accepted proposal with the options chosen, or an accepted change order.

    Attributes:
        price_cents: before goodwill and before tax.
        goodwill_cents: what was given off that price on purpose.
        overhead_cents: overhead allowed on the quoted hours.
        purchase_tax_cents: sales tax expected on purchases; only with a lump-sum treatment of tax.
    """

    price_cents: int
    goodwill_cents: int = 0
    labour: tuple[QuotedLabour, ...] = ()
    materials: tuple[Material, ...] = ()
    others: tuple[OtherDirect, ...] = ()
    overhead_cents: int = 0
    purchase_tax_cents: int = 0

    @property
    def minutes(self) -> int:
        """Time the quote allows, in minutes."""
        return sum(line.minutes for line in self.labour)

    @property
    def materials_cents(self) -> int:
        """Cost of the quoted materials without tax."""
        return sum(line.cents for line in self.materials)

    @property
    def cost_cents(self) -> int:
        """Quoted cost: labour + materials + other direct + overhead + tax on purchases."""
        return (
            sum(line.cents for line in self.labour)
            + self.materials_cents
            + sum(line.cents for line in self.others)
            + self.overhead_cents
            + self.purchase_tax_cents
        )

    @property
    def margin_cents(self) -> int:
        """Quoted margin before goodwill: price - quoted cost."""
        return self.price_cents - self.cost_cents


@dataclass(frozen=True, slots=True)
class CauseShare:
    """How much of what ran over one cause explains."""

    cause: str
    minutes: int


@dataclass(frozen=True, slots=True)
class JobFigures:
    """Everything the costing of one job looks at.

    Attributes:
        proposal: None when no proposal was accepted.
        purchase_tax_cents: sales tax paid on the materials used; only with a lump-sum treatment of tax.
        write_off_cents: what the firm gave up afterwards, positive.
        causes: the causes given for what ran over, with the time they explain (`domain.costing.causes`).
    """

    proposal: SoldQuote | None
    change_orders: tuple[SoldQuote, ...] = ()
    labour: tuple[LoggedLabour, ...] = ()
    materials: tuple[Material, ...] = ()
    others: tuple[OtherDirect, ...] = ()
    purchase_tax_cents: int = 0
    write_off_cents: int = 0
    causes: tuple[CauseShare, ...] = ()

    @property
    def sold(self) -> tuple[SoldQuote, ...]:
        """The accepted proposal, if any, and the change orders."""
        return (*((self.proposal,) if self.proposal else ()), *self.change_orders)

    @property
    def anything_logged(self) -> bool:
        """True once an hour, a material or another cost stands in the log."""
        return bool(self.labour or self.materials or self.others)
