"""What is different between the list of a job and what was sold, or between two lists: the lines of a change order.

A line of the list is set against the accepted line the takeoff made for it; where none is, against accepted lines of
the same item or task that were typed. What only the accepted side has is given back, if the takeoff had made it: what
was typed there the takeoff knows nothing of.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from domain.job_takeoff.driving import TaskTotal
from domain.job_takeoff.matching import Bought
from domain.job_takeoff.reckoning import JobTakeoff
from domain.money import labour_cents, line_cents
from domain.quoting.lines import LabourLine, MaterialLine
from domain.quoting.quantities import standard_minutes
from domain.units.numbers import plain, to_places

NONE = Decimal(0)
SENSIBLE_FACTOR = (Decimal(50), Decimal(1000))
"""Percent within which a factor is believed that comes of a difference; an allowance of this program."""
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
    weighed: Decimal = NONE  # work: its factor in percent, times the quantity
    minutes: int = 0
    cents: int = 0
    unit_minutes: Decimal = NONE


@dataclass(frozen=True, slots=True)
class Share:
    """How much of one line the other side has already, with the minutes and the cost it has there."""

    quantity: Decimal = NONE
    buy: Decimal = NONE
    weighed: Decimal = NONE
    minutes: int = 0
    cents: int = 0

    def with_part(self, sold: Sold, quantity: Decimal) -> Share:
        """This with so much of a sold line, in proportion."""
        part = Fraction(quantity) / Fraction(sold.quantity) if sold.quantity else Fraction(0)
        weighed = Decimal(0) if not sold.quantity else sold.weighed * quantity / sold.quantity
        buy = sold.buy if quantity == sold.quantity else quantity
        return Share(
            self.quantity + quantity, self.buy + buy, self.weighed + weighed,
            self.minutes + round(sold.minutes * part), self.cents + round(sold.cents * part),
        )  # fmt: skip


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
    was: Share = Share()  # what the other side has of it
    factor_percent: Decimal | None = None  # of work: by the conditions of the spaces that differ; None: of all of it


def work_key(task_id: int) -> str:
    """How the line of a task is called."""
    return f"work:{task_id}"


def sold_lines(materials: Iterable[MaterialLine], work: Iterable[LabourLine]) -> OtherSide:
    """The accepted lines of a job, summed by what the takeoff calls them."""
    return OtherSide(
        _summed(
            Sold(one.takeoff_key.removesuffix(BACK), one.item_id, one.description, one.unit, one.quantity,
                 one.unit_cost, one.needed, one.takeoff_quantity is None,
                 cents=line_cents(one.quantity, one.unit_cost))
            for one in materials
        ),
        _summed(
            Sold(one.takeoff_key, one.task_id, "", "", one.quantity, weighed=one.quantity * one.factor_percent,
                 minutes=one.minutes, cents=labour_cents(one.minutes, one.rate_cents), unit_minutes=one.unit_minutes)
            for one in work
        ),
    )  # fmt: skip


def other_list(counted: JobTakeoff) -> OtherSide:
    """Another list of the same job."""
    return OtherSide(
        tuple(
            Sold(one.line.key, one.item.item.id if one.item else None, one.line.description, one.unit, one.quantity,
                 one.unit_cost or NONE, one.to_buy, cents=one.cost_cents or 0)
            for one in counted.bought if one.quantity
        ),
        tuple(
            Sold(work_key(total.pick.task.id), total.pick.task.id, "", total.pick.task.unit, total.quantity,
                 weighed=total.quantity * total.pick.factor_percent, minutes=total.minutes,
                 unit_minutes=total.pick.task.standard_minutes)
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
                whole=line.whole or before.whole, weighed=line.weighed + before.weighed,
                minutes=line.minutes + before.minutes, cents=line.cents + before.cents,
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
    typed: dict[int, list[Sold]] = {}
    for one in sold:
        if one.key:
            by_key.setdefault(one.key, []).append(one)
        elif one.of_id is not None:
            typed.setdefault(one.of_id, []).append(one)
    for key, of_id, unit, quantity, reason, now in wanted:
        was = Share()
        there_already = by_key.pop(key, [])
        to_buy = now.to_buy if isinstance(now, Bought) else quantity
        if any(one.whole for one in there_already):
            quantity = to_buy  # what was sold in whole packs stays compared in whole packs
        for one in there_already:
            if one.of_id == of_id and one.unit in ("", unit):
                was = was.with_part(one, one.quantity)
            elif one.quantity and (keys is None or key in keys):  # now bought as something else: that one is given back
                yield _given_back(key + BACK, one, "another item is bought now")
        if of_id is not None and was.quantity < quantity:
            was, typed[of_id] = _with_typed(was, typed.get(of_id, []), quantity)
        if quantity != was.quantity and (keys is None or key in keys):
            yield Difference(
                key, quantity - was.quantity, now, None, _reason(quantity, was.quantity, reason), to_buy - was.buy, was,
                _factor(quantity, was, now) if isinstance(now, TaskTotal) else None,
            )  # fmt: skip
    for key, gone in by_key.items():
        for one in gone:
            if one.quantity and (keys is None or key in keys):
                yield _given_back(key, one, "no longer needed")


def _with_typed(was: Share, typed: list[Sold], quantity: Decimal) -> tuple[Share, list[Sold]]:
    """So much of what was typed as is wanted, and what is left of it for another line."""
    left = []
    for one in typed:
        part = min(one.quantity, quantity - was.quantity)
        if part > 0:
            was = was.with_part(one, part)
        if part < one.quantity:
            rest = Share().with_part(one, one.quantity - max(part, NONE))
            left.append(
                replace(one, quantity=rest.quantity, buy=rest.buy, weighed=rest.weighed, minutes=rest.minutes,
                        cents=rest.cents)
            )  # fmt: skip
    return was, left


def _given_back(key: str, sold: Sold, reason: str) -> Difference:
    was = Share().with_part(sold, sold.quantity)
    factor = None
    if sold.unit_minutes > 0:  # so that what is credited are the minutes that were sold
        factor = to_places(sold.weighed / sold.quantity, 3)
        if standard_minutes(sold.quantity, sold.unit_minutes, factor) != sold.minutes:
            factor = to_places(Decimal(sold.minutes) * 100 / (sold.quantity * sold.unit_minutes), 3)
    return Difference(key, -sold.quantity, None, sold, reason, -sold.buy, was, factor)


def _factor(quantity: Decimal, was: Share, now: TaskTotal) -> Decimal:
    """The factor of what is more, or less: all of it now less all of it then, by the conditions of each space.

    A quote of another way of counting can make it senseless: then that of all of it now.
    """
    factor = to_places((quantity * now.pick.factor_percent - was.weighed) / (quantity - was.quantity), 3)
    return factor if SENSIBLE_FACTOR[0] <= factor <= SENSIBLE_FACTOR[1] else now.pick.factor_percent


def _reason(quantity: Decimal, before: Decimal, reason: str) -> str:
    if not before:
        return reason
    more = quantity - before
    return f"{plain(abs(more))} {'more' if more > 0 else 'less'} than the {plain(before)} before: {reason}"
