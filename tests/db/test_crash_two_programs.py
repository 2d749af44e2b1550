"""Two programs on one file: while one saves, others look, read, back up and try to open it; no answer is wrong."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable
from itertools import count
from pathlib import Path

import pytest

from db.company_file import back_up, check_file, open_company, restore
from db.company_file.problems import CompanyProblem, OpenElsewhere
from tests.db.company_files import company_file
from tests.db.crash_lab import Tally, one_step, steps_in
from tests.db.forks import Fork, Tell

pytestmark = pytest.mark.skipif(os.name != "posix", reason="the system has no such signal")

Look = Callable[[Path, int], str]
"""Given the file and how many steps were acknowledged before: what is wrong with the answer, empty when nothing is."""


def writing(tell: Tell, path: Path) -> None:
    """Step after step, every seventh undone and done again."""
    company = open_company(path, backup=False)
    with company.raw() as conn:
        conn.execute("PRAGMA wal_autocheckpoint=20")  # a checkpoint is nearly always under way
    for number in count(1):
        one_step(company, number)
        if number % 7 == 0:
            company.undo()
            company.redo()
        tell(number)


def coming_and_going(tell: Tell, path: Path) -> None:
    """Opened, three steps, closed, for ever."""
    done = 0
    while True:
        with open_company(path, backup=False) as company:
            for _ in range(3):
                done += 1
                one_step(company, done)
                tell(done)


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


def put_back(path: Path, seen: int) -> str:
    backup = back_up(path)
    try:
        restore(path, backup)
    except OpenElsewhere:
        return ""
    finally:
        backup.unlink()
    return "a backup was put under a program at work"


def open_second(path: Path, seen: int) -> str:
    try:
        open_company(path, backup=False).close()
    except OpenElsewhere:
        return ""
    return "opened twice"


def beside(work: Callable[[Tell, Path], None], folder: Path, seconds: float, looks: list[Look], name: str) -> Tally:
    """Have one program at work for some seconds, and look at its file all the while."""
    tally, told = Tally(name), list[str]()
    path = company_file(folder)
    worker = Fork(work, path)
    told.append(worker.next_line())
    listening = threading.Thread(target=lambda: told.extend(iter(worker.next_line, "")), daemon=True)
    listening.start()
    end = time.monotonic() + seconds
    try:
        while time.monotonic() < end or not tally.tried:
            assert listening.is_alive(), told[-5:]
            for ask in looks:
                acknowledged = int(told[-1])
                tally.tried += 1
                try:
                    wrong = ask(path, acknowledged)
                except CompanyProblem as problem:
                    wrong = str(problem)
                if wrong:
                    tally.wrong.append(f"{ask.__name__}: {wrong}")
                else:
                    tally.survived += 1
    finally:
        worker.kill()
        listening.join()
        worker.ended()
    tally.count(int(told[-1]), steps_in(path), "after the kill")
    print(f"{told[-1]} steps were saved meanwhile")
    return tally


EVERY_LOOK: list[Look] = [look, read, keep, put_back, open_second]
READING: list[Look] = [look, read, keep]


@pytest.mark.parametrize("seconds", [1.5, pytest.param(240, marks=pytest.mark.long)])
def test_nobody_is_told_wrong_while_another_program_saves(tmp_path: Path, seconds: float) -> None:
    beside(writing, tmp_path, seconds, EVERY_LOOK, "two programs, one saving").close()


@pytest.mark.parametrize("seconds", [1.5, pytest.param(120, marks=pytest.mark.long)])
def test_nobody_is_told_wrong_while_a_window_comes_and_goes(tmp_path: Path, seconds: float) -> None:
    beside(coming_and_going, tmp_path, seconds, READING, "two programs, one opening and closing").close()
