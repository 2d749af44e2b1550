"""After a crash: is the log that lies beside a firm's file as long as the program that wrote it left it?

SQLite keeps an index of the log (the file ending in -shm) while anyone works, and a kill leaves it as it was. It says
how many pages the log held and how many of them had come into the file. When the log is gone or shorter and not all
had come into the file, saved steps are gone with it, and nothing else tells of them. SQLite makes the index anew at the
next look, so what it said is kept as a word to the owner (`aftermath.py`). The layout of the index is from memory; the
tests hold it against what SQLite writes.
"""

from __future__ import annotations

import shutil
import sqlite3
import sys
import tempfile
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from db.company_file.aftermath import add_to_word, read_word
from db.company_file.connection import connect
from db.company_file.holdings import counted, moment, read_holdings
from db.company_file.places import side_files
from db.company_file.readable import looking_mode
from db.company_file.schema_pages import PAGE
from db.company_file.verdict import TROUBLES
from domain.leaving import one_line

_ORDER: Literal["little", "big"] = "little" if sys.byteorder == "little" else "big"
_VERSION, _HEAD = 3_007_000, 48
_LOG_HEAD = 32
_BEGINS = "The work saved last may be missing"


@dataclass(frozen=True, slots=True)
class _Index:
    """What the index of a log says: its pages, how many of them are in the file, and which log it is of."""

    pages: int
    in_file: int
    salt: bytes


def note_lost_log(path: Path) -> list[str]:
    """Look whether a part of the log is missing, before anything else reads the file, and keep that as a word.

    Returns:
        what is to be told, readable as it is; empty when nothing is missing, or nothing tells.
    """
    if not _is_lost(path):
        return []
    last = ""
    with suppress(*TROUBLES, OSError), closing(connect(path, looking_mode(path))) as conn:
        held = read_holdings(conn)
        if held.last_step:
            last = f" Certain is what came up to “{one_line(held.last_step)}” on {moment(held.last_at)}"
            last += f" ({counted(held.steps, 'saved step')})."
    wal = side_files(path)[0].name
    lines = [
        f"{_BEGINS}: the program ended without closing this firm, and of its log, the file "
        f"“{wal}”, a part is not there.{last}",
        f"If you find “{wal}” elsewhere (on the old disk, in the trash), close the firm and lay it beside the file "
        "before anything new is entered. Else look at what you did last, and enter it again.",
    ]  # fmt: skip
    add_to_word(path, lines)
    return lines


def known_lost(path: Path) -> list[str]:
    """What was told of a missing log before and waits to be seen to."""
    word = read_word(path)
    trust = list(word.trust) if word is not None else []
    return next((trust[place : place + 2] for place, line in enumerate(trust) if line.startswith(_BEGINS)), [])


def _is_lost(path: Path) -> bool:
    wal, shm, _ = side_files(path)
    said = _index(shm)
    if said is None or said.in_file >= said.pages:
        return False
    if _log_pages(path, wal, said) >= said.pages:
        return False
    return said == _index(shm)  # else somebody is at work, and both were read at different moments


def _index(shm: Path) -> _Index | None:
    try:
        with open(shm, "rb") as file:
            content = file.read(136)
    except OSError:
        return None
    if len(content) < 136 or content[:_HEAD] != content[_HEAD : 2 * _HEAD]:
        return None
    version, pages, in_file = (int.from_bytes(content[at : at + 4], _ORDER) for at in (0, 16, 2 * _HEAD))
    if version != _VERSION or not content[12]:
        return None
    return _Index(pages, in_file, content[32:40])


def _log_pages(path: Path, wal: Path, said: _Index) -> float:
    """How many pages of the log SQLite takes for whole; endless for a log that is another one's than the index."""
    try:
        with open(wal, "rb") as file:
            head = file.read(_LOG_HEAD)
        if len(head) < _LOG_HEAD or not any(head):
            return 0
        if head[16:24] != said.salt:
            return float("inf")
        with tempfile.TemporaryDirectory(prefix="riserbook-") as folder:
            copy = Path(folder) / path.name
            copy.write_bytes(_first_page(path))
            shutil.copyfile(wal, side_files(copy)[0])
            with closing(connect(copy)) as conn:
                with suppress(sqlite3.Error):
                    conn.execute("SELECT count(*) FROM sqlite_master").fetchone()
                found = _index(side_files(copy)[1])
            return found.pages if found is not None else float("inf")
    except FileNotFoundError:
        return 0
    except (OSError, *TROUBLES):
        return float("inf")


def _first_page(path: Path) -> bytes:
    with open(path, "rb") as file:
        return file.read(PAGE)
