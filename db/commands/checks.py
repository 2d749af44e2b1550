"""Small checks the commands share: words that must be there, values out of a list, rows that must exist."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from sqlalchemy import Connection, Table, func, select

from db.company_file.problems import Refused


def needed(text: str, message: str) -> str:
    """The text without spaces around it; refused with `message` when nothing is left."""
    text = text.strip()
    if not text:
        raise Refused(message)
    return text


def tidied(values: Mapping[str, Any]) -> dict[str, Any]:
    """The same values, texts without spaces around them."""
    return {name: value.strip() if isinstance(value, str) else value for name, value in values.items()}


def only(values: Mapping[str, Any], allowed: Collection[str]) -> None:
    """Stop a misspelled column: that is a mistake in the program, not of the owner.

    Raises:
        TypeError: a name is not allowed.
    """
    if unknown := set(values) - set(allowed):
        raise TypeError(f"cannot change {', '.join(sorted(unknown))}")


def count_where(conn: Connection, table: Table, *where: Any) -> int:
    """How many rows meet the conditions."""
    return int(conn.execute(select(func.count()).select_from(table).where(*where)).scalar_one())
