"""Reads a price file, xlsx or csv, into rows of text; what cannot be read is said in words, and nothing is changed."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

from db.company_file.problems import Refused
from domain.price_import import FORMULA, MERGED, SheetRow

MOST_ROWS = 10_000
LARGEST_FILE = 40_000_000
LARGEST_UNPACKED = 400_000_000
_COLUMNS = 60
_WHOLE_CATALOGUE = (
    f"It has more than {MOST_ROWS:,} rows, which looks like a whole catalog.",
    "Keep the rows you buy, save it under another name, and read that.",
)


@dataclass(frozen=True, slots=True)
class PriceFile:
    """A file that was read: its rows with their numbers, and how it was understood."""

    rows: tuple[SheetRow, ...]
    sheets: tuple[str, ...]  # of a workbook; empty for a text file
    sheet: str
    understood_as: str  # e.g. "text, separated by semicolons, utf-8"


def read_price_file(path: Path, sheet: str | None = None) -> PriceFile:
    """Read a workbook's sheet (None: the first with anything on it) or a text file.

    Raises:
        Refused: it cannot be read; the message says what to do.
    """
    path = Path(path)
    try:
        size = path.stat().st_size
        head = path.open("rb").read(8) if path.is_file() else b""
    except OSError as error:
        raise Refused(
            f"“{path.name}” cannot be opened.", "Check that it is still there and not open elsewhere."
        ) from error
    if not path.is_file():
        raise Refused(f"“{path.name}” is a folder.", "Choose the price file itself.")
    if size == 0:
        raise Refused(f"“{path.name}” is empty.", "Choose another file.")
    if size > LARGEST_FILE:
        raise Refused(*_WHOLE_CATALOGUE)
    if head.startswith(b"\xd0\xcf\x11\xe0"):
        raise Refused(
            f"“{path.name}” is locked with a password, or of the old xls kind.",
            "Open it in a spreadsheet program, take the password off, save it as xlsx or csv, and read that.",
        )
    if head.startswith(b"PK"):
        found = _read_workbook(path, sheet)
    elif head.startswith(b"%PDF"):
        raise Refused(f"“{path.name}” is a PDF.", "Ask the supplier for the list as xlsx or csv.")
    else:
        found = _read_text(path)
    if not found.rows:
        raise Refused(f"“{path.name}” has no rows with anything in them.", "Choose another file or sheet.")
    return found


def _read_text(path: Path) -> PriceFile:
    text, encoding = _decode(path)
    separator = _separator(text)
    rows = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    try:
        before = 0
        for cells in reader:
            number, before = before + 1, reader.line_num
            if any(cell.strip() for cell in cells):
                rows.append(SheetRow(number, tuple(_clean(cell) for cell in cells[:_COLUMNS])))
            if len(rows) > MOST_ROWS:
                raise Refused(*_WHOLE_CATALOGUE)
    except csv.Error as error:
        raise Refused(
            f"Row {reader.line_num} of “{path.name}” cannot be taken apart; a quotation mark may be missing.",
            "Correct that row, or save the list as xlsx.",
        ) from error
    names = {",": "commas", ";": "semicolons", "\t": "tabs"}
    return PriceFile(tuple(rows), (), "", f"text, separated by {names[separator]}, {encoding}")


def _decode(path: Path) -> tuple[str, str]:
    raw = path.read_bytes()
    encodings = ["utf-16"] if raw[:2] in (b"\xff\xfe", b"\xfe\xff") else ["utf-8-sig", "cp1252"]
    for encoding in encodings:
        try:
            text = raw.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\x00" not in text:
            shown = {"utf-8-sig": "utf-8", "cp1252": "Windows letters"}.get(encoding, encoding)
            return text, shown
    raise Refused(
        f"The letters in “{path.name}” cannot be read; it may not be a price list at all.",
        "Save the list as xlsx, or as csv in UTF-8.",
    )


def _separator(text: str) -> str:
    """The sign that cuts the first lines into most columns, evenly."""
    lines = [line for line in text.splitlines()[:80] if line.strip()][:40]

    def evenness(sign: str) -> tuple[float, int]:
        try:
            widths = [len(cells) for cells in csv.reader(lines, delimiter=sign)]
        except csv.Error:
            return (0, 0)
        usual = max(set(widths), key=lambda width: (widths.count(width), width)) if widths else 1
        return (widths.count(usual) / len(widths) if usual > 1 else 0, usual)

    return max((";", "\t", ","), key=evenness)


def _clean(text: str) -> str:
    return text.replace("\x00", "").strip()


def _read_workbook(path: Path, sheet: str | None) -> PriceFile:
    _refuse_strange_workbook(path)
    book = _load(path, values=True)
    try:
        names = [one.title for one in book.worksheets]
        if not names:
            raise Refused(f"“{path.name}” has no sheet with cells.", "Choose another file.")
        chosen = next((one for one in book.worksheets if one.title == sheet), None) or next(
            (one for one in book.worksheets if one.max_row > 1 or one["A1"].value is not None), book.worksheets[0]
        )
        rows = _rows_of(chosen)
        if not rows or any("" in row.cells for row in rows):
            rows = _with_formulas_marked(path, chosen.title, rows)
    finally:
        book.close()
    if len(rows) > MOST_ROWS:
        raise Refused(*_WHOLE_CATALOGUE)
    return PriceFile(tuple(rows), tuple(names), chosen.title, "workbook")


def _refuse_strange_workbook(path: Path) -> None:
    """Look at the outside of a workbook before its cells are unpacked."""
    damaged = Refused(
        f"“{path.name}” is not a workbook this program can read, or it is damaged.",
        "Open it in a spreadsheet program and save it as xlsx or csv.",
    )
    try:
        with zipfile.ZipFile(path) as packed:
            parts = packed.infolist()
            sheets = [part for part in parts if re.fullmatch(r"xl/worksheets/[^/]+\.xml", part.filename)]
            if not sheets:
                raise damaged
            if sum(part.file_size for part in parts) > LARGEST_UNPACKED:
                raise Refused(*_WHOLE_CATALOGUE)
            if all(_row_count(packed, part) > 2 * MOST_ROWS for part in sheets):
                raise Refused(*_WHOLE_CATALOGUE)
    except (zipfile.BadZipFile, OSError, RuntimeError, NotImplementedError) as error:
        raise damaged from error


def _row_count(packed: zipfile.ZipFile, part: zipfile.ZipInfo) -> int:
    """How many rows a sheet's part speaks of, without building them."""
    count, tail = 0, b""
    with packed.open(part) as stream:
        while chunk := stream.read(1 << 20):
            joined = tail + chunk
            count += joined.count(b"<row ")
            tail = joined[-4:]
    return count


