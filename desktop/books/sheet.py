"""One worksheet: columns with formats and widths, text that stays text, formulas with what they come to beside them."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any, NamedTuple

from desktop.books.book import Book
from domain.leaving import looks_like_a_formula, many_lines

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
_AT_MOST = {MONEY: '"≤ $"#,##0.00;[Red]"≤ -$"#,##0.00', SHARE: '"≤ "0.0%;[Red]"≤ "-0.0%'}
"""The formats of figures that may be too high."""

_ONE_PAGE_WIDE = 260
"""Sheets up to so many letters wide are printed on pages of one width; wider ones would be too small to read."""

_LONGEST_CELL = 32_767
"""Letters a cell may hold (ECMA-376 has no limit; that of common spreadsheets, from memory)."""

_MOST_FORMULAS = 1_000
_KEY = re.compile(r"\{(\w+)\}")


def cell_words(text: str) -> str:
    """Text as a cell takes it: what a person can read, not longer than a cell is."""
    words = many_lines(text)
    return words if len(words) <= _LONGEST_CELL else f"{words[: _LONGEST_CELL - 1]}…"


class Formula(str):
    """A formula, begun with "="; ``{key}`` stands for the cell of that column in the same row."""

    def worth(self, value: int | float | Decimal | Fraction | str) -> Worked:
        """The formula and what it comes to, for programs that show a workbook without working it out."""
        return Worked(self, float(value) if isinstance(value, Fraction) else value)


class Worked(NamedTuple):
    """A formula with its value; the tests have another program work the formula out and hold it against the value."""

    formula: Formula
    value: int | float | Decimal | str


@dataclass(frozen=True, slots=True)
class SheetColumn:
    """A column: what it is called and how it looks."""

    key: str
    title: str
    width: float
    format: str = PLAIN


class Sheet:
    """Writes rows one after the other; knows the address of every column, and the sum of those it is asked for."""

    def __init__(self, book: Book, title: str, columns: Sequence[SheetColumn], summed: Collection[str] = ()) -> None:
        from xlsxwriter.utility import xl_col_to_name

        self.book, self.page = book, book.page(title)
        self.title, self.columns, self.rows = title, tuple(columns), 0
        self.sums = dict.fromkeys(summed, Decimal(0))
        self._letters = {column.key: xl_col_to_name(n) for n, column in enumerate(columns)}
        self._places = {column.key: n for n, column in enumerate(columns)}
        self._looks = [book.look(column.format) if column.format != PLAIN else None for column in columns]
        self._formulas: dict[Formula, str] = {}  # with their columns' letters in place, the row still to come
        for n, column in enumerate(columns):
            self.page.set_column(n, n, column.width)
        self._write_head()

    def _write_head(self) -> None:
        self.page.freeze_panes(1, 1)
        self.page.set_row(0, 48)  # three lines
        self._set_up_paper()
        for n, column in enumerate(self.columns):
            words = cell_words(column.title)  # a heading can be data: never a formula
            look = self.book.look(
                bold=True, bg_color="#EAE3D5", text_wrap=True, valign="top", quote_prefix=looks_like_a_formula(words),
                align="left" if column.format == PLAIN else "right",
            )  # fmt: skip
            self.book.write_words(self.page, 0, n, words, look)
        self.rows = 1

    def _set_up_paper(self) -> None:
        """Printed across, headings on every page; a wide sheet repeats its first column instead of shrinking."""
        self.page.set_landscape()
        self.page.repeat_rows(0)
        if sum(column.width for column in self.columns) <= _ONE_PAGE_WIDE:
            self.page.fit_to_pages(1, 0)
        else:
            self.page.repeat_columns(0)

    def add(self, values: Sequence[Any], *, strong: bool = False, arrays: Collection[str] = ()) -> int:
        """Write one row in the order of the columns and return its number; None and "" leave a cell empty.

        Args:
            values: numbers, days, text, or formulas with their values.
            arrays: keys of columns whose formula goes over whole columns by itself.
        """
        self.rows += 1
        for n, (value, column) in enumerate(zip(values, self.columns, strict=True)):
            if value is not None and value != "":
                self._write(n, value, column, strong, column.key in arrays)
                if column.key in self.sums:
                    self._add_up(column.key, value.value if isinstance(value, Worked) else value)
        return self.rows

    def _add_up(self, key: str, value: Any) -> None:
        if not isinstance(value, str):
            self.sums[key] += Decimal(value)

    def add_total(self, words: str) -> None:
        """A last row that adds up the columns the sheet was told to sum."""
        last, values = self.rows, dict(self.sums)
        row: list[Any] = [words]
        for column in self.columns[1:]:
            cells = f"{self.address(column.key, 2)}:{self.address(column.key, max(last, 2))}"
            there = column.key in values and last > 1
            row.append(Formula(f"=ROUND(SUM({cells}),3)").worth(values[column.key]) if there else None)
        self.add(row, strong=True)

    def address(self, key: str, row: int) -> str:
        """A cell of this sheet, without the sheet's name."""
        return f"{self._letters[key]}{row}"

    def place(self, key: str) -> int:
        """A column's place, counted from nothing."""
        return self._places[key]

    def range(self, key: str) -> str:
        """The filled part of a column, for use from another sheet: ``Jobs!$C$2:$C$140``."""
        letter = self._letters[key]
        return f"{self.title}!${letter}$2:${letter}${max(self.rows, 2)}"

    def finish(self) -> None:
        """Offer filters on the headings; nothing can be added afterwards."""
        self.page.autofilter(0, 0, max(self.rows, 2) - 1, len(self.columns) - 1)

    def mark_as_most(self, keys: Collection[str], first: int, last: int, formula: str) -> None:
        """Show these figures as ``≤ $12.00`` where the formula, written for the first row, is true; the value stays."""
        formats = {column.key: column.format for column in self.columns}
        for key in keys:
            n, look = self._places[key], self.book.look(_AT_MOST[formats[key]])
            rule = {"type": "formula", "criteria": f"={formula}", "format": look}
            self.page.conditional_format(first - 1, n, last - 1, n, rule)

    def _write(self, n: int, value: Any, column: SheetColumn, strong: bool, over_columns: bool) -> None:
        """The kind of a value is told to the library rather than guessed by it: text like a formula is text."""
        row, page = self.rows - 1, self.page
        if isinstance(value, str):
            words = cell_words(value)
            quoted = looks_like_a_formula(words)
            look = self.book.look(PLAIN, bold=strong, quote_prefix=quoted) if strong or quoted else None
            self.book.write_words(page, row, n, words, look)
            return
        look = self.book.look(column.format, bold=True) if strong else self._looks[n]
        if isinstance(value, Worked):
            formula = self._filled_in(value.formula)
            if over_columns:
                page.write_array_formula(row, n, row, n, formula, look, value.value)
            else:
                page.write_formula(row, n, formula, look, value.value)
        elif isinstance(value, date):
            page.write_datetime(row, n, value, look)
        else:
            page.write_number(row, n, value, look)

    def _filled_in(self, formula: Formula) -> str:
        known = self._formulas.get(formula)
        if known is None:
            known = _KEY.sub(lambda match: f"{self._letters[match[1]]}\0", formula)
            if len(self._formulas) < _MOST_FORMULAS:
                self._formulas[formula] = known
        return known.replace("\0", str(self.rows))
