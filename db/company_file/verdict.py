"""SQLite's own check of a company file with its log, its findings sorted by what they mean for the owner."""

from __future__ import annotations

import re
import sqlite3
from dataclasses import dataclass, field

from db.company_file.problems import BROKEN

MOST_FINDINGS = 20

TROUBLES = (sqlite3.Error, UnicodeDecodeError)
"""What a question to a harmed file may raise: where SQLite quotes torn text in its complaint, Python cannot read it."""


def is_broken(error: BaseException) -> bool:
    """Whether the complaint is about pages that do not hold together."""
    return isinstance(error, UnicodeDecodeError) or getattr(error, "sqlite_errorcode", 0) & 0xFF in BROKEN


# Its wordings (SQLite 3.40 seen); whatever is none of these is about pages. sqlite.org/pragma.html, integrity_check.
_INDEX = re.compile(
    r"row \S+ missing from index (?P<one>.+)|wrong # of entries in index (?P<two>.+)"
    r"|non-unique entry in index (?P<three>.+)|row \S+ values differ from index (?P<four>.+)"
    r"|rowid not at end-of-record for row \S+ of index (?P<five>.+)"
)
_ROW = re.compile(
    r"NULL value in (?P<one>\S+)|CHECK constraint failed in (?P<two>.+)|\S+ value in (?P<three>\w+\.\w+)"
)


@dataclass(frozen=True, slots=True)
class Verdict:
    """What SQLite finds.

    Attributes:
        pages: pages that do not hold together; only these mean that the file is damaged.
        indexes: names of indexes that do not say what their table says; the rows themselves are whole.
        rows: values a column may not have.
    """

    pages: tuple[str, ...] = ()
    indexes: tuple[str, ...] = ()
    rows: tuple[str, ...] = field(default=())

    @property
    def sound(self) -> bool:
        """Nothing was found."""
        return not (self.pages or self.indexes or self.rows)


def judge(conn: sqlite3.Connection, *, most: int = MOST_FINDINGS, with_indexes: bool = True) -> Verdict:
    """Ask SQLite about every page, and whether each index agrees with its table.

    Args:
        conn: on the file itself, so that its log counts.
        most: findings asked for.
        with_indexes: compare indexes too, which takes about twice as long.

    Raises:
        sqlite3.Error: the check itself could not be run; a damaged file may answer so too.
    """
    asked = "integrity_check" if with_indexes else "quick_check"
    pages: list[str] = []
    indexes: dict[str, None] = {}
    rows: list[str] = []
    for (finding,) in conn.execute(f"PRAGMA {asked}({int(most)})"):
        for line in str(finding).splitlines():
            line = line.strip()
            if line in ("ok", "") or line.startswith("*** in database"):
                continue
            if found := _INDEX.fullmatch(line):
                indexes[next(name for name in found.groups() if name)] = None
            elif _ROW.fullmatch(line):
                rows.append(line)
            else:
                pages.append(line)
    return Verdict(tuple(pages), tuple(indexes), tuple(rows))