def _load(path: Path, values: bool) -> Any:
    import warnings

    from openpyxl import load_workbook

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # pictures, styles and checks of the sheet are not ours to keep
            return load_workbook(path, data_only=values, keep_links=False)
    except Exception as error:  # the library raises whatever a broken part makes it stumble over
        raise Refused(
            f"“{path.name}” is not a workbook this program can read, or it is damaged.",
            "Open it in a spreadsheet program and save it as xlsx or csv.",
        ) from error


def _rows_of(sheet: Any) -> list[SheetRow]:
    merged = {
        (row, column)
        for area in sheet.merged_cells.ranges
        for row in range(area.min_row, min(area.max_row, area.min_row + MOST_ROWS) + 1)
        for column in range(area.min_col, min(area.max_col, _COLUMNS) + 1)
        if (row, column) != (area.min_row, area.min_col)
    }
    rows = []
    for number, cells in enumerate(sheet.iter_rows(values_only=True, max_col=min(sheet.max_column, _COLUMNS)), 1):
        if any(cell not in (None, "") for cell in cells):
            texts = (MERGED if (number, n) in merged else _as_text(cell) for n, cell in enumerate(cells, 1))
            rows.append(SheetRow(number, tuple(texts)))
    return rows


def _as_text(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value)
    if isinstance(value, float):
        return _number_text(value)
    return _clean(str(value))


def _number_text(value: float) -> str:
    """A cell's number without the dust of binary fractions; never three decimals, which look like thousands."""
    text = format(Decimal(repr(round(value, 9))), "f") if value == value and abs(value) < 1e15 else str(value)
    whole, point, part = text.partition(".")
    part = part.rstrip("0")
    if not part:
        return whole
    return f"{whole}{point}{part}0" if len(part) == 3 else f"{whole}{point}{part}"


def _with_formulas_marked(path: Path, title: str, rows: list[SheetRow]) -> list[SheetRow]:
    """Put a mark where a cell looks empty only because a formula's value was never saved."""
    book = _load(path, values=False)
    try:
        sheet = book[title]
        if not rows and any(_is_formula(cell) for cells in sheet.iter_rows(values_only=True) for cell in cells):
            raise Refused(
                f"“{path.name}” holds formulas whose values were not saved.",
                "Open it in a spreadsheet program, save it there, and read it again.",
            )
        marked = []
        for row in rows:
            cells = tuple(
                FORMULA if cell == "" and _is_formula(sheet.cell(row.number, column).value) else cell
                for column, cell in enumerate(row.cells, 1)
            )
            marked.append(SheetRow(row.number, cells))
        return marked
    finally:
        book.close()


def _is_formula(value: Any) -> bool:
    return (isinstance(value, str) and value.startswith("=")) or type(value).__name__ == "ArrayFormula"
