"""A file that cannot be opened: what is wrong is said plainly, what to do is said, and nothing is changed."""

from __future__ import annotations

import os
import shutil
import sqlite3
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest

from db.company_file import Company, back_up, open_company, open_for_reading, restore, save_copy
from db.company_file.problems import (
    AlreadyThere,
    CompanyProblem,
    Damaged,
    DiskFull,
    Missing,
    NotOurs,
    OpenElsewhere,
    TooNew,
)
from tests.db.company_files import (
    add_customer,
    company_file,
    copy_with_side_files,
    customer_names,
    untouched,
)

posix_only = pytest.mark.skipif(os.name != "posix", reason="the system has no such modes or signals")


def no_file(folder: Path) -> Path:
    return folder / "Gone.riserbook"


def no_folder(folder: Path) -> Path:
    return folder / "stick" / "Quarry Lane.riserbook"


def a_folder(folder: Path) -> Path:
    (folder / "Photos").mkdir()
    return folder / "Photos"


def a_letter(folder: Path) -> Path:
    path = folder / "letter.txt"
    path.write_text("Dear Ada, the fan hums. " * 500)
    return path


def a_short_letter(folder: Path) -> Path:
    path = folder / "note.riserbook"
    path.write_text("call Bo")
    return path


def another_database(folder: Path) -> Path:
    path = folder / "music.db"
    with closing(sqlite3.connect(path)) as conn:
        conn.execute("CREATE TABLE song (id INTEGER PRIMARY KEY)")
        conn.commit()
    return path


def another_database_in_wal_mode(folder: Path) -> Path:
    path = folder / "music.db"
    with closing(sqlite3.connect(path)) as conn:
        conn.execute("PRAGMA journal_mode=WAL")
        conn.execute("CREATE TABLE song (id INTEGER PRIMARY KEY)")
        conn.commit()
    return path


def empty_file(folder: Path) -> Path:
    path = folder / "Quarry Lane.riserbook"
    path.touch()
    return path


def cut_short(folder: Path) -> Path:
    path = company_file(folder)
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    return path


