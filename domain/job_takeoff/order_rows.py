"""What a change order from the takeoff would hold, row by row: what is sold of it, and all of it now."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from domain.job_takeoff.answers import BOTH, INSTEAD, KEPT, LEFT, OFF
from domain.job_takeoff.difference import Difference, OtherSide
from domain.job_takeoff.driving import TaskTotal
from domain.job_takeoff.matching import Bought
from domain.job_takeoff.reckoning import JobTakeoff
from domain.job_takeoff.reconciliation import Reconciliation, Row
from domain.job_takeoff.standing import Counted, Standing, counted_lines
from domain.job_takeoff.stands_for import ITEM, TASK
from domain.money import labour_cents, line_cents
from domain.quoting.quantities import standard_minutes

ORDER = "change order"


@dataclass(frozen=True, slots=True)
class OrderRow(Row):
    """One line that differs. ``standing`` is what was sold of it, ``counted`` all of it now."""

    @property
    def is_new(self) -> bool:
        """What was sold is there."""
        return False

    @property
    def words(self) -> str:
        """What becomes of it: ``more``, ``less, credited``."""
        less = self.standing is not None and self.counted is not None and self.counted.quantity < self.standing.quantity
        return {
            INSTEAD: "less, credited" if less else "more", BOTH: "added", KEPT: "stays as sold", LEFT: "left out",
            OFF: "credited",
        }[self.answer]  # fmt: skip


def order_rows(
    work: Sequence[Difference], goods: Sequence[Difference], sold: OtherSide, left_out: JobTakeoff,
    names: Mapping[int, tuple[str, str]], rate_cents: int,
) -> Reconciliation:  # fmt: skip
    """The rows of a change order, work first; what was left out of the quote stands at the end, to be put in.

    Args:
        names: name and unit of each task.
        rate_cents: an hour of the owner in the change order.
    """
    rows = [_work_row(one, names, rate_cents) for one in work] + [_goods_row(one) for one in goods]
    rows += [
        OrderRow(one.key, None, one, LEFT, (LEFT, BOTH), "left out when the quote was taken")
        for one in counted_lines(left_out, rate_cents) if one.quantity
    ]  # fmt: skip
    there = [row.standing for row in rows if row.standing is not None]
    lines = (*sold.work, *sold.materials)
    rest = (
        sum(one.minutes for one in lines) - sum(one.minutes for one in there),
        sum(one.cents for one in lines) - sum(one.cents for one in there),
    )
    return Reconciliation(tuple(rows), rest, begins=False, into=ORDER)


def _work_row(one: Difference, names: Mapping[int, tuple[str, str]], rate_cents: int) -> OrderRow:
    total = one.now if isinstance(one.now, TaskTotal) else None
    task_id = total.pick.task.id if total is not None else one.sold.of_id if one.sold is not None else None
    each = total.pick.task.standard_minutes if total is not None else one.sold.unit_minutes if one.sold else Decimal(0)
    factor = one.factor_percent
    if factor is None:
        factor = total.pick.factor_percent if total is not None else Decimal(100)
    minutes = standard_minutes(one.quantity, each, factor)
    name, unit = names.get(task_id or 0, ("a task", ""))
    return _row(one, TASK, task_id, name, unit, minutes, labour_cents(minutes, rate_cents))


def _goods_row(one: Difference) -> OrderRow:
    if one.sold is not None:
        return _row(
            one, ITEM, one.sold.of_id, one.sold.words or "Material", one.sold.unit, 0,
            line_cents(one.quantity, one.sold.unit_cost),
        )  # fmt: skip
    assert isinstance(one.now, Bought)
    item = one.now.item.item if one.now.item is not None else None
    cents = None if one.now.unit_cost is None else line_cents(one.quantity, one.now.unit_cost)
    name = item.name if item is not None else one.now.line.description
    return _row(one, ITEM, item.id if item is not None else None, name, one.now.unit, 0, cents)


def _row(
    one: Difference, of: str, of_id: int | None, name: str, unit: str, minutes: int, cents: int | None
) -> OrderRow:  # fmt: skip
    was = one.was
    if one.now is None:  # what is given back costs what the credit gives
        gone = Standing(one.key, of, of_id, name, was.quantity, unit, -minutes, -(cents or 0))
        return OrderRow(one.key, gone, None, OFF, (OFF, KEPT), one.reason)
    there = Standing(one.key, of, of_id, name, was.quantity, unit, was.minutes, was.cents) if was.quantity else None
    now = Counted(
        one.key, of, of_id, name, was.quantity + one.quantity, unit, was.minutes + minutes,
        None if cents is None else was.cents + cents, (), one.reason, one.now,
    )  # fmt: skip
    if there is None:
        return OrderRow(one.key, None, now, BOTH, (BOTH, LEFT), one.reason)
    if not now.quantity:
        gone = Standing(one.key, of, of_id, name, was.quantity, unit, -minutes, -(cents or 0))
        return OrderRow(one.key, gone, None, OFF, (OFF, KEPT), one.reason)
    return OrderRow(one.key, there, now, INSTEAD, (INSTEAD, KEPT), one.reason)
