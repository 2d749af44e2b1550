"""A disk that fills up at any write: the step that did not fit is refused, every step before it is there afterwards."""

from __future__ import annotations

import os
import signal
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from db.company_file import check_file, open_company
from db.company_file.problems import CompanyProblem, Damaged
from tests.db.company_files import company_file, customer_names
from tests.db.crash_lab import Tally, one_step, steps_in
from tests.db.forks import Fork, Tell

try:
    import resource
except ImportError:  # not on this system
    resource = None  # type: ignore[assignment]

pytestmark = pytest.mark.skipif(os.name != "posix", reason="the system has no such limits")


def working_until_full(tell: Tell, path: Path, room: int | None) -> None:
    """Steps until one is refused; a file that may not grow beyond the room fails as on a full disk."""
    company = open_company(path, backup=False)
    one_step(company, 1)
    tell(1)
    if room is not None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (room, resource.RLIM_INFINITY))
    for number in range(2, 400):
        try:
            one_step(company, number)
        except CompanyProblem as problem:
            tell(problem.message)
            break
        tell(number)
    company.close()
    tell("closed")


def until_full(path: Path, room: int) -> int:
    """Work until a step is refused; how many were acknowledged."""
    told = Fork(working_until_full, path, room).ended()
    assert told[-1] == "closed", told[-5:]
    assert told[-2].startswith("Not saved") or told[-2] == "399", told[-5:]
    return max(int(line) for line in told if line.isdigit())


def count_afterwards(tally: Tally, path: Path, acknowledged: int) -> None:
    """There is room again: nothing is called damaged, and every acknowledged step is read and opened."""
    report = check_file(path)
    if not report.ok:
        tally.wrong.append(report.lines[1])
    tally.count(acknowledged, steps_in(path), "read")
    with open_company(path) as company:
        tally.count(acknowledged, len(customer_names(company)), "opened")


@pytest.mark.parametrize(
    "rooms",
    [[400_000, 700_000, 1_000_000], pytest.param(range(350_000, 1_400_000, 4_096), marks=pytest.mark.long)],
    ids=["short", "long"],
)
def test_a_write_that_does_not_fit_costs_that_step_only(tmp_path: Path, rooms: list[int]) -> None:
    tally = Tally("a file that may not grow, write by write")
    for room in rooms:
        (place := tmp_path / str(room)).mkdir()
        path = company_file(place)
        count_afterwards(tally, path, until_full(path, room))
    tally.close()


@contextmanager
def small_disk(folder: Path, size: int) -> Iterator[Path]:
    """A disk of so many bytes, where this user may make one."""
    folder.mkdir()
    made = subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(folder)], check=False,
                          capture_output=True)  # fmt: skip
    if made.returncode:
        pytest.skip("no disk can be mounted here")
    try:
        yield folder
    finally:
        subprocess.run(["umount", "-l", str(folder)], check=True)


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root mounts a disk")
@pytest.mark.parametrize(
    "free",
    [[60_000, 250_000, 900_000], pytest.param(range(0, 1_200_000, 4_096), marks=pytest.mark.long)],
    ids=["short", "long"],
)
def test_a_full_disk_costs_the_step_that_did_not_fit_only(tmp_path: Path, free: list[int]) -> None:
    tally = Tally("full disk, the program closed on it, then room again")
    for number, bytes_free in enumerate(free):
        with small_disk(tmp_path / f"disk {number}", 4 * 2**20) as disk:
            path = company_file(disk)
            with open_company(path, backup=False) as company:
                assert customer_names(company) == []
            filler = disk / "filler"
            space = os.statvfs(disk)
            try:
                filler.write_bytes(bytes(max(space.f_bavail * space.f_frsize - bytes_free, 0)))
                acknowledged = full_from_the_start(path)
                while_full(tally, path, acknowledged)
            finally:
                filler.unlink()
            count_afterwards(tally, path, acknowledged)
    tally.close()


def full_from_the_start(path: Path) -> int:
    """As many steps as fit, then the program is closed on the full disk; 0 when it could not even be opened."""
    told = Fork(working_until_full, path, None).ended()
    numbers = [int(line) for line in told if line.isdigit()]
    if not numbers:
        assert "the disk is full" in "".join(told), told[-5:]
    else:
        assert told[-1] == "closed", told[-5:]
    return max(numbers, default=0)


def while_full(tally: Tally, path: Path, acknowledged: int) -> None:
    """Reading may be refused while there is no room at all, but never by calling the file damaged."""
    try:
        tally.count(acknowledged, steps_in(path), "read while full")
    except Damaged as problem:
        tally.wrong.append(str(problem))
    except CompanyProblem as problem:
        if "the disk is full" not in str(problem):
            tally.wrong.append(str(problem))
    report = check_file(path)
    if not report.ok and "amaged" in "".join(report.lines[:2]):
        tally.wrong.append(report.lines[1])
