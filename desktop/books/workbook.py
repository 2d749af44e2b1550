"""The bookkeeper's workbook: Margins, Jobs, Hours and Materials, with formulas that can be followed to each entry."""

from __future__ import annotations

import os
import secrets
from collections.abc import Callable
from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import Any

from sqlalchemy import Connection

from db.company_file.files import make_private
from db.queries.entries import hours_rows, spent_rows
from db.queries.margins import all_job_results, jobs_within, purchase_tax_percents, still_to_come
from desktop.books.entry_sheets import write_hours, write_materials
from desktop.books.jobs_sheet import write_jobs
from desktop.books.margins_sheet import write_margins
from domain.costing import GROUPINGS, margins_of

Progress = Callable[[int, int], bool]
"""Told (rows written, rows in all); False stops the writing."""

_EVERY = 250


class Stopped(Exception):
    """The owner stopped the writing; nothing was left behind."""


def write_workbook(
    conn: Connection,
    path: Path,
    *,
    from_: date | None = None,
    to: date | None = None,
    progress: Progress | None = None,
) -> Path:
    """Write the workbook; a file of that name is replaced only when the new one is whole.

    Args:
        from_, to: days of closing, both included; None for no end. Open jobs are listed but not counted.
        progress: told now and then how far it is; False stops it.

    Raises:
        Stopped: by the progress.
        OSError: the folder is missing, the disk is full, or the file is open in another program.
    """
    fresh = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
    make_private(fresh)
    try:
        _fill(conn, from_, to, progress).save(fresh)
        os.replace(fresh, path)
    finally:
        with suppress(OSError):
            fresh.unlink()
    return path


def _fill(conn: Connection, from_: date | None, to: date | None, progress: Progress | None) -> Any:
    from openpyxl import Workbook

    book = Workbook(write_only=True)
    book.properties.creator = "Riserbook"
    book.calculation.fullCalcOnLoad = True
    try:
        _write_sheets(book, conn, from_, to, progress)
    except BaseException:
        _discard(book)
        raise
    book._sheets.sort(key=lambda sheet: ("Margins", "Jobs", "Hours", "Materials").index(sheet.title))
    return book


def _write_sheets(
    book: Any, conn: Connection, from_: date | None, to: date | None, progress: Progress | None
) -> None:
    within = jobs_within(from_, to)
    jobs = all_job_results(conn, from_=from_, to=to)
    hours, spent = hours_rows(conn, within), spent_rows(conn, within)
    lines = {job.number: line for line, job in enumerate(jobs, 1)}
    step = _counter(progress, len(jobs) + len(hours) + len(spent))
    conditions = sorted({name for job in jobs for name in job.conditions})
    hours_sheet = write_hours(book, lines, hours, step)
    materials_sheet = write_materials(book, lines, spent, step)
    percents = purchase_tax_percents(conn, within)
    to_come = still_to_come(conn, [job.job_id for job in jobs if job.running])
    jobs_sheet = write_jobs(
        book, jobs, percents, to_come, conditions, hours_sheet.range, materials_sheet.range, step
    )
    write_margins(book, [margins_of(jobs, by, from_, to) for by in GROUPINGS], jobs_sheet.range)


def _discard(book: Any) -> None:
    """Close the half-written sheets, whose rows lie in temporary files, and take those away."""
    for sheet in book.worksheets:
        sheet.close()
        sheet._writer.cleanup()


def _counter(progress: Progress | None, total: int) -> Callable[[], None]:
    done = 0

    def step() -> None:
        nonlocal done
        done += 1
        if progress is not None and done % _EVERY == 0 and not progress(done, total):
            raise Stopped

    return step
