"""A checkpoint cut short leaves a file that makes sense with its log only: it is sound, and is called sound."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest

from db.company_file import back_up, check_file, list_backups, open_company, restore
from tests.db.company_files import customer_names
from tests.db.crash_lab import PAGE, Tally, at_work, crashed_copy, newest_pages, steps_in, write_back


def torn(folder: Path, turns: int, steps: int) -> Tally:
    """Only some pages of the log written back, first one alone, then any number of them in any order."""
    tally = Tally("checkpoint cut short")
    luck = random.Random(steps)
    work = folder / "work"
    work.mkdir()
    for path, acknowledged in at_work(work, steps):
        for turn in range(turns):
            copy = crashed_copy(path, folder / f"{acknowledged}-{turn}")
            pages = newest_pages(copy)
            some = pages[:1] if turn == 0 else luck.sample(pages, luck.randrange(len(pages)))
            write_back(copy, some)
            if luck.random() < 0.3:  # and the last of them only half
                number, content = luck.choice(pages)
                write_back(copy, [(number, content[: PAGE // 2] + _old_half(copy, number))])
            look_and_count(tally, copy, acknowledged)
            shutil.rmtree(copy.parent)
    return tally


def _old_half(path: Path, number: int) -> bytes:
    held = path.read_bytes()[(number - 1) * PAGE : number * PAGE]
    return held[PAGE // 2 :].ljust(PAGE // 2, b"\0")


def look_and_count(tally: Tally, path: Path, acknowledged: int) -> None:
    """Everything an owner may do after a crash, each of which must find every acknowledged step."""
    report = check_file(path)
    if not report.ok:
        tally.wrong.append(report.lines[1])
    tally.count(acknowledged, steps_in(path), "read")
    tally.count(acknowledged, steps_in(back_up(path)), "backup")
    with open_company(path, backup=False) as company:
        tally.count(acknowledged, len(customer_names(company)), "opened")


def test_a_checkpoint_cut_short_loses_nothing_and_alarms_nobody(tmp_path: Path) -> None:
    torn(tmp_path, turns=3, steps=6).close()


@pytest.mark.long
def test_checkpoints_cut_short_in_many_ways(tmp_path: Path) -> None:
    torn(tmp_path, turns=25, steps=60).close()


def test_restoring_over_such_a_file_keeps_every_step_in_the_copy_it_makes_first(tmp_path: Path) -> None:
    (tmp_path / "work").mkdir()
    for path, acknowledged in at_work(tmp_path / "work", 5):
        if acknowledged == 2:
            older = back_up(path)
        if acknowledged == 5:
            copy = crashed_copy(path, tmp_path / "after")
    write_back(copy, newest_pages(copy)[:1])
    kept = restore(copy, older)
    assert kept is not None
    assert steps_in(kept) == 5
    assert steps_in(copy) == 2
    assert [backup.kind for backup in list_backups(copy)] == ["before restore"]
