"""Ways to harm a file on purpose, each at a place that is known."""

from __future__ import annotations

import random
import sqlite3
from contextlib import closing
from pathlib import Path

PAGE = 4096


def root_page(path: Path, table: str) -> int:
    """The page where a table begins."""
    with closing(sqlite3.connect(path)) as conn:
        return int(conn.execute("SELECT rootpage FROM sqlite_master WHERE name = ?", (table,)).fetchone()[0])


def torn_pages(content: bytes, luck: random.Random, most: int = 3) -> bytes:
    """Some pages overwritten with noise or nothing."""
    harmed = bytearray(content)
    for _ in range(luck.randint(1, most)):
        number = luck.randrange(len(content) // PAGE)
        noise = bytes(PAGE) if luck.random() < 0.5 else luck.randbytes(PAGE)
        harmed[number * PAGE : (number + 1) * PAGE] = noise
    return bytes(harmed)


def flipped_bit(content: bytes, luck: random.Random) -> bytes:
    """One bit turned over, anywhere."""
    harmed = bytearray(content)
    harmed[luck.randrange(len(harmed))] ^= 1 << luck.randrange(8)
    return bytes(harmed)
