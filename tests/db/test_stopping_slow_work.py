"""Backup, copy and restore stopped at every moment they tell of: nothing half done is left, and all is as it was."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from db.company_file import back_up, list_backups, open_company, photo_folder, restore, save_copy
from db.company_file.kept import sum_of
from db.company_file.places import backup_folder
from tests.db.company_files import add_customer, content
from tests.db.whole_firm import WholeFirm, papers_of, whole_firm

Progress = Callable[[int, int], None]


class Enough(Exception):
    """Raised by the teller."""


def stopping_at(moment: int) -> Progress:
    told = 0

    def tell(done: int, of: int) -> None:
        nonlocal told
        assert 0 <= done <= max(of, 0)
        told += 1
        if told > moment:
            raise Enough

    return tell


def lies_in(folder: Path) -> dict[str, str]:
    """Every file beneath, with its sum; SQLite's own side files come and go."""
    return {
        str(one.relative_to(folder)): sum_of(one)
        for one in sorted(folder.rglob("*")) if one.is_file() and not one.name.endswith(("-wal", "-shm", ".lock"))
    }  # fmt: skip


def every_moment(work: Callable[[Progress], object], after: Callable[[], None]) -> int:
    """Stop the work at its first, second, ... moment, and look each time; then let it end. Returns the moments."""
    for moment in range(200):
        try:
            work(stopping_at(moment))
        except Enough:
            after()
        else:
            return moment
    raise AssertionError("it never ends")


@pytest.fixture
def firm(tmp_path: Path) -> WholeFirm:
    for name in ("desk", "stick", "new"):
        (tmp_path / name).mkdir()
    return whole_firm(tmp_path / "desk")


def test_a_backup_that_is_stopped_leaves_no_backup(firm: WholeFirm) -> None:
    def looks_as_before() -> None:
        assert list_backups(firm.path) == []
        for name, digest in lies_in(backup_folder(firm.path)).items():  # whole photos may wait there for the next one
            assert digest == sum_of(photo_folder(firm.path) / Path(name).name), name

    with open_company(firm.path, backup=False) as company:
        moments = every_moment(lambda tell: back_up(company, progress=tell), looks_as_before)
    assert moments > len(firm.papers)
    assert len(list_backups(firm.path)) == 1
    assert list_backups(firm.path)[0].missing == ()


def test_a_copy_that_is_stopped_leaves_nothing_at_all(firm: WholeFirm, tmp_path: Path) -> None:
    there = tmp_path / "stick" / "Copy.riserbook"
    with open_company(firm.path, backup=False) as company:
        moments = every_moment(
            lambda tell: save_copy(company, there, progress=tell),
            lambda: pytest.fail("left behind") if any((tmp_path / "stick").iterdir()) else None,
        )
    assert moments > len(firm.papers)
    assert papers_of(there) == firm.papers
    assert content(there) == content(firm.path)


def test_a_copy_over_another_that_is_stopped_leaves_that_one_as_it_was(firm: WholeFirm, tmp_path: Path) -> None:
    there = tmp_path / "stick" / "Copy.riserbook"
    with open_company(firm.path, backup=False) as company:
        save_copy(company, there)
        gone = min(photo_folder(there).iterdir())
        gone.unlink()
        add_customer(company, "Bo Newer")
        before = lies_in(tmp_path / "stick")
        every_moment(
            lambda tell: save_copy(company, there, replace=True, progress=tell),
            lambda: pytest.fail("not as it was") if lies_in(tmp_path / "stick") != before else None,
        )
    assert papers_of(there) == firm.papers


@pytest.mark.parametrize("kind", ["one file from elsewhere", "one of its own"])
def test_a_restore_that_is_stopped_changes_nothing(firm: WholeFirm, tmp_path: Path, kind: str) -> None:
    made = back_up(firm.path, tmp_path / "stick") if kind == "one file from elsewhere" else back_up(firm.path)
    with open_company(firm.path, backup=False) as company:
        add_customer(company, "Bo Newer")
    min(photo_folder(firm.path).iterdir()).unlink()
    rows, papers = content(firm.path), papers_of(firm.path)

    def as_it_was() -> None:
        assert content(firm.path) == rows
        assert papers_of(firm.path) == papers
        assert {one.kind for one in list_backups(firm.path)} <= {"before restore", "by hand"}

    assert every_moment(lambda tell: restore(firm.path, made, progress=tell), as_it_was) >= 2
    assert papers_of(firm.path) == firm.papers


def test_a_restore_on_a_new_machine_that_is_stopped_leaves_nothing(firm: WholeFirm, tmp_path: Path) -> None:
    made, there = back_up(firm.path, tmp_path / "stick"), tmp_path / "new" / "Q.riserbook"

    def nothing() -> None:
        assert list((tmp_path / "new").iterdir()) == []

    assert every_moment(lambda tell: restore(there, made, progress=tell), nothing) > len(firm.papers)
    assert papers_of(there) == firm.papers