def scribbled_over(folder: Path) -> Path:
    path = company_file(folder)
    content = bytearray(path.read_bytes())
    for page in range(2, len(content) // 4096):
        content[page * 4096 : page * 4096 + 64] = b"\xa5" * 64
    path.write_bytes(content)
    return path


def from_the_future(folder: Path) -> Path:
    return with_revision(company_file(folder), "9999")


def from_the_future_after_a_crash(folder: Path) -> Path:
    """The newer program was killed: the revision is in the -wal only."""
    at_work = folder.parent / "at work"
    at_work.mkdir()
    path = company_file(at_work)
    with closing(sqlite3.connect(path)) as conn:
        conn.execute("PRAGMA journal_mode=WAL")
        conn.execute("UPDATE alembic_version SET version_num = '9999'")
        conn.commit()
        crashed = copy_with_side_files(path, folder)
    crashed.with_name(f"{crashed.name}-shm").unlink()
    return crashed


def without_revision(folder: Path) -> Path:
    path = company_file(folder)
    with closing(sqlite3.connect(path)) as conn:
        conn.execute("DROP TABLE alembic_version")
        conn.commit()
    return path


def with_revision(path: Path, revision: str) -> Path:
    with closing(sqlite3.connect(path)) as conn:
        conn.execute("UPDATE alembic_version SET version_num = ?", (revision,))
        conn.commit()
    return path


TROUBLES: list[tuple[Callable[[Path], Path], type[CompanyProblem], str]] = [
    (no_file, Missing, "There is no file"),
    (no_folder, Missing, "The folder .* is not there"),
    (a_folder, NotOurs, "is a folder"),
    (a_letter, NotOurs, "is not a firm's file"),
    (a_short_letter, NotOurs, "is not a firm's file"),
    (another_database, NotOurs, "is a database, but not a firm's file"),
    (another_database_in_wal_mode, NotOurs, "is a database, but not a firm's file"),
    (empty_file, Damaged, "is empty, 0 bytes"),
    (cut_short, Damaged, "is damaged"),
    (scribbled_over, Damaged, "is damaged"),
    (without_revision, Damaged, "is damaged"),
    (from_the_future, TooNew, "newer version of Riserbook"),
    (from_the_future_after_a_crash, TooNew, "newer version of Riserbook"),
]
WAYS_IN = (open_company, open_for_reading)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    place = tmp_path / "books"
    place.mkdir()
    return place


@pytest.mark.parametrize("way_in", WAYS_IN)
@pytest.mark.parametrize(("make", "kind", "words"), TROUBLES, ids=lambda value: getattr(value, "__name__", None))
def test_what_is_wrong_is_said_and_nothing_is_changed(
    folder: Path,
    make: Callable[[Path], Path],
    kind: type[CompanyProblem],
    words: str,
    way_in: Callable[[Path], object],
) -> None:
    path = make(folder)
    before = {name: seen for name, seen in untouched(folder).items() if not name.endswith("-shm")}
    with pytest.raises(kind, match=words) as raised:
        way_in(path)
    # the -shm is the database's index of the -wal and holds nothing of its own
    assert {name: seen for name, seen in untouched(folder).items() if not name.endswith("-shm")} == before
    assert raised.value.path == path
    assert raised.value.message.endswith(".")
    assert raised.value.advice.endswith(".")
    assert not any(word in str(raised.value).lower() for word in ("sqlite", "pragma", "error", "wal"))


@pytest.mark.parametrize(("make", "kind", "words"), TROUBLES, ids=lambda value: getattr(value, "__name__", None))
def test_no_backup_is_made_of_what_is_not_whole(
    folder: Path, make: Callable[[Path], Path], kind: type[CompanyProblem], words: str
) -> None:
    path = make(folder)
    if kind is TooNew:
        return  # whole, and a copy of it is still worth having
    before = untouched(folder)
    with pytest.raises(CompanyProblem):
        back_up(path)
    assert untouched(folder) == before


@pytest.mark.parametrize(("make", "kind", "words"), TROUBLES, ids=lambda value: getattr(value, "__name__", None))
def test_what_cannot_be_opened_is_not_restored_from_either(
    folder: Path, make: Callable[[Path], Path], kind: type[CompanyProblem], words: str
) -> None:
    trouble = make(folder)
    (folder / "mine").mkdir()
    path = company_file(folder / "mine")
    before = untouched(folder / "mine")
    with pytest.raises(kind):
        restore(path, trouble)
    assert untouched(folder / "mine") == before


@pytest.fixture
def open_ground() -> Iterator[Path]:
    """A folder that any user of this machine may enter."""
    place = Path(tempfile.mkdtemp(prefix="books-"))
    place.chmod(0o777)
    yield place
    for path in (place, *place.rglob("*")):
        path.chmod(0o777)
    shutil.rmtree(place)


def as_someone_else(way_in: Callable[[Path], Company], path: Path) -> str:
    """What a user without the rights of root gets to see; root may write everywhere."""
    if os.geteuid() != 0:
        return seen(way_in, path)
    answer, tell = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.setgroups([])
            os.setgid(65534)
            os.setuid(65534)
            os.write(tell, seen(way_in, path).encode())
        except BaseException as error:
            os.write(tell, repr(error).encode())
        finally:
            os._exit(0)
    os.close(tell)
    with os.fdopen(answer, encoding="utf-8") as words:
        told = words.read()
    os.waitpid(child, 0)
    return told


def seen(way_in: Callable[[Path], Company], path: Path) -> str:
    try:
        with way_in(path) as company, company.read() as conn:
            return f"opened {conn.exec_driver_sql('SELECT name FROM company').scalar_one()}"
    except CompanyProblem as problem:
        return f"{type(problem).__name__} {problem.message}"


@posix_only
def test_a_read_only_file_is_named_and_can_still_be_read(open_ground: Path) -> None:
    path = company_file(open_ground)
    path.chmod(0o444)
    before = untouched(open_ground)
    assert as_someone_else(open_company, path).startswith("ReadOnly “Quarry Lane.riserbook” cannot be written")
    assert untouched(open_ground) == before
    assert as_someone_else(open_for_reading, path) == "opened Quarry Lane Radon"


@posix_only
def test_a_read_only_folder_is_named_and_can_still_be_read(open_ground: Path) -> None:
    path = company_file(open_ground)
    path.chmod(0o666)
    open_ground.chmod(0o555)
    before = untouched(open_ground)
    assert as_someone_else(open_company, path).startswith("ReadOnly “Quarry Lane.riserbook” cannot be written")
    assert as_someone_else(open_for_reading, path) == "opened Quarry Lane Radon"
    assert untouched(open_ground) == before


@posix_only
def test_a_file_of_someone_else_is_named(open_ground: Path) -> None:
    path = company_file(open_ground)
    path.chmod(0o000)
    for way_in in WAYS_IN:
        assert as_someone_else(way_in, path).startswith("ReadOnly “Quarry Lane.riserbook” may not be read by you")


def test_a_file_left_by_a_crash_opens_with_everything_that_was_saved(tmp_path: Path) -> None:
    (tmp_path / "before").mkdir()
    (tmp_path / "after").mkdir()
    with open_company(company_file(tmp_path / "before")) as running:
        add_customer(running, "Bo")
        crashed = copy_with_side_files(running.path, tmp_path / "after")
    assert crashed.with_name(f"{crashed.name}-wal").stat().st_size > 0
    with open_for_reading(crashed) as reader:
        assert customer_names(reader) == ["Bo"]
    with open_company(crashed) as again:
        assert customer_names(again) == ["Bo"]


@posix_only
@pytest.mark.parametrize("replaced", [False, True], ids=["deleted", "replaced"])
def test_a_file_that_vanishes_while_open_saves_nothing_quietly(tmp_path: Path, replaced: bool) -> None:
    path = company_file(tmp_path)
    with open_company(path) as opened:
        add_customer(opened, "Bo")
        path.unlink()
        if replaced:
            (tmp_path / "other").mkdir()
            shutil.move(company_file(tmp_path / "other"), path)
        with pytest.raises(Missing, match=r"no longer where it was.*save a copy"):
            add_customer(opened, "Cy")
        with pytest.raises(Missing):
            opened.undo()
        assert opened.undo_label == "Add Bo"
        rescued = save_copy(opened, tmp_path / "Rescued.riserbook")
    with open_company(rescued) as opened:
        assert customer_names(opened) == ["Bo"]


def test_a_full_disk_loses_only_the_step_that_did_not_fit(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path) as opened:
        add_customer(opened, "Bo")
        with opened.raw() as conn:  # SQLite then says what it says on a full disk
            conn.execute(f"PRAGMA max_page_count={conn.execute('PRAGMA page_count').fetchone()[0]}")
        with pytest.raises(DiskFull, match="Not saved: the disk is full"):
            add_customer(opened, "C" * 100_000)
        assert customer_names(opened) == ["Bo"]
        assert opened.undo_label == "Add Bo"
        with opened.raw() as conn:
            conn.execute("PRAGMA max_page_count=1000000")
        add_customer(opened, "Di")
    with open_for_reading(path) as reader:
        assert customer_names(reader) == ["Bo", "Di"]


def test_a_disk_without_room_for_a_backup_is_no_reason_not_to_work(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    path = company_file(tmp_path)
    monkeypatch.setattr("db.company_file.copying.make_private", full)
    with open_company(path) as opened:
        assert isinstance(opened.backup_problem, DiskFull)
        add_customer(opened, "Bo")
        with pytest.raises(DiskFull):
            back_up(opened)
        with pytest.raises(DiskFull):
            save_copy(opened, tmp_path / "Copy.riserbook")
        assert customer_names(opened) == ["Bo"]
    assert not (tmp_path / "Copy.riserbook").exists()


def test_a_program_that_holds_the_file_in_a_write_is_reported(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path) as opened, closing(sqlite3.connect(path, isolation_level=None)) as other:
        with opened.raw() as conn:
            conn.execute("PRAGMA busy_timeout=50")
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(OpenElsewhere):
            add_customer(opened, "Bo")
        other.execute("ROLLBACK")
        add_customer(opened, "Bo")
        assert customer_names(opened) == ["Bo"]


def test_a_copy_is_not_written_over_the_company_itself_nor_over_an_open_one(tmp_path: Path) -> None:
    one, two = company_file(tmp_path, "One.riserbook"), company_file(tmp_path, "Two.riserbook")
    with open_company(one) as first, open_company(two) as second:
        add_customer(second, "Bo")
        with pytest.raises(AlreadyThere):
            save_copy(first, one, replace=True)
        with pytest.raises(AlreadyThere):
            save_copy(first, two)
        with pytest.raises(OpenElsewhere):
            save_copy(first, two, replace=True)
        assert customer_names(second) == ["Bo"]
    assert not list(tmp_path.glob(".*"))
