"""One worksheet: columns with formats and widths, text that stays text, formulas that name columns by key."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from domain.leaving import looks_like_a_formula, many_lines

if TYPE_CHECKING:
    from openpyxl.worksheet._write_only import WriteOnlyWorksheet

MONEY = '"$"#,##0.00;[Red]-"$"#,##0.00'
UNIT_COST = '"$"#,##0.00##'
SHARE = "0.0%;[Red]-0.0%"
CHANGE = "+0.0%;-0.0%;0.0%"
HOURS = "#,##0.00"
COUNT = "#,##0"
QUANTITY = "#,##0.###"
DAY = "mmm d, yyyy"
MONTH = '0000"-"00'
"""A month kept as the number 202603 reads 2026-03."""
PLAIN = "General"
_AT_MOST = {MONEY: (190, '"≤ $"#,##0.00;[Red]"≤ -$"#,##0.00'), SHARE: (191, '"≤ "0.0%;[Red]"≤ "-0.0%')}
"""Number and code of the formats of figures that may be too high; those of the cells begin at 164."""

_ONE_PAGE_WIDE = 260
"""Sheets up to so many letters wide are printed on pages of one width; wider ones would be too small to read."""

_LONGEST_CELL = 32_767
"""Letters a cell may hold (ECMA-376 has no limit; that of common spreadsheets, from memory)."""

_LOOKS_ESCAPED = re.compile("_(?=x[0-9A-Fa-f]{4}_)")
"""In a workbook ``_x000A_`` means a line end (ECMA-376 part 1, 22.9.2.19, from memory); as typed it is text."""
_KEY = re.compile(r"\{(\w+)\}")


def cell_words(text: str) -> str:
    """Text as a cell takes it: what a person can read, not longer than a cell is."""
    words = many_lines(text)
    if "_x" in words:
        words = _LOOKS_ESCAPED.sub("_x005F_", words)
    return words if len(words) <= _LONGEST_CELL else f"{words[: _LONGEST_CELL - 1]}…"


class Formula(str):
    """A formula, begun with "="; ``{key}`` stands for the cell of that column in the same row."""


@dataclass(frozen=True, slots=True)
class SheetColumn:
    """A column: what it is called and how it looks."""

    key: str
    title: str
    width: float
    format: str = PLAIN


class Sheet:
    """Writes rows one after the other; knows the address of every column."""

    def __init__(self, book: Any, title: str, columns: Sequence[SheetColumn]) -> None:
        from openpyxl.styles import Alignment, Font, PatternFill
        from openpyxl.utils import get_column_letter

        self.page: WriteOnlyWorksheet = book.create_sheet(title)
        self.title, self.columns, self.rows = title, tuple(columns), 0
        self._letters = {column.key: get_column_letter(n) for n, column in enumerate(columns, 1)}
        self._styles: dict[tuple[str, bool, bool], Any] = {}
        self._strong = Font(name="Calibri", size=11, bold=True)  # the face of a new workbook's other cells
        self._head_fill = PatternFill("solid", fgColor="FFEAE3D5")
        self._head_lines = Alignment(wrap_text=True, vertical="top")
        self._head_figures = Alignment(wrap_text=True, vertical="top", horizontal="right")
        for column in columns:
            self.page.column_dimensions[self._letters[column.key]].width = column.width
        self._write_head()

    def _write_head(self) -> None:
        from openpyxl.cell import WriteOnlyCell

        self.page.freeze_panes = "B2"
        self.page.row_dimensions[1].height = 48  # three lines
        self._set_up_paper()
        cells = []
        for column in self.columns:
            cell = WriteOnlyCell(self.page)
            cell._value, cell.data_type = cell_words(column.title), "s"  # a heading can be data: never a formula
            cell.quotePrefix = looks_like_a_formula(column.title)
            cell.font, cell.fill = self._strong, self._head_fill
            cell.alignment = self._head_lines if column.format == PLAIN else self._head_figures
            cells.append(cell)
        self.page.append(cells)
        self.rows = 1
        self._slots = [WriteOnlyCell(self.page) for _ in self.columns]

    def _set_up_paper(self) -> None:
        """Printed across, headings on every page; a wide sheet repeats its first column instead of shrinking."""
        self.page.page_setup.orientation = "landscape"
        self.page.print_title_rows = "1:1"
        if sum(column.width for column in self.columns) <= _ONE_PAGE_WIDE:
            self.page.sheet_properties.pageSetUpPr.fitToPage = True
            self.page.page_setup.fitToWidth, self.page.page_setup.fitToHeight = 1, 0
        else:
            self.page.print_title_cols = "A:A"

    def add(self, values: Sequence[Any], *, strong: bool = False, arrays: Collection[str] = ()) -> int:
        """Write one row in the order of the columns and return its number; None and "" leave a cell empty.

        Args:
            arrays: keys of columns whose formula goes over whole columns by itself.
        """
        self.rows += 1
        self.page.append(
            [
                None
                if value is None or value == ""
                else self._cell(slot, value, column, strong, column.key in arrays)
                for slot, value, column in zip(self._slots, values, self.columns, strict=True)
            ]
        )
        return self.rows

    def address(self, key: str, row: int) -> str:
        """A cell of this sheet, without the sheet's name."""
        return f"{self._letters[key]}{row}"

    def range(self, key: str) -> str:
        """The filled part of a column, for use from another sheet: ``Jobs!$C$2:$C$140``."""
        letter = self._letters[key]
        return f"{self.title}!${letter}$2:${letter}${max(self.rows, 2)}"

    def finish(self) -> None:
        """Offer filters on the headings; nothing can be added afterwards."""
        last = self._letters[self.columns[-1].key]
        self.page.auto_filter.ref = f"A1:{last}{max(self.rows, 2)}"

    def mark_as_most(self, keys: Collection[str], first: int, last: int, formula: str) -> None:
        """Show these figures as ``≤ $12.00`` where the formula, written for the first row, is true; the value stays."""
        from openpyxl.formatting.rule import Rule
        from openpyxl.styles.differential import DifferentialStyle
        from openpyxl.styles.numbers import NumberFormat

        formats = {column.key: column.format for column in self.columns}
        for key in keys:
            number, code = _AT_MOST[formats[key]]
            style = DifferentialStyle(numFmt=NumberFormat(numFmtId=number, formatCode=code))
            cells = f"{self.address(key, first)}:{self.address(key, last)}"
            self.page.conditional_formatting.add(cells, Rule(type="expression", dxf=style, formula=[formula]))

    def _cell(self, slot: Any, value: Any, column: SheetColumn, strong: bool, over_columns: bool) -> Any:
        """Put a value into the column's cell. A row is written before the next begins, so each column needs only one.

        The kind of a value is told to openpyxl rather than guessed by it, so text that looks like a formula is text.
        """
        form, quoted = column.format, False
        if isinstance(value, Formula):
            value, kind = self._filled_in(value), "f"
            if over_columns:
                value = self._over_columns(value, self.address(column.key, self.rows))
        elif isinstance(value, str):
            value, kind, form = cell_words(value), "s", PLAIN
            quoted = looks_like_a_formula(value)
        else:
            kind = "d" if isinstance(value, date) else "n"
        slot._value, slot.data_type = value, kind
        slot._style = self._style(form, strong, quoted)
        return slot

    def _over_columns(self, formula: str, address: str) -> Any:
        from openpyxl.worksheet.formula import ArrayFormula

        return ArrayFormula(address, formula)

    def _filled_in(self, formula: str) -> str:
        return _KEY.sub(lambda match: f"{self._letters[match[1]]}{self.rows}", formula)

    def _style(self, form: str, strong: bool, quoted: bool) -> Any:
        """A look, worked out once and then shared by every cell that has it."""
        style = self._styles.get((form, strong, quoted))
        if style is None:
            from openpyxl.cell import WriteOnlyCell

            model = WriteOnlyCell(self.page)
            model.number_format = form
            if strong:
                model.font = self._strong
            if quoted:
                model.quotePrefix = True
            style = self._styles[form, strong, quoted] = model._style
        return style
