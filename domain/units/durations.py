"""Time worked, in whole minutes: read as people type it, printed as they read it."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

from domain.errors import NotUnderstood, as_typed
from domain.money import divide_cents
from domain.units.numbers import plain, read_number, tidy, to_places

LARGEST_MINUTES = 6_000_000
"""A hundred thousand hours: more than a working life, so a slip of the finger."""

LARGEST_BARE_HOURS = 24
"""A bare number is hours; above this it is more likely minutes, so we ask."""

_DAY = 24 * 60
_HALF_DAY = 12 * 60
_TIME = r"(?P<{0}_hour>[0-9]{{1,2}}):?(?P<{0}_minute>[0-9]{{2}})?\s*(?P<{0}_half>[ap])?(?:\.?m\.?)?"
_SPAN = re.compile(_TIME.format("start") + r"\s*(?:[-\u2013\u2014]|to|until|till|til)\s*" + _TIME.format("end"))
_DOTTED = re.compile(r"[0-9]{1,2}(?:\.[0-9]{2})?\s*(?:[-\u2013\u2014]|to|until|till|til)\s*[0-9]{1,2}(?:\.[0-9]{2})?")
_BETWEEN = re.compile(r"\s*(?:\band\b|[,;&+])\s*")
_COMMA = re.compile(r"(?<![0-9,.])(?P<whole>[0-9]*),(?P<part>[0-9]{1,2})(?![0-9,.])")
"""A comma with one or two digits behind it can only be a decimal comma."""

LONGEST_GUESS = 11 * 60
"""Minutes: a stretch without am or pm is taken past noon only while it is no longer than a long day's work."""

WORK_BEGINS, WORK_ENDS = 6 * 60, 20 * 60
"""Minutes of the day: a bare stretch before it that would end by evening is an afternoon's (ours, no source)."""

_CLOCK = re.compile(r"(?P<hours>[0-9]+):(?P<minutes>[0-9]{2})")
_HOURS = re.compile(
    r"(?P<hours>.+?)\s*h(?:r|rs|our|ours)?\.?"
    r"(?:\s*(?:and\s*)?(?P<minutes>[0-9]+)\s*(?:m(?:in|ins|inute|inutes)?)?\.?)?"
)
_MINUTES = re.compile(r"(?P<minutes>.+?)\s*m(?:in|ins|inute|inutes)?\.?")

_EXAMPLES = "Write it like 2h15, 2:15, 2.25 (hours), 45m or 8:15-10:30."


def _clock_time(hour: str, minute: str | None, half: str | None, typed: str) -> int:
    """Minute of the day of one typed time."""
    hours, minutes = int(hour), int(minute or 0)
    last = 12 if half else 24
    if minutes > 59 or hours > last or (half and hours == 0) or (hours == 24 and minutes):
        raise NotUnderstood(f"{as_typed(typed)} has a time that no clock shows. {_EXAMPLES}", typed)
    if half:
        hours = hours % 12 + (12 if half == "p" else 0)
    return hours * 60 + minutes


def _same_half(start: int, end: int, start_half: str | None, end_half: str | None) -> tuple[int, int]:
    """Give the unmarked one of two times the half of day that makes the shorter stretch of the same day."""
    if start_half and not end_half and end < 13 * 60:
        end = end % _HALF_DAY + (_HALF_DAY if start_half == "p" else 0)
        if end <= start and start_half == "a":
            end += _HALF_DAY
    elif end_half and not start_half and start < 13 * 60:
        start = start % _HALF_DAY + (_HALF_DAY if end_half == "p" else 0)
        if start >= end and end_half == "p":
            start -= _HALF_DAY
    return start, end


def _past_noon(start: int, end: int, halves: tuple[str | None, str | None], typed: str) -> int:
    """The end of a stretch, past noon when that is the only day's work it can be: 7-3 ends at 15:00.

    From half past eleven in the evening on, or longer than a long day, nothing is assumed. Raises NotUnderstood.
    """
    if end >= start or halves != (None, None) or start >= 13 * 60 or end >= _HALF_DAY:
        return end
    later = end + _HALF_DAY
    if later - start > LONGEST_GUESS:
        raise NotUnderstood(
            f"{as_typed(typed)} ends before it starts, or is a very long day. Write the half of day: 8am-5pm.", typed
        )
    return later


