"""Backup, restore and check from the command line, as on a machine without a window."""

from __future__ import annotations

import io
import shutil
from pathlib import Path

import pytest

from db.company_file import open_company
from desktop.cli import main
from tests.db.company_files import add_customer, content, customer_names
from tests.db.whole_firm import WholeFirm, papers_of, quick_passwords, whole_firm


@pytest.fixture
def firm(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> WholeFirm:
    quick_passwords(monkeypatch)
    for name in ("desk", "stick", "other"):
        (tmp_path / name).mkdir()
    return whole_firm(tmp_path / "desk")


def typed(monkeypatch: pytest.MonkeyPatch, password: str) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(password + "\n"))


def test_one_command_backs_up_and_one_restores_on_another_machine(
    firm: WholeFirm, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    typed(monkeypatch, "four gray slate crows")
    assert main(["backup", str(firm.path), str(tmp_path / "stick"), "--password"]) == 0
    said = capsys.readouterr().out
    assert "Photos and papers in it: 4." in said
    assert "Nobody can open it without this password" in said
    (made,) = (tmp_path / "stick").iterdir()
    before = content(firm.path)
    shutil.rmtree(tmp_path / "desk")
    assert main(["restore", str(made), str(tmp_path / "other")]) == 1
    assert "is under a password" in capsys.readouterr().err
    typed(monkeypatch, "four gray slate crows")
    assert main(["check", str(made), "--password"]) == 0
    typed(monkeypatch, "four gray slate crows")
    assert main(["restore", str(made), str(tmp_path / "other"), "--password"]) == 0
    there = tmp_path / "other" / "Quarry Lane.riserbook"
    assert f"Restored to {there}" in capsys.readouterr().out
    assert content(there) == before
    assert papers_of(there) == firm.papers


def test_newer_work_is_not_replaced_unless_told_and_what_would_be_gone_is_shown(
    firm: WholeFirm, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["backup", str(firm.path), str(tmp_path / "stick")]) == 0
    (made,) = (tmp_path / "stick").iterdir()
    assert main(["restore", str(made), str(firm.path)]) == 0  # nothing newer there
    with open_company(firm.path, backup=False) as opened:
        add_customer(opened, "Bo Newer")
    assert main(["restore", str(made), str(firm.path)]) == 1
    said = capsys.readouterr().err
    assert "Gone from Quarry Lane.riserbook would be 1 step, the last: Add Bo Newer." in said
    assert "Quarry Lane Radon: 1 job, 1 customer," in said
    assert "Quarry Lane Radon: 1 job, 2 customers," in said
    with open_company(firm.path, backup=False) as opened:
        assert "Bo Newer" in customer_names(opened)
    assert main(["restore", str(made), str(firm.path), "--replace"]) == 0
    assert "What was there before is kept in" in capsys.readouterr().out
    with open_company(firm.path, backup=False) as opened:
        assert "Bo Newer" not in customer_names(opened)


def test_a_damaged_firm_is_not_replaced_without_a_word(
    firm: WholeFirm, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["backup", str(firm.path), str(tmp_path / "stick")]) == 0
    (made,) = (tmp_path / "stick").iterdir()
    firm.path.write_bytes(firm.path.read_bytes()[:9000])
    assert main(["restore", str(made), str(firm.path)]) == 1
    assert "cannot be read" in capsys.readouterr().err
    assert firm.path.stat().st_size == 9000
    assert main(["restore", str(made), str(firm.path), "--replace"]) == 0
    open_company(firm.path).close()


def test_a_backup_is_no_firm_to_work_in_and_that_is_said(
    firm: WholeFirm, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["backup", str(firm.path), str(tmp_path / "stick")]) == 0
    (made,) = (tmp_path / "stick").iterdir()
    assert main(["costing", str(made)]) == 1
    assert "is a backup, not a firm to work in. Restore it first" in capsys.readouterr().err
    assert main(["restore", str(tmp_path / "gone"), str(tmp_path / "other")]) == 1
    assert main(["restore", str(made), str(tmp_path / "no such folder" / "x.riserbook")]) == 1
    assert "no such folder" in capsys.readouterr().err


@pytest.mark.parametrize("place", ["/dev/null", "notes.txt"])
def test_a_restore_into_something_else_is_refused(
    firm: WholeFirm, tmp_path: Path, place: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path / "other")
    Path("notes.txt").write_text("mine")
    assert main(["backup", str(firm.path), str(tmp_path / "stick")]) == 0
    (made,) = (tmp_path / "stick").iterdir()
    assert main(["restore", str(made), place]) == 1
    assert "is there already and is no firm's file" in capsys.readouterr().err
    assert not Path("/dev/null.riserbook").exists()
    assert [one.name for one in Path.cwd().iterdir()] == ["notes.txt"]


@pytest.mark.parametrize("words", [["backup", "FIRM", ""], ["restore", "FIRM", " "], ["check", ""], ["--tour", ""]])
def test_an_empty_name_is_not_the_folder_one_is_in(
    firm: WholeFirm, tmp_path: Path, words: list[str], capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path / "other")
    assert main([word.replace("FIRM", str(firm.path)) for word in words]) == 2
    assert "a name is empty" in capsys.readouterr().err
    assert list(Path.cwd().iterdir()) == []


def test_a_file_that_bears_the_name_of_a_firm_is_not_told_to_bear_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "Notes.riserbook"
    path.write_text("some notes")
    assert main(["check", str(path)]) == 1
    text = "".join(capsys.readouterr())
    assert "whose name ends in" not in text
    assert "It only bears the name of one" in text
