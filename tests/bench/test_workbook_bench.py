"""The workbook of a year takes at most 1.3 times what openpyxl alone needs for the same cells in the same formats."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from db.company_file import create_company
from desktop.books.workbook import write_workbook
from tests.bench.big_company import fill_big_company

pytestmark = pytest.mark.bench

BAR = 1.3
ROUNDS = 5
YEAR = (date(2025, 1, 1), date(2025, 12, 31))

Cells = list[tuple[str, list[list[tuple[Any, str]]]]]


def cells_of(path: Path) -> Cells:
    """Every sheet's rows as (value, number format)."""
    from openpyxl import load_workbook

    return [
        (page.title, [[(cell.value, cell.number_format) for cell in row] for row in page.iter_rows()])
        for page in load_workbook(path).worksheets
    ]


def written_with_openpyxl_alone(cells: Cells, path: Path) -> None:
    """The same values in the same formats, the quickest way the library has."""
    from openpyxl import Workbook
    from openpyxl.cell import WriteOnlyCell

    book = Workbook(write_only=True)
    for title, rows in cells:
        page = book.create_sheet(title)
        for row in rows:
            line = []
            for value, number_format in row:
                if value is None:
                    line.append(None)
                    continue
                cell = WriteOnlyCell(page, value)
                cell.number_format = number_format
                line.append(cell)
            page.append(line)
    book.save(path)


def seconds(work: Callable[[], object]) -> float:
    """Processor seconds of one run."""
    began = time.process_time()
    work()
    return time.process_time() - began


def test_the_workbook_of_a_year(tmp_path: Path) -> None:
    with create_company(tmp_path / "Firm.riserbook", "Firm", "Ida Kvale", date(2024, 1, 1)) as company:
        with company.writing() as conn:
            fill_big_company(conn, 500)  # fifty jobs a year, for ten years
        ours_path, plain_path = tmp_path / "year.xlsx", tmp_path / "plain.xlsx"
        with company.read() as conn:
            write_workbook(conn, ours_path, from_=YEAR[0], to=YEAR[1])
            cells = cells_of(ours_path)
            written_with_openpyxl_alone(cells, plain_path)
            ours, plain = [], []
            for _ in range(ROUNDS):
                ours.append(seconds(lambda: write_workbook(conn, ours_path, from_=YEAR[0], to=YEAR[1])))
                plain.append(seconds(lambda: written_with_openpyxl_alone(cells, plain_path)))
    count = sum(value is not None for _, rows in cells for row in rows for value, _ in row)
    ratio = statistics.median(ours) / statistics.median(plain)
    print(
        f"\nworkbook of a year, {count:,} cells: {statistics.median(ours) * 1000:.0f} ms,"
        f" {ratio:.2f} x openpyxl alone (bar {BAR})"
    )
    assert ratio <= BAR
