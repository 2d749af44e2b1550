"""How many closed jobs of each type called for a callback: a visit to put right what was done, or hours on it."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from decimal import Decimal

from domain.costing.groups import JobResult
from domain.money import divide_cents


@dataclass(frozen=True, slots=True)
class CallbackRate:
    """A job type with its closed jobs and those of them that were called back to."""

    name: str
    jobs: int
    called_back: int

    @property
    def percent(self) -> Decimal:
        """Called back to in percent of closed jobs, one place, half up; 0 without a job."""
        return Decimal(divide_cents(self.called_back * 1000, self.jobs)).scaleb(-1) if self.jobs else Decimal(0)


def callback_rates(jobs: Iterable[JobResult], called_back: Collection[int]) -> tuple[CallbackRate, ...]:
    """A row a job type, the highest rate first.

    Args:
        jobs: closed jobs.
        called_back: ids of jobs with a callback, whatever their state.
    """
    sums: dict[str, list[int]] = {}
    for job in jobs:
        row = sums.setdefault(job.job_type, [0, 0])
        row[0] += 1
        row[1] += job.job_id in called_back
    rates = [CallbackRate(name, *row) for name, row in sums.items()]
    return tuple(sorted(rates, key=lambda rate: (-rate.percent, -rate.jobs, rate.name)))
