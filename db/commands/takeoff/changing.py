"""Takes what is different in the list of a job into a change order: against what was accepted, another list, or all."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from sqlalchemy import select

from db.commands.quotes.change_orders import start_change_order
from db.commands.quotes.lines import add_labour, add_material, change_labour, change_material, remove_line
from db.commands.takeoff.taking import NO_WASTE, Taken
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.quotes import quote_document, task_picks
from db.queries.takeoff_changes import ACCEPTED, NOTHING, changes_of, open_change_order, order_reconciliation
from db.tables import labour_line, labour_task, material_line
from domain.firm import DayRates, Firm
from domain.job_takeoff.answers import BOTH, KEPT, LEFT
from domain.job_takeoff.difference import Difference, work_key
from domain.job_takeoff.driving import TaskTotal
from domain.job_takeoff.matching import Bought
from domain.job_takeoff.reconciliation import Reconciliation
from domain.quoting.lines import MaterialLine
from domain.quoting.refresh import TaskPick

__all__ = ["ACCEPTED", "NOTHING", "take_into_change_order"]

TITLE = "Change of the pipe route"


def take_into_change_order(
    edit: Edit, job_id: int, on: date, rates: DayRates, firm: Firm, *, against: str | int = ACCEPTED,
    keys: Collection[str] | None = None, anew: bool = False, answers: Mapping[str, str] | None = None,
    seen: Reconciliation | None = None,
) -> Taken:  # fmt: skip
    """Bring the open change order of a job in step with what is different in its takeoff; begin one where none is.

    What was left out of the quote when its rows were read stays out, unless it is among ``keys``. More becomes a line
    at today's price, less a credit at the price it was sold for.

    Args:
        against: ACCEPTED, NOTHING for the whole list, or the id of a proposed route to compare with.
        keys: only these lines (keys of the list, ``work:<task id>`` for work); other lines are left as they are.
        anew: lines that were changed by hand as well; else they are left, and named by ``Taken.kept``.
        answers: by the key of a row, what becomes of it, where that is not what the rows have by themselves.
        seen: the rows that were read, as they were before any was switched; None: nobody read them.

    Raises:
        Refused: nothing accepted yet, a route with something to put right first, or nothing that is different.
    """
    said = answers or {}
    if seen is not None and seen != order_reconciliation(edit.conn, job_id, on, rates.owner_cents, against):
        raise Refused("The list or what was sold has changed since these rows were made.", "Read them again.")
    made = changes_of(edit.conn, job_id, on, against, keys, {key for key, one in said.items() if one == BOTH})
    out = {key for key, one in said.items() if one in (KEPT, LEFT)}
    materials, work = ([one for one in some if one.key not in out] for some in (made.goods, made.work))
    quote_id = open_change_order(edit.conn, job_id)
    if not materials and not work and quote_id is None:
        raise Refused("Nothing is different, so there is nothing to put on a change order.", _advice(against))
    begun = quote_id is None
    if quote_id is None:
        quote_id = start_change_order(edit, job_id, on, rates, firm, title=TITLE, from_unquoted=False)
    document = quote_document(edit.conn, quote_id)
    steps = (
        _in_step("material", document.materials, materials, keys, _Materials(edit, quote_id, on), anew),
        _in_step("labour", document.labour, work, keys, _Work(edit, quote_id), anew),
    )
    added, changed, removed = (sum(counts) for counts in zip(*(step.counts for step in steps), strict=True))
    return Taken(quote_id, begun, added, changed, removed, (), tuple(name for step in steps for name in step.kept))


def _advice(against: str | int) -> str:
    if against == ACCEPTED:
        return "Change the route first, or compare with another list."
    return "Choose something else to compare with."


@dataclass(frozen=True, slots=True)
class _Step:
    """Lines added, changed and removed, and the names of those left because they were changed by hand."""

    counts: tuple[int, int, int]
    kept: tuple[str, ...]


def _in_step(
    kind: str, lines: Any, wanted: list[Difference], keys: Collection[str] | None, writer: _Materials | _Work,
    anew: bool,
) -> _Step:  # fmt: skip
    there = {line.takeoff_key: line for line in lines if line.takeoff_key}
    by_hand = {} if anew else {key: line for key, line in there.items() if _changed_by_hand(line)}
    added = changed = 0
    for one in wanted:
        line = there.pop(one.key, None)
        if line is None:
            writer.add(one)
            added += 1
        elif one.key not in by_hand:
            changed += writer.change(line, one)
    gone = [line for line in there.values() if line.takeoff_key not in by_hand] if keys is None else []
    for line in gone:
        remove_line(writer.edit, kind, line.id)
    return _Step((added, changed, len(gone)), tuple(writer.name(line) for line in by_hand.values()))


def _changed_by_hand(line: Any) -> bool:
    number = line.net_quantity if isinstance(line, MaterialLine) else line.quantity
    return line.takeoff_quantity is not None and number != line.takeoff_quantity


class _Materials:
    """Writes what is different in materials."""

    def __init__(self, edit: Edit, quote_id: int, on: date) -> None:
        self.edit, self.quote_id, self.on = edit, quote_id, on

    def add(self, one: Difference) -> None:
        values = self._values(one)
        quantity = values.pop("net_quantity")
        line_id = add_material(self.edit, self.quote_id, values.pop("item_id"), quantity, on=self.on, **values)
        self._mark(line_id, one)
        self.edit.change(material_line, line_id, takeoff_key=one.key)

    def change(self, line: Any, one: Difference) -> int:
        values = self._values(one)
        if all(getattr(line, name) == value for name, value in values.items()):
            return 0
        change_material(self.edit, line.id, on=self.on, **values)
        self._mark(line.id, one)
        return 1

    def name(self, line: Any) -> str:
        """What the line is called."""
        return str(line.description)

    def _mark(self, line_id: int, one: Difference) -> None:
        buy = None if one.buy == one.quantity else one.buy
        self.edit.change(material_line, line_id, takeoff_quantity=one.quantity, buy_quantity=buy)

    def _values(self, one: Difference) -> dict[str, Any]:
        values: dict[str, Any] = {
            "net_quantity": one.quantity, "waste_percent": NO_WASTE, "reason": one.reason, "item_id": None,
        }  # fmt: skip
        if one.sold is not None:
            sold = one.sold
            named = {} if sold.of_id is not None and not sold.words else {"description": sold.words or "Material"}
            return values | named | {"item_id": sold.of_id, "unit": sold.unit, "unit_cost": sold.unit_cost}
        assert isinstance(one.now, Bought)
        values["unit"] = one.now.unit
        if one.now.item is not None:
            return values | {"item_id": one.now.item.item.id}
        return values | {"description": one.now.line.description}


class _Work:
    """Writes what is different in work."""

    def __init__(self, edit: Edit, quote_id: int) -> None:
        self.edit, self.quote_id = edit, quote_id

    def name(self, line: Any) -> str:
        """What the line is called."""
        return str(self.edit.conn.execute(select(labour_task.c.name).where(labour_task.c.id == line.task_id)).scalar())

    def add(self, one: Difference) -> None:
        total = one.now if isinstance(one.now, TaskTotal) else None
        task_id = total.pick.task.id if total is not None else one.sold.of_id if one.sold is not None else None
        assert task_id is not None
        pick = total.pick if total is not None else self._as_sold(task_id, one)
        if pick is not None and one.factor_percent is not None:
            pick = replace(pick, factor_percent=one.factor_percent)
        line_id = add_labour(self.edit, self.quote_id, task_id, one.quantity, reason=one.reason, pick=pick)
        self.edit.change(labour_line, line_id, takeoff_key=work_key(task_id), takeoff_quantity=one.quantity)

    def change(self, line: Any, one: Difference) -> int:
        factor = line.factor_percent if one.factor_percent is None else one.factor_percent
        if (line.quantity, line.reason, line.factor_percent) == (one.quantity, one.reason, factor):
            return 0
        change_labour(self.edit, line.id, quantity=one.quantity, reason=one.reason, factor_percent=factor)
        self.edit.change(labour_line, line.id, takeoff_quantity=one.quantity)
        return 1

    def _as_sold(self, task_id: int, one: Difference) -> TaskPick | None:
        """The task with the minutes it was sold by."""
        job_id = quote_document(self.edit.conn, self.quote_id).quote.job_id
        picks = task_picks(self.edit.conn, job_id, archived=True)
        pick = next((pick for pick in picks if pick.task.id == task_id), None)
        if pick is None or one.sold is None or not one.sold.unit_minutes:
            return pick
        return replace(pick, task=replace(pick.task, standard_minutes=one.sold.unit_minutes))
