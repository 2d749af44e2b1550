"""The file was emptied or cut, its log was not: a step that stands in the log is never called nothing."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from db.company_file import back_up, open_company
from db.company_file.torn_steps import torn_steps
from desktop import cli
from tests.db.company_files import company_file
from tests.db.crash_lab import crashed_copy, one_step

BACKED_UP, STEPS = 3, 5


@pytest.fixture
def killed(tmp_path: Path) -> Path:
    path = company_file(tmp_path)
    with open_company(path, backup=False) as company:
        for number in range(1, STEPS + 1):
            one_step(company, number)
            if number == BACKED_UP:
                back_up(company)
        copy = crashed_copy(path, tmp_path / "killed")
    (tmp_path / "Quarry Lane backups").rename(copy.parent / "Quarry Lane backups")
    return copy


def test_every_step_is_found_in_file_and_log(killed: Path) -> None:
    assert {label for _, _, label in torn_steps(killed)} - {"Start Quarry Lane Radon"} == {
        f"Add customer {n}" for n in range(1, STEPS + 1)
    }


@pytest.mark.parametrize("left", [0, 4096])
def test_the_backup_alone_lacks_what_the_log_holds(
    killed: Path, left: int, capsys: pytest.CaptureFixture[str]
) -> None:
    with open(killed, "r+b") as file:
        file.truncate(left)
    assert cli.main(["recover", str(killed)]) == 0
    text = capsys.readouterr().out
    backup = text[text.index("The newest backup") :]
    assert f"It lacks {STEPS - BACKED_UP} steps, the last: Add customer {STEPS}; " in backup
    way = next(one for one in re.findall(r"To use it: riserbook (.+)", text) if "--use backup" in one)
    assert way.endswith(f"--lose {STEPS - BACKED_UP}")
    assert cli.main(shlex.split(way.split(" --lose")[0])) == 1
    assert cli.main(shlex.split(way)) == 0
