"""The bookkeeper's workbook: Margins, Jobs, Hours and Materials, with formulas that can be followed to each entry."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

from sqlalchemy import Connection

from db.queries.entries import hours_rows, spent_rows
from db.queries.margins import all_job_results, jobs_within, purchase_tax_percents, still_to_come
from desktop.books.book import Book, new_book
from desktop.books.entry_sheets import spent_by_job, write_hours, write_materials
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
    with new_book(path, ("Margins", "Jobs", "Hours", "Materials")) as book:
        write_job_sheets(book, conn, from_, to, progress)
    return path


def write_job_sheets(
    book: Book, conn: Connection, from_: date | None, to: date | None, progress: Progress | None
) -> None:
    """Fill the sheets Margins, Jobs, Hours and Materials; arguments and errors as in `write_workbook`."""
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
        book, jobs, spent_by_job(hours, spent), percents, to_come, conditions, hours_sheet.range,
        materials_sheet.range, step,
    )  # fmt: skip
    write_margins(book, [margins_of(jobs, by, from_, to) for by in GROUPINGS], jobs_sheet.range)


def _counter(progress: Progress | None, total: int) -> Callable[[], None]:
    done = 0

    def step() -> None:
        nonlocal done
        done += 1
        if progress is not None and done % _EVERY == 0 and not progress(done, total):
            raise Stopped

    return step
