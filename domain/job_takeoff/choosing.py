"""What is typed over a line of the list or a count: a quantity, an item, a task."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from domain.errors import NotUnderstood, as_typed
from domain.job_takeoff.driving import task_quantity
from domain.job_takeoff.matching import unit_factor
from domain.price_list import PricedItem
from domain.quoting.refresh import TaskPick
from domain.quoting.typed import item_label
from domain.takeoff import LabourDriver, TakeoffLine
from domain.units.numbers import parse_quantity

NOT_LISTED, NO_TASK, BY_PROGRAM = "not from the list", "no task of its own", "as usual"
UNCHOSEN = "unchosen"
"""In place of an id: forget the choice, so that the program chooses again."""


def override_typed(line: TakeoffLine, text: str) -> Decimal | None:
    """The quantity of one's own; None where the field was emptied. Raises NotUnderstood."""
    if not text.strip():
        return None
    quantity = parse_quantity(text, line.unit)
    if quantity < 0:
        raise NotUnderstood("Less than nothing cannot be bought. Type 0 to buy none of it.", text)
    return quantity


def items_offered(line: TakeoffLine, items: Sequence[PricedItem]) -> list[str]:
    """The items to offer for a line: those whose unit fits, of its class first; and the two ways out."""
    fitting = [priced for priced in items if not priced.item.archived and unit_factor(line, priced) is not None]
    fitting.sort(key=lambda priced: priced.item.item_class != line.item_class)
    return [*(item_label(priced) for priced in fitting), NOT_LISTED, BY_PROGRAM]


def item_typed(line: TakeoffLine, text: str, items: Sequence[PricedItem]) -> int | str | None:
    """The item typed for a line: its id, None for "not from the list", UNCHOSEN to let the program choose again.

    Raises NotUnderstood for a word that fits none or several, and for an item whose unit does not fit the line's.
    """
    wanted = " ".join(text.casefold().split())
    if not wanted or wanted == BY_PROGRAM:
        return UNCHOSEN
    if wanted == NOT_LISTED:
        return None
    named = [(priced, _names(priced)) for priced in items if not priced.item.archived]
    found = [priced for priced, names in named if wanted in names]
    found = found or [priced for priced, names in named if any(wanted in name for name in names)]
    fitting = [priced for priced in found if unit_factor(line, priced) is not None]
    if len(fitting) == 1:
        return fitting[0].item.id
    if len(found) == 1:
        unit = found[0].item.unit
        raise NotUnderstood(f"“{found[0].item.name}” is sold by the {unit}, and this is counted by the {line.unit}.")
    if found:
        raise NotUnderstood(f"{as_typed(text)} fits {len(found)} items. Type more of it, or choose one.", text)
    raise NotUnderstood(f"{as_typed(text)} is not on the price list. The Firm page keeps the list.", text)


def _names(priced: PricedItem) -> tuple[str, str, str]:
    item = priced.item
    return item.code.casefold(), item.name.casefold(), " ".join(item_label(priced).casefold().split())


def tasks_offered(driver: LabourDriver, picks: Sequence[TaskPick]) -> list[str]:
    """The tasks to offer for a count, and the two ways out."""
    fitting = [
        pick.task.name for pick in picks if not pick.task.archived and task_quantity(driver, pick)[0] is not None
    ]
    return [*fitting, NO_TASK, BY_PROGRAM]


def task_typed(driver: LabourDriver, text: str, picks: Sequence[TaskPick]) -> int | str | None:
    """The task typed for a count: its id, None for "no task", UNCHOSEN for the usual one. Raises NotUnderstood."""
    wanted = " ".join(text.casefold().split())
    if not wanted or wanted == BY_PROGRAM:
        return UNCHOSEN
    if wanted == NO_TASK:
        return None
    offered = [pick for pick in picks if not pick.task.archived]
    found = [pick for pick in offered if pick.task.name.casefold() == wanted]
    found = found or [pick for pick in offered if wanted in pick.task.name.casefold()]
    if len(found) != 1:
        many = f"fits {len(found)} tasks. Type more of it, or choose one." if found else "is no task on your list."
        raise NotUnderstood(f"{as_typed(text)} {many}", text)
    quantity, why = task_quantity(driver, found[0])
    if quantity is None:
        raise NotUnderstood(why, text)
    return found[0].task.id
