"""One company is one file: made whole, for its owner's eyes alone, held by one window, readable meanwhile."""

from __future__ import annotations

import os
import sqlite3
import stat
import sys
import threading
from contextlib import closing
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import func, select
from sqlalchemy.exc import IntegrityError

from db.company_file import APPLICATION_ID, create_company, lock, open_company, open_for_reading
from db.company_file.places import lock_file
from db.company_file.problems import AlreadyThere, Missing, OpenElsewhere, ReadOnly
from db.tables import action, company, contact, customer, job_type, person
from tests.db.company_files import (
    TODAY,
    add_customer,
    company_file,
    customer_names,
    program,
    records,
)

posix_only = pytest.mark.skipif(os.name != "posix", reason="the system has no such modes or signals")


def test_a_new_company_has_its_name_its_owner_and_a_starting_library(tmp_path: Path) -> None:
    with create_company(tmp_path / "New.riserbook", "Quarry Lane Radon", "Ada Quill", TODAY) as new, new.read() as conn:
        firm = conn.execute(select(company)).one()
        assert (firm.id, firm.name, firm.owner_name) == (1, "Quarry Lane Radon", "Ada Quill")
        assert conn.execute(select(person.c.name, person.c.role)).all() == [("Ada Quill", "owner")]
        assert conn.execute(select(func.count()).select_from(job_type)).scalar_one() > 0
        assert new.undo_label is None


def test_a_company_without_the_library_has_its_settings_only(tmp_path: Path) -> None:
    with create_company(tmp_path / "New.riserbook", "Quarry Lane", "Ada Quill", TODAY, starter=False) as new:
        rows = records(new)
    assert len(rows["company"]) == len(rows["person"]) == 1
    assert rows["job_type"] == rows["item"] == rows["labour_task"] == []


def test_the_new_file_stands_alone_once_closed(tmp_path: Path) -> None:
    create_company(tmp_path / "New.riserbook", "Quarry Lane", "Ada Quill", TODAY).close()
    assert [path.name for path in tmp_path.iterdir()] == ["New.riserbook"]


def test_the_file_carries_our_mark(tmp_path: Path) -> None:
    header = company_file(tmp_path).read_bytes()[:100]
    assert header.startswith(b"SQLite format 3\x00")
    # sqlite.org/fileformat.html section 1.3: the application id is the big-endian number at offset 68
    assert int.from_bytes(header[68:72]) == APPLICATION_ID


def test_an_existing_file_is_never_written_over(tmp_path: Path) -> None:
    path = tmp_path / "Taxes.riserbook"
    path.write_bytes(b"something dear")
    with pytest.raises(AlreadyThere, match=r"Taxes\.riserbook.*already there"):
        create_company(path, "Quarry Lane", "Ada Quill", TODAY)
    assert path.read_bytes() == b"something dear"


def test_a_file_that_appears_while_the_company_is_being_made_wins(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "New.riserbook"
    import db.company_file.opening as opening

    making = opening._fill

    def slow(*arguments: object) -> None:
        making(*arguments)  # type: ignore[arg-type]
        path.write_bytes(b"someone was quicker")

    monkeypatch.setattr(opening, "_fill", slow)
    with pytest.raises(AlreadyThere):
        create_company(path, "Quarry Lane", "Ada Quill", TODAY)
    assert path.read_bytes() == b"someone was quicker"
    assert list(tmp_path.iterdir()) == [path]


def test_nothing_is_left_when_making_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_: object) -> None:
        raise ValueError("no")

    monkeypatch.setattr("db.starter.fill_new_company", fails)
    with pytest.raises(ValueError, match="no"):
        create_company(tmp_path / "New.riserbook", "Quarry Lane", "Ada Quill", TODAY)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(Missing, match="stick"):
        create_company(tmp_path / "stick" / "New.riserbook", "Quarry Lane", "Ada Quill", TODAY)


@pytest.mark.parametrize("name", ["100% Radon & Søn?.riserbook", "a#b c.riserbook", "name without ending"])
def test_any_file_name_will_do(tmp_path: Path, name: str) -> None:
    path = company_file(tmp_path, name)
    with open_company(path) as opened:
        add_customer(opened, "Bo")
    with open_for_reading(path) as opened:
        assert customer_names(opened) == ["Bo"]
    assert not [entry for entry in tmp_path.iterdir() if entry.name not in (name, f"{path.stem} backups")]


def test_every_connection_is_told_the_same(tmp_path: Path) -> None:
    with open_company(company_file(tmp_path)) as opened, opened.read() as one, opened.read() as two:
        for conn in (one, two):
            told = {
                name: conn.exec_driver_sql(f"PRAGMA {name}").scalar_one()
                for name in ("foreign_keys", "journal_mode", "synchronous")
            }
            assert told == {"foreign_keys": 1, "journal_mode": "wal", "synchronous": 2}


def test_a_row_that_points_at_nothing_is_refused(tmp_path: Path) -> None:
    with open_company(company_file(tmp_path)) as opened:
        with pytest.raises(IntegrityError), opened.action("Add a phone to nobody") as edit:
            edit.add(contact, customer_id=99, kind="phone", value="555-0100")
        assert records(opened)["contact"] == []


@posix_only
def test_only_the_owner_can_read_the_file_and_what_lies_beside_it(tmp_path: Path) -> None:
    old = os.umask(0)
    try:
        with create_company(tmp_path / "New.riserbook", "Quarry Lane", "Ada Quill", TODAY, starter=False) as new:
            add_customer(new, "Bo")
            modes = {path.name: stat.S_IMODE(path.stat().st_mode) for path in tmp_path.iterdir()}
    finally:
        os.umask(old)
    assert set(modes) >= {"New.riserbook", "New.riserbook-wal", "New.riserbook-shm"}
    assert set(modes.values()) == {0o600}


