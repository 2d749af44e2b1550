"""The owner's own values of the standards table: what was typed, whether it can be meant, and the whole list.

An owner's value says what is asked where the owner works ("the county asks 4 ft"). It counts from its first day
wherever the figure is looked up, beside the program's own, which stays in the table to compare and to go back to.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from domain.dates import format_day
from domain.errors import NotUnderstood, as_typed
from domain.money import format_unit_cost
from domain.standards import COMPUTED, STANDARD_KEYS, STANDARDS, Standard, standard_on
from domain.standards.groups import group_of
from domain.standards.table import find_on
from domain.units import format_percent
from domain.units.lengths import parse_length_ft
from domain.units.numbers import plain, read_signed, tidy, to_places

PLACES = 6
FAR = 10
"""An own value may be this many times more or less than the program's: farther off it is taken for a slip."""

MAY_BE_NOTHING = frozenset(
    (
        "kerf_in", "wire_slack_in", "primer_share_percent", "membrane_upturn_in", "membrane_overlap_in",
        "support_fan_in", "support_shortest_ft", "indicator_tubing_ft", "after_fan_hours", "closed_house_hours",
        "discharge_above_grade_ft", "discharge_from_opening_ft", "discharge_above_opening_ft",
        "discharge_above_opening_newer_ft", "discharge_above_roof_in", "discharge_from_wall_ft",
        "federal_unemployment_credit", "self_employment_floor", "day_begins_hours", "laboratory_days", "closing_hours",
    )
)  # fmt: skip
"""Figures that can sensibly be zero."""

NOT_MORE_THAN = (
    ("noise_fpm", "velocity_fpm"),
    ("two_inch_cfm", "three_inch_cfm"),
    ("consider_level", "action_level"),
    ("federal_unemployment_credit", "federal_unemployment"),
    ("day_begins_hours", "day_ends_hours"),
)
"""Pairs of keys whose first may not be over the second."""

_UNIT_WORDS = {
    "ft": ("ft", "feet", "foot", "'"),
    "in": ("in", "inches", "inch", '"'),
    "in per ft": ("in per ft", "in/ft", "in a foot", "in per foot", "inch per foot", '" per ft', '"/ft', '"/\'', "in"),
    "ft per min": ("ft per min", "ft/min", "fpm"),
    "%": ("%", "percent"),
    "pCi/L": ("pci/l",),
    "Bq/m3": ("bq/m3", "bq/m³", "bq"),
    "dollars per mile": ("dollars per mile", "dollars a mile", "a mile", "per mile", "/mile", "dollars"),
    "dollars a year": ("dollars a year", "a year", "per year", "dollars"),
    "sq in": ("sq in", "in2"),
    "sq ft": ("sq ft", "ft2"),
    "hours": ("hours", "hour", "h"),
    "days": ("days", "day"),
    "years": ("years", "year"),
    "joints": ("joints", "joint"),
}
_CENTS = ("cents", "cent", "¢", "c")
_WHOLE = ("days", "years")
_WITHIN = {"day_begins_hours": 23, "day_ends_hours": 23, "closing_hours": 23, "working_days": 7}


@dataclass(frozen=True, slots=True)
class OwnValue:
    """One own value as it is kept; ``value`` is a decimal as text, ``ends_on`` the last day it counts."""

    id: int
    standard_key: str
    starts_on: date
    value: str
    source: str
    note: str
    ends_on: date | None


@dataclass(frozen=True, slots=True)
class StandardRow:
    """One figure of the list: what counts on the day, what the program has, what the owner ever said."""

    key: str
    group: str
    now: Standard
    built_in: Standard
    own: tuple[OwnValue, ...]  # newest first
    set_aside: bool = False  # the owner chose another rule in its place

    @property
    def label(self) -> str:
        """``Supports along a horizontal run``."""
        return self.built_in.label[:1].upper() + self.built_in.label[1:]

    @property
    def unit(self) -> str:
        """The unit of all its values."""
        return self.built_in.unit

    @property
    def can_change(self) -> bool:
        """False for what follows from a definition."""
        return self.built_in.seen != COMPUTED

    @property
    def ends_now(self) -> OwnValue | None:
        """The own value that counts now, which going back would end."""
        if not self.now.is_own:
            return None
        return next((one for one in self.own if one.starts_on == self.now.starts_on), None)


def standard_rows(
    day: date, own: Sequence[Standard], kept: Iterable[OwnValue], set_aside: Collection[str] = ()
) -> list[StandardRow]:
    """Every figure of the table, in the order of the groups; before the table begins, its first row."""
    values: dict[str, list[OwnValue]] = {}
    for one in kept:
        values.setdefault(one.standard_key, []).append(one)
    rows = []
    for key, table in _by_key(STANDARDS).items():
        on = max(day, min(row.starts_on for row in table))
        mine = tuple(sorted(values.get(key, ()), key=lambda one: one.starts_on, reverse=True))
        now = find_on(key, on, (*table, *(row for row in own if row.key == key)))
        rows.append(StandardRow(key, group_of(key), now, find_on(key, on, table), mine, key in set_aside))
    return rows


def _by_key(table: Iterable[Standard]) -> dict[str, list[Standard]]:
    found: dict[str, list[Standard]] = {}
    for row in table:
        found.setdefault(row.key, []).append(row)
    return found


