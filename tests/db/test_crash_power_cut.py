"""The power goes: of what was not yet on the disk, any part may be there. Every acknowledged step is.

The model: what was asked to be on the disk before (synchronous=FULL) is there; of the bytes written since, each sector
of the log, or each page of the file while a checkpoint runs, is either old or new. sqlite.org/atomiccommit.html,
section 2 (what the disk may do), and sqlite.org/walformat.html (the order of log, file and log's header), from memory.
"""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest

from db.company_file import check_file, open_company
from db.company_file.places import side_files
from tests.db.company_files import company_file, customer_names
from tests.db.crash_lab import PAGE, Tally, one_step, steps_in

SECTOR = 512
_LOG_HEADER = 32


def mixed(old: bytes, new: bytes, size: int, luck: random.Random) -> bytes:
    """Each piece of what was written is there or not; a file that grew may have kept its old length."""
    pieces = []
    for at in range(0, max(len(old), len(new)), size):
        before, after = old[at : at + size], new[at : at + size]
        pieces.append(after if luck.random() < 0.5 or not before else before)
    whole = b"".join(pieces)
    return whole[: luck.choice([len(whole), max(len(old), min(len(whole), len(new)))])]


def after_the_cut(old: tuple[bytes, bytes], new: tuple[bytes, bytes], luck: random.Random) -> tuple[bytes, bytes]:
    """File and log as a cut between two acknowledged steps may leave them."""
    if old[0] != new[0] and new[1][:_LOG_HEADER] == old[1][:_LOG_HEADER]:
        return mixed(old[0], new[0], PAGE, luck), new[1]  # the log is on the disk before a page of the file is written
    log = mixed(old[1], new[1], SECTOR, luck)
    if old[1][:_LOG_HEADER] != new[1][:_LOG_HEADER]:
        log = new[1][:_LOG_HEADER] + log[_LOG_HEADER:]  # begun anew: its header is put on the disk by itself first
    return new[0], log


@pytest.mark.parametrize(("steps", "turns"), [(14, 2), pytest.param(150, 20, marks=pytest.mark.long)])
def test_a_power_cut_between_two_steps_loses_none(tmp_path: Path, steps: int, turns: int) -> None:
    tally, luck = Tally("power cut between two acknowledged steps"), random.Random(21)
    (tmp_path / "work").mkdir()
    path = company_file(tmp_path / "work")
    log = side_files(path)[0]
    with open_company(path, backup=False) as company:
        with company.raw() as conn:
            conn.execute("PRAGMA wal_autocheckpoint=40")
        one_step(company, 1)
        old = path.read_bytes(), log.read_bytes()
        for number in range(2, steps + 1):
            one_step(company, number)
            new = path.read_bytes(), log.read_bytes()
            for turn in range(turns):
                cut(tally, tmp_path / f"{number}-{turn}", after_the_cut(old, new, luck), number - 1)
            old = new
    tally.close()


def cut(tally: Tally, folder: Path, left: tuple[bytes, bytes], acknowledged: int) -> None:
    """The machine starts again: looked over, read, opened."""
    folder.mkdir()
    path = folder / "Firm.riserbook"
    path.write_bytes(left[0])
    side_files(path)[0].write_bytes(left[1])
    report = check_file(path)
    if not report.ok:
        tally.wrong.append(report.lines[1])
    tally.count(acknowledged, steps_in(path), folder.name)
    with open_company(path, backup=False) as company:
        tally.count(acknowledged, len(customer_names(company)), folder.name)
    shutil.rmtree(folder)
