"""The first hundred bytes of a file, read as they lie: what kind of file it is, before any database looks at it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from db.company_file.connection import APPLICATION_ID

MAGIC = b"SQLite format 3\x00"
_LENGTH = 100


@dataclass(frozen=True, slots=True)
class Header:
    """What the first bytes say (sqlite.org/fileformat.html, section 1.3).

    Attributes:
        is_database: they begin as a SQLite database does.
        mark: the application id, at offset 68.
        size: of the whole file, bytes.
    """

    is_database: bool
    mark: int
    size: int

    @property
    def is_ours(self) -> bool:
        """Both the kind and the mark of a company file."""
        return self.is_database and self.mark == APPLICATION_ID


def header_of(path: Path) -> Header:
    """Read the first bytes; a log beside the file cannot change the kind or the mark, which are there from the start.

    Raises:
        OSError: the file cannot be read.
    """
    with open(path, "rb") as file:
        first = file.read(_LENGTH)
        size = file.seek(0, 2)
    return Header(first.startswith(MAGIC), int.from_bytes(first[68:72]) if len(first) >= 72 else 0, size)
