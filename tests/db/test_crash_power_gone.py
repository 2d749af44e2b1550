"""The power goes at any write of the program, as strace has seen them: every step that was told is there.

Unlike `test_crash_power_cut.py` nothing is taken for granted of what was synced, and when: a sync left out is found.
"""

from __future__ import annotations

import random
import shutil
import subprocess
from pathlib import Path

import pytest

from db.company_file import check_file, open_company
from tests.db.company_files import company_file, customer_names
from tests.db.crash_lab import Tally, steps_in
from tests.db.disk_tape import Disk, Touch, taken_down

WORKING = """
import os, sys
from pathlib import Path
from db.company_file import open_company
from tests.db.crash_lab import one_step
path, number = Path(sys.argv[1]), 0
for evening in range({evenings}):
    with open_company(path, backup=False) as company:
        with company.raw() as conn:
            conn.execute("PRAGMA wal_autocheckpoint=20")
        for _ in range({steps}):
            number += 1
            one_step(company, number)
            os.write(1, b"%d" % number)
"""


def strace_works() -> bool:
    try:
        return subprocess.run(["strace", "true"], check=False, capture_output=True).returncode == 0
    except OSError:
        return False


@pytest.mark.skipif(not strace_works(), reason="strace is not here, or may not look at a program")
@pytest.mark.parametrize(
    ("evenings", "steps", "every", "turns"),
    [(2, 6, 7, 1), pytest.param(4, 25, 1, 2, marks=pytest.mark.long)],
    ids=["short", "long"],
)
def test_the_power_gone_at_any_write_loses_no_told_step(
    tmp_path: Path, evenings: int, steps: int, every: int, turns: int
) -> None:
    tally, luck = Tally("power gone at any write, by what was synced"), random.Random(5)
    (tmp_path / "work").mkdir()
    path = company_file(tmp_path / "work")
    disk = Disk(path)
    tape = taken_down(WORKING.format(evenings=evenings, steps=steps), path, tmp_path / "tape")
    for number, touch in enumerate(disk.play(tape)):
        if number % every and not told_or_removed(touch):
            continue
        for _ in range(turns):
            start_again(tally, tmp_path / "after", disk.after_a_cut(luck), disk.told, f"touch {number}, {touch.call}")
    assert disk.told == evenings * steps
    assert disk.names[str(path)].now() == path.read_bytes()  # the tape has missed nothing
    tally.close()


def told_or_removed(touch: Touch) -> bool:
    return touch.call in ("told", "remove", "make")


def start_again(tally: Tally, folder: Path, left: dict[str, bytes], told: int, where: str) -> None:
    """The machine starts again: looked over, read, opened."""
    folder.mkdir()
    for name, content in left.items():
        (folder / name).write_bytes(content)
    path = folder / "Quarry Lane.riserbook"
    report = check_file(path)
    if not report.ok:
        tally.wrong.append(f"{where}: {report.lines[1]}")
    tally.count(told, steps_in(path), where)
    with open_company(path, backup=False) as company:
        tally.count(told, len(customer_names(company)), where)
    shutil.rmtree(folder)
