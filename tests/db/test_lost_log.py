"""A log that was deleted or cut after a kill is told of, whoever looks first; a sound firm is never accused."""

from __future__ import annotations

import os
import random
import re
import shutil
import signal
from collections.abc import Callable
from pathlib import Path

import pytest

from db.company_file import back_up, check_file, open_company, open_for_reading
from db.company_file.aftermath import read_word
from db.company_file.places import side_files
from desktop import cli
from tests.db.company_files import company_file
from tests.db.crash_lab import one_step, steps_in
from tests.db.forks import Fork, Tell

STEPS = 6
BEGINS = "The work saved last may be missing"
pytestmark = pytest.mark.skipif(os.name != "posix", reason="the system has no such signal")


def working(tell: Tell, path: Path) -> None:
    with open_company(path, backup=False) as company:
        for number in range(1, STEPS + 1):
            one_step(company, number)
        tell("saved")
        signal.pause()


@pytest.fixture
def killed(tmp_path: Path) -> Path:
    path = company_file(tmp_path)
    other = Fork(working, path)
    assert other.next_line() == "saved"
    other.killed()
    assert all(side.exists() for side in side_files(path)[:2])
    return path


def without(path: Path) -> None:
    side_files(path)[0].unlink()


def emptied(path: Path) -> None:
    side_files(path)[0].write_bytes(b"")


def half(path: Path) -> None:
    log = side_files(path)[0]
    log.write_bytes(log.read_bytes()[: log.stat().st_size // 2])


def one_bit(path: Path) -> None:
    log = side_files(path)[0]
    content = bytearray(log.read_bytes())
    content[len(content) // 3] ^= 1
    log.write_bytes(content)


HARMS = (without, emptied, half, one_bit)


@pytest.mark.parametrize("harm", HARMS)
def test_check_says_what_is_certain_and_what_to_do(killed: Path, harm: Callable[[Path], None]) -> None:
    harm(killed)
    for _ in range(2):  # the first look makes the index of the log anew
        report = check_file(killed)
        assert not report.ok
        told = next(line for line in report.lines if line.startswith(BEGINS))
        certain = re.search(r"Certain is what came up to “(.+)” on .+ \((\d+) saved steps?\)", told)
        assert certain is not None
        assert int(certain[2]) == steps_in(killed) + 1 < STEPS + 1
        assert "lay it beside the file" in "\n".join(report.lines)


@pytest.mark.parametrize("harm", HARMS)
def test_opening_tells_it_once_and_it_waits_to_be_seen_to(killed: Path, harm: Callable[[Path], None]) -> None:
    harm(killed)
    with open_company(killed) as company:
        one_step(company, 99)
    word = read_word(killed)
    assert word is not None
    assert word.lines[0].startswith(BEGINS)
    assert not check_file(killed).ok
    assert cli.main(["check", str(killed), "--looked-over"]) == 0
    assert check_file(killed).ok


def test_the_log_that_was_found_again_brings_everything(killed: Path, tmp_path: Path) -> None:
    log = side_files(killed)[0]
    shutil.move(log, tmp_path / "elsewhere")
    assert not check_file(killed).ok
    with open_for_reading(killed):
        pass
    shutil.move(tmp_path / "elsewhere", log)
    assert steps_in(killed) == STEPS


def test_recover_does_not_say_that_everything_is_in_it(killed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    without(killed)
    assert cli.main(["recover", str(killed)]) == 0
    text = capsys.readouterr().out
    assert "everything in it" not in text
    assert BEGINS in text


def test_a_kill_alone_is_no_loss(killed: Path) -> None:
    assert check_file(killed).ok
    assert steps_in(killed) == STEPS
    assert read_word(killed) is None


def test_file_and_log_copied_elsewhere_are_sound(killed: Path, tmp_path: Path) -> None:
    (place := tmp_path / "copy").mkdir()
    for piece in (killed, side_files(killed)[0]):
        shutil.copy2(piece, place / piece.name)
    assert check_file(place / killed.name).ok


def test_closed_and_at_work_and_written_back_are_sound(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    assert check_file(path).ok
    with open_company(path) as company:
        for number in range(1, STEPS + 1):
            one_step(company, number)
            assert check_file(path).ok
        back_up(company)
        with company.raw() as conn:
            conn.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        assert check_file(path).ok
        one_step(company, STEPS + 1)
        assert check_file(path).ok
    assert check_file(path).ok
    assert read_word(path) is None


def killed_after_writing_back(tell: Tell, path: Path) -> None:
    with open_company(path, backup=False) as company:
        one_step(company, 1)
        with company.raw() as conn:
            conn.execute("PRAGMA wal_checkpoint(PASSIVE)")
        tell("saved")
        signal.pause()


def test_a_log_that_had_come_into_the_file_may_go(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    other = Fork(killed_after_writing_back, path)
    assert other.next_line() == "saved"
    other.killed()
    without(path)
    assert check_file(path).ok
    assert steps_in(path) == 1


@pytest.mark.parametrize("turns", [3, pytest.param(300, marks=pytest.mark.long)])
def test_wherever_the_log_is_cut(killed: Path, tmp_path: Path, turns: int) -> None:
    luck = random.Random(31)
    pieces = {piece.name: piece.read_bytes() for piece in (killed, *side_files(killed)[:2])}
    for turn in range(turns):
        (place := tmp_path / str(turn)).mkdir()
        for name, content in pieces.items():
            (place / name).write_bytes(content)
        copy = place / killed.name
        log = side_files(copy)[0]
        log.write_bytes(log.read_bytes()[: luck.randrange(log.stat().st_size + 1)])
        report = check_file(copy)
        assert report.ok == (steps_in(copy) == STEPS), report.lines
