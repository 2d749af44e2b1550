"""A firm of every released version opens today with every row it had, whenever its updating is cut short."""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import time
from contextlib import closing
from pathlib import Path

import pytest

from db.company_file import check_file, list_backups, open_company
from db.migrations import HEAD, REVISIONS
from tests.db.company_files import program
from tests.db.crash_lab import Tally
from tests.db.old_files import kept, unpacked

posix_only = pytest.mark.skipif(os.name != "posix", reason="the system has no such signal")

OPENING = """
import sys
from pathlib import Path
print("begin", flush=True)
from db.company_file import open_company
open_company(Path(sys.argv[1]), backup=False).close()
print("done", flush=True)
"""


def rows_of(path: Path) -> dict[str, int]:
    """How many rows each table has."""
    with closing(sqlite3.connect(path)) as conn:
        tables = [row[0] for row in conn.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return {name: conn.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0] for name in tables}


def test_every_released_version_has_its_file() -> None:
    lacking = [one for one in REVISIONS[:-3] if one not in kept()]  # the newest may still change before a release
    assert not lacking, "python -m tests.db.old_files.make adds the file of a new version"


@pytest.mark.parametrize("revision", [one for one in REVISIONS if one in kept()])
def test_a_firm_of_each_version_opens_with_every_row(tmp_path: Path, revision: str) -> None:
    path = unpacked(revision, tmp_path)
    before = rows_of(path)
    with open_company(path, backup=False) as company, company.read() as conn:
        assert conn.exec_driver_sql("SELECT version_num FROM alembic_version").scalar_one() == HEAD
    after = rows_of(path)
    assert {name: after.get(name, 0) for name in before if after.get(name, 0) < before[name]} == {}
    assert [backup.kind for backup in list_backups(path)] == (["before update"] if revision != HEAD else [])
    told = check_file(path).lines
    assert "Every page holds together." in told
    assert not [line for line in told if "did not put there" in line or "is missing" in line]


@posix_only
@pytest.mark.parametrize(
    ("revisions", "turns"),
    [(REVISIONS[:1], 3), pytest.param(REVISIONS[:-1], 20, marks=pytest.mark.long)],
    ids=["short", "long"],
)
def test_updating_killed_at_any_moment_loses_no_row(tmp_path: Path, revisions: tuple[str, ...], turns: int) -> None:
    tally, luck = Tally("killed while a file of an earlier version is brought up to date"), random.Random(7)
    for revision in revisions:
        for turn in range(turns):
            (place := tmp_path / f"{revision}-{turn}").mkdir()
            path = unpacked(revision, place)
            before = rows_of(path)
            kill_while_opening(path, luck)
            with open_company(path, backup=False):
                pass
            after = rows_of(path)
            tally.count(sum(before.values()), sum(after.get(name, 0) for name in before), f"{revision} {turn}")
            if "Every page holds together." not in check_file(path).lines:
                tally.wrong.append(f"{revision} {turn}: {check_file(path).lines[:2]}")
    tally.close()


def kill_while_opening(path: Path, luck: random.Random) -> None:
    """Start a program that opens the file, and kill it at some moment of that."""
    process = program(OPENING, path)
    assert process.stdout is not None
    assert process.stdout.readline() == "begin\n"
    time.sleep(luck.uniform(0.3, 2.5))
    process.send_signal(signal.SIGKILL)
    process.communicate()
