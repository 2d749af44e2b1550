"""A firm of every released version opens today with every row it had, whenever its updating is cut short."""

from __future__ import annotations

import os
import random
import shutil
import sqlite3
import time
from contextlib import closing
from pathlib import Path

import pytest

from db.company_file import check_file, list_backups, open_company
from db.migrations import HEAD, REVISIONS
from tests.db.company_files import content
from tests.db.crash_lab import Tally
from tests.db.forks import Fork, Tell
from tests.db.old_files import kept, unpacked

posix_only = pytest.mark.skipif(os.name != "posix", reason="the system has no such signal")

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


def opening(tell: Tell, path: Path) -> None:
    tell("begin")
    open_company(path, backup=False).close()
    tell("done")


@posix_only
@pytest.mark.parametrize(
    ("revisions", "turns"),
    [(REVISIONS[:1], 5), pytest.param(REVISIONS[:-1], 8, marks=pytest.mark.long)],
    ids=["short", "long"],
)
def test_updating_killed_at_any_moment_loses_no_row(tmp_path: Path, revisions: tuple[str, ...], turns: int) -> None:
    """Each row is compared, not counted only: with the file that was brought up to date without being killed."""
    tally, luck, cut = Tally("killed while a file of an earlier version is brought up to date"), random.Random(7), 0
    for revision in revisions:
        whole, seconds = never_killed(revision, tmp_path)
        for turn in range(turns):
            (place := tmp_path / "killed").mkdir()
            path = unpacked(revision, place)
            worker = Fork(opening, path)
            assert worker.next_line() == "begin"
            told = worker.killed(after=luck.uniform(0.0, 1.1 * seconds))
            assert told in ([], ["done"]), told
            cut += not told
            with open_company(path, backup=False):
                pass
            found = content(path)
            whole.pop("row_sums", None)  # sums up the tables' own text too, whose order in a rebuilt table is not fixed
            gone = {name: set(rows) - set(found[name]) for name, rows in whole.items()}
            rows = sum(map(len, whole.values()))
            tally.count(rows, rows - sum(map(len, gone.values())), f"{revision} {turn}")
            if "Every page holds together." not in check_file(path).lines:
                tally.wrong.append(f"{revision} {turn}: {check_file(path).lines[:2]}")
            shutil.rmtree(place)
    tally.close()
    print(f"{cut} of them were killed before the opening ended")
    assert cut > turns // 4


def never_killed(revision: str, folder: Path) -> tuple[dict[str, list[tuple[object, ...]]], float]:
    """Every row of a file brought up to date, and how long that takes once the modules it needs are loaded."""
    (place := folder / f"{revision} whole").mkdir()
    path = unpacked(revision, place)
    open_company(path, backup=False).close()
    begun = time.monotonic()
    Fork(opening, unpacked(revision, folder)).ended()
    return content(path), time.monotonic() - begun
