"""Reads a sheet of a workbook row by row, in bounds: what stands where, what is merged, which formula has no value.

The library that knows workbooks takes each row apart; which parts are opened and how far they are read is decided
here, because a small file can speak of a million rows, of merged cells without end, or unpack to any size. A part
with a document type is refused: such parts must not have one (ECMA-376 part 2, on XML in packages; from memory).
"""

from __future__ import annotations

import re
import warnings
import zipfile
from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

from db.company_file.problems import Refused
from db.price_limits import (
    LARGEST_PART,
    MOST_COLUMNS,
    MOST_PARTS,
    MOST_ROWS,
    MOST_ROWS_LOOKED_AT,
    WHOLE_CATALOG,
    Watch,
    Watched,
)
from domain.leaving import one_line
from domain.price_import import FORMULA, MERGED, SheetRow

_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_AREA = re.compile(r"\$?([A-Z]{1,3})\$?([0-9]{1,7})(?::\$?([A-Z]{1,3})\$?([0-9]{1,7}))?")
_LAST_ROW = 1_048_576
_NO_VALUE = object()

Read = tuple[list[SheetRow], tuple[str, ...], str]


def read_sheet(path: Path, sheet: str | None, watch: Watch) -> Read:
    """The rows of a sheet, the names of all sheets, and the name of the one read (None: the first with cells).

    Raises:
        Refused: it is no workbook, damaged, too large, or the watch ended it.
    """
    try:
        with _Packed(path, watch) as packed, warnings.catch_warnings():
            warnings.simplefilter("ignore")  # pictures, styles and checks of the sheet are not ours to keep
            return _read(path, packed, sheet, watch)
    except Refused:
        raise
    except Exception as error:  # whatever a broken part makes the library, the XML or the unpacking stumble over
        raise damaged(path) from error


def damaged(path: Path) -> Refused:
    """What is said of a workbook that cannot be read."""
    return Refused(
        f"“{path.name}” is not a workbook this program can read, or it is damaged.",
        "Open it in a spreadsheet program and save it as xlsx or csv.",
    )


class _Packed(zipfile.ZipFile):
    """The file whose parts are only ever read within bounds, whatever they are called."""

    def __init__(self, path: Path, watch: Watch) -> None:
        super().__init__(path)
        self._path, self._watch = path, watch
        if len(self.infolist()) > MOST_PARTS:
            raise self._too_large()

    def open(self, name: Any, mode: Any = "r", pwd: Any = None, *, force_zip64: bool = False) -> Any:
        part = name if isinstance(name, zipfile.ZipInfo) else self.getinfo(name)
        if part.file_size > LARGEST_PART:
            raise self._too_large()
        return Watched(super().open(part, mode, pwd, force_zip64=force_zip64), self._watch)

    def _too_large(self) -> Refused:
        return Refused(
            f"“{self._path.name}” is far larger inside than a price list.",
            "Keep the rows you buy, save it under another name, and read that.",
        )


def _read(path: Path, packed: _Packed, sheet: str | None, watch: Watch) -> Read:
    from openpyxl.reader.excel import ExcelReader

    reader = ExcelReader(path, read_only=True, data_only=True, keep_links=False)
    reader.archive.close()
    reader.archive = packed
    reader.read()
    pages = reader.wb.worksheets
    if not pages:
        raise Refused(f"“{path.name}” has no sheet with cells.", "Choose another file.")
    chosen = next((page for page in pages if page.title == sheet), None)
    formulas = False
    for page in [chosen] if chosen is not None else pages:
        rows, has_formulas = _rows_of(page, watch)
        formulas = formulas or has_formulas
        if rows or chosen is not None:
            return _or_refused(path, rows, formulas), tuple(one.title for one in pages), page.title
    return _or_refused(path, [], formulas), tuple(one.title for one in pages), pages[0].title


def _or_refused(path: Path, rows: list[SheetRow], formulas: bool) -> list[SheetRow]:
    if not rows and formulas:
        raise Refused(
            f"“{path.name}” holds formulas whose values were not saved.",
            "Open it in a spreadsheet program, save it there, and read it again.",
        )
    return rows


