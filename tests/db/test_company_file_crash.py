"""What the owner was told is saved is saved, even when the program is killed in the middle of the next step."""

from __future__ import annotations

import os
import random
import signal
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import func, select

from db.company_file import check_file, open_company
from db.tables import contact
from tests.db.company_files import company_file, customer_names, program

pytestmark = pytest.mark.skipif(os.name != "posix", reason="the system has no such signal")

AT_WORK = """
import sys
from datetime import date
from itertools import count
from pathlib import Path
from db.company_file import open_company
from db.tables import contact, customer
company = open_company(Path(sys.argv[1]), backup=False)
for n in count(1):
    with company.action(f"Add customer {n}") as edit:
        one = edit.add(customer, kind="person", name=f"Customer {n}", created_on=date(2026, 3, 2))
        edit.add_many(contact, [{"customer_id": one, "kind": "phone", "value": str(i)} for i in range(20)])
    if n % 5 == 0:
        company.undo()
        company.redo()
    print(n, flush=True)
"""


def reported_before_the_kill(path: Path, after: float) -> int:
    """Start the program, kill it some time after its first saved step; the last step it reported."""
    process = program(AT_WORK, path)
    assert process.stdout is not None
    lines: Iterator[str] = iter(process.stdout.readline, "")
    first = next(lines, "")
    assert first == "1\n", first + process.communicate()[0]
    time.sleep(after)
    process.send_signal(signal.SIGKILL)
    told = [first, *lines]
    process.wait()
    return int([line for line in told if line.endswith("\n")][-1])


@pytest.mark.parametrize("turn", range(6))
def test_a_killed_program_loses_nothing_it_had_reported(tmp_path: Path, turn: int) -> None:
    path = company_file(tmp_path)
    reported = reported_before_the_kill(path, random.Random(turn).uniform(0, 0.25))
    report = check_file(path)
    assert report.ok, report.lines
    with open_company(path) as again:
        names = customer_names(again)
        # at most the one step that was saved but not yet reported, or that a redo was about to bring back
        assert names[:reported] == [f"Customer {n}" for n in range(1, reported + 1)]
        assert len(names) <= reported + 1
        with again.read() as conn:
            phones = conn.execute(select(func.count()).select_from(contact)).scalar_one()
        assert phones == 20 * len(names)  # every step is there whole
    assert check_file(path).ok
