"""Killed while opening, saving and closing, again and again on one file: nothing that was acknowledged is gone."""

from __future__ import annotations

import os
import random
from itertools import count
from pathlib import Path

import pytest
from sqlalchemy import func, select

from db.company_file import check_file, open_company
from db.tables import contact
from tests.db.company_files import company_file, customer_names
from tests.db.crash_lab import Tally, one_step, steps_in
from tests.db.forks import Fork, Tell

pytestmark = pytest.mark.skipif(os.name != "posix", reason="the system has no such signal")


def in_and_out(tell: Tell, path: Path, number: int) -> None:
    """Open, two steps, close, for ever; every fifth time with the backup at opening."""
    tell("begin")
    for turn in count():
        company = open_company(path, backup=turn % 5 == 0)
        for _ in range(2):
            number += 1
            one_step(company, number)
            tell(number)
        company.close()


@pytest.mark.parametrize("turns", [5, pytest.param(250, marks=pytest.mark.long)])
def test_killed_again_and_again_one_file_keeps_every_step(tmp_path: Path, turns: int) -> None:
    tally, luck, acknowledged = Tally("killed while opening, saving and closing"), random.Random(17), 0
    path = company_file(tmp_path)
    for turn in range(turns):
        worker = Fork(in_and_out, path, acknowledged)
        assert worker.next_line() == "begin"
        told = worker.killed(after=luck.uniform(0.0, 0.35))
        assert not [line for line in told if not line.isdigit()], told
        acknowledged = max([acknowledged, *(int(line) for line in told)])
        look_over(tally, path, f"turn {turn}")
        found = steps_in(path)
        tally.count(acknowledged, found, f"turn {turn}")
        if found > acknowledged + 1:
            tally.wrong.append(f"turn {turn}: {acknowledged} acknowledged, {found} found: more than were begun")
        acknowledged = found  # at most one was saved and not yet told
    with open_company(path) as company:
        assert customer_names(company) == [f"Customer {n}" for n in range(1, acknowledged + 1)]
        tally.count(acknowledged, len(customer_names(company)), "in the end")
    tally.close()
    print(f"{acknowledged} steps were saved meanwhile")


def look_over(tally: Tally, path: Path, where: str) -> None:
    report = check_file(path)
    if not report.ok:
        tally.wrong.append(f"{where}: {report.lines[:3]}")


def at_work(tell: Tell, path: Path) -> None:
    """Step after step, every fifth of them undone and done again before it is told."""
    company = open_company(path, backup=False)
    for number in count(1):
        one_step(company, number)
        if number % 5 == 0:
            company.undo()
            company.redo()
        tell(number)


@pytest.mark.parametrize("turns", [5, pytest.param(250, marks=pytest.mark.long)])
def test_killed_in_the_middle_of_a_step_the_steps_before_it_are_there_whole(tmp_path: Path, turns: int) -> None:
    tally, luck, steps = Tally("killed while saving, undoing and redoing"), random.Random(19), 0
    for turn in range(turns):
        (place := tmp_path / str(turn)).mkdir()
        path = company_file(place)
        worker = Fork(at_work, path)
        assert worker.next_line() == "1"
        told = ["1", *worker.killed(after=luck.uniform(0.0, 0.25))]
        assert all(line.isdigit() for line in told), told
        acknowledged = int(told[-1])
        look_over(tally, path, f"turn {turn}")
        with open_company(path) as company, company.read() as conn:
            names = customer_names(company)
            phones = conn.execute(select(func.count()).select_from(contact)).scalar_one()
        tally.count(acknowledged, len(names), f"turn {turn}")
        # at most the one step that was saved but not yet told, or that a redo was about to bring back
        if names != [f"Customer {n}" for n in range(1, len(names) + 1)] or len(names) > acknowledged + 1:
            tally.wrong.append(f"turn {turn}: {acknowledged} acknowledged, {names[-3:]} are the last")
        if phones != 8 * len(names):
            tally.wrong.append(f"turn {turn}: half a step")
        steps += acknowledged
    tally.close()
    print(f"{steps} steps were acknowledged")
