"""When backing up, copying, restoring, founding or taking photos in is told as done, no power cut can undo it."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.db.told_is_safe import not_safe

if os.name != "posix":
    pytest.skip("the system has no such calls", allow_module_level=True)

from tests.db.test_crash_backups import WORK
from tests.db.test_crash_power_gone import strace_works

WORKING = """
import os, sys
from datetime import datetime
from pathlib import Path
from db.company_file.keeping_aside import keep_aside
from tests.db.test_crash_backups import WORK, a_place
for name, work in {**WORK, "keep aside": lambda place: keep_aside(place.firm.path, datetime.now())}.items():
    place = a_place(Path(sys.argv[1]))
    os.write(1, b"begin")
    work(place)
    os.write(1, name.encode())
"""
OF_NO_WORTH = ("-wal", "-journal", "-unfinished-")
"""Side files of a closed firm, whose content is in the file by then, and folders to work in, which are gone."""


@pytest.mark.skipif(not strace_works(), reason="strace is not here, or may not look at a program")
def test_what_is_told_as_done_is_on_the_disk(tmp_path: Path) -> None:
    told = not_safe(WORKING, tmp_path / "case", tmp_path / "tape")
    done = {name: left for name, left in told if name != "begin"}
    assert set(done) == {*WORK, "keep aside"}
    unsafe = {
        name: [one.removeprefix(str(tmp_path)) for one in left if not any(mark in one for mark in OF_NO_WORTH)]
        for name, left in done.items()
    }
    assert {name: left for name, left in unsafe.items() if left} == {}
