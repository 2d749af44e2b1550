"""A workbook while it is written: its sheets in their order, the looks of its cells, and the file put in place whole.

XlsxWriter writes it, since it can put beside each formula what the formula comes to.
"""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from db.company_file.files import make_private


class Book:
    """Sheets by title, each of which can be filled at any time, row after row."""

    def __init__(self, path: Path, titles: Sequence[str], workplace: str) -> None:
        from xlsxwriter import Workbook
        from xlsxwriter.worksheet import Worksheet

        class Page(Worksheet):  # type: ignore[misc]
            """Looks for no functions younger than the file format, which we do not use: a third of the time."""

            def _prepare_formula(self, formula: str, expand_future_functions: bool = False) -> str:
                return formula.removeprefix("=")

        # Rows go to the disk as they are written; all of a long life would not fit into memory.
        self._book = Workbook(str(path), {"constant_memory": True, "tmpdir": workplace})
        self._book.set_properties({"author": "Riserbook"})
        self._pages = {title: self._book.add_worksheet(title, Page) for title in titles}
        self._looks: dict[tuple[Any, ...], Any] = {}

    def page(self, title: str) -> Any:
        """The sheet of that title as the library knows it."""
        return self._pages[title]

    def look(self, form: str = "General", **marks: Any) -> Any:
        """A look of cells, worked out once and shared; marks by the library's names, those that are false left out."""
        key = (form, *marks.items())
        found = self._looks.get(key)
        if found is None:
            wanted = {name: mark for name, mark in marks.items() if mark}
            found = self._looks[key] = self._book.add_format({"num_format": form, **wanted})
        return found

    def write_words(self, page: Any, row: int, column: int, words: str, look: Any) -> None:
        """Text, whatever it says: ``<r>...</r>``, which the library takes for marks of its own, is written in parts."""
        if words.startswith("<r>") and words.endswith("</r>"):
            parts = (words[:3], words[3:5], words[5:])  # it asks for three
            page.write_rich_string(row, column, *parts, *([look] if look else []))
        else:
            page.write_string(row, column, words, look)

    def save(self) -> None:
        """Raises OSError."""
        from xlsxwriter.exceptions import FileCreateError

        try:
            self._book.close()
        except FileCreateError as error:
            raise error.args[0] from None

    def drop(self) -> None:
        """Let go of what was begun."""
        for page in self._pages.values():
            with suppress(OSError):
                page._opt_close()


@contextmanager
def new_book(path: Path, titles: Sequence[str]) -> Iterator[Book]:
    """A workbook that takes the place of `path` only when it is whole; else nothing is left behind.

    Raises:
        OSError: the folder is missing, the disk is full, or the file is open in another program.
    """
    fresh = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
    make_private(fresh)
    try:
        with TemporaryDirectory(prefix="riserbook-", ignore_cleanup_errors=True) as workplace:
            book = Book(fresh, titles, workplace)
            try:
                yield book
                book.save()
            finally:
                book.drop()
        os.replace(fresh, path)
    finally:
        with suppress(OSError):
            fresh.unlink()
