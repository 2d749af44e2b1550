"""The two sides of a reconciliation: what stands on the quote, or usually would, and what the takeoff counts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from domain.job_takeoff.answers import usual_key
from domain.job_takeoff.difference import work_key
from domain.job_takeoff.driving import TaskTotal
from domain.job_takeoff.matching import OPEN, Bought
from domain.job_takeoff.reckoning import JobTakeoff, TakeoffFacts
from domain.job_takeoff.stands_for import ITEM, TASK, UNSAID, UsualPart, goods_part
from domain.money import labour_cents, line_cents
from domain.quoting.lines import LabourLine, MaterialLine, QuoteDocument
from domain.quoting.quantities import quantity_with_waste, standard_minutes

ONE = Decimal(1)


@dataclass(frozen=True, slots=True)
class Standing:
    """A line of the base as it stands on the quote, or a usual one that would be put on it.

    ``line`` is None for one that is not on the quote. ``usual``: it came with the job type; ``typed``: by hand, or
    changed by hand since it came, as ``by_hand`` tells.
    """

    key: str
    of: str  # task | item
    of_id: int | None
    name: str
    quantity: Decimal
    unit: str
    minutes: int
    cents: int
    stands_for: str = UNSAID
    usual: bool = False
    by_hand: str = ""
    line: LabourLine | MaterialLine | None = None

    @property
    def takeoff_key(self) -> str:
        """What the takeoff calls it, where it made the line."""
        return self.line.takeoff_key if self.line is not None else ""

    @property
    def in_option(self) -> bool:
        """Whether it was moved to an option: it follows the takeoff there, outside the totals of the base."""
        return self.line is not None and self.line.option_id is not None


@dataclass(frozen=True, slots=True)
class Counted:
    """What the takeoff counts of one item or task. ``cents`` is None where no price is known."""

    key: str
    of: str
    of_id: int | None
    name: str
    quantity: Decimal
    unit: str
    minutes: int
    cents: int | None
    parts: tuple[str, ...]
    reason: str
    source: Bought | TaskTotal
    unlisted: bool = False  # nothing of the price list fits


def counted_lines(counted: JobTakeoff, rate_cents: int) -> list[Counted]:
    """Everything the takeoff counts: work first, in the order of the list. ``rate_cents``: an hour of the owner."""
    work = [
        Counted(
            work_key(total.pick.task.id), TASK, total.pick.task.id, total.pick.task.name, total.quantity,
            total.pick.task.unit, total.minutes, labour_cents(total.minutes, rate_cents), total.kinds, total.reason,
            total,
        )
        for total in counted.totals
    ]  # fmt: skip
    goods = [
        Counted(
            one.line.key, ITEM, one.item.item.id if one.item else None,
            one.item.item.name if one.item else one.line.description, one.quantity, one.unit, 0, one.cost_cents,
            (goods_part(one.line.key),), one.reason, one, one.how == OPEN,
        )
        for one in counted.bought
    ]  # fmt: skip
    return [*work, *goods]


# ---------------------------------------------------------------------- what stands there


def usual_lines(facts: TakeoffFacts, rate_cents: int) -> list[Standing]:
    """The usual lines of the job type as a new quote would begin with them; archived ones are left out."""
    return [line for part in facts.usual if (line := _usual_line(part, facts, rate_cents)) is not None]


def _usual_line(part: UsualPart, facts: TakeoffFacts, rate_cents: int) -> Standing | None:
    if part.of == TASK:
        pick = next((one for one in facts.picks.tasks if one.task.id == part.of_id and not one.task.archived), None)
        if pick is None:
            return None
        minutes = standard_minutes(part.quantity, pick.task.standard_minutes, pick.factor_percent)
        cents, name, unit = labour_cents(minutes, rate_cents), pick.task.name, pick.task.unit
    else:
        priced = next((one for one in facts.picks.items if one.item.id == part.of_id and not one.item.archived), None)
        if priced is None:
            return None
        amount = quantity_with_waste(part.quantity, priced.item.waste_percent)
        minutes, name, unit = 0, priced.item.name, priced.item.unit
        cents = line_cents(amount, priced.unit_cost or Decimal(0))
    return Standing(
        usual_key(part.of, part.of_id), part.of, part.of_id, name, part.quantity, unit, minutes, cents,
        part.stands_for, usual=True,
    )  # fmt: skip


def lines_on_quote(facts: TakeoffFacts, document: QuoteDocument) -> list[Standing]:
    """The base of a draft, each line with what is usual about it and what was changed by hand.

    Lines the takeoff made come with it wherever they were moved.
    """
    usual = {(part.of, part.of_id): part for part in facts.usual}
    names = {pick.task.id: (pick.task.name, pick.task.unit) for pick in facts.picks.tasks}
    waste = {priced.item.id: priced.item.waste_percent for priced in facts.picks.items}
    work = [
        Standing(
            f"labour:{line.id}", TASK, line.task_id, *_shown(line, names), line.minutes,
            labour_cents(line.minutes, line.rate_cents), **_said(usual.get((TASK, line.task_id)), line, ""), line=line,
        )
        for line in document.labour if line.option_id is None or line.takeoff_key
    ]  # fmt: skip
    goods = [
        Standing(
            f"material:{line.id}", ITEM, line.item_id, line.description, line.net_quantity, line.unit, 0,
            line_cents(line.quantity, line.unit_cost),
            **_said(usual.get((ITEM, line.item_id or 0)), line, _odd_waste(line, waste)), line=line,
        )
        for line in document.materials if line.option_id is None or line.takeoff_key
    ]  # fmt: skip
    return [replace(one, minutes=0, cents=0) if one.in_option else one for one in (*work, *goods)]


def _shown(line: LabourLine, names: Mapping[int, tuple[str, str]]) -> tuple[str, Decimal, str]:
    name, unit = names.get(line.task_id, ("a task", ""))
    return name, line.quantity, unit


def _odd_waste(line: MaterialLine, waste: Mapping[int, Decimal]) -> str:
    usual = Decimal(0) if line.takeoff_key else waste.get(line.item_id or 0, line.waste_percent)
    return "" if line.waste_percent == usual else "its waste was typed"


def _said(part: UsualPart | None, line: LabourLine | MaterialLine, odd: str) -> dict[str, Any]:
    """What is usual about a line, and what was changed by hand."""
    number = line.quantity if isinstance(line, LabourLine) else line.net_quantity
    if line.takeoff_key:
        was = line.takeoff_quantity
        hand = "" if was is None or was == number else f"{_number(number)} typed over {_number(was)}"
        return {"by_hand": hand or odd, "usual": False}
    if part is None:
        return {"by_hand": "typed", "usual": False}
    hand = "" if part.quantity == number else f"{_number(number)} typed over the usual {_number(part.quantity)}"
    if not hand and isinstance(line, LabourLine) and line.override_minutes is not None:
        hand = "its minutes were typed"
    return {"by_hand": hand or odd, "usual": True, "stands_for": part.stands_for}


def _number(value: Decimal) -> str:
    return f"{value.normalize():f}"

