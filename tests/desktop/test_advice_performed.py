"""Each trouble a crash, a full disk or a bad place leaves: what is advised is done word for word, steps are counted.

What `riserbook recover` advises after damage is followed in `test_recover_command.py`, too, and after the first bytes
are gone in `tests/db/test_first_bytes_gone.py`.
"""

from __future__ import annotations

import os
import random
import shutil
import signal
from collections.abc import Callable
from pathlib import Path

import pytest

from db.company_file import network, open_company, save_copy
from db.company_file.problems import Closed, CompanyProblem, DiskFull, Missing, NoLocks, OpenElsewhere, UpdateFailed
from tests.db.company_files import add_customer, company_file, customer_names
from tests.db.crash_lab import Tally, at_work, crashed_copy, one_step, steps_in
from tests.db.damage import torn_pages
from tests.db.forks import Fork, Tell
from tests.db.test_company_file_doors import THIEF, VIEW, with_a_lying_index
from tests.db.test_migrations import RAISES, a_next_version
from tests.db.test_salvage import harmed
from tests.desktop.test_recover_command import follow_the_advice

STEPS = 5
posix_only = pytest.mark.skipif(os.name != "posix", reason="the system has no such signal")
HARMS: dict[str, Callable[[Path], Path]] = {
    "trigger": lambda folder: harmed(folder, THIEF),
    "view": lambda folder: harmed(folder, VIEW),
    "bad day": lambda folder: harmed(folder, "UPDATE customer SET created_on = 'soon'"),
    "no firm row": lambda folder: harmed(folder, "DELETE FROM company"),
    "no text": lambda folder: harmed(folder, "UPDATE customer SET name = CAST(x'C328' AS TEXT)"),
    "index": with_a_lying_index,
}


@pytest.fixture
def after_a_kill(tmp_path: Path) -> Path:
    """A firm whose steps are partly in its log only, with its log."""
    (tmp_path / "work").mkdir()
    for path, acknowledged in at_work(tmp_path / "work", STEPS):
        if acknowledged == STEPS:
            copy = crashed_copy(path, tmp_path / "after")
    return copy


def counted(name: str, path: Path, expected: int = STEPS) -> None:
    tally = Tally(name)
    tally.count(expected, steps_in(path), "read")
    with open_company(path) as company:
        tally.count(expected, len(customer_names(company)), "opened")
    tally.close()


@pytest.mark.parametrize("harm", list(HARMS))
def test_recover_as_it_is_printed(tmp_path: Path, harm: str, capsys: pytest.CaptureFixture[str]) -> None:
    path = HARMS[harm](tmp_path)
    follow_the_advice(path, capsys)
    counted(f"advice after {harm}", path, expected=1)


def test_recover_when_the_file_is_torn_and_the_log_is_there(
    after_a_kill: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    luck = random.Random(8)
    whole = after_a_kill.read_bytes()
    for _ in range(3):
        after_a_kill.write_bytes(torn_pages(whole, luck, 1))
        follow_the_advice(after_a_kill, capsys)
        counted("advice after a torn page under a log", after_a_kill)


def test_free_some_space_then_try_again(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path, backup=False) as company:
        for number in range(1, STEPS):
            one_step(company, number)
        with company.raw() as conn:  # SQLite then says what it says on a full disk
            conn.execute(f"PRAGMA max_page_count={conn.execute('PRAGMA page_count').fetchone()[0]}")
        with pytest.raises(DiskFull, match=r"Everything saved before is safe\. Free some space"):
            add_customer(company, "C" * 100_000)
        with company.raw() as conn:
            conn.execute("PRAGMA max_page_count=1000000")
        one_step(company, STEPS)
    counted("advice on a full disk", path)


@posix_only
def test_save_a_copy_under_a_new_name_then_open_that(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path, backup=False) as company:
        for number in range(1, STEPS + 1):
            one_step(company, number)
        path.unlink()
        with pytest.raises(Missing, match="save a copy under a new name from the Firm page, then open that copy"):
            one_step(company, STEPS + 1)
        copy = save_copy(company, tmp_path / "Under a new name.riserbook")
    counted("advice when the file is gone", copy)


def test_copy_the_firm_with_what_lies_beside_it_from_a_folder_without_locks(
    after_a_kill: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(network, "folder_locks", lambda folder: folder != after_a_kill.parent)
        with pytest.raises(NoLocks, match="Copy the firm, with the files that lie beside it, to a folder on this comp"):
            open_company(after_a_kill)
        (here := tmp_path / "on this computer").mkdir()
        for piece in after_a_kill.parent.iterdir():
            shutil.copy2(piece, here / piece.name)
        counted("advice for a network folder without locks", here / after_a_kill.name)


def test_open_it_again_then_repeat_the_step(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    company = open_company(path, backup=False)
    for number in range(1, STEPS):
        one_step(company, number)
    company.close()
    with pytest.raises(Closed, match="Open it again, then repeat the step"):
        one_step(company, STEPS)
    with open_company(path, backup=False) as again:
        one_step(again, STEPS)
    counted("advice after closing", path)


def holding(tell: Tell, path: Path) -> None:
    with open_company(path, backup=False) as company:
        for number in range(1, STEPS + 1):
            one_step(company, number)
        tell("saved")
        signal.pause()


@posix_only
def test_close_it_there_first_also_when_it_is_the_crash_that_closed_it(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    other = Fork(holding, path)
    assert other.next_line() == "saved"
    with pytest.raises(OpenElsewhere, match="or close it there first and then open it here"):
        open_company(path)
    other.killed()
    counted("advice when it is open elsewhere", path)


def test_go_on_with_the_version_you_had(
    after_a_kill: Path, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as newer:
        a_next_version(newer, tmp_path_factory.mktemp("next"), RAISES)
        with pytest.raises(UpdateFailed, match=r"Go on with the version you had\. A copy is in “Quarry Lane backups”"):
            open_company(after_a_kill)
    kept = next((after_a_kill.parent / "Quarry Lane backups").glob("*.riserbook"))
    counted("advice after an update failed", after_a_kill)
    counted("the copy it names", kept)


@posix_only
def test_copy_it_to_a_folder_of_your_own_then_open_it_there(after_a_kill: Path, tmp_path: Path) -> None:
    from db.company_file.problems import cannot_write

    assert "Copy it, with the files that lie beside it, to a folder of your own" in cannot_write(after_a_kill).advice
    (own := tmp_path / "own").mkdir()
    for piece in after_a_kill.parent.iterdir():
        shutil.copy2(piece, own / piece.name)
    counted("advice for a folder that cannot be written", own / after_a_kill.name)


def test_every_trouble_says_what_to_do(tmp_path: Path) -> None:
    from db.company_file import problems

    for make in (problems.gone, problems.cannot_write, problems.disk_full, problems.damaged, problems.indexes_differ,
                 problems.no_locks, problems.closed, problems.unsettled, problems.open_elsewhere):  # fmt: skip
        told: CompanyProblem = make(tmp_path / "Firm.riserbook")
        assert told.advice.endswith("."), make
        assert "riserbook " not in str(told).replace(".riserbook", ""), "the window shows no commands"