def value_words(value: Decimal, unit: str) -> str:
    """``4 ft``, ``0.125 in per ft``, ``$0.725 per mile``, ``40%``."""
    if unit.startswith("dollars"):
        return f"{format_unit_cost(value)} {unit.removeprefix('dollars ')}"
    return format_percent(value) if unit == "%" else f"{plain(value)} {unit}"


def parse_own_value(key: str, text: str) -> Decimal:
    """Read an own value in the unit of its figure: ``4``, ``4 ft``, ``48 in``, ``1/8``, ``70 cents``, ``$0.70``.

    Raises KeyError for a figure the table does not have, NotUnderstood for what cannot be read or meant: less than
    nothing, more than ten times the program's figure or less than a tenth, over 100%, half a day.
    """
    built_in = next(row for row in reversed(STANDARDS) if row.key == key) if key in STANDARD_KEYS else None
    if built_in is None:
        raise KeyError(key)
    if not text.strip():
        raise NotUnderstood(f"Type the value, like {value_words(built_in.value, built_in.unit)}.", text)
    number = _read(text, built_in.unit)
    if number is None:
        raise NotUnderstood(
            f"{as_typed(text)} is not understood. Type it in {built_in.unit}, like "
            f"{value_words(built_in.value, built_in.unit)}.", text,
        )  # fmt: skip
    value = _short(to_places(number, PLACES))
    if problem := _cannot_be(built_in, value):
        raise NotUnderstood(problem, text)
    return value


def check_own_value(key: str, value: Decimal, day: date, own: Iterable[Standard]) -> None:
    """Raise NotUnderstood where a value cannot be, by itself or beside its neighbour in force on the day."""
    built_in = next(row for row in reversed(STANDARDS) if row.key == key)
    if problem := _cannot_be(built_in, value):
        raise NotUnderstood(problem, plain(value))
    own = tuple(own)
    for lower, upper in NOT_MORE_THAN:
        if key not in (lower, upper):
            continue
        other = standard_on(upper if key == lower else lower, max(day, STANDARDS[0].starts_on), own)
        if (value > other.value) if key == lower else (value < other.value):
            least = "more" if key == lower else "less"
            raise NotUnderstood(
                f"This cannot be {least} than “{other.label}”, which is {value_words(other.value, other.unit)} on "
                f"{format_day(day)}. Change that one first.", plain(value),
            )  # fmt: skip


def _cannot_be(built_in: Standard, value: Decimal) -> str:
    unit = built_in.unit
    if built_in.seen == COMPUTED:
        return f"“{built_in.label}” follows from a definition and cannot be changed."
    if not value.is_finite() or value < 0:
        return "Less than nothing cannot be. Type the number itself."
    if value == 0:
        return "" if built_in.key in MAY_BE_NOTHING else "Zero cannot be meant here. Type what is asked."
    if unit == "%" and value > 100:
        return "More than 100% cannot be."
    if built_in.key == "fill_round_up_from" and value > 1:
        return "Type a part of one wire, like 0.8."
    if unit in _WHOLE and value != int(value):
        return f"Type whole {unit}."
    if built_in.key in _WITHIN and value > _WITHIN[built_in.key]:
        return f"There are no more than {_WITHIN[built_in.key]} {unit} to choose from."
    if not built_in.value / FAR <= value <= built_in.value * FAR:
        low, high = (value_words(_short(number), unit) for number in (built_in.value / FAR, built_in.value * FAR))
        return (
            f"{value_words(value, unit)} is far from the {value_words(built_in.value, unit)} of the table. "
            f"Check the number: from {low} to {high} can be kept."
        )
    return ""


def _short(value: Decimal) -> Decimal:
    """Without zeros at the end, and without an exponent."""
    return Decimal(format(value.normalize(), "f"))


def _read(text: str, unit: str) -> Fraction | None:
    words = " ".join(tidy(text).split())
    if unit.startswith("dollars"):
        words = words.removeprefix("$").strip()
        for suffix in _CENTS:
            for tail in (suffix, f"{suffix} a mile", f"{suffix} per mile"):
                if words.endswith(tail) and (cents := read_signed(words.removesuffix(tail))) is not None:
                    return cents / 100
    for suffix in ("", unit.lower(), *_UNIT_WORDS.get(unit, ())):
        if words.endswith(suffix) and (number := read_signed(words.removesuffix(suffix).strip())) is not None:
            return number
    return _length(words, unit) if unit in ("ft", "in") and not words.startswith("-") else None


_METRIC = re.compile(r"(?P<number>[0-9.,/ ]+?) ?(?P<unit>mm|cm|m|in|inches|inch|\"|ft|feet|foot|')")
_IN_INCHES = {"mm": Fraction(10, 254), "cm": Fraction(100, 254), "m": Fraction(10000, 254)}


def _length(words: str, unit: str) -> Fraction | None:
    """A length in another unit than the figure's own, exact; ``4'6"`` to a thousandth of a foot."""
    found = _METRIC.fullmatch(words)
    number = read_signed(found["number"]) if found else None
    if found is not None and number is not None:
        inches = number * _IN_INCHES.get(found["unit"], Fraction(1 if found["unit"][0] in 'i"' else 12))
    else:
        try:
            inches = Fraction(parse_length_ft(words, unit)) * 12
        except NotUnderstood:
            return None
    return inches / 12 if unit == "ft" else inches
