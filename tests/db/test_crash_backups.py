"""Kills and full disks while backing up, copying, restoring, founding and taking photos in: nothing acknowledged is
lost, whatever carries a final name is whole, and half files are gone at the next start."""

from __future__ import annotations

import os
import shutil
import signal
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest

from db.company_file import back_up, check_file, create_company, list_backups, open_company, restore, save_copy
from db.company_file.container import verify_container
from tests.db.crash_lab import Tally, one_step
from tests.db.whole_firm import WholeFirm, add_papers, papers_of, whole_firm
from tests.small_company import TODAY

if os.name != "posix":
    pytest.skip("the system has no such signal", allow_module_level=True)

from tests.db.kill_lab import BUG, DONE, KILLED, REFUSED, run_killed_at, run_on_a_disk_of


class Place(NamedTuple):
    """Where a case plays: the firm, and folders beside it."""

    firm: WholeFirm
    stick: Path
    other: Path
    made: Path  # a whole backup, made before


def to_stick(place: Place) -> object:
    return back_up(place.firm.path, place.stick)


def beside(place: Place) -> object:
    return back_up(place.firm.path)


def copy(place: Place) -> object:
    with open_company(place.firm.path, backup=False) as company:
        return save_copy(company, place.other / "Copy.riserbook")


def restore_new(place: Place) -> object:
    return restore(place.other / "New.riserbook", place.made)


def restore_over(place: Place) -> object:
    return restore(place.firm.path, place.made)


def found(place: Place) -> object:
    with create_company(place.other / "Begun.riserbook", "Begun Radon", "Ada Quill", TODAY, starter=False):
        return None


def take_photos(place: Place) -> object:
    with open_company(place.firm.path, backup=False) as company:
        add_papers(company, place.firm.job.job_id, place.other, 31, 32)
    return None


WORK: dict[str, Callable[[Place], object]] = {
    "backup to a stick": to_stick, "backup beside the firm": beside, "save a copy": copy,
    "restore on a new machine": restore_new, "restore over the firm": restore_over, "begin a firm": found,
    "take in photos and reports": take_photos,
}  # fmt: skip


def a_place(folder: Path) -> Place:
    shutil.rmtree(folder, ignore_errors=True)
    for name in ("desk", "stick", "other", "kept"):
        (folder / name).mkdir(parents=True)
    firm = whole_firm(folder / "desk")
    return Place(firm, folder / "stick", folder / "other", back_up(firm.path, folder / "kept"))


def steps_of(path: Path) -> int:
    with open_company(path, backup=False) as company, company.read() as conn:
        return int(conn.exec_driver_sql("SELECT count(*) FROM action").scalar_one())


def look_over(place: Place, tally: Tally, steps: int, where: str) -> None:
    """The next start, and then: what was acknowledged is there, what has a name is whole, nothing half is left."""
    wrong = tally.wrong
    for path in [place.firm.path, *place.other.glob("*.riserbook")]:
        with open_company(path):  # the next start
            pass
        report = check_file(path)
        if not report.ok:
            wrong.append(f"{where}: {report.lines[:3]}")
    tally.count(steps, steps_of(place.firm.path), where)
    for made in [*place.stick.glob("*.riserbackup"), place.made]:
        verify_container(made, None)
    for name, content in place.firm.papers.items():
        if papers_of(place.firm.path).get(name) != content:
            wrong.append(f"{where}: {name} is gone or changed")
    for backup in list_backups(place.firm.path):
        if not check_file(backup.path).lines or backup.missing:
            wrong.append(f"{where}: {backup.path.name} is not whole")
    if list(place.other.iterdir()) and not list(place.other.glob("*.riserbook")):
        restore_new(place)  # where a first restore was cut short there is no firm to open: it is begun again
    everything = place.firm.path.parent.parent.rglob("*")
    half = [str(one) for one in everything if "unfinished" in one.name or one.suffix == ".part"]
    if half:
        wrong.append(f"{where}: left behind {half[:3]}")


def kill_campaign(name: str, folder: Path, every: int, most: int) -> None:
    tally, work = Tally(f"killed: {name}"), WORK[name]
    for moment in range(1, most, every):
        place = a_place(folder / "case")
        steps = steps_of(place.firm.path)
        ended = run_killed_at(moment, lambda place=place: work(place))  # type: ignore[misc]
        assert ended in (DONE, KILLED), ended
        look_over(place, tally, steps, f"{name}, event {moment}")
        if ended == DONE:
            break
    tally.close()


