"""Backups: taken while the company is open, checked, thinned out, and put back without losing what was there."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from db.company_file import (
    back_up,
    back_up_if_changed,
    backup_folder,
    list_backups,
    open_company,
    open_for_reading,
    photo_folder,
    restore,
    save_copy,
)
from db.company_file.connection import connect
from db.company_file.problems import AlreadyThere, Damaged, Missing, NotOurs, OpenElsewhere
from tests.db.company_files import TODAY, add_customer, company_file, content, customer_names, untouched

posix_only = pytest.mark.skipif(os.name != "posix", reason="the system has no such modes")


class Clock:
    """A clock that stands still until it is moved."""

    def __init__(self, *at: int) -> None:
        self.time = datetime(*at).astimezone()  # type: ignore[arg-type]

    def __call__(self) -> datetime:
        return self.time


def names_in(path: Path) -> list[str]:
    with open_for_reading(path) as reader:
        return customer_names(reader)


def kinds(path: Path) -> list[str]:
    return [backup.kind for backup in list_backups(path)]


def test_a_backup_holds_the_open_company_as_it_is_now(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path, backup=False) as opened:
        add_customer(opened, "Bo")
        backup = back_up(opened)
        add_customer(opened, "Cy")
        assert names_in(backup) == ["Bo"]
        assert names_in(back_up(path)) == ["Bo", "Cy"]  # by the file's name, while a window has it open
    assert backup.parent == backup_folder(path) == tmp_path / "Quarry Lane backups"


def test_a_backup_is_one_file_on_its_own_like_the_company_row_for_row(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path, backup=False) as opened:
        add_customer(opened, "Bo")
        backup = back_up(opened)
    assert [entry.name for entry in sorted(backup.parent.iterdir())] == [backup.name, "notes"]
    # sqlite.org/fileformat.html section 1.3, offsets 18 and 19: 1 needs no file beside it, so it can be read
    # from a disc that cannot be written; 2 is WAL
    assert backup.read_bytes()[18:20] == b"\x01\x01"
    assert content(backup) == content(path)


def test_backups_are_listed_newest_first(tmp_path: Path) -> None:
    path, clock = company_file(tmp_path), Clock(2026, 3, 2, 21, 0)
    with open_company(path, backup=False, clock=clock) as opened:
        older = back_up(opened)
        clock.time += timedelta(hours=1)
        newer, same_second = back_up(opened), back_up(opened)
    (older.parent / "notes.txt").write_text("not a backup")
    found = list_backups(path)
    assert [backup.path for backup in found] == [same_second, newer, older]
    assert found[2].made_at == datetime(2026, 3, 2, 21, 0).astimezone()
    assert found[2].size == older.stat().st_size > 0
    assert kinds(path) == ["by hand"] * 3


def test_a_company_without_backups_has_an_empty_list(tmp_path: Path) -> None:
    assert list_backups(company_file(tmp_path)) == []
    assert list_backups(tmp_path / "gone" / "Gone.riserbook") == []


def test_a_backup_into_a_folder_of_the_owners_is_named_after_the_company(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    (tmp_path / "stick").mkdir()
    backup = back_up(path, tmp_path / "stick")
    assert list((tmp_path / "stick").iterdir()) == [backup]
    assert backup.name.startswith("Quarry Lane 20")
    assert backup.suffix == ".riserbackup"
    assert list_backups(path) == []


def test_a_stick_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(Missing, match="stick"):
        back_up(company_file(tmp_path), tmp_path / "stick")


@posix_only
def test_backups_are_for_the_owner_alone(tmp_path: Path) -> None:
    old = os.umask(0)
    try:
        backup = back_up(company_file(tmp_path))
    finally:
        os.umask(old)
    assert stat.S_IMODE(backup.stat().st_mode) == 0o600
    assert stat.S_IMODE(backup.parent.stat().st_mode) == 0o700


def test_opening_makes_a_backup_when_something_changed_since_the_last(tmp_path: Path) -> None:
    path, clock = company_file(tmp_path), Clock(2026, 3, 2, 21, 0)

    def evening(*work: Callable[..., object]) -> int:
        clock.time += timedelta(days=1)
        with open_company(path, clock=clock) as opened:
            for step in work:
                step(opened)
        return len(list_backups(path))

    assert evening() == 1
    assert evening() == 1  # nothing was done the evening before
    assert evening(lambda company: add_customer(company, "Bo")) == 1
    assert evening(lambda company: add_customer(company, "Cy"), lambda company: company.undo()) == 2
    assert evening(lambda company: company.undo()) == 3  # the undone step is a change too, and this evening has none
    assert evening() == 3
    assert kinds(path) == ["rolling"] * 3


def test_a_backup_that_is_asked_for_later_notices_changes_of_this_session(tmp_path: Path) -> None:
    with open_company(company_file(tmp_path)) as opened:
        assert back_up_if_changed(opened) is None
        add_customer(opened, "Bo")
        backup = back_up_if_changed(opened)
        assert backup is not None
        assert names_in(backup) == ["Bo"]
        opened.undo()
        assert back_up_if_changed(opened) is not None
        opened.redo()
        assert back_up_if_changed(opened) is not None
        assert back_up_if_changed(opened) is None


def test_the_ten_newest_and_the_last_of_each_month_are_kept(tmp_path: Path) -> None:
    path, clock = company_file(tmp_path), Clock(2025, 11, 1, 21, 0)
    evenings = [datetime(2025, 11, 1, 21).astimezone() + timedelta(days=day) for day in range(75)]
    with open_company(path, backup=False, clock=clock) as opened:
        by_hand = back_up(opened)
        for clock.time in evenings:
            add_customer(opened, f"Customer of {clock.time:%d %b}")
            assert back_up_if_changed(opened) is not None
    rolling = [backup.made_at for backup in list_backups(path) if backup.kind == "rolling"]
    assert rolling[:10] == evenings[:-11:-1]
    assert [(day.month, day.day) for day in rolling[10:]] == [(12, 31), (11, 30)]
    assert by_hand.exists()


def test_restoring_brings_back_what_the_backup_holds_and_keeps_what_was_there(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path, backup=False) as opened:
        add_customer(opened, "Bo")
        backup = back_up(opened)
        add_customer(opened, "Cy")
    safety = restore(path, backup)
    assert safety is not None
    assert (names_in(path), names_in(safety)) == (["Bo"], ["Bo", "Cy"])
    assert content(path) == content(backup)
    assert sorted(kinds(path)) == ["before restore", "by hand"]
    restore(path, safety)
    assert names_in(path) == ["Bo", "Cy"]
    with open_company(path) as opened:
        add_customer(opened, "Di")
    assert names_in(path) == ["Bo", "Cy", "Di"]


def test_restoring_waits_until_the_company_is_closed(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path, backup=False) as opened:
        backup = back_up(opened)
        add_customer(opened, "Bo")
        with pytest.raises(OpenElsewhere):
            restore(path, backup)
        assert customer_names(opened) == ["Bo"]


def test_a_reader_keeps_its_answer_while_the_file_is_restored(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path, backup=False) as opened:
        backup = back_up(opened)
        add_customer(opened, "Bo")
    with open_for_reading(path) as reader:
        with reader.read() as conn:
            assert conn.exec_driver_sql("SELECT count(*) FROM customer").scalar_one() == 1
            restore(path, backup)
            assert conn.exec_driver_sql("SELECT count(*) FROM customer").scalar_one() == 1
        assert customer_names(reader) == []
    assert names_in(path) == []


def test_a_damaged_company_is_restored_and_its_damaged_file_is_kept(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path, backup=False) as opened:
        add_customer(opened, "Bo")
        backup = back_up(opened)
    broken = path.read_bytes()[:9000]
    path.write_bytes(broken)
    path.with_name(f"{path.name}-wal").write_bytes(b"a log of the broken file")
    with pytest.raises(Damaged, match="Recover"):
        open_company(path)
    kept = restore(path, backup)
    assert kept is not None
    assert kept.read_bytes() == broken
    assert kept.with_name(f"{kept.name}-wal").read_bytes() == b"a log of the broken file"
    assert names_in(path) == ["Bo"]
    assert sorted(entry.name for entry in tmp_path.iterdir()) == ["Quarry Lane backups", "Quarry Lane.riserbook"]


def test_a_deleted_company_is_restored(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path, backup=False) as opened:
        add_customer(opened, "Bo")
        back_up(opened)
    path.unlink()
    assert restore(path, list_backups(path)[0].path) is None
    assert names_in(path) == ["Bo"]


def test_restoring_over_some_other_file_is_refused(tmp_path: Path) -> None:
    backup = back_up(company_file(tmp_path))
    letter = tmp_path / "letter.txt"
    letter.write_text("Dear Ada")
    with pytest.raises(NotOurs):
        restore(letter, backup)
    assert letter.read_text() == "Dear Ada"


def test_a_backup_made_while_pages_are_damaged_is_not_kept(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    (tmp_path / "stick").mkdir()
    with closing(connect(path)) as conn:
        conn.execute("CREATE TABLE filler (id INTEGER PRIMARY KEY, words TEXT)")
        conn.execute("INSERT INTO filler VALUES (1, ?)", ("x" * 40_000,))
        root = conn.execute("SELECT rootpage FROM sqlite_master WHERE name = 'filler'").fetchone()[0]
    scribbled = bytearray(path.read_bytes())
    scribbled[(root - 1) * 4096 : root * 4096] = b"\xa5" * 4096
    path.write_bytes(scribbled)
    before = untouched(tmp_path)
    with pytest.raises(Damaged):
        back_up(path, tmp_path / "stick")
    assert untouched(tmp_path) == before


def test_a_copy_has_everything_and_its_photos(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    photo_folder(path).mkdir()
    (photo_folder(path) / "1-ab.jpg").write_bytes(b"a picture")
    with open_company(path, backup=False) as opened:
        add_customer(opened, "Bo")
        copy = save_copy(opened, tmp_path / "Copy.riserbook")
        add_customer(opened, "Cy")
        assert opened.path == path
        assert names_in(copy) == ["Bo"]
        with pytest.raises(AlreadyThere):
            save_copy(opened, copy)
        save_copy(opened, copy, replace=True)
        assert names_in(copy) == ["Bo", "Cy"]
    assert (photo_folder(copy) / "1-ab.jpg").read_bytes() == b"a picture"
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600 or os.name != "posix"
    with open_company(copy) as opened:
        add_customer(opened, "Di")
    assert names_in(path) == ["Bo", "Cy"]


def test_a_backup_is_never_half_a_step(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path, backup=False) as opened, opened.action("Add two") as edit:
        from db.tables import customer

        edit.add(customer, kind="person", name="Bo", created_on=TODAY)
        between = back_up(path)
        edit.add(customer, kind="person", name="Cy", created_on=TODAY)
    assert names_in(between) == []
