"""The last such job beside a line: what it took there, and what that pace makes of the quantity quoted here."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from domain.money import divide_cents
from domain.track_record import CASES
from domain.units import format_minutes, format_quantity


@dataclass(frozen=True, slots=True)
class LineCase:
    """A task on the last finished job of the type. Minutes; ``quantity`` is what was quoted then, 0 for nothing."""

    job_id: int
    number: str
    task: str
    quoted: int
    actual: int
    quantity: Decimal
    unit: str

    @property
    def words(self) -> str:
        """``last time 6 h 30 for 6 joints, quoted 4 h 02: job 26-002``."""
        many = format_quantity(self.quantity, self.unit) if self.quantity not in (0, 1) else ""
        amount = f" for {many}" if many else ""
        quoted = f"quoted {format_minutes(self.quoted)}" if self.quoted else "not quoted then"
        return f"last time {format_minutes(self.actual)}{amount}, {quoted}: job {self.number}"

    def pace(self, quantity: Decimal) -> int:
        """Minutes for this quantity at the pace of then, half up; as it was where either quantity is nothing."""
        if not self.quantity or not quantity:
            return self.actual
        exact = Fraction(self.actual) * Fraction(quantity) / Fraction(self.quantity)
        return divide_cents(*exact.as_integer_ratio())


@dataclass(frozen=True, slots=True)
class JobCase:
    """A finished job of the type as a whole. Minutes."""

    job_id: int
    number: str
    quoted: int
    actual: int

    @property
    def words(self) -> str:
        """``26-002 took 36 h for 22 h 20 quoted``."""
        return f"{self.number} took {format_minutes(self.actual)} for {format_minutes(self.quoted)} quoted"


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
