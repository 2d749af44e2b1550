"""Reads a price file, xlsx or csv, into rows of text; what cannot be read is said in words, and nothing is changed."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from db.company_file.problems import Refused
from db.price_limits import LARGEST_FILE, MOST_COLUMNS, MOST_ROWS, MOST_ROWS_LOOKED_AT, WHOLE_CATALOG, Watch
from domain.leaving import one_line
from domain.price_import import SheetRow

_LONGEST_LINE = 400_000


@dataclass(frozen=True, slots=True)
class PriceFile:
    """A file that was read: its rows with their numbers, and how it was understood."""

    rows: tuple[SheetRow, ...]
    sheets: tuple[str, ...]  # of a workbook; empty for a text file
    sheet: str
    understood_as: str  # e.g. "text, separated by semicolons, utf-8"


def read_price_file(
    path: Path, sheet: str | None = None, going: Callable[[], bool] = lambda: True
) -> PriceFile:
    """Read a workbook's sheet (None: the first with anything on it) or a text file, within `db.price_limits`.

    Args:
        path: the file.
        sheet: its name.
        going: asked again and again; False stops the reading.

    Raises:
        Refused: it cannot be read; the message says what to do.
    """
    path, watch = Path(path), Watch(going)
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
        raise Refused(*WHOLE_CATALOG)
    if head.startswith(b"\xd0\xcf\x11\xe0"):
        raise Refused(
            f"“{path.name}” is locked with a password, or of the old xls kind.",
            "Open it in a spreadsheet program, take the password off, save it as xlsx or csv, and read that.",
        )
    if head.startswith(b"PK"):
        from db.price_workbook import read_sheet

        rows, sheets, chosen = read_sheet(path, sheet, watch)
        found = PriceFile(tuple(rows), sheets, chosen, "workbook")
    elif head.startswith(b"%PDF"):
        raise Refused(f"“{path.name}” is a PDF.", "Ask the supplier for the list as xlsx or csv.")
    else:
        found = _read_text(path, watch)
    if not found.rows:
        raise Refused(f"“{path.name}” has no rows with anything in them.", "Choose another file or sheet.")
    return found


def _read_text(path: Path, watch: Watch) -> PriceFile:
    text, encoding = _decode(path)
    separator = _separator(text)
    rows = []
    reader = csv.reader(_lines(path, text, watch), delimiter=separator)
    try:
        before = 0
        for cells in reader:
            number, before = before + 1, reader.line_num
            if any(cell.strip() for cell in cells):
                texts = (one_line(watch.cell(cell.strip())) for cell in cells[:MOST_COLUMNS])
                rows.append(SheetRow(number, tuple(texts)))
            if len(rows) > MOST_ROWS or number > MOST_ROWS_LOOKED_AT:
                raise Refused(*WHOLE_CATALOG)
    except csv.Error as error:
        raise Refused(
            f"Row {reader.line_num} of “{path.name}” cannot be taken apart; a quotation mark may be missing.",
            "Correct that row, or save the list as xlsx.",
        ) from error
    names = {",": "commas", ";": "semicolons", "\t": "tabs"}
    return PriceFile(tuple(rows), (), "", f"text, separated by {names[separator]}, {encoding}")


def _lines(path: Path, text: str, watch: Watch) -> Iterator[str]:
    """The lines; one so long that it cannot be a row is refused before it is taken apart."""
    for number, line in enumerate(io.StringIO(text, newline=""), 1):
        if number % 256 == 1:
            watch.check()
        if len(line) > _LONGEST_LINE:
            raise Refused(
                f"Row {number} of “{path.name}” has more than {_LONGEST_LINE:,} letters; it may not be a price list.",
                "Choose another file, or save the list as xlsx.",
            )
        yield line


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
    lines = [line for line in text[:_LONGEST_LINE].splitlines()[:80] if line.strip()][:40]

    def evenness(sign: str) -> tuple[float, int]:
        try:
            widths = [len(cells) for cells in csv.reader(lines, delimiter=sign)]
        except csv.Error:
            return (0, 0)
        usual = max(set(widths), key=lambda width: (widths.count(width), width)) if widths else 1
        return (widths.count(usual) / len(widths) if usual > 1 else 0, usual)

    return max((";", "\t", ","), key=evenness)