def full_disk_campaign(name: str, folder: Path, sizes: list[int]) -> None:
    tally, work = Tally(f"full disk: {name}"), WORK[name]
    for largest in sizes:
        place = a_place(folder / "case")
        steps = steps_of(place.firm.path)
        before = sorted(place.stick.iterdir())
        ended = run_on_a_disk_of(largest, lambda place=place: work(place))  # type: ignore[misc]
        if ended not in (DONE, REFUSED):
            tally.wrong.append(f"{name}, {largest} bytes: {ended}")
        left = [str(one) for one in place.firm.path.parent.parent.rglob("*") if "unfinished" in one.name]
        if left:  # a full disk is no kill: it clears up at once
            tally.wrong.append(f"{name}, {largest} bytes: left {left[:2]}")
        if ended == REFUSED and sorted(place.stick.iterdir()) != before:
            tally.wrong.append(f"{name}, {largest} bytes: a file in the stick although it was refused")
        look_over(place, tally, steps, f"{name}, {largest} bytes")
    tally.close()


@pytest.mark.parametrize("name", list(WORK))
def test_killed_at_some_moments(tmp_path: Path, name: str) -> None:
    whole_firm(tmp_path)  # made once, before anything is killed
    kill_campaign(name, tmp_path, every=73, most=320)


@pytest.mark.parametrize("name", ["backup to a stick", "backup beside the firm", "restore over the firm"])
def test_a_disk_that_is_full_at_some_sizes(tmp_path: Path, name: str) -> None:
    whole_firm(tmp_path)
    full_disk_campaign(name, tmp_path, [300, 400_000])


@pytest.mark.long
@pytest.mark.parametrize("name", list(WORK))
def test_killed_at_every_moment(tmp_path: Path, name: str) -> None:
    whole_firm(tmp_path)
    kill_campaign(name, tmp_path, every=1, most=5_000)


@pytest.mark.long
@pytest.mark.parametrize("name", [name for name in WORK if name != "begin a firm"])
def test_a_disk_that_is_full_at_every_size(tmp_path: Path, name: str) -> None:
    whole_firm(tmp_path)
    full_disk_campaign(name, tmp_path, [0, 1, 100, 512, 4096, 5000, *range(20_000, 1_600_000, 40_000)])


def test_backing_up_while_another_program_writes(tmp_path: Path) -> None:
    two_programs(tmp_path, backups=3)


@pytest.mark.long
def test_backing_up_many_times_while_another_program_writes(tmp_path: Path) -> None:
    two_programs(tmp_path, backups=300)


def two_programs(folder: Path, backups: int) -> None:
    """Each backup made meanwhile holds every step acknowledged before it began, and each step whole."""
    place, tally = a_place(folder / "two"), Tally("backup while another program writes")
    told, tell = os.pipe()
    writer = os.fork()
    if writer == 0:
        try:
            with open_company(place.firm.path, backup=False) as company:
                for number in range(1, 100_000):
                    one_step(company, number)
                    os.write(tell, b".")
        finally:
            os._exit(0)
    acknowledged = 0
    try:
        for number in range(backups):
            acknowledged += len(os.read(told, 65_536))
            made = back_up(place.firm.path, place.stick) if number % 2 else back_up(place.firm.path)
            there = folder / f"there {number}" / "Q.riserbook"
            there.parent.mkdir()
            restore(there, made)
            with open_company(there, backup=False) as company, company.read() as conn:
                customers = int(conn.exec_driver_sql("SELECT count(*) FROM customer").scalar_one()) - 1
                phones = int(
                    conn.exec_driver_sql("SELECT count(*) FROM contact WHERE length(value) = 1").scalar_one()
                )
            tally.count(acknowledged, customers, made.name)
            if phones != 8 * customers or papers_of(there) != place.firm.papers:
                tally.wrong.append(f"{made.name}: half a step, or papers gone")
            shutil.rmtree(there.parent)
    finally:
        os.kill(writer, signal.SIGKILL)
        os.waitpid(writer, 0)
        os.close(told)
        os.close(tell)
    tally.close()


def test_whatever_the_laboratory_runs_a_bug_is_told_from_a_refusal(tmp_path: Path) -> None:
    assert run_on_a_disk_of(10_000_000, lambda: 1 / 0) == BUG
    assert run_killed_at(1, lambda: (tmp_path / "x").write_text("x")) == KILLED
