"""Margins of many jobs: the result of each, and groups of them as sums of money, never means of percentages."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from domain.costing.own_hour import OwnHour, own_hour
from domain.money import divide_cents, margin_percent


def still_running(closed_on: date | None, cancelled_on: date | None) -> bool:
    """Neither closed nor canceled."""
    return closed_on is None and cancelled_on is None


class JobResult(NamedTuple):
    """One job as Margins sees it; money in cents, before sales tax collected."""

    job_id: int
    number: str
    title: str
    customer: str
    job_type: str
    foundation: str
    lead_source: str
    conditions: tuple[str, ...]
    opened_on: date
    closed_on: date | None
    cancelled_on: date | None
    accepted: bool  # a proposal was accepted
    quoted_price_cents: int  # of the proposal, before goodwill
    quoted_cost_cents: int  # of the proposal
    change_order_price_cents: int
    change_order_cost_cents: int
    goodwill_cents: int
    written_off_cents: int
    quoted_minutes: int  # proposal and change orders
    actual_minutes: int
    actual_cost_cents: int
    own_minutes: int
    own_labour_cents: int
    unanswered: int = 0  # quoted lines with neither a log nor an answer when it was closed

    @property
    def running(self) -> bool:
        """Something may still be logged: nobody can know its margin yet, so none is told anywhere."""
        return still_running(self.closed_on, self.cancelled_on)

    @property
    def fully_logged(self) -> bool | None:
        """Every quoted line was logged or answered when it was closed; None where it is not closed, or was canceled."""
        return None if self.closed_on is None or self.cancelled_on else not self.unanswered

    @property
    def quoted_margin_cents(self) -> int:
        """Margin of the accepted proposal before goodwill."""
        return self.quoted_price_cents - self.quoted_cost_cents

    @property
    def budget_cost_cents(self) -> int:
        """What proposal and change orders allowed to spend."""
        return self.quoted_cost_cents + self.change_order_cost_cents

    @property
    def revenue_cents(self) -> int:
        """Prices - goodwill - written off."""
        return self.quoted_price_cents + self.change_order_price_cents - self.goodwill_cents - self.written_off_cents

    @property
    def margin_cents(self) -> int:
        """Actual margin."""
        return self.revenue_cents - self.actual_cost_cents

    @property
    def margin_percent(self) -> Decimal | None:
        """Actual margin on revenue; None when nothing was charged."""
        return margin_percent(self.revenue_cents, self.actual_cost_cents)

    @property
    def quoted_margin_percent(self) -> Decimal | None:
        """Quoted margin on the quoted price."""
        return margin_percent(self.quoted_price_cents, self.quoted_cost_cents)

    @property
    def against_quote_cents(self) -> int:
        """Actual - quoted margin: below nothing when the job came out under its quote."""
        return self.margin_cents - self.quoted_margin_cents

    @property
    def over_minutes(self) -> int:
        """Logged - quoted time."""
        return self.actual_minutes - self.quoted_minutes

    @property
    def own_hour(self) -> OwnHour | None:
        """What the owner earned for an hour of own time."""
        return own_hour(self.margin_cents, self.own_labour_cents, self.own_minutes)


@dataclass(frozen=True, slots=True)
class GroupMargin:
    """A group of jobs. Sums of money; the percentages are those of the sums; the median job stands beside.

    Attributes:
        key: what the group is known by: its name, or year and month as 2026-03.
        median_margin_cents: actual margin of the job in the middle; of the two in the middle the mean, half up.
        median_margin_percent: likewise of the jobs' margins in percent, over jobs that charged something.
        lost: how many jobs had an actual margin below nothing.
        partly: how many are not fully logged: what nobody wrote down of them looks saved.
    """

    key: str
    name: str
    jobs: int
    revenue_cents: int
    actual_cost_cents: int
    quoted_price_cents: int
    quoted_cost_cents: int
    budget_cost_cents: int
    quoted_minutes: int
    actual_minutes: int
    lost: int
    median_margin_cents: int
    median_margin_percent: Decimal | None
    own_minutes: int
    own_labour_cents: int
    partly: int = 0

    @property
    def margin_cents(self) -> int:
        """Sum of the actual margins."""
        return self.revenue_cents - self.actual_cost_cents

    @property
    def margin_percent(self) -> Decimal | None:
        """Sum of margins over sum of revenue."""
        return margin_percent(self.revenue_cents, self.actual_cost_cents)

    @property
    def quoted_margin_cents(self) -> int:
        """Sum of the quoted margins."""
        return self.quoted_price_cents - self.quoted_cost_cents

    @property
    def quoted_margin_percent(self) -> Decimal | None:
        """Sum of quoted margins over sum of quoted prices."""
        return margin_percent(self.quoted_price_cents, self.quoted_cost_cents)

    @property
    def against_quote_cents(self) -> int:
        """Actual - quoted margin."""
        return self.margin_cents - self.quoted_margin_cents

    @property
    def over_minutes(self) -> int:
        """Logged - quoted time."""
        return self.actual_minutes - self.quoted_minutes

    @property
    def hours_over_percent(self) -> Decimal | None:
        """Logged beyond quoted time, in percent of quoted, one place; None when no time was quoted."""
        if self.quoted_minutes <= 0:
            return None
        return Decimal(divide_cents(self.over_minutes * 1000, self.quoted_minutes)).scaleb(-1)

    @property
    def lost_percent(self) -> Decimal:
        """Share of jobs that lost money, whole percent."""
        return Decimal(divide_cents(self.lost * 100, self.jobs)) if self.jobs else Decimal(0)

    @property
    def own_hour(self) -> OwnHour | None:
        """What the owner earned for an hour of own time over all jobs of the group."""
        return own_hour(self.margin_cents, self.own_labour_cents, self.own_minutes)


class Measured(NamedTuple):
    """A job with what every group asks of it, worked out once."""

    job: JobResult
    revenue_cents: int
    margin_cents: int
    margin_hundredths: int | None  # percent of revenue in hundredths, so that a median is exact


def measured(job: JobResult) -> Measured:
    """Work out a job's revenue and margin."""
    revenue = job.revenue_cents
    margin = revenue - job.actual_cost_cents
    return Measured(job, revenue, margin, divide_cents(margin * 10_000, revenue) if revenue > 0 else None)


