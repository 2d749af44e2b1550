"""One line of the log: what people type into it, and the kind word when it cannot be right."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal

from domain.dates import format_day
from domain.errors import NotUnderstood
from domain.money import divide_cents, parse_unit_cost
from domain.units import format_minutes, format_quantity, format_time_of_day, parse_minutes, parse_quantity
from domain.units.durations import WORK_BEGINS, parse_time_span, parse_time_spans
from domain.units.numbers import tidy

DAY_MINUTES = 24 * 60
SOURCES = ("stock", "receipt")
MILE = "mile"

ALL_WORDS = {"a", "all", "yes", "y"}
"""What says: as quoted."""
_NONE = {"0", "n", "no", "none", "-"}
_WITH_UNIT = re.compile(r"(?P<number>[-+.,0-9½¼¾/ ]*[0-9½¼¾])\s*(?P<unit>[a-zA-Z][a-zA-Z ]*)")


@dataclass(frozen=True, slots=True)
class TypedHours:
    """Time as typed: how long, and from when if it was typed as a span."""

    minutes: int
    began: int | None = None  # minute of the day
    stretches: tuple[tuple[int, int], ...] = ()  # (begin, end) of each, when several were typed

    @property
    def parts(self) -> tuple[tuple[int, int | None], ...]:
        """(minutes, begin) of each entry that it makes."""
        if not self.stretches:
            return ((self.minutes, self.began),)
        return tuple((end - begin, begin % DAY_MINUTES) for begin, end in self.stretches)


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of one person's time with its place in the day."""

    day: date
    began: int  # minute of the day
    minutes: int

    def meets(self, other: Stretch) -> bool:
        """True when both share at least one minute; one may run past midnight into the other's day."""
        mine, theirs = _since_epoch(self), _since_epoch(other)
        return mine < theirs + other.minutes and theirs < mine + self.minutes


def _since_epoch(stretch: Stretch) -> int:
    return stretch.day.toordinal() * DAY_MINUTES + stretch.began


def parse_hours(text: str) -> TypedHours | None:
    """Read ``2h15``, ``2.25``, ``7-3``, ``8-12 and 1-4``; None for nothing or zero: no entry. Raises NotUnderstood."""
    if not text.strip():
        return None
    spans = parse_time_spans(text)
    if len(spans) == 1:
        return TypedHours(spans[0][1] - spans[0][0], spans[0][0] % DAY_MINUTES)
    minutes = parse_minutes(text)
    if minutes and (problem := minutes_problem(minutes)):
        raise NotUnderstood(problem, text)
    return TypedHours(minutes, None, spans) if minutes else None


def format_hours(minutes: int, began: int | None) -> str:
    """The same in print: ``8:15-10:30`` when it has a place in the day, else ``2 h 15``; `parse_hours` reads it back.

    A stretch past midnight names the halves of day, ``10:00pm-1:00am``; one from a morning past midnight is a length.
    So does one in the night that would be read as an afternoon's, ``1:00am-4:00am``.
    """
    if began is not None and began + minutes >= DAY_MINUTES:  # bare clock times would end before they start
        evening_to_morning = began >= DAY_MINUTES // 2 and (began + minutes) % DAY_MINUTES < DAY_MINUTES // 2
        return f"{_half_day(began)}-{_half_day(began + minutes)}" if evening_to_morning else format_minutes(minutes)
    if began is None:
        return format_minutes(minutes)
    words = f"{format_time_of_day(began)}-{format_time_of_day(began + minutes)}"
    if began >= WORK_BEGINS or parse_time_span(words) == (began, began + minutes):
        return words
    return f"{_half_day(began)}-{_half_day(began + minutes)}"


def _half_day(minute: int) -> str:
    hours, rest = divmod(minute % DAY_MINUTES, 60)
    return f"{(hours - 1) % 12 + 1}:{rest:02}{'pm' if hours >= 12 else 'am'}"


