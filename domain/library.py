"""The owner's own lists: job types, access conditions, labour tasks with their standard minutes."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal


@dataclass(frozen=True, slots=True)
class ListEntry:
    """A cause or a lead source."""

    id: int
    name: str
    position: int
    archived: bool


@dataclass(frozen=True, slots=True)
class JobType:
    id: int
    name: str
    position: int
    archived: bool
    margin_percent: Decimal | None  # None: the company's target
    scope_text: str


@dataclass(frozen=True, slots=True)
class AccessCondition:
    id: int
    name: str
    position: int
    archived: bool
    caution: str


@dataclass(frozen=True, slots=True)
class LabourTask:
    id: int
    name: str
    position: int
    archived: bool
    unit: str
    standard_minutes: Decimal  # minutes for one unit
    role: str  # work | travel | callback
    caution: str


@dataclass(frozen=True, slots=True)
class TaskFactor:
    id: int
    task_id: int
    condition_id: int
    factor_percent: Decimal  # 130: takes 1.3 times as long


def minutes_under(task: LabourTask, factor_percent: Decimal) -> Decimal:
    """Minutes one unit takes under a factor, to a tenth, half up: for showing; quotes round once, at the end."""
    return (task.standard_minutes * factor_percent / 100).quantize(Decimal("0.1"), ROUND_HALF_UP)
