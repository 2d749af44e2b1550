"""What is kept of the track record: expectations of sent quotes, proposed changes to the lists, work done so far."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class QuoteExpectation:
    """What finished jobs said of a quote when it was sent, and which part of the correction was taken."""

    id: int
    quote_id: int
    noted_on: date
    share_percent: Decimal | None  # None: the owner did not choose
    own_minutes: int
    quoted_minutes: int
    expected_minutes: int
    low_minutes: int
    high_minutes: int
    expected_cost_cents: int
    net_price_cents: int
    loss_percent: Decimal
    jobs_behind: int
    sure: bool


@dataclass(frozen=True, slots=True)
class LibraryProposal:
    """A change of a task's standard minutes, or of a condition's factor on it, and the owner's answer."""

    id: int
    task_id: int
    condition_id: int | None  # None: the standard minutes
    made_on: date
    old_value: Decimal
    new_value: Decimal
    jobs: int
    evidence: str
    accepted_on: date | None
    declined_on: date | None
    taken_back_on: date | None

    @property
    def in_force(self) -> bool:
        """Accepted and not put back."""
        return self.accepted_on is not None and self.taken_back_on is None


@dataclass(frozen=True, slots=True)
class TaskProgress:
    """How much of a task of an open job was done on a day, percent; the last day's stands."""

    id: int
    job_id: int
    task_id: int
    done_percent: Decimal
    noted_on: date
