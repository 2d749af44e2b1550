"""Hours that are possible and unlikely: questioned kindly, never refused."""

from __future__ import annotations

from domain.units import count_of, format_minutes

MANY_TIMES = 4
"""An entry of more than this many times what is quoted for its task may be a slip (common practice, no source)."""
LEAST = 4 * 60
"""Minutes: shorter entries are not questioned, whatever was quoted."""
LONG_ENTRY = 12 * 60
"""Minutes: one entry longer than this is questioned also where nothing is quoted (common practice, no source)."""
LONG_DAY = 15 * 60
"""Minutes of one person on one day that are questioned (common practice, no source)."""


def entry_doubt(task: str, minutes: int, quoted_minutes: int) -> str:
    """Why these minutes on a task may be a slip, as a question; "" when nothing speaks for one."""
    if minutes < LEAST or not (minutes > LONG_ENTRY or 0 < MANY_TIMES * quoted_minutes < minutes):
        return ""
    quoted = f", quoted at {format_minutes(quoted_minutes)}" if quoted_minutes else ""
    hours, rest = divmod(minutes, 60)
    slip = f" For {count_of(hours, 'minute')} type {hours}m." if not rest else ""
    return f"{format_minutes(minutes)} on {task}{quoted}: is that right?{slip}"


def day_doubt(person: str, minutes: int) -> str:
    """Why a day of one person may be a slip, as a question; "" when it is not that long."""
    return f"{format_minutes(minutes)} on one day for {person}: is that right?" if minutes > LONG_DAY else ""
