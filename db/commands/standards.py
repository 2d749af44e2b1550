"""The owner's own values of the standards table: typed, ended, taken away."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

from sqlalchemy import select

from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.standards import own_standards
from db.records import fetch_one
from db.tables import own_standard
from domain.dates import format_day
from domain.errors import NotUnderstood
from domain.standards import STANDARD_KEYS
from domain.standards.own import OwnValue, check_own_value

LONGEST = 400


def set_own_standard(
    edit: Edit, key: str, starts_on: date, value: Decimal, source: str = "", note: str = ""
) -> int:
    """Let an own value of a figure count from a day on; one of the same day is put right. Returns its id.

    Raises:
        Refused: the value cannot be meant, or it is said nowhere who asks it.
        KeyError: the table has no such figure.
    """
    if key not in STANDARD_KEYS:
        raise KeyError(key)
    values = _checked(edit, key, starts_on, value, source, note)
    where = own_standard.c.standard_key == key, own_standard.c.starts_on == starts_on
    row_id = edit.conn.execute(select(own_standard.c.id).where(*where)).scalar()
    if row_id is None:
        return edit.add(own_standard, standard_key=key, starts_on=starts_on, **values)
    edit.change(own_standard, row_id, ends_on=None, **values)
    return int(row_id)


def change_own_standard(edit: Edit, own_id: int, value: Decimal, source: str, note: str) -> None:
    """Put an own value right; its days stay.

    Raises:
        Refused: the value cannot be meant, or it is said nowhere who asks it.
        LookupError: there is no such value.
    """
    kept = fetch_one(edit.conn, OwnValue, own_standard, own_id)
    edit.change(own_standard, own_id, **_checked(edit, kept.standard_key, kept.starts_on, value, source, note))


def _checked(edit: Edit, key: str, starts_on: date, value: Decimal, source: str, note: str) -> dict[str, str]:
    source, note = " ".join(source.split()), " ".join(note.split())
    if not source:
        raise Refused("Say who asks it or where it is written, for example “county inspector” or “our supplier”.")
    if len(source) > LONGEST or len(note) > LONGEST:
        raise Refused(f"Source and note keep {LONGEST} letters each.", "Put it more shortly.")
    try:
        check_own_value(key, value, starts_on, own_standards(edit.conn))
    except NotUnderstood as problem:
        raise Refused(str(problem)) from None
    return {"value": format(value.normalize(), "f"), "source": source, "note": note}


def go_back_to_table(edit: Edit, key: str, first_day: date) -> None:
    """Let the program's own figure count again from a day on; what was reckoned before keeps the owner's.

    Raises:
        Refused: no own value counts on that day.
    """
    rows = [
        fetch_one(edit.conn, OwnValue, own_standard, row_id)
        for row_id in edit.conn.execute(
            select(own_standard.c.id).where(own_standard.c.standard_key == key).order_by(own_standard.c.starts_on)
        ).scalars()
    ]
    running = [row for row in rows if row.starts_on <= first_day and (row.ends_on is None or row.ends_on >= first_day)]
    if not running:
        raise Refused(f"No value of your own counts on {format_day(first_day)}: the table's does already.")
    for row in running:
        if row.starts_on == first_day:
            edit.remove(own_standard, row.id)
        else:
            edit.change(own_standard, row.id, ends_on=first_day - timedelta(days=1))


def remove_own_standard(edit: Edit, own_id: int) -> None:
    """Take an own value away as if it had never been said.

    Raises:
        LookupError: there is no such value.
    """
    edit.remove(own_standard, fetch_one(edit.conn, OwnValue, own_standard, own_id).id)
