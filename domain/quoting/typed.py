"""What the owner types into a cell of a quote, as the columns it changes; and the line as it would be then.

The same values go to the preview while typing and to the command on commit, so both show one result.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from domain.choosing import NameList, meaning_of
from domain.errors import NotUnderstood, as_typed
from domain.money import parse_unit_cost
from domain.price_list import PricedItem
from domain.quoting.lines import OTHER_KINDS, LabourLine, MaterialLine, OtherLine, Quote
from domain.quoting.recount import recount_labour, recount_material
from domain.quoting.refresh import TaskPick, crew_rate
from domain.units import parse_minutes, parse_percent, parse_quantity

Values = dict[str, Any]

OTHER_WORDS = {
    "permit": "Permit",
    "subcontractor": "Subcontractor",
    "equipment": "Equipment",
    "travel": "Travel",
    "other": "Other",
}
CREW_WORDS = {"owner": "Owner", "helper": "Helper"}


@dataclass(frozen=True, slots=True)
class Picks:
    """What can be put on a quote: tasks as they count on this job, items with the price of the day."""

    tasks: tuple[TaskPick, ...]
    items: tuple[PricedItem, ...]

    def task(self, task_id: int) -> TaskPick | None:
        """The task with this id."""
        return next((pick for pick in self.tasks if pick.task.id == task_id), None)

    def item(self, item_id: int | None) -> PricedItem | None:
        """The item with this id."""
        return next((priced for priced in self.items if priced.item.id == item_id), None)

    @property
    def task_names(self) -> list[str]:
        """The names to offer, in the owner's order, without what is archived."""
        return [pick.task.name for pick in self.tasks if not pick.task.archived]

    @property
    def item_labels(self) -> list[str]:
        """Code and name of each item to offer."""
        return [item_label(priced) for priced in self.items if not priced.item.archived]


def item_label(priced: PricedItem) -> str:
    """``PVC3-10  3 in pipe, schedule 40``."""
    return f"{priced.item.code}  {priced.item.name}"


def labour_values(key: str, text: str, unit: str, picks: Picks) -> Values:
    """Columns of a labour line from a typed cell: task, quantity, override, crew or reason. Raises NotUnderstood."""
    if key == "task":
        return {"task_id": _one_of(text, [(p.task.id, [p.task.name]) for p in picks.tasks], "labor task")}
    if key == "quantity":
        return {"quantity": parse_quantity(text, unit)}
    if key == "override":
        return {"override_minutes": parse_minutes(text) if text.strip() else None}
    if key == "crew":
        return {"crew": _word_of(text, CREW_WORDS)}
    return {key: text.strip()}


def material_values(key: str, text: str, unit: str, picks: Picks) -> Values:
    """Columns of a material line from a typed cell: item (or free words), net, waste, unit, unit_cost, reason.

    Raises NotUnderstood.
    """
    if key == "item":
        found = [(p.item.id, [p.item.code, p.item.name, item_label(p)]) for p in picks.items]
        try:
            return {"item_id": _one_of(text, found, "item")}
        except NotUnderstood:
            if not text.strip() or NameList([names for _, names in found]).best(text):
                raise
            return {"item_id": None, "description": " ".join(text.split())}
    if key == "net":
        return {"net_quantity": parse_quantity(text, unit)}
    if key == "waste":
        return {"waste_percent": parse_percent(text) if text.strip() else Decimal(0)}
    if key == "unit_cost":
        return {"unit_cost": parse_unit_cost(text) if text.strip() else Decimal(0)}
    return {key: text.strip()}


def other_values(key: str, text: str, unit: str) -> Values:
    """Columns of another cost from a typed cell: kind, description, quantity, unit, unit_cost, reason.

    Words behind a kind describe it (``other dumpster``), a trade does too (``electrician`` is a subcontractor); what
    names no kind is asked again. Raises NotUnderstood.
    """
    if key == "kind":
        return _kind_values(text)
    if key == "quantity":
        return {"quantity": parse_quantity(text, unit)}
    if key == "unit_cost":
        return {"unit_cost": parse_unit_cost(text) if text.strip() else Decimal(0)}
    return {key: text.strip()}


