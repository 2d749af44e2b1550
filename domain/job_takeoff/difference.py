"""What is different between the list of a job and what was sold, or between two lists: the lines of a change order.

A line of the list is set against the accepted line the takeoff made for it; where none is, against accepted lines of
the same item or task that were typed. What only the accepted side has is given back, if the takeoff had made it: what
was typed there the takeoff knows nothing of.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from domain.job_takeoff.driving import TaskTotal
from domain.job_takeoff.matching import Bought
from domain.job_takeoff.reckoning import JobTakeoff
from domain.quoting.lines import LabourLine, MaterialLine
from domain.units.numbers import plain

NONE = Decimal(0)
BACK = ":back"
"""Behind the key of a line that gives back what is bought as another item now."""


@dataclass(frozen=True, slots=True)
class Sold:
    """So much of an item or a task on the other side; ``key`` "": it was typed. ``unit_cost`` only for materials.

    ``buy`` is what a shop has to give for it. ``whole``: it was sold by whole packs, as the takeoff once did for all.
    """

    key: str
    of_id: int | None  # item or task
    words: str
    unit: str
    quantity: Decimal
    unit_cost: Decimal = NONE
    buy: Decimal = NONE
    whole: bool = False


@dataclass(frozen=True, slots=True)
class OtherSide:
    """What the list is held against."""

    materials: tuple[Sold, ...] = ()
    work: tuple[Sold, ...] = ()


@dataclass(frozen=True, slots=True)
class Difference:
    """More (or, below nothing, less) of one line. ``sold`` is None for what is new, ``now`` for what is gone.

    ``buy`` is how many more a shop has to give, where that is another number; None: the quantity.
    """

    key: str
    quantity: Decimal
    now: Bought | TaskTotal | None
    sold: Sold | None
    reason: str
    buy: Decimal | None = None


def work_key(task_id: int) -> str:
    """How the line of a task is called."""
    return f"work:{task_id}"


def sold_lines(materials: Iterable[MaterialLine], work: Iterable[LabourLine]) -> OtherSide:
    """The accepted lines of a job, summed by what the takeoff calls them."""
    return OtherSide(
        _summed(
            Sold(one.takeoff_key.removesuffix(BACK), one.item_id, one.description, one.unit, one.quantity,
                 one.unit_cost, one.needed, one.takeoff_quantity is None)
            for one in materials
        ),
        _summed(Sold(one.takeoff_key, one.task_id, "", "", one.quantity) for one in work),
    )  # fmt: skip


def other_list(counted: JobTakeoff) -> OtherSide:
    """Another list of the same job."""
    return OtherSide(
        tuple(
            Sold(one.line.key, one.item.item.id if one.item else None, one.line.description, one.unit, one.quantity,
                 one.unit_cost or NONE, one.to_buy)
            for one in counted.bought if one.quantity
        ),
        tuple(
            Sold(work_key(total.pick.task.id), total.pick.task.id, "", total.pick.task.unit, total.quantity)
            for total in counted.totals
        ),
    )  # fmt: skip


def _summed(lines: Iterable[Sold]) -> tuple[Sold, ...]:
    found: dict[tuple[str, int | None, str, str], Sold] = {}
    for line in lines:
        name = (line.key, line.of_id, line.words if line.of_id is None else "", line.unit)
        before = found.get(name)
        if before is not None:
            line = replace(
                line, quantity=line.quantity + before.quantity, buy=line.buy + before.buy,
                whole=line.whole or before.whole,
            )  # fmt: skip
        found[name] = line
    return tuple(found.values())


def material_differences(
    counted: JobTakeoff, other: OtherSide, keys: Collection[str] | None = None
) -> list[Difference]:  # fmt: skip
    """Materials that are different, those of ``keys`` only where given."""
    wanted = [
        (one.line.key, one.item.item.id if one.item else None, one.unit, one.quantity, one.reason, one)
        for one in counted.bought
    ]
    return list(_differences(wanted, other.materials, keys))


def work_differences(counted: JobTakeoff, other: OtherSide, keys: Collection[str] | None = None) -> list[Difference]:
    """Work that is different, those of ``keys`` only where given."""
    wanted = [
        (work_key(total.pick.task.id), total.pick.task.id, "", total.quantity, total.reason, total)
        for total in counted.totals
    ]
    return list(_differences(wanted, other.work, keys))


_Wanted = tuple[str, int | None, str, Decimal, str, "Bought | TaskTotal"]


def _differences(wanted: Sequence[_Wanted], sold: Iterable[Sold], keys: Collection[str] | None) -> Iterator[Difference]:
    by_key: dict[str, list[Sold]] = {}
    typed: dict[int, Decimal] = {}
    for one in sold:
        if one.key:
            by_key.setdefault(one.key, []).append(one)
        elif one.of_id is not None:
            typed[one.of_id] = typed.get(one.of_id, NONE) + one.quantity
    for key, of_id, unit, quantity, reason, now in wanted:
        before = bought = NONE
        there_already = by_key.pop(key, [])
        to_buy = now.to_buy if isinstance(now, Bought) else quantity
        if any(one.whole for one in there_already):
            quantity = to_buy  # what was sold in whole packs stays compared in whole packs
        for one in there_already:
            if one.of_id == of_id and one.unit in ("", unit):
                before += one.quantity
                bought += one.buy
            elif one.quantity and (keys is None or key in keys):  # now bought as something else: that one is given back
                yield Difference(key + BACK, -one.quantity, None, one, "another item is bought now", -one.buy)
        if of_id is not None and before < quantity:
            there = min(typed.get(of_id, NONE), quantity - before)
            typed[of_id] = typed.get(of_id, NONE) - there
            before += there
            bought += there
        if quantity != before and (keys is None or key in keys):
            yield Difference(key, quantity - before, now, None, _reason(quantity, before, reason), to_buy - bought)
    for key, gone in by_key.items():
        for one in gone:
            if one.quantity and (keys is None or key in keys):
                yield Difference(key, -one.quantity, None, one, "no longer needed", -one.buy)


def _reason(quantity: Decimal, before: Decimal, reason: str) -> str:
    if not before:
        return reason
    more = quantity - before
    return f"{plain(abs(more))} {'more' if more > 0 else 'less'} than the {plain(before)} before: {reason}"
