"""The owner's own rows of the standards table, and the whole table as the Company page lists it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, select

from db.records import fetch_all
from db.tables import own_standard, takeoff_choice
from domain.standards import OWN, STANDARDS, Standard

if TYPE_CHECKING:
    from domain.standards.own import OwnValue, StandardRow

_LABELS = {row.key: (row.label, row.unit) for row in STANDARDS}


def own_standards(conn: Connection) -> tuple[Standard, ...]:
    """The owner's own rows, to hand to `domain.standards.standard_on` and to everything that takes ``own``."""
    return tuple(own_standard_row(row) for row in conn.execute(select(own_standard).order_by(own_standard.c.id)))


def own_standard_row(row: Any) -> Standard:
    """One row of the owner's as the domain knows it."""
    label, unit = _LABELS.get(row.standard_key, (row.standard_key, ""))
    return Standard(
        row.standard_key, Decimal(row.value), unit, row.source or "the owner", row.note, "", row.starts_on, OWN, label,
        ends_on=row.ends_on,
    )  # fmt: skip


def own_values(conn: Connection) -> list[OwnValue]:
    """The owner's own values as they were typed, the newest of a key first."""
    from domain.standards.own import OwnValue  # here, as the rates of the first page need the rows alone

    order = (own_standard.c.standard_key, own_standard.c.starts_on.desc())
    return fetch_all(conn, OwnValue, own_standard, order=order)


def standards_listed(conn: Connection, day: date) -> list[StandardRow]:
    """Every figure with what counts on a day, what the program has, and the owner's own values."""
    from domain.routes.rule_words import set_aside
    from domain.routes.rules import OPENING_RULES, SUPPORT_RULES
    from domain.standards.own import standard_rows

    chosen = {row.name: row.value for row in conn.execute(select(takeoff_choice.c.name, takeoff_choice.c.value))}
    aside = set_aside(chosen.get("supports", SUPPORT_RULES[0]), chosen.get("openings", OPENING_RULES[0]))
    return standard_rows(day, own_standards(conn), own_values(conn), aside)