def _kind_values(text: str) -> Values:
    if not text.strip():
        raise NotUnderstood(f"Type what it is: {', '.join(OTHER_KINDS)}.", text)
    try:
        kind = _word_of(text, OTHER_WORDS)
    except NotUnderstood:
        first, _, rest = " ".join(text.split()).partition(" ")
        whole = [key for key, word in OTHER_WORDS.items() if first.strip(":").casefold() == word.casefold()]
        if whole and rest:
            return {"kind": whole[0], "description": rest}
        if not any(letter.isalpha() for letter in text):
            raise NotUnderstood(f"{as_typed(text)} is an amount. First the kind: permit, travel ...", text) from None
        if NameList(OTHER_WORDS.values()).best(text):
            raise
        few = " ".join(text.split())[:30]
        raise NotUnderstood(
            f"{as_typed(text)} is none of {', '.join(OTHER_WORDS.values())}. Anything else: other {few}.", text
        ) from None
    named = OTHER_WORDS[kind].casefold().startswith(" ".join(text.casefold().split()))
    described = "" if named or kind in ("travel", "other") else meaning_of(text).capitalize()
    return {"kind": kind} | ({"description": described} if described else {})


def labour_then(line: LabourLine, values: Values, picks: Picks, quote: Quote) -> LabourLine:
    """The line as the command would leave it: another task brings its standard, another hand its rate."""
    changed = dict(values)
    pick = picks.task(changed["task_id"]) if "task_id" in changed else None
    if pick is not None and changed["task_id"] != line.task_id:
        changed |= {
            "unit_minutes": pick.task.standard_minutes, "factor_percent": pick.factor_percent, "reason": pick.why,
        }  # fmt: skip
    if "crew" in changed:
        changed["rate_cents"] = crew_rate(changed["crew"], quote.owner_rate_cents, quote.helper_rate_cents)
    return recount_labour(line, **changed)


def material_then(line: MaterialLine, values: Values, picks: Picks) -> MaterialLine:
    """The line as the command would leave it: another item brings its name, unit, waste and price."""
    changed = dict(values)
    priced = picks.item(changed.get("item_id"))
    if priced is not None and priced.item.id != line.item_id:
        changed = {
            "description": priced.item.name, "unit": priced.item.unit, "waste_percent": priced.item.waste_percent,
            "unit_cost": priced.unit_cost or Decimal(0),
        } | changed  # fmt: skip
    return recount_material(line, **changed)


def other_then(line: OtherLine, values: Values, quote: Quote) -> OtherLine:
    """The line as the command would leave it: travel brings miles and their cost."""
    changed = dict(values)
    if changed.get("kind", line.kind) != line.kind:
        if changed["kind"] == "travel":
            changed = {"unit": "mile", "unit_cost": quote.mile_cost} | changed
        elif line.kind == "travel":
            changed = {"unit": "each"} | changed
    return replace(line, **changed)


def blank_labour(quote: Quote, option_id: int | None) -> LabourLine:
    """The empty row at the foot of the work: one of whatever task is typed."""
    return LabourLine(
        0, quote.id, option_id, 10**6, 0, "owner", Decimal(1), Decimal(0), Decimal(100), 0, None, 0,
        quote.owner_rate_cents, "",
    )  # fmt: skip


def blank_material(quote: Quote, option_id: int | None) -> MaterialLine:
    """The empty row at the foot of the materials."""
    one = Decimal(1)
    return MaterialLine(0, quote.id, option_id, 10**6, None, "", one, Decimal(0), one, "each", Decimal(0), "")


def blank_other(quote: Quote, option_id: int | None) -> OtherLine:
    """The empty row at the foot of the other costs."""
    return OtherLine(0, quote.id, option_id, 10**6, "", "", Decimal(1), "each", Decimal(0), "")


def _one_of(text: str, choices: Sequence[tuple[int, Sequence[str]]], what: str) -> int:
    if not text.strip():
        raise NotUnderstood(f"Type the {what}, or any part of its name.", text)
    missing = f"{as_typed(text)} is no {what} on your list. The Firm page keeps the list."
    return choices[NameList([names for _, names in choices]).choose(text, missing)][0]


def _word_of(text: str, words: dict[str, str]) -> str:
    missing = f"{as_typed(text)} is none of {', '.join(words.values())}."
    return list(words)[NameList(words.values()).choose(text, missing)]
