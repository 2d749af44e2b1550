"""The last such job beside a line: what it took there, and what that pace makes of the quantity quoted here."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from domain.money import divide_cents
from domain.track_record import CASES
from domain.units import format_minutes, format_quantity
from domain.units.numbers import plain

NO_CONDITION = Decimal(100)


@dataclass(frozen=True, slots=True)
class LineCase:
    """A task on the last finished job of the type. Minutes; ``quantity`` is what was quoted then, 0 for nothing.

    ``factor_percent``: by how much the access conditions of that job lengthened it in its quote.
    """

    job_id: int
    number: str
    task: str
    quoted: int
    actual: int
    quantity: Decimal
    unit: str
    factor_percent: Decimal = NO_CONDITION

    @property
    def words(self) -> str:
        """``last time 6 h 30 for 6 joints, quoted 4 h 02: job 26-002``."""
        many = format_quantity(self.quantity, self.unit) if self.quantity not in (0, 1) else ""
        amount = f" for {many}" if many else ""
        quoted = f"quoted {format_minutes(self.quoted)}" if self.quoted else "not quoted then"
        return f"last time {format_minutes(self.actual)}{amount}, {quoted}: job {self.number}"

    def beside(self, quantity: Decimal, factor_percent: Decimal | None = None) -> str:
        """``6 h 30 for 6; here 8 h 40 for 8``: what it took, and what its pace makes of this line."""
        took, pace = format_minutes(self.actual), self.pace(quantity, factor_percent)
        if self.quantity and quantity and self.quantity != quantity:
            here = f"here {format_minutes(pace)} for {format_quantity(quantity)}"
            return f"{took} for {format_quantity(self.quantity)}; {here}"
        return took if pace == self.actual else f"{took}; here {format_minutes(pace)}"

    def here(self, quantity: Decimal, factor_percent: Decimal | None = None) -> str:
        """``At that pace 8 h 40 for 8 joints here.``; without quantities to compare, without them."""
        many = f" for {format_quantity(quantity, self.unit)}" if self.quantity and quantity not in (0, 1) else ""
        pace = format_minutes(self.pace(quantity, factor_percent))
        conditions = "" if factor_percent is None else self.conditions_words(factor_percent)
        return f"At that pace {pace}{many} here{conditions}."

    def pace(self, quantity: Decimal, factor_percent: Decimal | None = None) -> int:
        """Minutes for this quantity at the pace of then, half up; as much as then where either quantity is nothing.

        What the access conditions of then did to it is taken out, and those of here (``factor_percent``) are put in:
        minutes x quantity / quantity then x factor / factor then. None: conditions as they were then.
        """
        exact = Fraction(self.actual)
        if self.quantity and quantity:
            exact *= Fraction(quantity) / Fraction(self.quantity)
        if factor_percent is not None and self.factor_percent > 0:
            exact *= Fraction(factor_percent) / Fraction(self.factor_percent)
        return divide_cents(*exact.as_integer_ratio())

    def conditions_words(self, factor_percent: Decimal) -> str:
        """``; its conditions (× 1.6 in its quote) are taken out, × 1 here``; empty where they are alike."""
        if factor_percent == self.factor_percent or self.factor_percent <= 0:
            return ""
        then, here = (plain((one / 100).normalize()) for one in (self.factor_percent, factor_percent))
        return f"; its conditions (× {then} in its quote) are taken out, × {here} here"


@dataclass(frozen=True, slots=True)
class JobCase:
    """A finished job of the type as a whole. Minutes."""

    job_id: int
    number: str
    quoted: int
    actual: int
    not_done: int = 0  # quoted for tasks answered as not done, and no part of ``quoted``

    @property
    def words(self) -> str:
        """``26-002 took 36 h for 22 h 20 quoted``, and what of its quote is left out."""
        less = f" (without {format_minutes(self.not_done)} quoted for what was not done)" if self.not_done else ""
        return f"{self.number} took {format_minutes(self.actual)} for {format_minutes(self.quoted)} quoted{less}"


def cases_sentence(jobs: Sequence[JobCase], type_jobs: int, all_jobs: int) -> str:
    """What there is instead of odds, said first: no job, no job of this type, or a few cases."""
    if not all_jobs:
        return "You have no finished job yet, so nobody can say how this one ends."
    if not type_jobs:
        return "You have no finished job of this type yet, so there are no odds for this one."
    seen = "1 finished job of this type: a case" if type_jobs == 1 else f"{type_jobs} finished jobs of this type: cases"
    last = ""
    if jobs:
        last = f" {jobs[0].words}." if type_jobs == 1 else f" The last, {jobs[0].words}."
    return f"{seen} to look at, not odds; those begin after {CASES}.{last}"
