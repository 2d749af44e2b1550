"""Two programs on one file: while one saves, others look, read, back up and try to open it; no answer is wrong."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from db.company_file import back_up, check_file, open_company
from db.company_file.problems import CompanyProblem, OpenElsewhere
from tests.db.company_files import company_file, program
from tests.db.crash_lab import Tally, steps_in

WRITING = """
import sys
from itertools import count
from pathlib import Path
from db.company_file import open_company
from tests.db.crash_lab import one_step
company = open_company(Path(sys.argv[1]), backup=False)
with company.raw() as conn:
    conn.execute("PRAGMA wal_autocheckpoint=20")  # a checkpoint is nearly always under way
for n in count(1):
    one_step(company, n)
    if n % 7 == 0:
        company.undo()
        company.redo()
    print(n, flush=True)
"""
COMING_AND_GOING = """
import sys
from itertools import count
from pathlib import Path
from db.company_file import open_company
from tests.db.crash_lab import one_step
done = 0
while True:
    with open_company(Path(sys.argv[1]), backup=False) as company:
        for _ in range(3):
            done += 1
            one_step(company, done)
            print(done, flush=True)
"""


def look(path: Path, seen: int) -> str:
    report = check_file(path)
    return "" if report.ok else report.lines[1]


def read(path: Path, seen: int) -> str:
    found = steps_in(path)
    return "" if found >= seen else f"{seen} acknowledged, {found} read"


def keep(path: Path, seen: int) -> str:
    backup = back_up(path)
    found = steps_in(backup)
    backup.unlink()
    return "" if found >= seen else f"{seen} acknowledged, {found} in the backup"


def open_second(path: Path, seen: int) -> str:
    try:
        open_company(path, backup=False).close()
    except OpenElsewhere:
        return ""
    return "opened twice"


def beside(source: str, folder: Path, seconds: float, looks: list[Callable[[Path, int], str]], name: str) -> Tally:
    """Run one program at work for some seconds, and look at its file all the while."""
    tally = Tally(name)
    path = company_file(folder)
    worker = program(source, path)
    told: list[str] = []
    listening = threading.Thread(target=lambda: told.extend(iter(worker.stdout.readline, "")), daemon=True)  # type: ignore[union-attr]
    listening.start()
    end = time.monotonic() + seconds
    try:
        while time.monotonic() < end or not told:
            assert worker.poll() is None, told[-5:]
            acknowledged = int(told[-1]) if told and told[-1].endswith("\n") else 0
            if not acknowledged:
                time.sleep(0.01)
                continue
            for ask in looks:
                tally.tried += 1
                try:
                    wrong = ask(path, acknowledged)
                except CompanyProblem as problem:
                    wrong = f"{ask.__name__}: {problem}"
                if wrong:
                    tally.wrong.append(wrong)
                else:
                    tally.survived += 1
    finally:
        worker.kill()
        worker.wait()
        listening.join()
    acknowledged = int([line for line in told if line.endswith("\n")][-1])
    tally.count(acknowledged, steps_in(path), "after the kill")
    print(f"{acknowledged} steps were saved meanwhile")
    return tally


EVERY_LOOK: list[Callable[[Path, int], str]] = [look, read, keep, open_second]
READING: list[Callable[[Path, int], str]] = [look, read, keep]


@pytest.mark.parametrize("seconds", [1.5, pytest.param(600, marks=pytest.mark.long)])
def test_nobody_is_told_wrong_while_another_program_saves(tmp_path: Path, seconds: float) -> None:
    beside(WRITING, tmp_path, seconds, EVERY_LOOK, "two programs, one saving").close()


@pytest.mark.parametrize("seconds", [1.5, pytest.param(300, marks=pytest.mark.long)])
def test_nobody_is_told_wrong_while_a_window_comes_and_goes(tmp_path: Path, seconds: float) -> None:
    beside(COMING_AND_GOING, tmp_path, seconds, READING, "two programs, one opening and closing").close()
