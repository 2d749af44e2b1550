"""What every table shares: the metadata with its naming convention and the exact column types."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from sqlalchemy import Column, Dialect, ForeignKey, Integer, MetaData
from sqlalchemy.types import TypeDecorator

METADATA = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)


class ScaledDecimal(TypeDecorator[Decimal]):
    """A Decimal kept as a whole number of its smallest step, so that no binary fraction is ever stored."""

    impl = Integer
    cache_ok = True
    places = 0

    def process_bind_param(self, value: Any, dialect: Dialect) -> int | None:
        if value is None:
            return None
        scaled = Decimal(value).scaleb(self.places)
        whole = int(scaled)
        if scaled != whole:
            raise ValueError(f"{value} has more than {self.places} decimal places")
        return whole

    def process_result_value(self, value: Any, dialect: Dialect) -> Decimal | None:
        return None if value is None else Decimal(value).scaleb(-self.places)


class UnitCost(ScaledDecimal):
    """Dollars for one unit, to a hundredth of a cent (stored as an integer of 1/10000 dollar)."""

    places = 4
    cache_ok = True


class Quantity(ScaledDecimal):
    """An amount of a named unit, to a thousandth (stored as an integer of 1/1000 unit)."""

    places = 3
    cache_ok = True


class Percent(ScaledDecimal):
    """Percent, 15 meaning 15%, to a thousandth, as tax rates need (stored as an integer of 1/1000%)."""

    places = 3
    cache_ok = True


def key() -> Column[int]:
    """The row's own number."""
    return Column("id", Integer, primary_key=True)


def ref(name: str, target: str, *, optional: bool = False, index: bool = True) -> Column[int]:
    """A column that points at another table's row; a row that is pointed at cannot be deleted."""
    return Column(name, Integer, ForeignKey(f"{target}.id"), nullable=optional, index=index)
