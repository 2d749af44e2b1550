"""Earned value of a job in progress: what the work done was quoted at, against what it took.

Formulas, as several published guides give them: cost variance = earned - spent, schedule variance = earned -
planned, cost index = earned / spent, schedule index = earned / planned, estimate at completion = budget / cost
index, estimate to complete = that - spent, variance at completion = budget - estimate, to-complete index =
(budget - earned) / (budget - spent). They hold for minutes as for cents. (Held against published examples in the
tests.)
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from domain.errors import NotUnderstood
from domain.money import divide_cents
from domain.units import format_minutes, format_percent

WARN_OVER_PERCENT = 10
"""An estimate at completion beyond the budget by so much is worth a warning (ours, no source)."""

WARN_FROM_DONE_PERCENT = 10
"""Before so much of the budget is earned, the estimate says too little for one (ours, no source)."""


@dataclass(frozen=True, slots=True)
class EarnedValue:
    """One job, in whole units of one kind (minutes, or cents). ``planned`` is what should be earned by today."""

    budget: int
    earned: int
    spent: int
    planned: int | None = None

    @property
    def percent_done(self) -> Decimal | None:
        """Earned in percent of the budget, 2 places; None without a budget."""
        return Decimal(divide_cents(self.earned * 10_000, self.budget)) / 100 if self.budget else None

    @property
    def cost_variance(self) -> int:
        """Below 0: the work took more than it was quoted at."""
        return self.earned - self.spent

    @property
    def schedule_variance(self) -> int | None:
        return None if self.planned is None else self.earned - self.planned

    @property
    def cost_index(self) -> Fraction | None:
        """Below 1: over quoted. None while nothing is spent."""
        return Fraction(self.earned, self.spent) if self.spent else None

    @property
    def schedule_index(self) -> Fraction | None:
        return Fraction(self.earned, self.planned) if self.planned else None

    @property
    def estimate_at_completion(self) -> int | None:
        """What the whole will take if the rest goes as the work so far did; None while nothing is earned.

        With nothing spent yet it is the budget.
        """
        if not self.spent:
            return self.budget
        return divide_cents(self.budget * self.spent, self.earned) if self.earned else None

    @property
    def estimate_to_complete(self) -> int | None:
        whole = self.estimate_at_completion
        return None if whole is None else whole - self.spent

    @property
    def variance_at_completion(self) -> int | None:
        """Below 0: the whole will go over."""
        whole = self.estimate_at_completion
        return None if whole is None else self.budget - whole

    @property
    def to_complete_index(self) -> Fraction | None:
        """How well the rest must go to end on budget; None when the budget is spent."""
        left = self.budget - self.spent
        return Fraction(self.budget - self.earned, left) if left > 0 else None


@dataclass(frozen=True, slots=True)
class TaskProgress:
    """A task of a job in progress: quoted and spent minutes, and how much of it is done, 0 to 100 percent."""

    task: str
    quoted_minutes: int
    actual_minutes: int
    percent_done: Decimal


def earned_value(tasks: Iterable[TaskProgress]) -> EarnedValue:
    """Earned value in minutes: each task earns its quoted minutes x percent done, rounded once a task, half up.

    Unquoted tasks earn nothing and spend what they took. Raises NotUnderstood for a percent outside 0 to 100.
    """
    budget = earned = spent = 0
    for task in tasks:
        if not 0 <= task.percent_done <= 100:
            raise NotUnderstood(
                f"“{task.task}” cannot be {format_percent(task.percent_done)} done. Give a percent from 0 to 100.",
                str(task.percent_done),
            )
        top, bottom = task.percent_done.as_integer_ratio()
        budget += task.quoted_minutes
        earned += divide_cents(task.quoted_minutes * top, 100 * bottom)
        spent += task.actual_minutes
    return EarnedValue(budget, earned, spent)


@dataclass(frozen=True, slots=True)
class JobProgress:
    """A job in progress, in minutes: what the owner spoke of, and what nobody said anything about.

    What nobody said is neither done nor undone: such a task is taken to end as quoted, or at what it took when that is
    more. Unquoted time is spent and earns nothing.
    """

    said: EarnedValue
    unsaid_quoted: int = 0
    unsaid_spent: int = 0
    unsaid_whole: int = 0  # the larger of quoted and spent, task by task
    unquoted: int = 0

    @property
    def budget(self) -> int:
        """All the quoted time."""
        return self.said.budget + self.unsaid_quoted

    @property
    def spent(self) -> int:
        """All the logged time."""
        return self.said.spent + self.unsaid_spent + self.unquoted

    @property
    def whole(self) -> int | None:
        """Where the job is heading; None while too little is done to tell."""
        said = self.said.estimate_at_completion
        return None if said is None else said + self.unsaid_whole + self.unquoted

    @property
    def warning(self) -> str:
        """A sentence when the job is on its way over; empty when it is not, or when nobody can know."""
        done = self.said.percent_done
        whole = self.whole if done is not None and done >= WARN_FROM_DONE_PERCENT else None
        if self.spent > self.budget and self.said.earned < self.said.budget:
            over = format_minutes(self.spent - self.budget)
            ends = f" At this pace it ends near {format_minutes(whole)}." if whole is not None else ""
            return f"All the quoted time is used, {over} more, and the work is not done.{ends}"
        if done is None or whole is None:
            return ""
        if 100 * (whole - self.budget) < WARN_OVER_PERCENT * self.budget:
            return ""
        of_what = "of the work" if not self.unsaid_quoted else "of what you spoke of"
        return (
            f"Heading for {format_minutes(whole)} where {format_minutes(self.budget)} was quoted: "
            f"{format_percent(done)} {of_what} is done in {format_minutes(self.said.spent)}."
        )


def job_progress(
    quoted: Mapping[int, int], logged: Mapping[int, int], done: Mapping[int, Decimal], unquoted: int = 0
) -> JobProgress:
    """Progress of a job from minutes by task and the percent that was said of some of them.

    Time logged on a task without a quoted line is unquoted; `unquoted` is added to it.
    """
    said = earned_value(
        TaskProgress(str(task), quoted[task], logged.get(task, 0), done[task]) for task in quoted if task in done
    )
    unsaid = [(minutes, logged.get(task, 0)) for task, minutes in quoted.items() if task not in done]
    return JobProgress(
        said,
        sum(planned for planned, _ in unsaid),
        sum(took for _, took in unsaid),
        sum(max(pair) for pair in unsaid),
        unquoted + sum(minutes for task, minutes in logged.items() if task not in quoted),
    )


def early_warning(value: EarnedValue) -> str:
    """The same of a job whose every task was spoken of."""
    return JobProgress(value).warning
