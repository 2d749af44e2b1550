"""Cents in SQL, rounded exactly as the domain rounds them: whole numbers in, half up, away from zero.

Quantities and unit costs are stored as whole thousandths and ten-thousandths, so every product is a whole number
and no binary fraction is involved. Where it can grow large, one factor is widened to 64 bits, for databases whose
integers are smaller.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import BigInteger, ColumnElement, Integer, case, cast, type_coerce


def as_stored(column: Any) -> ColumnElement[int]:
    """The whole number behind a scaled column, without any conversion."""
    return type_coerce(column, Integer)


def quotient(top: ColumnElement[int], bottom: int) -> ColumnElement[int]:
    """top / bottom to the nearest whole number, half away from zero; bottom is even and positive.

    Integer division cuts towards zero on SQLite and PostgreSQL alike.
    """
    half = bottom // 2
    rounded: ColumnElement[int] = (top + case((top < 0, -half), else_=half)) // bottom
    return rounded


def time_cents(minutes: Any, rate_cents: Any) -> ColumnElement[int]:
    """As `domain.money.labour_cents`; a line's product fits 32 bits by far. A correction may be below nothing."""
    return quotient(minutes * rate_cents, 60)


def amount_cents(quantity: Any, unit_cost: Any) -> ColumnElement[int]:
    """As `domain.money.line_cents`: thousandths x ten-thousandths of a dollar make 1/100,000 cent."""
    return quotient(cast(as_stored(quantity), BigInteger) * as_stored(unit_cost), 100_000)
