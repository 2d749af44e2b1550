"""What the owner does with suppliers' bills: enter, correct, pay, set a credit off, and match to the jobs' logs."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from sqlalchemy import func, select

from db.closed_months import check_open, closed_months
from db.commands.checks import count_where, only, tidied
from db.commands.price_list import add_supplier
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.books.bills import open_of_bill
from db.records import fetch_all, fetch_one
from db.tables import bill, bill_line, bill_payment, supplier
from domain.bills import BILL_MEANS, SET_OFF, Bill, BillLine, BillLineDraft, BillPayment, bill_problem
from domain.dates import format_day_short
from domain.money import format_money

_FIELDS = {"supplier_id", "number", "billed_on", "due_on", "note", "attachment_id"}


def enter_bill(
    edit: Edit, supplier_id: int | str, kind: str, billed_on: date, lines: Sequence[BillLineDraft], *,
    number: str = "", due_on: date | None = None, tax_cents: int = 0, note: str = "",
    attachment_id: int | None = None, means: str = "card", today: date | None = None,
) -> int:  # fmt: skip
    """Enter a bill, a receipt paid on the spot, or a supplier's credit, and return its id.

    Args:
        supplier_id: a name not known yet is put on the list of suppliers.
        kind: bill | receipt | credit. A credit's amounts are given above nothing and kept below it.
        lines: what it was for; their links match it to purchases and to the jobs' logs.
        attachment_id: its picture, see `db.commands.attachments.add_attachment`.
        means: how a receipt was paid, on its own day.

    Raises:
        Refused: nothing on it, an amount that cannot be, a day to come, a number of that supplier that is there.
    """
    if problem := bill_problem(kind, lines, tax_cents):
        raise Refused(problem)
    _possible(billed_on, due_on, today)
    seller = _supplier(edit, supplier_id)
    _not_entered(edit, seller, number.strip(), 0)
    sign = -1 if kind == "credit" else 1
    net = sum(line.net_cents for line in lines)
    bill_id = edit.add(
        bill, supplier_id=seller, kind=kind, number=number.strip(), billed_on=billed_on,
        due_on=None if kind == "receipt" else due_on, net_cents=sign * net, tax_cents=sign * tax_cents,
        note=note.strip(), attachment_id=attachment_id,
    )  # fmt: skip
    _write_lines(edit, bill_id, lines, sign)
    if kind == "receipt":
        _check_means(means)
        edit.add(bill_payment, bill_id=bill_id, paid_on=billed_on, amount_cents=net + tax_cents, means=means)
    return bill_id


def change_bill(
    edit: Edit, bill_id: int, *, lines: Sequence[BillLineDraft] | None = None, tax_cents: int | None = None,
    today: date | None = None, **values: Any,
) -> None:  # fmt: skip
    """Correct a bill of an open month: supplier_id, number, billed_on, due_on, note, attachment_id, lines, tax.

    A supplier's name not known yet is put on the list. A receipt's own payment follows its day and amount.

    Raises:
        Refused: its month is closed, amounts that cannot be, or less than what is paid on it.
    """
    only(values, _FIELDS)
    kept = fetch_one(edit.conn, Bill, bill, bill_id)
    check_open(closed_months(edit.conn), "bill", [({"billed_on": kept.billed_on}, None)])
    values = tidied(values)
    if "supplier_id" in values:
        values["supplier_id"] = _supplier(edit, values["supplier_id"])
    billed_on = values.get("billed_on", kept.billed_on)
    _possible(billed_on, values.get("due_on", kept.due_on), today)
    seller = values.get("supplier_id", kept.supplier_id)
    if {"number", "supplier_id"} & set(values):
        _not_entered(edit, seller, values.get("number", kept.number), bill_id)
    sign = -1 if kept.kind == "credit" else 1
    tax = sign * kept.tax_cents if tax_cents is None else tax_cents
    net = sign * kept.net_cents
    if lines is not None:
        net = sum(line.net_cents for line in lines)
        edit.remove_where(bill_line, bill_line.c.bill_id == bill_id)
        _write_lines(edit, bill_id, lines, sign)
    drafts = lines if lines is not None else _drafts(edit, kept)
    if problem := bill_problem(kept.kind, drafts, tax):
        raise Refused(problem)
    edit.change(bill, bill_id, **values, net_cents=sign * net, tax_cents=sign * tax)
    if kept.kind == "receipt":
        _follow(edit, bill_id, kept, billed_on, net + tax)
    elif sign * open_of_bill(edit.conn, bill_id) < 0:
        raise Refused("More than that is paid on it already.", "Take the payment back first.")


def remove_bill(edit: Edit, bill_id: int) -> None:
    """Take out a bill entered by mistake; what stands in the jobs' logs stays there.

    Raises:
        Refused: something was paid on it; a receipt goes with its own payment. Or its month is closed.
    """
    kept = fetch_one(edit.conn, Bill, bill, bill_id)
    own = fetch_all(edit.conn, BillPayment, bill_payment, bill_payment.c.bill_id == bill_id)
    if own and not (kept.kind == "receipt" and len(own) == 1):
        raise Refused(f"{kept.name} has payments.", "Take them back first.")
    edit.remove_where(bill_payment, bill_payment.c.bill_id == bill_id)
    edit.remove_where(bill_line, bill_line.c.bill_id == bill_id)
    edit.remove(bill, bill_id)


def pay_bill(
    edit: Edit, bill_id: int, paid_on: date, amount_cents: int | None = None, *, means: str = "check",
    reference: str = "", today: date | None = None,
) -> int:  # fmt: skip
    """Pay what is open of a bill, or part of it, and return the payment's id. On a credit: money that came back.

    Raises:
        Refused: nothing is open, more than that, a day to come or before the bill.
    """
    kept = fetch_one(edit.conn, Bill, bill, bill_id)
    _check_means(means)
    sign = -1 if kept.kind == "credit" else 1
    left = sign * open_of_bill(edit.conn, bill_id)
    amount = left if amount_cents is None else amount_cents
    if left <= 0:
        raise Refused(f"{kept.name} is paid.", "There is nothing left to pay.")
    if amount <= 0:
        raise Refused("A payment is more than nothing.", "Type the amount without a minus.")
    if amount > left:
        raise Refused(f"{format_money(left)} of {kept.name} is open.", "Pay that or less.")
    _possible(paid_on, None, today)
    if paid_on < kept.billed_on:
        raise Refused(
            f"{kept.name} is of {format_day_short(kept.billed_on)}, after that day.", "Change one of the two days."
        )
    return edit.add(
        bill_payment, bill_id=bill_id, paid_on=paid_on, amount_cents=sign * amount, means=means,
        reference=reference.strip(),
    )  # fmt: skip


def remove_bill_payment(edit: Edit, payment_id: int) -> None:
    """Take a payment back that was entered by mistake; a credit set off is taken back on both papers.

    Raises:
        Refused: it is a receipt's own. Or its month is closed.
    """
    kept = fetch_one(edit.conn, BillPayment, bill_payment, payment_id)
    of = fetch_one(edit.conn, Bill, bill, kept.bill_id)
    if of.kind == "receipt" and kept.means != SET_OFF:
        raise Refused("A receipt is paid on the spot.", "Remove the receipt, or enter it as a bill.")
    if kept.means == SET_OFF:
        edit.remove_where(
            bill_payment,
            (bill_payment.c.means == SET_OFF) & (bill_payment.c.reference == kept.reference),
        )
    edit.remove(bill_payment, payment_id)


def set_off(
    edit: Edit, credit_id: int, bill_id: int, on: date, amount_cents: int | None = None, *, today: date | None = None
) -> int:
    """Pay a bill with a supplier's credit, with as much as both allow, and return the cents.

    Raises:
        Refused: two suppliers, nothing left of one of the two, or more than that.
    """
    credit, owed = (fetch_one(edit.conn, Bill, bill, one) for one in (credit_id, bill_id))
    if credit.supplier_id != owed.supplier_id:
        raise Refused("The credit is another supplier's.", "Choose a bill of the same supplier.")
    _possible(on, None, today)
    left = min(-open_of_bill(edit.conn, credit_id), open_of_bill(edit.conn, bill_id))
    amount = left if amount_cents is None else amount_cents
    if left <= 0 or not 0 < amount <= left:
        raise Refused(f"{format_money(max(left, 0))} can be set off.", "Choose a credit and a bill that are open.")
    on = max(on, credit.billed_on, owed.billed_on)
    pair = edit.add(
        bill_payment, bill_id=credit_id, paid_on=on, amount_cents=-amount, means=SET_OFF, reference=f"new {bill_id}"
    )
    edit.change(bill_payment, pair, reference=f"credit {pair}")
    edit.add(
        bill_payment, bill_id=bill_id, paid_on=on, amount_cents=amount, means=SET_OFF, reference=f"credit {pair}"
    )
    return amount


def set_subcontractor(edit: Edit, supplier_id: int, subcontractor: bool, tax_form_on: date | None = None) -> None:
    """Say whether a supplier works as a subcontractor, and when their taxpayer form came in."""
    edit.change(supplier, supplier_id, subcontractor=subcontractor, tax_form_on=tax_form_on)


def _supplier(edit: Edit, given: int | str) -> int:
    if not isinstance(given, str):
        return given
    name = " ".join(given.split())
    if not name:
        raise Refused("Say who it is from.", "Choose a supplier, or type a new name.")
    found = edit.conn.execute(select(supplier.c.id).where(func.lower(supplier.c.name) == name.lower())).scalar()
    return int(found) if found is not None else add_supplier(edit, name)


def _possible(billed_on: date, due_on: date | None, today: date | None) -> None:
    if today is not None and billed_on > today:
        raise Refused(f"{format_day_short(billed_on)} has not come yet.", "Change the day.")
    if due_on is not None and due_on < billed_on:
        raise Refused("It would be due before its own day.", "Change the due day, or clear it.")


def _not_entered(edit: Edit, supplier_id: int, number: str, but: int) -> None:
    same = (bill.c.supplier_id == supplier_id, func.lower(bill.c.number) == number.lower(), bill.c.id != but)
    if number and count_where(edit.conn, bill, *same):
        raise Refused(
            f"Number {number} of this supplier is entered already.",
            "Look for it in the list; for another paper with that number, add a letter to it.",
        )


def _check_means(means: str) -> None:
    if means not in BILL_MEANS:
        raise Refused(f"“{means}” is no way to pay.", f"Choose one of {', '.join(BILL_MEANS.values())}.")


def _write_lines(edit: Edit, bill_id: int, lines: Sequence[BillLineDraft], sign: int) -> None:
    for column in ("material_use_id", "other_cost_id", "purchase_id"):
        wanted = [getattr(line, column) for line in lines if getattr(line, column) is not None]
        if not wanted:
            continue
        if len(set(wanted)) < len(wanted) or count_where(edit.conn, bill_line, bill_line.c[column].in_(wanted)):
            raise Refused("One of the entries is matched to another bill already.", "Choose each entry once.")
    edit.add_many(
        bill_line,
        [
            {
                "bill_id": bill_id, "position": place, "kind": line.kind, "description": line.description.strip(),
                "net_cents": sign * line.net_cents, "job_id": line.job_id, "purchase_id": line.purchase_id,
                "material_use_id": line.material_use_id, "other_cost_id": line.other_cost_id,
            }
            for place, line in enumerate(lines, 1)
        ],
    )  # fmt: skip


def _drafts(edit: Edit, kept: Bill) -> list[BillLineDraft]:
    sign = -1 if kept.kind == "credit" else 1
    return [
        BillLineDraft(line.kind, sign * line.net_cents, line.description, line.job_id)
        for line in fetch_all(edit.conn, BillLine, bill_line, bill_line.c.bill_id == kept.id)
    ]


def _follow(edit: Edit, bill_id: int, kept: Bill, billed_on: date, total: int) -> None:
    """A receipt's payment is its own, of its day and amount."""
    for one in fetch_all(edit.conn, BillPayment, bill_payment, bill_payment.c.bill_id == bill_id):
        if one.amount_cents == kept.total_cents and one.means != SET_OFF:
            edit.change(bill_payment, one.id, paid_on=billed_on, amount_cents=total)
