"""Beside every formula of a workbook stands what it comes to, as a program that knows nothing of ours works it out."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.worksheet.formula import ArrayFormula
from sqlalchemy import Connection

from desktop.books.workbook import write_workbook
from desktop.books.year_book import ORDER, write_year_book
from tests.desktop.other_program import worked_out
from tests.sample.test_recount import EVENING


@pytest.fixture(
    scope="module",
    params=[pytest.param("all", marks=pytest.mark.long), pytest.param(2025, marks=pytest.mark.long), 2026],
)
def written(request: pytest.FixtureRequest, sample: Connection, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder: Path = tmp_path_factory.mktemp("values")
    if request.param == "all":
        return write_workbook(sample, folder / "All.xlsx")
    return write_year_book(sample, folder / "Year.xlsx", request.param, EVENING)


def formulas(book: Workbook) -> Iterator[tuple[str, str]]:
    for page in book:
        for row in page.iter_rows():
            for cell in row:
                if isinstance(cell.value, ArrayFormula) or cell.data_type == "f":
                    yield page.title, cell.coordinate


def same(value: Any, found: Any) -> bool:
    if isinstance(value, (int, float)) and isinstance(found, (int, float)):
        return abs(value - found) <= 1e-9 * max(1, abs(found))
    return (value or "") == (found or "")  # empty text and no value look alike


def test_every_formula_shows_what_another_program_works_out(written: Path, tmp_path: Path) -> None:
    """In the ordinary run the year's workbook alone, which has every sheet; the marker `long` takes all of them."""
    with_values, told = load_workbook(written, data_only=True), worked_out(written, tmp_path)
    wrong, count, empty = [], 0, 0
    for title, place in formulas(load_workbook(written)):
        value, found = with_values[title][place].value, told[title][place].value
        count, empty = count + 1, empty + (value is None)
        if not same(value, found):
            wrong.append((title, place, value, found))
    assert wrong == []
    assert count > 2_000
    assert empty < count / 20, "cells whose formula says nothing are few"
    if tuple(told.sheetnames) == ORDER:
        assert any(row[0].value for row in told["Progress"].iter_rows(min_row=2, max_row=2))
