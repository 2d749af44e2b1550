"""Bills and the jobs' logs made to agree: a bill's line logged on its job, or matched to what is logged already."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from db.commands.checks import count_where
from db.commands.log_materials import log_material
from db.commands.log_others import log_other_cost
from db.company_file.problems import Refused
from db.edit import Edit
from db.records import fetch_one
from db.tables import bill, bill_line, material_use, other_cost, supplier
from domain.actuals import MaterialUse, OtherCost
from domain.bills import BILL_LINE_KINDS, Bill, BillLine
from domain.money import format_money, line_cents
from domain.price_list import Supplier


def log_bill_line(edit: Edit, line_id: int, day: date | None = None, *, today: date | None = None) -> None:
    """Enter a bill's line in its job's log, on the bill's day or another, and match the two.

    Raises:
        Refused: it is for no job, or stands in the log; or the job's log takes nothing (closed, an impossible day).
    """
    line = fetch_one(edit.conn, BillLine, bill_line, line_id)
    of = fetch_one(edit.conn, Bill, bill, line.bill_id)
    if line.logged:
        raise Refused("This line stands in the job's log already.", "Look at the job's log.")
    if not line.to_log or line.job_id is None:
        raise Refused("This line is for no job's log.", "Say on the bill which job it is for.")
    words = line.description or BILL_LINE_KINDS[line.kind]
    dollars = Decimal(line.net_cents).scaleb(-2)
    on = day or of.billed_on
    if line.kind == "materials":
        use_id = log_material(
            edit, line.job_id, on, None, words, Decimal(1), "each", dollars, "receipt", of.number, today=today
        )
        edit.change(bill_line, line_id, material_use_id=use_id)
        return
    seller = fetch_one(edit.conn, Supplier, supplier, of.supplier_id).name
    cost_id = log_other_cost(
        edit, line.job_id, on, line.kind, line.description or seller, Decimal(1), "each", dollars, today=today
    )
    edit.change(bill_line, line_id, other_cost_id=cost_id)


def match_bill_line(
    edit: Edit, line_id: int, *, material_use_id: int | None = None, other_cost_id: int | None = None
) -> None:
    """Match a bill's line to an entry of a job's log; the line takes the entry's job.

    Raises:
        Refused: the entry is matched to another line, is on another job, or comes to another amount.
    """
    line = fetch_one(edit.conn, BillLine, bill_line, line_id)
    if material_use_id is not None:
        _free(edit, "material_use_id", material_use_id, line_id)
        used = fetch_one(edit.conn, MaterialUse, material_use, material_use_id)
        job_id, logged = used.job_id, line_cents(used.quantity, used.unit_cost)
    elif other_cost_id is not None:
        _free(edit, "other_cost_id", other_cost_id, line_id)
        cost = fetch_one(edit.conn, OtherCost, other_cost, other_cost_id)
        job_id, logged = cost.job_id, line_cents(cost.quantity, cost.unit_cost)
    else:
        raise TypeError("which entry")
    if line.job_id not in (None, job_id):
        raise Refused("The entry is on another job than the bill's line.", "Change the job on the bill first.")
    if logged != line.net_cents:
        raise Refused(
            f"The log has {format_money(logged)}, the bill's line {format_money(line.net_cents)}.",
            "Correct whichever is wrong, then match the two.",
        )
    edit.change(bill_line, line_id, job_id=job_id, material_use_id=material_use_id, other_cost_id=other_cost_id)


def unmatch_bill_line(edit: Edit, line_id: int) -> None:
    """Take the match off a bill's line; the log keeps its entry."""
    edit.change(bill_line, line_id, material_use_id=None, other_cost_id=None)


def _free(edit: Edit, column: str, entry_id: int, line_id: int) -> None:
    if count_where(edit.conn, bill_line, bill_line.c[column] == entry_id, bill_line.c.id != line_id):
        raise Refused("That entry is matched to another bill already.", "Choose another entry.")