def _span(text: str, typed: str) -> tuple[int, int] | None:
    match = _SPAN.fullmatch(text)
    if match is None:
        return None
    start_half, end_half = match["start_half"], match["end_half"]
    start = _clock_time(match["start_hour"], match["start_minute"], start_half, typed)
    end = _clock_time(match["end_hour"], match["end_minute"], end_half, typed)
    start, end = _same_half(start, end, start_half, end_half)
    if start_half == "p" and end_half == "a" and end < start:
        end += _DAY
    end = _past_noon(start, end, (start_half, end_half), typed)
    if end == start:
        raise NotUnderstood(f"{as_typed(typed)} starts and ends at the same time. Change one of them.", typed)
    if end < start:
        raise NotUnderstood(
            f"{as_typed(typed)} ends before it starts. Write the half of day: 8am-5pm, or 10pm-1am.", typed
        )
    return start, end


def parse_time_spans(text: str) -> tuple[tuple[int, int], ...]:
    """Read one stretch of the day or several: ``7-3``, ``8-12 and 12:30-4``; () when the text is none.

    Each in minutes after midnight of the day it starts on. Without am or pm an end before its start is past noon
    (``8:15-2:45``), and a stretch that follows another comes after it (``8-12 and 1-4``). What would begin in the night
    and can be an afternoon's is one (``1-4``; not ``5-9``, nor ``01:00-04:00`` as a clock of 24 hours writes it).
    A span past midnight must say so (``10pm-1am``); its end is then beyond 1440. Raises NotUnderstood.
    """
    tidied = tidy(text).removeprefix("from ").replace("noon", "12:00pm")
    if len(tidied) > 80:
        return ()
    parts = _BETWEEN.split(tidied)
    spans: list[tuple[int, int]] = []
    for part in parts:
        span = _span(part, text)
        if span is None:
            if _DOTTED.fullmatch(part):
                raise NotUnderstood(f"{as_typed(text)}: write times of day with a colon, 7:30-3:30.", text)
            return ()
        spans.append(span)
    bare = [not re.search("[ap]|^0", part) for part in parts]
    if bare[0] and spans[0][0] >= 60 and spans[0][0] < WORK_BEGINS:
        afternoon = _one_after_another([_later(spans[0]), *spans[1:]], bare)
        if afternoon and afternoon[-1][1] <= WORK_ENDS:
            return afternoon
    made = _one_after_another(spans, bare)
    if not made:
        raise NotUnderstood(f"{as_typed(text)}: the stretches overlap. Write each with am or pm.", text)
    return made


def _later(span: tuple[int, int]) -> tuple[int, int]:
    return span[0] + _HALF_DAY, span[1] + _HALF_DAY


def _one_after_another(spans: list[tuple[int, int]], bare: list[bool]) -> tuple[tuple[int, int], ...]:
    """Each stretch after the one before it, past noon where it says no half of day; () when they overlap."""
    made = spans[:1]
    for span, free in zip(spans[1:], bare[1:], strict=True):
        if span[0] < made[-1][1]:
            if not free or span[1] >= _HALF_DAY or span[0] + _HALF_DAY < made[-1][1]:
                return ()
            span = _later(span)
        made.append(span)
    return tuple(made)


def parse_time_span(text: str) -> tuple[int, int] | None:
    """Read one stretch as :func:`parse_time_spans` does; None when the text is none or more than one."""
    spans = parse_time_spans(text)
    return spans[0] if len(spans) == 1 else None


