"""How much of a price file is read at most, and for how long: no file, however made, holds the program up."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

from db.company_file.problems import Refused

MOST_ROWS = 10_000
"""Rows with something in them."""
MOST_ROWS_LOOKED_AT = 200_000
"""Rows in all, empty ones too."""
MOST_COLUMNS = 60
MOST_LETTERS = 1_000
"""Of one cell; a longer text is cut here, and refused by its row's own check when it is looked at."""
MOST_LETTERS_IN_ALL = 20_000_000
LARGEST_FILE = 40_000_000
LARGEST_PART = 32_000_000
"""Bytes of one part of a workbook, unpacked."""
MOST_PARTS = 5_000
SECONDS = 30.0

WHOLE_CATALOG = (
    f"It has more than {MOST_ROWS:,} rows, which looks like a whole catalog.",
    "Keep the rows you buy, save it under another name, and read that.",
)


class Watch:
    """Ends the reading of a file that takes too long or that the owner does not want any more."""

    def __init__(self, going: Callable[[], bool] = lambda: True, seconds: float = SECONDS) -> None:
        self._going, self._ends_at, self._letters = going, time.monotonic() + seconds, 0

    def check(self) -> None:
        """Go on, or not.

        Raises:
            Refused: it was stopped, or the time is over.
        """
        if not self._going():
            raise Refused("The reading was stopped.", "Nothing was changed.")
        if time.monotonic() > self._ends_at:
            raise Refused(
                f"Reading the file takes longer than {SECONDS:.0f} seconds.",
                "Keep the rows you buy in a file of their own, saved as csv, and read that.",
            )

    def cell(self, text: str) -> str:
        """A cell's text, cut when it is long; all cells together may not be endless.

        Raises:
            Refused: they are.
        """
        text = text[:MOST_LETTERS]
        self._letters += len(text)
        if self._letters > MOST_LETTERS_IN_ALL:
            raise Refused(*WHOLE_CATALOG)
        return text


class Watched:
    """A stream that asks the watch before each piece, so that whoever reads it cannot go on for ever.

    What declares entities is refused: with them a few letters can stand for any number of others, or for a file.
    """

    def __init__(self, stream: Any, watch: Watch) -> None:
        self._stream, self._watch, self._tail = stream, watch, b""

    def read(self, size: int = -1) -> bytes:
        """Some bytes. Raises Refused by the watch, ValueError for a declaration."""
        self._watch.check()
        piece = bytes(self._stream.read(size))
        seen = self._tail + piece.replace(b"\x00", b"")  # also when written with two bytes a letter
        if b"<!DOCTYPE" in seen or b"<!ENTITY" in seen:
            raise ValueError("a document type, which no part of a workbook has")
        self._tail = seen[-9:]
        return piece

    def close(self) -> None:
        """Let go of the stream."""
        self._stream.close()

    def __enter__(self) -> Watched:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()
