"""Company files for the tests of the file layer: made once in a session, copied for each test."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from datetime import date
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from db.company_file import Company, create_company
from db.tables import METADATA, customer

ROOT = Path(__file__).resolve().parents[2]
TODAY = date(2026, 3, 2)
JOURNAL = {"action", "change"}


@cache
def _original() -> tuple[bytes, TemporaryDirectory[str]]:
    folder = TemporaryDirectory()
    path = Path(folder.name) / "original.riserbook"
    create_company(path, "Quarry Lane Radon", "Ada Quill", TODAY, starter=False).close()
    return path.read_bytes(), folder


def company_file(folder: Path, name: str = "Quarry Lane.riserbook") -> Path:
    """A closed company file without a library."""
    path = folder / name
    path.write_bytes(_original()[0])
    path.chmod(0o600)
    return path


def add_customer(company: Company, name: str) -> int:
    with company.action(f"Add {name}") as edit:
        return edit.add(customer, kind="person", name=name, created_on=TODAY)


def customer_names(company: Company) -> list[str]:
    with company.read() as conn:
        return [row.name for row in conn.execute(customer.select().order_by(customer.c.id))]


def content(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Every row of every table of a closed file, as stored."""
    with closing(sqlite3.connect(path)) as conn:
        return {name: conn.execute(f'SELECT * FROM "{name}" ORDER BY id').fetchall() for name in METADATA.tables}


def records(company: Company) -> dict[str, list[tuple[object, ...]]]:
    """Every row of every table but the journal's, as stored, of an open company."""
    with company.raw() as conn:
        return {
            name: conn.execute(f'SELECT * FROM "{name}" ORDER BY id').fetchall()
            for name in METADATA.tables
            if name not in JOURNAL
        }


def untouched(folder: Path) -> dict[str, tuple[bytes, int, int]]:
    """What lies in a folder: bytes, time of change and mode of every file."""
    return {
        str(path.relative_to(folder)): (path.read_bytes(), path.stat().st_mtime_ns, path.stat().st_mode)
        for path in _files(folder)
    }


def _files(folder: Path) -> Iterator[Path]:
    return (path for path in sorted(folder.rglob("*")) if path.is_file())


def program(source: str, *arguments: Path | str, user: int | None = None) -> subprocess.Popen[str]:
    """Run Python text in a process of its own, from the project's folder."""
    return subprocess.Popen(
        [sys.executable, "-c", source, *map(str, arguments)],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"},
        user=user,
    )


def copy_with_side_files(path: Path, folder: Path) -> Path:
    """A copy of a file with what lies beside it, as a crash of the machine would have left it."""
    for piece in path.parent.glob(f"{path.name}*"):
        shutil.copy2(piece, folder / piece.name)
    return folder / path.name