def _rows_of(page: Any, watch: Watch) -> tuple[list[SheetRow], bool]:
    """The rows with something in them, and whether any formula of the sheet is without its value."""
    found: dict[int, dict[int, str]] = {}
    merges: list[tuple[int, int, int, int]] = []
    formulas = False
    for number, cells in _parts_of(page, merges):
        watch.check()
        texts: dict[int, str] = {}
        for cell in cells:
            column, value = cell["column"], cell["value"]
            if value is _NO_VALUE:
                formulas = True
            if 1 <= column <= MOST_COLUMNS and value not in (None, ""):
                texts[column] = FORMULA if value is _NO_VALUE else _as_text(value, watch)
        if any(text not in ("", FORMULA) for text in texts.values()):
            found[number] = texts
        if len(found) > MOST_ROWS:
            raise Refused(*WHOLE_CATALOG)
    _mark_merged(found, merges, watch)
    width = max((max(texts) for texts in found.values()), default=0)
    rows = [
        SheetRow(number, tuple(texts.get(column, "") for column in range(1, width + 1)))
        for number, texts in sorted(found.items())
    ]
    return rows, formulas


def _parts_of(page: Any, merges: list[tuple[int, int, int, int]]) -> Iterator[tuple[int, list[dict[str, Any]]]]:
    """Each row's number and cells; the merged areas are put into `merges` as they come by."""
    from openpyxl.worksheet._reader import FORMULA_TAG, WorkSheetParser
    from openpyxl.xml.functions import iterparse

    class Parser(WorkSheetParser):
        def parse_cell(self, element: Any) -> dict[str, Any]:
            cell: dict[str, Any] = super().parse_cell(element)
            if cell["value"] is None and element.find(FORMULA_TAG) is not None:
                cell["value"] = _NO_VALUE
            return cell

    book = page.parent
    with page._get_source() as source:
        parser = Parser(
            source, page._shared_strings, data_only=True, epoch=book.epoch, date_formats=book._date_formats,
            timedelta_formats=book._timedelta_formats,
        )  # fmt: skip
        count = 0
        for _, element in iterparse(source):
            if element.tag == f"{_MAIN}row":
                number, cells = parser.parse_row(element)
                element.clear()
                count += 1
                if count > MOST_ROWS_LOOKED_AT:
                    raise Refused(*WHOLE_CATALOG)
                if not 1 <= number <= _LAST_ROW:
                    raise ValueError("a row that no sheet has")
                yield number, cells
            elif element.tag == f"{_MAIN}mergeCell":
                if (area := _area(element.get("ref", ""))) is not None:
                    merges.append(area)
                element.clear()


def _area(reference: str) -> tuple[int, int, int, int] | None:
    """First and last row, first and last column; None for what is no area."""
    from openpyxl.utils import column_index_from_string

    words = _AREA.fullmatch(reference)
    if words is None or words[3] is None:
        return None
    columns = sorted(min(column_index_from_string(words[n]), MOST_COLUMNS + 1) for n in (1, 3))
    first, last = sorted((int(words[2]), int(words[4])))
    return first, last, columns[0], columns[1]


def _mark_merged(
    found: dict[int, dict[int, str]], merges: list[tuple[int, int, int, int]], watch: Watch
) -> None:
    """Put a mark into every cell that is hidden beneath the first of its area, in the rows that are there."""
    numbers = sorted(found)
    for top, bottom, left, right in merges:
        for number in numbers[bisect_left(numbers, top) : bisect_right(numbers, bottom)]:
            watch.check()
            for column in range(left, min(right, MOST_COLUMNS) + 1):
                if (number, column) != (top, left):
                    found[number][column] = MERGED


def _as_text(value: Any, watch: Watch) -> str:
    if isinstance(value, float):
        return _number_text(value)
    return one_line(watch.cell(str(value)))


def _number_text(value: float) -> str:
    """A cell's number without the dust of binary fractions; never three decimals, which look like thousands."""
    text = format(Decimal(repr(round(value, 9))), "f") if value == value and abs(value) < 1e15 else str(value)
    whole, point, part = text.partition(".")
    part = part.rstrip("0")
    if not part:
        return whole
    return f"{whole}{point}{part}0" if len(part) == 3 else f"{whole}{point}{part}"
