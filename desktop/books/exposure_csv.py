"""The exposure log as plain csv: one row an entry; hours and levels with a point, UTF-8, comma-separated."""

from __future__ import annotations

from pathlib import Path

from db.queries.exposure_log import ExposureLog
from desktop.books.csv_file import write_rows
from domain.units import format_hours_decimal

_HEADS = ("day", "person", "job", "place", "hours (decimal)", "level pCi/L", "level from", "equilibrium %",
          "exposure WLM", "note")  # fmt: skip


def write_exposure_csv(log: ExposureLog, path: Path) -> Path:
    """Write one row an entry. Raises OSError."""
    rows = [
        [
            one.entry.day.isoformat(), one.person, one.job_number, one.place,
            format_hours_decimal(one.entry.minutes).replace(",", ""), f"{one.entry.level.normalize():f}",
            one.entry.level_from, f"{one.entry.equilibrium_percent.normalize():f}", f"{one.wlm:f}",
            one.entry.note,
        ]
        for one in log.entries
    ]  # fmt: skip
    return write_rows(path, _HEADS, rows)