def group_of(name: str, jobs: Iterable[JobResult], key: str | None = None) -> GroupMargin:
    """Add up a group of jobs; without a key of its own the group is known by its name."""
    return group_of_measured(name, [measured(job) for job in jobs], key)


def group_of_measured(name: str, jobs: Sequence[Measured], key: str | None = None) -> GroupMargin:
    """As `group_of`, for jobs that are measured already because they stand in several groups."""
    revenue = quoted_price = quoted_cost = budget = cost = quoted_minutes = minutes = lost = 0
    own_minutes = own_labour = 0
    for job, charged, margin, _ in jobs:
        revenue += charged
        cost += job.actual_cost_cents
        quoted_price += job.quoted_price_cents
        quoted_cost += job.quoted_cost_cents
        budget += job.change_order_cost_cents
        quoted_minutes += job.quoted_minutes
        minutes += job.actual_minutes
        own_minutes += job.own_minutes
        own_labour += job.own_labour_cents
        lost += margin < 0
    margins = [one.margin_cents for one in jobs]
    percents = [one.margin_hundredths for one in jobs if one.margin_hundredths is not None]
    return GroupMargin(
        key=name if key is None else key,
        name=name,
        jobs=len(jobs),
        revenue_cents=revenue,
        actual_cost_cents=cost,
        quoted_price_cents=quoted_price,
        quoted_cost_cents=quoted_cost,
        budget_cost_cents=quoted_cost + budget,
        quoted_minutes=quoted_minutes,
        actual_minutes=minutes,
        lost=lost,
        median_margin_cents=median(margins) if margins else 0,
        median_margin_percent=Decimal(median(percents)).scaleb(-2) if percents else None,
        own_minutes=own_minutes,
        own_labour_cents=own_labour,
        partly=sum(one.job.fully_logged is False for one in jobs),
    )


def median(values: Iterable[int]) -> int:
    """The middle value; of two middle values the mean, half up. Raises ValueError when there is none."""
    ordered = sorted(values)
    if not ordered:
        raise ValueError("no value has no median")
    half = len(ordered) // 2
    if len(ordered) % 2:
        return ordered[half]
    return divide_cents(ordered[half - 1] + ordered[half], 2)
