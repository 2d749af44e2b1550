"""Which labour task each count of the takeoff drives: the owner's choice, else the usual task of that name."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from domain.job_takeoff.conditions import in_space, together, weighed_words
from domain.quoting.quantities import standard_minutes
from domain.quoting.refresh import TaskPick
from domain.routes.route import SPACES
from domain.takeoff import DRIVERS, LabourDriver

_RUN_PIPE = {
    "crawl": "Run pipe in crawl space",
    "attic": "Run pipe in attic",
    "outside": "Run pipe outside",
    "roof": "Run pipe outside",
}
USUAL_TASKS: Mapping[str, str] = {
    "pipe_ft": "Run pipe in basement",
    **{f"pipe_ft:{space}": name for space, name in _RUN_PIPE.items()},
    "passage": "Core through a wall or floor",
    "roof_passage": "Go through the roof and flash it",
    "fan": "Set the fan",
    "fan_kit": "Fit pressure indicator and labels",
    "remove_ft": "Remove old pipe",
    "remove_fan": "Remove the old fan",
    "pit": "Core and dig the suction pit",
    "sump_lid": "Fit and seal the sump lid",
    "tile": "Connect to the drain tile",
    "conduit_ft": "Wire the fan",
    "seal_ft": "Seal cracks and joints",
    "paint_ft": "Paint pipe",
    "membrane_sq_ft": "Lay membrane",
    "membrane_wall_ft": "Seal membrane to walls",
    "pier": "Seal membrane round piers",
    "joint": "Cement joints",
    "joint:crawl": "Cement joints in crawl space",
    "joint:attic": "Cement joints in attic",
    "support": "Set supports",
    "support:crawl": "Set supports in crawl space",
    "support:attic": "Set supports in attic",
    "support:outside": "Set supports outside",
    "support:roof": "Set supports outside",
}
"""By kind, or kind and space: names of the starting library, so that the access conditions of a space count there.

A library without tasks for joints and supports has them in its minutes of running pipe.
"""

IN_THE_PIPE = frozenset({"joint", "support"})


@dataclass(frozen=True, slots=True)
class Driven:
    """One count with the task it drives. ``minutes`` are those of the task under the job's access conditions."""

    driver: LabourDriver
    key: str
    pick: TaskPick | None
    chosen: bool  # by the owner
    quantity: Decimal
    minutes: int
    note: str = ""

    @property
    def words(self) -> str:
        """What is counted: ``Run pipe, crawl space``."""
        where = SPACES.get(self.driver.space, "")
        return f"{DRIVERS.get(self.driver.kind, self.driver.kind)}{', ' if where else ''}{where}"


@dataclass(frozen=True, slots=True)
class TaskTotal:
    """All counts that drive one task; ``pick`` has the factor of all its spaces together."""

    pick: TaskPick
    quantity: Decimal
    minutes: int
    reason: str
    kinds: tuple[str, ...] = ()  # of what is counted


def driver_key(driver: LabourDriver) -> str:
    """``pipe_ft:crawl``, or the kind alone where the space does not matter."""
    return f"{driver.kind}:{driver.space}" if driver.space else driver.kind


def drive(
    drivers: Iterable[LabourDriver], picks: Sequence[TaskPick], chosen: Mapping[str, int | None]
) -> tuple[Driven, ...]:
    """Each count with its task. ``chosen`` has the owner's task by `driver_key`, None for "no task of its own"."""
    by_id = {pick.task.id: pick for pick in picks}
    by_name = {pick.task.name.casefold(): pick for pick in reversed(picks) if not pick.task.archived}
    return tuple(_driven(driver, by_id, by_name, chosen) for driver in drivers)


def _driven(
    driver: LabourDriver, by_id: Mapping[int, TaskPick], by_name: Mapping[str, TaskPick],
    chosen: Mapping[str, int | None],
) -> Driven:  # fmt: skip
    key = driver_key(driver)
    own = next((one for one in (key, driver.kind) if one in chosen), None)
    if own is not None:
        task_id = chosen[own]
        pick = None if task_id is None else by_id.get(task_id)
    else:
        names = (USUAL_TASKS.get(key, ""), USUAL_TASKS.get(driver.kind, ""))
        pick = next((by_name[name.casefold()] for name in names if name.casefold() in by_name), None)
    if pick is None:
        why = "in the minutes of running pipe" if driver.kind in IN_THE_PIPE else ""
        return Driven(driver, key, None, own is not None, driver.quantity, 0, why)
    quantity, note = task_quantity(driver, pick)
    if quantity is None:
        return Driven(driver, key, None, own is not None, driver.quantity, 0, note)
    pick = in_space(pick, driver.space)
    minutes = standard_minutes(quantity, pick.task.standard_minutes, pick.factor_percent)
    return Driven(driver, key, pick, own is not None, quantity, minutes, note)


def task_quantity(driver: LabourDriver, pick: TaskPick) -> tuple[Decimal | None, str]:
    """How many of the task a count makes: its own number in the task's unit, once for a task counted "each"."""
    unit = pick.task.unit
    if unit == driver.unit or {unit, driver.unit} <= {"each", "joint", "hole"}:
        return driver.quantity, ""
    if unit == "each":
        times = "once" if driver.places == 1 else f"{driver.places} times"
        return Decimal(driver.places), f"{times}, whatever the length"
    return None, f"“{pick.task.name}” is counted by the {unit}, this by the {driver.unit}. Choose another task."


def task_totals(driven: Iterable[Driven]) -> tuple[TaskTotal, ...]:
    """The counts of one task put together, in the order they first came; the minutes are rounded once."""
    found: dict[int, list[Driven]] = {}
    for one in driven:
        if one.pick is not None and one.quantity:
            found.setdefault(one.pick.task.id, []).append(one)
    return tuple(_total(parts) for parts in found.values())


def _total(parts: Sequence[Driven]) -> TaskTotal:
    done = [(part.quantity, part.pick) for part in parts if part.pick is not None]
    pick = together(done)
    quantity = sum((part.quantity for part in parts), Decimal(0))
    reason = "; ".join(f"{part.note}: {part.driver.reason}" if part.note else part.driver.reason for part in parts)
    words = "; ".join(part for part in (reason, weighed_words(done)) if part)
    minutes = standard_minutes(quantity, pick.task.standard_minutes, pick.factor_percent)
    kinds = tuple(dict.fromkeys(part.driver.kind for part in parts))
    return TaskTotal(pick, quantity, minutes, words, kinds)
