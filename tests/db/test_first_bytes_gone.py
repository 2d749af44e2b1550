"""A firm whose first bytes are gone, its backups beside it: named as a firm, recovered, and replaced by restoring."""

from __future__ import annotations

import re
import shlex
from collections.abc import Callable
from pathlib import Path

import pytest

from db.company_file import back_up, check_file, create_company, open_company, open_for_reading
from db.company_file.problems import Damaged, NotOurs
from desktop import cli
from tests.db.company_files import TODAY, customer_names
from tests.db.crash_lab import one_step

BACKED_UP, STEPS = 5, 8
HARMS: dict[str, Callable[[bytes], bytes]] = {
    "zeroed": lambda content: bytes(len(content)),
    "first hundred bytes": lambda content: b"\xa5" * 100 + content[100:],
    "text": lambda _: b"Dear Ada, the fan hums. " * 40,
}
INTACT = {"first hundred bytes"}


@pytest.fixture(params=list(HARMS))
def harm(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def firm(tmp_path: Path, harm: str) -> Path:
    path = tmp_path / "Firm.riserbook"
    create_company(path, "Quarry Lane Radon", "Ada Quill", TODAY, starter=False).close()
    with open_company(path, backup=False) as company:
        for number in range(1, STEPS + 1):
            one_step(company, number)
            if number == BACKED_UP:
                back_up(company)
    path.write_bytes(HARMS[harm](path.read_bytes()))
    return path


def customers(path: Path) -> int:
    with open_for_reading(path) as company:
        return len(customer_names(company))


def test_it_is_a_damaged_firm_and_its_backups_are_named(firm: Path) -> None:
    with pytest.raises(Damaged, match=r"1 backup of it lies in “Firm backups”, the newest “20"):
        open_company(firm)
    assert "Recover" in " ".join(check_file(firm).lines)


def test_the_printed_advice_brings_it_back(firm: Path, harm: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["recover", str(firm)]) == 0
    ways = re.findall(r"To use it: riserbook (.+)", capsys.readouterr().out)
    assert cli.main(shlex.split(ways[0])) == 0, capsys.readouterr().err
    assert customers(firm) == (STEPS if harm in INTACT else BACKED_UP)
    assert len(ways) == (2 if harm in INTACT else 1)  # what was only filled from the backup is no find in the file


def test_a_restore_replaces_it_and_keeps_it_aside(firm: Path, capsys: pytest.CaptureFixture[str]) -> None:
    gone = firm.read_bytes()
    backup = next((firm.parent / "Firm backups").glob("*.riserbook"))
    assert cli.main(["restore", str(backup), str(firm), "--replace"]) == 0, capsys.readouterr().err
    assert customers(firm) == BACKED_UP
    assert gone in [one.read_bytes() for one in (firm.parent / "Firm backups").glob("* damaged.riserbook")]


def test_without_neighbors_a_letter_stays_a_letter(tmp_path: Path) -> None:
    path = tmp_path / "Letter.riserbook"
    path.write_text("Dear Ada, " * 100)
    (tmp_path / "Letter backups").mkdir()
    with pytest.raises(NotOurs):
        open_company(path)