def _read_minutes(text: str, typed: str) -> Fraction | None:
    """Minutes, unrounded, of a duration without a sign; None when it is not one."""
    if clock := _CLOCK.fullmatch(text):
        whole, rest = Fraction(int(clock["hours"])), int(clock["minutes"])
    elif hours := _HOURS.fullmatch(text):
        number = read_number(hours["hours"])
        if number is None:
            return None
        if hours["minutes"] is None:
            return number * 60
        whole, rest = number, int(hours["minutes"])
    elif minutes := _MINUTES.fullmatch(text):
        return read_number(minutes["minutes"])
    else:
        number = read_number(text)
        if number is not None and number > LARGEST_BARE_HOURS:
            raise NotUnderstood(
                f"{as_typed(typed)} alone means hours. Write {text}m for minutes or {text}h for hours.", typed
            )
        return None if number is None else number * 60
    if rest > 59 or whole.denominator != 1:
        raise NotUnderstood(f"{as_typed(typed)}: whole hours, then minutes up to 59. {_EXAMPLES}", typed)
    return whole * 60 + rest


def parse_minutes(text: str, allow_negative: bool = False) -> int:
    """Read a duration in minutes, rounded half up.

    Understands ``2h15``, ``2 h 15``, ``2:15``, ``2.25`` (hours), ``2 1/2 h``, ``150m``, ``8:15-10:30``,
    ``7-3``, ``8-12 and 12:30-4``, ``,5``.
    A bare number is hours, up to 24. Less than no time is refused unless ``allow_negative``.
    Raises NotUnderstood.
    """
    tidied = tidy(text)
    if not tidied:
        raise NotUnderstood(f"Type how long it took. {_EXAMPLES}", text)
    if len(tidied) > 40:
        raise NotUnderstood(f"{as_typed(text)} is not a length of time. {_EXAMPLES}", text)
    if spans := parse_time_spans(text):
        return sum(end - start for start, end in spans)
    tidied = _COMMA.sub(lambda found: f"{found['whole'] or 0}.{found['part']}", tidied)
    negative = tidied.startswith("-")
    if negative and not allow_negative:
        raise NotUnderstood(f"{as_typed(text)} is less than no time at all. Leave out the minus.", text)
    exact = _read_minutes(tidied.lstrip("+-").strip() if tidied[:1] in "+-" else tidied, text)
    if exact is None:
        raise NotUnderstood(f"{as_typed(text)} is not a length of time. {_EXAMPLES}", text)
    if exact > LARGEST_MINUTES:
        raise NotUnderstood(f"{as_typed(text)} is more than 100,000 hours. Check the number.", text)
    minutes = divide_cents(*exact.as_integer_ratio())
    return -minutes if negative else minutes


def format_minutes(minutes: int, signed: bool = False) -> str:
    """Print ``3 h 10``, ``2 h`` or, under an hour, ``45 min``; with ``signed`` more reads ``+45 min``."""
    sign = "-" if minutes < 0 else "+" if signed and minutes > 0 else ""
    hours, rest = divmod(abs(minutes), 60)
    if not hours:
        return f"{sign}{rest} min"
    return f"{sign}{hours:,} h {rest:02}" if rest else f"{sign}{hours:,} h"


def format_whole_hours(minutes: int) -> str:
    """Print the time of many jobs in whole hours, half up: ``1,359 h``."""
    return format_minutes(divide_cents(minutes, 60) * 60) if abs(minutes) >= 60 else format_minutes(minutes)


def format_unit_minutes(minutes: Decimal) -> str:
    """Print the minutes of one unit of work, which may be parts of one: ``2.5 min``."""
    return f"{plain(minutes)} min"


def format_hours_decimal(minutes: int) -> str:
    """Print minutes as hours with two places, half up: 135 -> ``2.25``. Only for columns that a spreadsheet sums."""
    return f"{to_places(Fraction(minutes, 60), 2):,.2f}"


def format_clock(minute: int) -> str:
    """Print a minute of the day as people say it: ``8 am``, ``1:30 pm``, ``noon``."""
    hours, rest = divmod(minute % _DAY, 60)
    if not rest and hours in (0, 12):
        return "noon" if hours else "midnight"
    half, shown = "am" if hours < 12 else "pm", hours % 12 or 12
    return f"{shown}:{rest:02} {half}" if rest else f"{shown} {half}"


def format_time_of_day(minute: int) -> str:
    """Print a minute of the day as it stands in a stretch, ``8:15``; one past midnight as the next day's time."""
    hours, rest = divmod(minute % _DAY, 60)
    return f"{hours}:{rest:02}"
