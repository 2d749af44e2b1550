"""Which rolling backups are kept: the ten made last and the last of each month, whatever a wrong clock dated them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from typing import Protocol, TypeVar

KEPT = 10
"""How many of the newest rolling backups are kept; older ones stay as one a month, the month's last."""

LONG_PAUSE = timedelta(days=180)
"""A longer leap from one backup to the next may be a wrong clock: what was made before it is kept by itself."""

_BACK = timedelta(days=1)  # less is the end of daylight saving or another time zone


class Dated(Protocol):
    """A backup: when it says it was made."""

    @property
    def made_at(self) -> datetime: ...


Kept = TypeVar("Kept", bound=Dated)


def to_let_go(made: Sequence[Kept]) -> list[Kept]:
    """The backups that are no longer needed, of all rolling ones in the order they were made, first to last.

    The order tells which is newest, never a date alone. Where the clock leaps (far ahead, or back) a new stretch
    begins, and each stretch keeps its own ten and its own months: so evenings dated years ahead by a wrong clock
    never push the real ones out, and when the clock is put right its evenings do not push out those.
    """
    return [backup for stretch in _stretches(made) for backup in _of_one_stretch(stretch)]


def _of_one_stretch(stretch: Sequence[Kept]) -> Iterable[Kept]:
    months: set[tuple[int, int]] = set()
    for place, backup in enumerate(reversed(stretch)):
        month = (backup.made_at.year, backup.made_at.month)
        if place >= KEPT and month in months:
            yield backup
        months.add(month)


def _stretches(made: Sequence[Kept]) -> list[list[Kept]]:
    stretches: list[list[Kept]] = []
    before: datetime | None = None
    for backup in made:
        if before is None or backup.made_at < before - _BACK or backup.made_at > before + LONG_PAUSE:
            stretches.append([])
        stretches[-1].append(backup)
        before = backup.made_at
    return stretches
