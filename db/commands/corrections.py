"""Putting right what is wrong in a closed month: the wrong row is taken back in an open month, the right one entered.

The closed row stays as it is; the new rows name it and say why. A row below nothing takes it back to the cent, as
every rounding is half away from zero.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from sqlalchemy import Table, or_, select

from db.closed_months import closed_months
from db.commands.bills import enter_bill, set_off
from db.commands.checks import count_where, needed, only
from db.commands.closing import recount_unanswered
from db.commands.log_checks import counted
from db.commands.log_hours import hour_cents
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.books.bills import open_of_bill
from db.queries.firm import day_rates
from db.records import columns_of, fetch_all, fetch_one
from db.tables import bill, bill_line, correction, hours_entry, material_use, other_cost, person, trip
from domain.actuals import HoursEntry, MaterialUse, OtherCost
from domain.bills import Bill, BillLine, BillLineDraft
from domain.bookkeeping import Trip, month_name, month_of
from domain.dates import format_day_short
from domain.firm import Person
from domain.log_entry import minutes_problem


def correct_hours(
    edit: Edit, entry_id: int, on: date, reason: str, *, today: date | None = None, **right: Any
) -> list[int]:
    """Take hours of a closed month back on an open day; with values given, enter the right ones there too.

    Args:
        right: task_id, person_id, minutes, unquoted or cause_id as they should have been; nothing: only taken back.

    Returns:
        the ids of the new rows.

    Raises:
        Refused: the month of the row is open, the day's is closed, it was corrected already, no reason.
    """
    only(right, {"task_id", "person_id", "minutes", "unquoted", "cause_id"})
    kept = fetch_one(edit.conn, HoursEntry, hours_entry, entry_id)
    if "minutes" in right and (problem := minutes_problem(right["minutes"])):
        raise Refused(problem)
    if right.get("person_id", kept.person_id) != kept.person_id:
        who = fetch_one(edit.conn, Person, person, right["person_id"])
        rates = day_rates(edit.conn, kept.day)
        right |= {"rate_cents": hour_cents(rates, who), "overhead_rate_cents": rates.overhead_cents}
    return _correct(edit, hours_entry, kept, on, reason, {"minutes": -kept.minutes, "began": None}, right, today)


def correct_material(
    edit: Edit, entry_id: int, on: date, reason: str, *, today: date | None = None, **right: Any
) -> list[int]:
    """Likewise for a material; right: item_id, description, quantity, unit, unit_cost, source, receipt, unquoted."""
    only(right, {"item_id", "description", "quantity", "unit", "unit_cost", "source", "receipt", "unquoted"})
    kept = fetch_one(edit.conn, MaterialUse, material_use, entry_id)
    if right:
        counted(*(right.get(name, getattr(kept, name)) for name in ("quantity", "unit", "unit_cost")))
    return _correct(edit, material_use, kept, on, reason, {"quantity": -kept.quantity}, right, today)


def correct_other_cost(
    edit: Edit, entry_id: int, on: date, reason: str, *, today: date | None = None, **right: Any
) -> list[int]:
    """Likewise for another cost; right: kind, description, quantity, unit, unit_cost, unquoted."""
    only(right, {"kind", "description", "quantity", "unit", "unit_cost", "unquoted"})
    kept = fetch_one(edit.conn, OtherCost, other_cost, entry_id)
    if right:
        counted(*(right.get(name, getattr(kept, name)) for name in ("quantity", "unit", "unit_cost")))
    return _correct(edit, other_cost, kept, on, reason, {"quantity": -kept.quantity}, right, today)


def correct_trip(
    edit: Edit, trip_id: int, on: date, reason: str, *, today: date | None = None, **right: Any
) -> list[int]:
    """Likewise for a drive without a job; right: miles, purpose, route."""
    only(right, {"miles", "purpose", "route"})
    kept = fetch_one(edit.conn, Trip, trip, trip_id)
    return _correct(edit, trip, kept, on, reason, {"miles": -kept.miles}, right, today)


def correct_bill(
    edit: Edit, bill_id: int, on: date, reason: str, *, lines: Sequence[BillLineDraft] | None = None,
    tax_cents: int = 0, supplier_id: int | str | None = None, number: str = "", today: date | None = None,
) -> list[int]:  # fmt: skip
    """Take a bill of a closed month back by a credit on an open day; with lines given, enter the right bill there.

    What was paid on the wrong bill pays the right one. The wrong bill's matches with the log are taken off it, so
    that the right one, or none, can have them.
    """
    kept = fetch_one(edit.conn, Bill, bill, bill_id)
    reason = _check(edit, bill, bill_id, kept.billed_on, on, reason, today)
    if kept.kind == "credit":
        raise Refused("A credit is put right by a bill of the same amount.", "Enter that bill and set the two off.")
    old = fetch_all(edit.conn, BillLine, bill_line, bill_line.c.bill_id == bill_id)
    for line in old:
        edit.change(bill_line, line.id, material_use_id=None, other_cost_id=None, purchase_id=None)
    words = f"Takes back {kept.name} of {format_day_short(kept.billed_on)}: {reason}"
    back = [BillLineDraft(line.kind, line.net_cents, line.description, line.job_id) for line in old]
    credit_id = enter_bill(
        edit, kept.supplier_id, "credit", on, back, number=_free(edit, kept, "taken back"), tax_cents=kept.tax_cents,
        note=words, today=today,
    )  # fmt: skip
    made = [credit_id]
    if open_of_bill(edit.conn, bill_id) > 0:
        set_off(edit, credit_id, bill_id, on, today=today)
    if lines is not None:
        right_id = enter_bill(
            edit, kept.supplier_id if supplier_id is None else supplier_id, "bill", on, lines,
            number=number or _free(edit, kept, "corrected"), tax_cents=tax_cents,
            note=f"Instead of {kept.name} of {format_day_short(kept.billed_on)}: {reason}",
            attachment_id=kept.attachment_id, today=today,
        )  # fmt: skip
        made.append(right_id)
        same = fetch_one(edit.conn, Bill, bill, right_id).supplier_id == kept.supplier_id
        if same and open_of_bill(edit.conn, credit_id) < 0:
            set_off(edit, credit_id, right_id, on, today=today)
    _link(edit, bill, bill_id, made, on, reason)
    return made


def _correct(
    edit: Edit, table: Table, kept: Any, on: date, reason: str, taken_back: dict[str, Any], right: dict[str, Any],
    today: date | None,
) -> list[int]:  # fmt: skip
    reason = _check(edit, table, kept.id, kept.day, on, reason, today)
    row = {column.name: getattr(kept, column.name) for column in columns_of(table, type(kept))}
    of_day = format_day_short(kept.day)
    del row["id"]
    row |= {"day": on}
    column = "purpose" if table is trip else "note"
    before = kept.purpose if table is trip else ""
    words = f"Takes back {before or 'the entry'} of {of_day}: {reason}"
    made = [edit.add(table, **{**row, **taken_back, column: words})]
    if right:
        words = kept.purpose if table is trip else f"Instead of the entry of {of_day}: {reason}"
        corrected = {**row, **({"began": None} if table is hours_entry else {}), column: words, **right}
        made.append(edit.add(table, **corrected))
    _link(edit, table, kept.id, made, on, reason)
    if table is not trip:
        recount_unanswered(edit, kept.job_id)
    return made


def _check(edit: Edit, table: Table, wrong_id: int, day: date, on: date, reason: str, today: date | None) -> str:
    reason = needed(reason, "Say in a few words what was wrong; it stands with the correction.")
    if today is not None and on > today:
        raise Refused(f"{format_day_short(on)} has not come yet.", "Change the day.")
    closed = closed_months(edit.conn)
    if month_of(day) not in closed:
        raise Refused(
            f"{month_name(month_of(day))} is still open.", "Change the entry where it stands; it needs no correction."
        )
    if month_of(on) in closed:
        raise Refused(f"{month_name(month_of(on))} is closed too.", "Choose a day in an open month.")
    same = correction.c.table_name == table.name
    if count_where(edit.conn, correction, same, correction.c.wrong_id == wrong_id):
        raise Refused("This entry was taken back already.", "Correct the entry that stands in its place.")
    taken = select(correction.c.right_id).where(same, correction.c.right_id == wrong_id)
    own = edit.conn.execute(select(or_(*_below(table))).where(table.c.id == wrong_id, table.c.id.in_(taken))).scalar()
    if own:
        raise Refused("This entry only takes another one back.", "Enter what is missing as a new entry.")
    return reason


def _below(table: Table) -> list[Any]:
    return [table.c[name] < 0 for name in ("minutes", "quantity", "miles", "net_cents") if name in table.c]


def _link(edit: Edit, table: Table, wrong_id: int, made: Sequence[int], on: date, reason: str) -> None:
    edit.add_many(
        correction,
        [
            {"made_on": on, "table_name": table.name, "wrong_id": wrong_id, "right_id": one, "reason": reason}
            for one in made
        ],
    )


def _free(edit: Edit, kept: Bill, word: str) -> str:
    """The wrong paper's number with a word behind it; "" when it has none."""
    if not kept.number:
        return ""
    number = f"{kept.number} {word}"
    same = (bill.c.supplier_id == kept.supplier_id, bill.c.number == number)
    return f"{number} {kept.id}" if count_where(edit.conn, bill, *same) else number
