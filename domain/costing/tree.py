"""The variance tree as a value: its rows, its steps from quoted to actual margin, and its sums."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from domain.money import divide_cents


@dataclass(frozen=True, slots=True)
class TaskVariance:
    """A quoted task against the time logged on it. Favourable is positive, in cents.

    Attributes:
        allowed_cents: what the logged minutes would have cost at the quoted rate.
    """

    task_id: int
    task: str
    quoted_minutes: int
    actual_minutes: int
    quoted_cents: int
    allowed_cents: int
    actual_cents: int

    @property
    def efficiency_cents(self) -> int:
        """Faster or slower than quoted, at the quoted rate: quoted cost - allowed cost."""
        return self.quoted_cents - self.allowed_cents

    @property
    def rate_cents(self) -> int:
        """A dearer or cheaper hour than quoted: allowed cost - actual cost."""
        return self.allowed_cents - self.actual_cents

    @property
    def cents(self) -> int:
        """Both together."""
        return self.quoted_cents - self.actual_cents


@dataclass(frozen=True, slots=True)
class ItemVariance:
    """A quoted material against what was used of it. Favourable is positive, in cents."""

    item_id: int | None
    name: str
    unit: str
    quoted_quantity: Decimal
    actual_quantity: Decimal
    quoted_cents: int
    allowed_cents: int
    actual_cents: int

    @property
    def usage_cents(self) -> int:
        """More or less used than quoted, at the quoted price."""
        return self.quoted_cents - self.allowed_cents

    @property
    def price_cents(self) -> int:
        """Dearer or cheaper than quoted."""
        return self.allowed_cents - self.actual_cents

    @property
    def cents(self) -> int:
        """Both together."""
        return self.quoted_cents - self.actual_cents


@dataclass(frozen=True, slots=True)
class CostVariance:
    """A quoted cost that has no quantity worth comparing, against what was paid. Favourable is positive."""

    name: str
    quoted_cents: int
    actual_cents: int
    quoted_minutes: int = 0
    actual_minutes: int = 0

    @property
    def cents(self) -> int:
        """Quoted - actual."""
        return self.quoted_cents - self.actual_cents


@dataclass(frozen=True, slots=True)
class Unquoted:
    """Logged without a line in the quote; its whole cost is unfavourable.

    Attributes:
        minutes: of work; 0 for anything else.
        quantity, unit: of a material.
    """

    name: str
    actual_cents: int
    minutes: int = 0
    quantity: Decimal | None = None
    unit: str = ""

    @property
    def cents(self) -> int:
        """The effect on margin."""
        return -self.actual_cents


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the way from the quoted to the actual margin; favourable is positive."""

    key: str
    label: str
    cents: int


STEP_LABELS = {
    "goodwill": "Goodwill given",
    "change_orders": "Change orders",
    "write_offs": "Written off",
    "efficiency": "Time on quoted tasks",
    "rate": "Cost of an hour",
    "usage": "Material quantities",
    "price": "Material prices",
    "unquoted_hours": "Unquoted hours",
    "unquoted_materials": "Unquoted materials",
    "unquoted_others": "Unquoted other costs",
    "others": "Other costs",
    "purchase_tax": "Sales tax on purchases",
    "overhead": "Overhead on the hours",
    "callbacks": "Callbacks",
}
"""The steps in the order they are shown, with their names on screen."""


@dataclass(frozen=True, slots=True)
class VarianceTree:
    """How the quoted margin of a job became its actual margin. Everything in cents, favourable positive.

    The quoted margin is that of the accepted proposal with the options chosen, before goodwill. The actual
    margin is what was charged less what was spent, added up on its own; that quoted margin plus all steps
    equals it to the cent is a property the tests hold, not a balancing entry.
    """

    quoted_price_cents: int
    quoted_cost_cents: int
    change_order_price_cents: int
    change_order_cost_cents: int
    goodwill_given_cents: int  # positive
    written_off_cents: int  # positive
    actual_cost_cents: int
    tasks: tuple[TaskVariance, ...]
    items: tuple[ItemVariance, ...]
    others: tuple[CostVariance, ...]
    callbacks: tuple[CostVariance, ...]
    unquoted_hours: tuple[Unquoted, ...]
    unquoted_materials: tuple[Unquoted, ...]
    unquoted_others: tuple[Unquoted, ...]
    purchase_tax: CostVariance
    overhead: CostVariance
    quoted_minutes: int  # proposal and change orders
    actual_minutes: int
    own_minutes: int  # the owner's part of the actual minutes
    own_labour_cents: int

    @property
    def quoted_margin_cents(self) -> int:
        """Margin of the accepted proposal before goodwill."""
        return self.quoted_price_cents - self.quoted_cost_cents

    @property
    def budget_cost_cents(self) -> int:
        """What proposal and change orders together allowed to spend."""
        return self.quoted_cost_cents + self.change_order_cost_cents

    @property
    def revenue_cents(self) -> int:
        """What is charged, without tax collected: prices - goodwill - written off."""
        return (
            self.quoted_price_cents + self.change_order_price_cents - self.goodwill_given_cents - self.written_off_cents
        )

    @property
    def actual_margin_cents(self) -> int:
        """Charged - spent."""
        return self.revenue_cents - self.actual_cost_cents

    @property
    def still_to_come_cents(self) -> int:
        """What is quoted and not yet logged, at quoted cost: each line's rest, never less than none.

        Overhead and tax on purchases follow the time and the materials that are left, each rounded once.
        """
        minutes = sum(max(row.quoted_minutes - row.actual_minutes, 0) for row in self.tasks)
        time = sum(max(row.efficiency_cents, 0) for row in self.tasks)
        stuff = sum(max(row.usage_cents, 0) for row in self.items)
        quoted_stuff = sum(row.quoted_cents for row in self.items)
        others = sum(max(row.cents, 0) for row in self.others)
        overhead = divide_cents(self.overhead.quoted_cents * minutes, self.quoted_minutes) if self.quoted_minutes else 0
        tax = divide_cents(self.purchase_tax.quoted_cents * stuff, quoted_stuff) if quoted_stuff else 0
        return time + stuff + others + overhead + tax

    @property
    def steps(self) -> tuple[Step, ...]:
        """Every step from quoted to actual margin in the order of STEP_LABELS, those of nothing included."""
        cents = {
            "goodwill": -self.goodwill_given_cents,
            "change_orders": self.change_order_price_cents - self.change_order_cost_cents,
            "write_offs": -self.written_off_cents,
            "efficiency": sum(row.efficiency_cents for row in self.tasks),
            "rate": sum(row.rate_cents for row in self.tasks),
            "usage": sum(row.usage_cents for row in self.items),
            "price": sum(row.price_cents for row in self.items),
            "unquoted_hours": sum(row.cents for row in self.unquoted_hours),
            "unquoted_materials": sum(row.cents for row in self.unquoted_materials),
            "unquoted_others": sum(row.cents for row in self.unquoted_others),
            "others": sum(row.cents for row in self.others),
            "purchase_tax": self.purchase_tax.cents,
            "overhead": self.overhead.cents,
            "callbacks": sum(row.cents for row in self.callbacks),
        }
        return tuple(Step(key, label, cents[key]) for key, label in STEP_LABELS.items())

    @property
    def balances(self) -> bool:
        """Quoted margin + all steps = actual margin."""
        return self.quoted_margin_cents + sum(step.cents for step in self.steps) == self.actual_margin_cents
