"""Labour, material and other lines of a draft: add, change, remove, move."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import Table, select

from db.commands.checks import needed, only
from db.commands.quotes.checks import (
    draft,
    next_position,
    own_option,
    sensible_cost,
    sensible_minutes,
    sensible_quantity,
    values_of,
)
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.quotes import task_picks
from db.records import fetch_one
from db.tables import item, item_price, labour_line, labour_task, material_line, other_line
from domain.library import LabourTask
from domain.price_list import Item
from domain.quoting.lines import OTHER_KINDS, LabourLine, MaterialLine, OtherLine, Quote
from domain.quoting.quantities import quantity_with_waste
from domain.quoting.recount import recount_labour, recount_material
from domain.quoting.refresh import TaskPick, crew_rate

LINE_TABLES: dict[str, Table] = {"labour": labour_line, "material": material_line, "other": other_line}
CREWS = ("owner", "helper")


def add_labour(
    edit: Edit, quote_id: int, task_id: int, quantity: Decimal, *, crew: str = "owner",
    override_minutes: int | None = None, option_id: int | None = None, reason: str | None = None,
    pick: TaskPick | None = None,
) -> int:  # fmt: skip
    """Add work to a draft and return the line's id.

    Standard minutes and factor are those of the task under the job's access conditions; the rate is the quote's.
    Without a reason the conditions are named. `pick` saves reading the task again when many lines are added.
    """
    kept = draft(edit, quote_id)
    own_option(edit, quote_id, option_id)
    pick = pick or _task_pick(edit, kept.job_id, task_id)
    blank = LabourLine(
        id=0, quote_id=quote_id, option_id=option_id, position=next_position(edit, labour_line, quote_id, option_id),
        task_id=task_id, crew=_crew(crew), quantity=sensible_quantity(kept, quantity),
        unit_minutes=pick.task.standard_minutes, factor_percent=pick.factor_percent, standard_minutes=0,
        override_minutes=override_minutes, minutes=0,
        rate_cents=crew_rate(crew, kept.owner_rate_cents, kept.helper_rate_cents),
        reason=pick.why if reason is None else reason.strip(),
    )  # fmt: skip
    return edit.add(labour_line, **values_of(_checked_labour(kept, recount_labour(blank))))


def change_labour(edit: Edit, line_id: int, **values: Any) -> None:
    """Change task_id, crew, quantity, factor_percent, override_minutes (None: the standard), reason or option_id.

    Another task brings its own standard minutes, factor and reason; another hand its rate.
    """
    only(values, {"task_id", "crew", "quantity", "override_minutes", "reason", "option_id", "factor_percent"})
    line = fetch_one(edit.conn, LabourLine, labour_line, line_id)
    kept = draft(edit, line.quote_id)
    if "quantity" in values:
        sensible_quantity(kept, values["quantity"])
    if "option_id" in values:
        own_option(edit, line.quote_id, values["option_id"])
    if values.get("task_id", line.task_id) != line.task_id:
        pick = _task_pick(edit, kept.job_id, values["task_id"])
        values |= {"unit_minutes": pick.task.standard_minutes, "factor_percent": pick.factor_percent}
        values.setdefault("reason", pick.why)
    if values.keys() & {"override_minutes", "task_id"}:
        forgotten = line.own_minutes == 0 and values.get("task_id", line.task_id) == line.task_id
        values["own_minutes"] = 0 if forgotten else None  # the owner's own word again, not the record's
    if "crew" in values:
        values["rate_cents"] = crew_rate(_crew(values["crew"]), kept.owner_rate_cents, kept.helper_rate_cents)
    changed = _checked_labour(kept, recount_labour(line, **values))
    edit.change(labour_line, line_id, **values_of(changed, "quote_id", "position"))


def add_material(
    edit: Edit, quote_id: int, item_id: int | None, net_quantity: Decimal, *, description: str | None = None,
    unit: str | None = None, unit_cost: Decimal | None = None, waste_percent: Decimal | None = None,
    option_id: int | None = None, reason: str = "", on: date | None = None,
) -> int:  # fmt: skip
    """Add material to a draft and return the line's id.

    From the price list come name, unit, waste and the price in force on the day `on` (the day the draft was
    begun, when not given; 0 where there is no price yet); what is given stands instead. Without an item, a
    description is needed.
    """
    kept = draft(edit, quote_id)
    own_option(edit, quote_id, option_id)
    if item_id is not None:
        listed = fetch_one(edit.conn, Item, item, item_id)
        description = listed.name if description is None else description
        unit = listed.unit if unit is None else unit
        waste_percent = listed.waste_percent if waste_percent is None else waste_percent
        unit_cost = _price_on(edit, item_id, on or kept.created_on) if unit_cost is None else unit_cost
    waste = _sensible_waste(waste_percent or Decimal(0))
    return edit.add(
        material_line, quote_id=quote_id, option_id=option_id,
        position=next_position(edit, material_line, quote_id, option_id), item_id=item_id,
        description=needed(description or "", "Say what it is, or choose it from the price list."),
        net_quantity=sensible_quantity(kept, net_quantity), waste_percent=waste,
        quantity=quantity_with_waste(net_quantity, waste), unit=(unit or "each").strip(),
        unit_cost=sensible_cost(unit_cost or Decimal(0)), reason=reason.strip(),
    )  # fmt: skip


def change_material(edit: Edit, line_id: int, *, on: date | None = None, **values: Any) -> None:
    """Change item_id, description, net_quantity, waste_percent, unit, unit_cost, reason or option_id.

    Another item brings its own name, unit, waste and price of the day `on`, unless they are given too.
    """
    only(values, {
        "item_id", "description", "net_quantity", "waste_percent", "unit", "unit_cost", "reason", "option_id",
    })  # fmt: skip
    line = fetch_one(edit.conn, MaterialLine, material_line, line_id)
    kept = draft(edit, line.quote_id)
    item_id = values.get("item_id", line.item_id)
    if item_id is not None and item_id != line.item_id:
        listed = fetch_one(edit.conn, Item, item, item_id)
        values = {
            "description": listed.name, "unit": listed.unit, "waste_percent": listed.waste_percent,
            "unit_cost": _price_on(edit, item_id, on or kept.created_on),
        } | values  # fmt: skip
    if "net_quantity" in values:
        sensible_quantity(kept, values["net_quantity"])
    if "waste_percent" in values:
        _sensible_waste(values["waste_percent"])
    if "unit_cost" in values:
        sensible_cost(values["unit_cost"])
    if "description" in values:
        values["description"] = needed(values["description"], "Say what it is, or remove the line.")
    if "option_id" in values:
        own_option(edit, line.quote_id, values["option_id"])
    edit.change(material_line, line_id, **values_of(recount_material(line, **values), "quote_id", "position"))


def add_other(
    edit: Edit, quote_id: int, kind: str, quantity: Decimal, unit_cost: Decimal | None = None, *,
    description: str = "", unit: str | None = None, option_id: int | None = None, reason: str = "",
) -> int:  # fmt: skip
    """Add another direct cost and return the line's id: kind is one of OTHER_KINDS.

    Travel is counted in miles at the quote's cost of a mile unless a unit or cost is given.
    """
    kept = draft(edit, quote_id)
    own_option(edit, quote_id, option_id)
    travel = _other_kind(kind) == "travel"
    if unit_cost is None:
        unit_cost = kept.mile_cost if travel and unit in (None, "mile") else Decimal(0)
    return edit.add(
        other_line, quote_id=quote_id, option_id=option_id,
        position=next_position(edit, other_line, quote_id, option_id), kind=kind, description=description.strip(),
        quantity=sensible_quantity(kept, quantity), unit=unit or ("mile" if travel else "each"),
        unit_cost=sensible_cost(unit_cost), reason=reason.strip(),
    )  # fmt: skip


def change_other(edit: Edit, line_id: int, **values: Any) -> None:
    """Change kind, description, quantity, unit, unit_cost, reason or option_id; travel brings miles and their cost."""
    only(values, {"kind", "description", "quantity", "unit", "unit_cost", "reason", "option_id"})
    line = fetch_one(edit.conn, OtherLine, other_line, line_id)
    kept = draft(edit, line.quote_id)
    if values.get("kind", line.kind) != line.kind:
        travel = _other_kind(values["kind"]) == "travel"
        if travel:
            values = {"unit": "mile", "unit_cost": kept.mile_cost} | values
        elif line.kind == "travel":
            values = {"unit": "each"} | values
    if "quantity" in values:
        sensible_quantity(kept, values["quantity"])
    if "unit_cost" in values:
        sensible_cost(values["unit_cost"])
    if "option_id" in values:
        own_option(edit, line.quote_id, values["option_id"])
    edit.change(other_line, line_id, **values)


def remove_line(edit: Edit, kind: str, line_id: int) -> None:
    """Take a line off a draft; kind is labour, material or other."""
    edit.remove(LINE_TABLES[kind], line_id)


def move_line(edit: Edit, kind: str, line_id: int, steps: int) -> None:
    """Move a line up (negative) or down among its neighbours; at the ends it stays."""
    table = LINE_TABLES[kind]
    row = edit.conn.execute(select(table.c.quote_id, table.c.option_id).where(table.c.id == line_id)).one()
    draft(edit, row.quote_id)  # said also where there is nowhere to move to
    order = list(
        edit.conn.execute(
            select(table.c.id)
            .where(table.c.quote_id == row.quote_id, table.c.option_id == row.option_id)
            .order_by(table.c.position, table.c.id)
        ).scalars()
    )
    place = order.index(line_id)
    order.insert(max(0, min(len(order) - 1, place + steps)), order.pop(place))
    for position, one in enumerate(order):
        edit.change(table, one, position=position)


def _task_pick(edit: Edit, job_id: int, task_id: int) -> TaskPick:
    fetch_one(edit.conn, LabourTask, labour_task, task_id)
    return next(pick for pick in task_picks(edit.conn, job_id, archived=True) if pick.task.id == task_id)


def _price_on(edit: Edit, item_id: int, on: date) -> Decimal:
    """The price in force on a day, 0 where there is none yet; the screen marks such a line."""
    newest = (
        select(item_price.c.unit_cost)
        .where(item_price.c.item_id == item_id, item_price.c.starts_on <= on)
        .order_by(item_price.c.starts_on.desc())
        .limit(1)
    )
    return edit.conn.execute(newest).scalar() or Decimal(0)


def _checked_labour(kept: Quote, line: LabourLine) -> LabourLine:
    sensible_minutes(kept, line.standard_minutes)
    sensible_minutes(kept, line.minutes)
    return line


def _sensible_waste(percent: Decimal) -> Decimal:
    if not 0 <= percent <= 500:
        raise Refused("Waste lies between 0% and 500%.", "For a larger quantity, raise the net quantity.")
    return percent


def _crew(crew: str) -> str:
    if crew not in CREWS:
        raise Refused(f"“{crew}” is neither owner nor helper.")
    return crew


def _other_kind(kind: str) -> str:
    if kind not in OTHER_KINDS:
        raise Refused(f"“{kind}” is not one of {', '.join(OTHER_KINDS)}.")
    return kind
