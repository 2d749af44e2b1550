"""Closing a month of the books, for good, and naming the accounts they are kept in."""

from __future__ import annotations

import json
from datetime import date

from sqlalchemy import select

from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.books.closing import figures_by_month, month_to_close
from db.tables import closed_month, ledger_account
from domain.bookkeeping import month_name, month_of, months_between
from domain.ledger import ROLES


def close_month(edit: Edit, month: str, on: date, note: str = "", *, today: date | None = None) -> list[str]:
    """Close a month for good and return the months closed: the first close takes all earlier ones with it.

    Its sums are kept, so that a later difference shows. Never undone.

    Raises:
        Refused: the month is not over, is closed already, or an earlier one is still open.
    """
    today = today or on
    if month >= month_of(today):
        raise Refused(f"{month_name(month)} is not over yet.", "Close it when its last day has passed.")
    following, first = month_to_close(edit.conn)
    if following is None:
        raise Refused("There is nothing in the books yet.", "Enter the first bill, invoice or hour before closing.")
    if month < following and not first:
        raise Refused(f"{month_name(month)} is closed already.", "A closed month stays closed.")
    if month < following:
        raise Refused(f"Nothing is entered up to {month_name(month)}.", f"Begin with {month_name(following)}.")
    if month > following and not first:
        raise Refused(
            f"{month_name(following)} is still open, and months are closed in order.",
            f"Close {month_name(following)} first.",
        )
    months = months_between(following, month)
    figures = figures_by_month(edit.conn)
    edit.add_many(
        closed_month,
        [
            {
                "month": one, "closed_on": on, "note": note.strip(),
                "figures": json.dumps(figures.get(one, {}), sort_keys=True),
            }
            for one in months
        ],
    )  # fmt: skip
    edit.make_final()
    return months


def name_account(edit: Edit, role: str, number: str, name: str) -> None:
    """Give an account of ours the number and name the bookkeeper has for it; an empty name takes ours again.

    Raises:
        Refused: the number is another account's.
    """
    ours = {one.key: one.name for one in ROLES}[role]
    number, name = number.strip(), " ".join(name.split()) or ours
    taken = edit.conn.execute(
        select(ledger_account.c.name).where(ledger_account.c.number == number, ledger_account.c.role != role)
    ).scalar()
    if number and taken is not None:
        raise Refused(f"Number {number} is that of {taken}.", "Give each account a number of its own, or none.")
    known = edit.conn.execute(select(ledger_account.c.id).where(ledger_account.c.role == role)).scalar()
    if known is None:
        edit.add(ledger_account, role=role, number=number, name=name)
    elif not number and name == ours:
        edit.remove(ledger_account, int(known))
    else:
        edit.change(ledger_account, int(known), number=number, name=name)
