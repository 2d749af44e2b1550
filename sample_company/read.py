"""Reads the data files into stories; a slip in a file is told with the job and the word it is in."""

from __future__ import annotations

import csv
import tomllib
import types
import typing
from dataclasses import MISSING, fields, is_dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, TypeVar, cast

from domain.units import parse_minutes
from sample_company.story import Customer, House, Story

DATA = Path(__file__).resolve().parent / "data"
Part = TypeVar("Part")


class Slip(ValueError):
    """A data file says something that cannot be read."""


def read_stories() -> list[Story]:
    """Every job, in the order of their numbers."""
    stories = [
        _part(Story, {"number": number, "tale": number, **told}, number)
        for path in sorted(DATA.glob("jobs-*.toml"))
        for number, told in _toml(path).items()
    ]
    return sorted(stories, key=lambda story: story.number)


def read_houses() -> dict[str, House]:
    """Houses by key."""
    return {
        row["key"]: House(
            key=row["key"], customer=row["customer"], street=row["street"], town=row["town"], postcode=row["postcode"],
            built=int(row["built"]) if row["built"] else None, storeys=row["storeys"],
            foundation=tuple(row["foundation"].split(" + ")), existing=row["existing"] == "yes",
            existing_by=row["existing_by"], note=row["note"],
        )
        for row in rows("houses.csv")
    }  # fmt: skip


def read_customers() -> dict[str, Customer]:
    """Customers by name."""
    return {
        row["name"]: Customer(
            name=row["name"], kind=row["kind"], phones=_labelled(row["phones"]), mails=_labelled(row["mails"]),
            billing=row["billing"], note=row["note"],
            archived=date.fromisoformat(row["archived"]) if row["archived"] else None,
        )
        for row in rows("customers.csv")
    }  # fmt: skip


def read_toml(name: str) -> dict[str, Any]:
    """A TOML file of the data folder; numbers with a point are exact."""
    return _toml(DATA / name)


def rows(name: str) -> list[dict[str, str]]:
    """The rows of a CSV file of the data folder."""
    with (DATA / name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def _toml(path: Path) -> dict[str, Any]:
    with path.open("rb") as file:
        return tomllib.load(file, parse_float=Decimal)


def _labelled(text: str) -> tuple[tuple[str, str], ...]:
    """``home: (294) 555-0101; work: ...`` as pairs; the label may be missing."""
    pairs = [entry.strip().rpartition(": ") for entry in text.split(";") if entry.strip()]
    return tuple((label, value) for label, _, value in pairs)


@cache
def _hints(kind: Any) -> dict[str, Any]:
    return typing.get_type_hints(kind)


def _part(kind: type[Part], told: dict[str, Any], where: str) -> Part:
    hints = _hints(cast(Any, kind))
    if unknown := set(told) - set(hints):
        raise Slip(f"{where}: nothing is known by the name of {', '.join(sorted(unknown))}")
    values: dict[str, Any] = {}
    for field in fields(kind):  # type: ignore[arg-type]
        if field.name in told:
            values[field.name] = _value(hints[field.name], told[field.name], f"{where}, {field.name}")
        elif typing.get_origin(hints[field.name]) is not None and _is_mapping(hints[field.name]):
            values[field.name] = {}
        elif field.default is MISSING:
            raise Slip(f"{where}: {field.name} is missing")
    return kind(**values)


def _is_mapping(hint: Any) -> bool:
    return isinstance(typing.get_origin(hint), type) and issubclass(typing.get_origin(hint), typing.Mapping)


def _value(hint: Any, told: Any, where: str) -> Any:
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin in (types.UnionType, typing.Union):
        return _value(next(one for one in inner if one is not type(None)), told, where)
    if origin is tuple:
        return tuple(_value(inner[0], one, where) for one in told)
    if _is_mapping(hint):
        return {name: _value(inner[1], one, where) for name, one in told.items()}
    if is_dataclass(hint) and isinstance(hint, type):
        return _part(hint, told, where)
    if hint is Decimal and isinstance(told, int | Decimal) and not isinstance(told, bool):
        return Decimal(told)
    if hint is int and isinstance(told, str):
        return parse_minutes(told)
    if not isinstance(told, hint):
        raise Slip(f"{where}: {told!r} is not a {hint.__name__}")
    return told
