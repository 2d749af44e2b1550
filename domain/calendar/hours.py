"""An hour of the day as people type it."""

from __future__ import annotations

import re

from domain.errors import NotUnderstood

EARLIEST_BARE = 6
"""A bare hour before this is one of the afternoon: nobody means 2 at night. Shown as it was read."""

_CLOCK = re.compile(
    r"(?P<hour>[0-9]{1,2})(?:[:.]?(?P<minute>[0-9]{2}))?\s*(?P<half>[ap])?(?:\.?m\.?)?", re.IGNORECASE
)
_WORDS = {"noon": 12 * 60, "midday": 12 * 60, "midnight": 0}


def parse_clock(text: str) -> int:
    """Read ``8``, ``8:30``, ``830``, ``1pm``, ``13:00``, ``noon`` as a minute of the day.

    A bare hour from 1 to 5 is taken for the afternoon; write 2am or 02:00 for the night. Raises NotUnderstood.
    """
    typed = " ".join(text.lower().split())
    if typed in _WORDS:
        return _WORDS[typed]
    match = _CLOCK.fullmatch(typed)
    if match is None:
        raise NotUnderstood(f"“{text.strip()}” is not a time of day. Write it like 8, 8:30, 1 pm or noon.", text)
    hour, minute, half = int(match["hour"]), int(match["minute"] or 0), match["half"]
    if minute > 59 or hour > (12 if half else 23) or (half and hour == 0):
        raise NotUnderstood(f"“{text.strip()}” is a time that no clock shows. Write it like 8:30 or 1 pm.", text)
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    elif 0 < hour < EARLIEST_BARE and not match["hour"].startswith("0"):
        hour += 12
    return hour * 60 + minute
