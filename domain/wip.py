"""Work in progress: how far each running job is, what that earned, and what was billed beyond or short of it.

Percentage of completion by cost (cost-to-cost; the method is named in ASC 606-10-55-20, read second-hand): share
done = cost so far / cost expected in the end; earned = contract x share done; over-billed = billed - earned when that
is above nothing, under-billed = earned - billed. Cost expected is what is spent and what is still to come: the
rest of what was quoted, and of a task of which the owner said how much is done, the rest at the pace it went
(`domain.earned_value`).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from domain.costing import VarianceTree
from domain.money import divide_cents


@dataclass(frozen=True, slots=True)
class JobInWork:
    """What one running job comes to.

    Attributes:
        contract_cents: agreed net price, less goodwill and what was written off.
        budget_cents: quoted cost of proposal and change orders.
        spent_cents: logged cost so far.
        to_come_cents: cost still to come, see `cost_to_come`.
        billed_cents: invoiced before tax so far, deposits in it.
        finished: all of it is invoiced: it is done whatever it cost.
    """

    job_id: int
    number: str
    customer: str
    title: str
    contract_cents: int
    budget_cents: int
    spent_cents: int
    to_come_cents: int
    billed_cents: int
    finished: bool = False

    @property
    def expected_cents(self) -> int:
        """What it will have cost in the end."""
        return self.spent_cents if self.finished else self.spent_cents + self.to_come_cents

    @property
    def share_done(self) -> Fraction:
        """Cost so far as a share of the cost expected, exactly; 1 when finished, 0 while nothing is expected."""
        if self.finished:
            return Fraction(1)
        return Fraction(self.spent_cents, self.expected_cents) if self.expected_cents > 0 else Fraction(0)

    @property
    def percent_done(self) -> Decimal:
        """Cost so far in percent of the cost expected, 2 places, half up; 0 while nothing is expected."""
        if self.finished:
            return Decimal(100)
        if self.expected_cents <= 0:
            return Decimal(0)
        return Decimal(divide_cents(self.spent_cents * 10_000, self.expected_cents)).scaleb(-2)

    @property
    def earned_cents(self) -> int:
        """Contract x share done, rounded once, half up."""
        if self.finished:
            return self.contract_cents
        if self.expected_cents <= 0:
            return 0
        return divide_cents(self.contract_cents * self.spent_cents, self.expected_cents)

    @property
    def over_billed_cents(self) -> int:
        """Billed beyond what is earned."""
        return max(self.billed_cents - self.earned_cents, 0)

    @property
    def under_billed_cents(self) -> int:
        """Earned and not billed yet."""
        return max(self.earned_cents - self.billed_cents, 0)

    @property
    def loss_cents(self) -> int:
        """What the job will lose in the end as it stands; 0 when it earns."""
        return max(self.expected_cents - self.contract_cents, 0)


def cost_to_come(tree: VarianceTree, whole_minutes: int | None) -> int:
    """Cents a running job will still cost: what is quoted and not logged, its hours at the pace of the work.

    Args:
        whole_minutes: where the job is heading by what the owner said is done; None when nobody can tell, and the hours
            to come are those quoted and not logged.
    """
    cents = tree.still_to_come_cents
    quoted = sum(row.quoted_minutes for row in tree.tasks)
    if whole_minutes is None or not quoted:
        return cents
    rest = sum(max(row.quoted_minutes - row.actual_minutes, 0) for row in tree.tasks)
    beyond = max(whole_minutes - tree.actual_minutes, 0) - rest
    hour_cents = sum(row.quoted_cents for row in tree.tasks) + tree.overhead.quoted_cents
    return max(cents + divide_cents(hour_cents * beyond, quoted), 0)


@dataclass(frozen=True, slots=True)
class WorkInProgress:
    """Every running job, by number, and the sums."""

    jobs: tuple[JobInWork, ...]

    @property
    def earned_cents(self) -> int:
        return sum(job.earned_cents for job in self.jobs)

    @property
    def billed_cents(self) -> int:
        return sum(job.billed_cents for job in self.jobs)

    @property
    def over_billed_cents(self) -> int:
        return sum(job.over_billed_cents for job in self.jobs)

    @property
    def under_billed_cents(self) -> int:
        return sum(job.under_billed_cents for job in self.jobs)


def work_in_progress(jobs: Iterable[JobInWork]) -> WorkInProgress:
    """Put running jobs in order."""
    return WorkInProgress(tuple(sorted(jobs, key=lambda job: (job.number, job.job_id))))
