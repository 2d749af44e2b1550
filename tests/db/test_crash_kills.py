"""Killed while opening, saving and closing, again and again on one file: nothing that was acknowledged is gone."""

from __future__ import annotations

import os
import random
import signal
import time
from pathlib import Path

import pytest

from db.company_file import check_file, open_company
from tests.db.company_files import company_file, customer_names, program
from tests.db.crash_lab import Tally, steps_in

pytestmark = pytest.mark.skipif(os.name != "posix", reason="the system has no such signal")

IN_AND_OUT = """
import sys
from pathlib import Path
from db.company_file import open_company
from tests.db.crash_lab import one_step
path, number = Path(sys.argv[1]), int(sys.argv[2])
print("begin", flush=True)
while True:
    company = open_company(path, backup=number % 5 == 0)
    for _ in range(2):
        number += 1
        one_step(company, number)
        print(number, flush=True)
    company.close()
"""


@pytest.mark.parametrize("turns", [3, pytest.param(250, marks=pytest.mark.long)])
def test_killed_again_and_again_one_file_keeps_every_step(tmp_path: Path, turns: int) -> None:
    tally, luck, acknowledged = Tally("killed while opening, saving and closing"), random.Random(17), 0
    path = company_file(tmp_path)
    for turn in range(turns):
        process = program(IN_AND_OUT, path, str(acknowledged))
        assert process.stdout is not None
        assert process.stdout.readline() == "begin\n"
        time.sleep(luck.uniform(0.02, 0.6))
        process.send_signal(signal.SIGKILL)
        told = [line for line in process.stdout if line.endswith("\n")]
        process.wait()
        assert not [line for line in told if not line.strip().isdigit()], told
        acknowledged = max([acknowledged, *(int(line) for line in told)])
        report = check_file(path)
        if not report.ok:
            tally.wrong.append(report.lines[1])
        found = steps_in(path)
        tally.count(acknowledged, found, f"turn {turn}")
        acknowledged = found  # at most one was saved and not yet told
    with open_company(path) as company:
        tally.count(acknowledged, len(customer_names(company)), "in the end")
    tally.close()
