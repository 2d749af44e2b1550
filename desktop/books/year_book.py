"""The year's workbook: sales, tax, receivables, payables, miles, subcontractors, work in progress and the ledger.

It begins with the sheets of the margins workbook. Sums are formulas over the sheets that list each paper, so every
figure can be followed; the tests recalculate them with another program and hold them against the screen.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

from sqlalchemy import Connection

from desktop.books.book import Book, new_book
from desktop.books.money_sheets import (
    write_ledger,
    write_miles,
    write_open_bills,
    write_open_invoices,
    write_paid,
    write_progress,
    write_sales,
)
from desktop.books.workbook import Progress, write_job_sheets

ORDER = (
    "Margins", "Balance", "Sales", "Tax", "Receivables", "Payables", "Subcontractors", "Paid", "Miles", "Progress",
    "Ledger", "Jobs", "Hours", "Materials",
)  # fmt: skip


def write_year_book(
    conn: Connection, path: Path, year: int, today: date, progress: Progress | None = None
) -> Path:
    """Write the workbook of a year; what is owed stands as on its last day, or today while the year runs.

    A file of that name is replaced only when the new one is whole. The progress tells of the jobs' sheets.

    Raises:
        desktop.books.workbook.Stopped: by the progress.
        OSError: the folder is missing, the disk is full, or the file is open in another program.
        NotUnderstood: a year before the tables of rates begin.
    """
    first, last = date(year, 1, 1), date(year, 12, 31)
    with new_book(path, ORDER) as book:
        write_job_sheets(book, conn, first, last, progress)
        _write_money(book, conn, first, last, min(last, today))
    return path


def _write_money(book: Book, conn: Connection, first: date, last: date, day: date) -> None:
    write_sales(book, conn, first, last)
    write_open_invoices(book, conn, day)
    write_open_bills(book, conn, day)
    write_paid(book, conn, first, last)
    write_miles(book, conn, first, last)
    write_progress(book, conn)
    write_ledger(book, conn, first, last)