@posix_only
def test_a_file_that_others_could_read_is_closed_to_them_when_opened(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    path.chmod(0o664)
    open_company(path).close()
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_a_second_window_is_told_that_the_file_is_open(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path) as first:
        with pytest.raises(OpenElsewhere, match="already open"):
            open_company(path)
        add_customer(first, "Bo")
    with open_company(path) as second:
        assert customer_names(second) == ["Bo"]


@posix_only
def test_another_name_of_the_file_meets_the_same_lock(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    (tmp_path / "link.riserbook").symlink_to(path)
    with open_company(path), pytest.raises(OpenElsewhere):
        open_company(tmp_path / "link.riserbook")


HOLDER = """
import sys
from pathlib import Path
from typing import Any
from db.company_file import open_company
company = open_company(Path(sys.argv[1]), backup=False)
print("open", flush=True)
sys.stdin.read()
"""


def test_a_window_in_another_program_holds_the_file_until_it_dies(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    holder = program(HOLDER, path)
    try:
        assert holder.stdout is not None
        assert holder.stdout.readline() == "open\n"
        with pytest.raises(OpenElsewhere):
            open_company(path)
    finally:
        holder.kill()
        holder.communicate()
    assert (tmp_path / ".Quarry Lane.riserbook.in-use").exists() or sys.platform == "win32"
    open_company(path).close()  # what a crash leaves behind blocks nobody
    assert not (tmp_path / ".Quarry Lane.riserbook.in-use").exists()


def test_of_many_windows_opened_at_once_exactly_one_gets_the_file(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    for _ in range(5):
        start, opened, refused = threading.Barrier(6), [], []

        def one(
            start: threading.Barrier = start, opened: list[object] = opened, refused: list[object] = refused
        ) -> None:
            start.wait()
            try:
                opened.append(open_company(path, backup=False))
            except OpenElsewhere as problem:
                refused.append(problem)

        windows = [threading.Thread(target=one) for _ in range(6)]
        for window in windows:
            window.start()
        for window in windows:
            window.join()
        assert (len(opened), len(refused)) == (1, 5)
        opened[0].close()  # type: ignore[attr-defined]


@posix_only
def test_a_lock_on_a_file_that_was_just_removed_is_not_taken_for_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = company_file(tmp_path)
    really, beside = lock.connect, lock_file(path)

    def while_another_window_closes(found: Path, *more: Any, **named: Any) -> sqlite3.Connection:
        monkeypatch.setattr(lock, "connect", really)
        conn = really(found, *more, **named)
        conn.execute("PRAGMA user_version").fetchone()  # the file is open now
        beside.unlink()
        beside.touch()
        return conn

    monkeypatch.setattr(lock, "connect", while_another_window_closes)
    let_go = lock.hold(path)
    with pytest.raises(OpenElsewhere):
        lock.hold(path)
    let_go()


def test_readers_read_while_a_window_has_the_file_open(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path) as window:
        add_customer(window, "Bo")
        with open_for_reading(path) as reader:
            assert customer_names(reader) == ["Bo"]
            with reader.read() as conn:
                assert conn.execute(select(func.count()).select_from(customer)).scalar_one() == 1
                add_customer(window, "Cy")  # not held up by the reader, who goes on seeing one state
                assert conn.execute(select(func.count()).select_from(customer)).scalar_one() == 1
            assert customer_names(reader) == ["Bo", "Cy"]
        add_customer(window, "Di")
    with open_for_reading(path) as reader:
        assert customer_names(reader) == ["Bo", "Cy", "Di"]


def test_a_reader_cannot_write(tmp_path: Path) -> None:
    with open_for_reading(company_file(tmp_path)) as reader, pytest.raises(ReadOnly):
        add_customer(reader, "Bo")


def test_reading_leaves_the_file_and_its_folder_as_they_were(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    before = path.read_bytes(), path.stat().st_mtime_ns
    with open_for_reading(path) as reader:
        customer_names(reader)
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before
    assert list(tmp_path.iterdir()) == [path]


def test_closing_twice_is_no_harm(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    opened = open_company(path)
    opened.close()
    with open_company(path):
        opened.close()
        with pytest.raises(OpenElsewhere):
            open_company(path)


def test_the_clock_of_the_journal_can_be_set(tmp_path: Path) -> None:
    from datetime import datetime

    evening = datetime(2026, 3, 2, 21, 5, 7).astimezone()
    with open_company(company_file(tmp_path), clock=lambda: evening) as opened:
        add_customer(opened, "Bo")
        with opened.read() as conn:
            assert conn.execute(select(action.c.made_at).order_by(action.c.id.desc())).scalars().first() == (
                evening.isoformat(timespec="seconds")
            )
        assert opened.saved_at == evening


def test_opening_an_up_to_date_file_does_not_load_the_migrations(tmp_path: Path) -> None:
    source = (
        "import sys; from pathlib import Path; from datetime import date; "
        "from db.company_file import create_company, open_company; "
        "create_company(Path(sys.argv[1]), 'a', 'b', date(2026, 1, 1)).close(); "
        "open_company(Path(sys.argv[1])).close(); "
        "print([name for name in ('alembic', 'PySide6', 'openpyxl') if name in sys.modules])"
    )
    printed, _ = program(source, tmp_path / "New.riserbook").communicate()
    assert printed.strip() == "[]"


def test_the_stored_day_is_plain_text_that_other_programs_read(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path) as opened:
        add_customer(opened, "Bo")
    with closing(sqlite3.connect(path)) as conn:
        assert conn.execute("SELECT created_on FROM customer").fetchone() == (date(2026, 3, 2).isoformat(),)