def parse_use(text: str, quoted: Decimal, unit: str = "") -> Decimal:
    """Read how much was used: ``a`` or ``all`` is all that was quoted, ``0`` or ``none`` is nothing, else a quantity.

    Raises NotUnderstood, also for less than nothing.
    """
    word = tidy(text)
    if word in ALL_WORDS:
        return quoted
    if word in _NONE:
        return Decimal(0)
    quantity = parse_quantity(text, unit)
    if quantity < 0:
        raise NotUnderstood("Less than nothing cannot be used. For what goes back to stock, lower the entry.", text)
    return quantity


def day_problem(day: date, opened_on: date, today: date | None) -> str:
    """Why nothing can be logged on this day, "" when it can; without `today` the future is not looked at."""
    if today is not None and day > today:
        return f"{format_day(day)} has not come yet; the log is for work that is done."
    if day < opened_on:
        return f"The job was opened on {format_day(opened_on)}, after {format_day(day)}."
    return ""


def minutes_problem(minutes: int) -> str:
    """Why a stretch of time cannot stand in the log, "" when it can: more than nothing, a day at most."""
    if minutes <= 0:
        return "Type how long it took; an entry of no time at all says nothing."
    if minutes > DAY_MINUTES:
        return f"{format_minutes(minutes)} is more than a day has. Split it over the days it was worked on."
    return ""


def timer_minutes(started_at: datetime, stopped_at: datetime, round_to: int = 1) -> int:
    """Minutes that passed between two moments, to the nearest `round_to` minutes (half up), never less than none.

    Moments with an offset are compared as such, so a change to or from summer time or another time zone in between
    changes nothing. Where one of them has none (a clock started by an older program), the wall times are compared.
    """
    return divide_cents(max(passed_seconds(started_at, stopped_at), 0), 60 * round_to) * round_to


def passed_seconds(started_at: datetime, stopped_at: datetime) -> int:
    """Whole seconds between two moments, below nothing when the second lies before the first."""
    if started_at.tzinfo is None or stopped_at.tzinfo is None:
        passed = stopped_at.replace(tzinfo=None) - started_at.replace(tzinfo=None)
    else:  # in UTC first: within one zone Python would compare the wall times
        passed = stopped_at.astimezone(UTC) - started_at.astimezone(UTC)
    return int(passed.total_seconds())


def quantity_problem(quantity: Decimal, unit: str) -> str:
    """Why a quantity cannot stand in the log, "" when it can."""
    if quantity <= 0:
        return "Type how many; an entry of none says nothing."
    if not unit.strip():
        return f"Say what {format_quantity(quantity)} is counted in: each, ft, mile ..."
    return ""


@dataclass(frozen=True, slots=True)
class TypedUse:
    """A quantity as typed, with what was said about its unit and price."""

    quantity: Decimal
    unit: str  # "" when none was typed
    unit_cost: Decimal | None  # typed after an @: the price paid for one
    receipt: str  # words after the price


def parse_typed_use(text: str, quoted: Decimal, unit: str = "") -> TypedUse:
    """Read ``12``, ``all``, ``none``, ``12 ft``, ``2 @ 4.10`` (paid 4.10 for one) or ``2 @ 4.10 till 8812``.

    Args:
        quoted: what ``all`` means.
        unit: the unit it must be counted in; "" when the person says which.

    Raises NotUnderstood.
    """
    amount, at, paid = text.partition("@")
    unit_cost, receipt = None, ""
    if at:
        price, _, receipt = paid.strip().partition(" ")
        unit_cost = parse_unit_cost(price)
        if unit_cost < 0:
            raise NotUnderstood("A price below nothing cannot be right. Type what was paid for one.", text)
    if unit:
        return TypedUse(parse_use(amount, quoted, unit), "", unit_cost, receipt.strip())
    match = _WITH_UNIT.fullmatch(amount.strip())
    if match is None:
        return TypedUse(parse_use(amount, quoted), "", unit_cost, receipt.strip())
    return TypedUse(parse_use(match["number"], quoted), match["unit"].strip(), unit_cost, receipt.strip())
