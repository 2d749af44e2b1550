"""The file is gone, its log and a backup are not: what proves itself to be the firm is put together, nothing else."""

from __future__ import annotations

import random
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from db.company_file import Company, back_up, check_file, list_backups, open_company
from db.company_file.aftermath import read_word
from db.company_file.log_over_backup import log_over_backup
from db.company_file.recovery import FROM_FILE, recovering, use
from tests.db.company_files import company_file
from tests.db.crash_lab import crashed_copy, one_step

STEPS = 9


def labels(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as conn:
        return [row[0] for row in conn.execute("SELECT label FROM action WHERE NOT undone ORDER BY id")]


def killed(tmp_path: Path, backed_up: int, checkpoint: Callable[[Company, int], None]) -> Path:
    """A firm killed with its log full, a backup made after so many steps."""
    path = company_file(tmp_path)
    with open_company(path, backup=False) as company:
        for number in range(1, STEPS + 1):
            one_step(company, number)
            if number == backed_up:
                back_up(company)
            checkpoint(company, number)
        copy = crashed_copy(path, tmp_path / "killed")
    (tmp_path / "Quarry Lane backups").rename(copy.parent / "Quarry Lane backups")
    return copy


def never(_company: Company, _number: int) -> None:
    pass


def emptied(path: Path) -> None:
    path.write_bytes(b"")


def one_page_left(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:4096])


def head_gone(path: Path) -> None:
    path.write_bytes(bytes(20_000) + path.read_bytes()[20_000:])


@pytest.mark.parametrize("harm", [emptied, one_page_left, head_gone])
@pytest.mark.parametrize("backed_up", [1, 5])
def test_every_step_comes_back_from_log_and_backup(
    tmp_path: Path, harm: Callable[[Path], None], backed_up: int
) -> None:
    path = killed(tmp_path, backed_up, never)
    harm(path)
    with recovering(path) as found:
        assert found is not None
        best = found.offers[0]
        assert (best.source, best.lacks.steps, best.loose) == (FROM_FILE, 0, 0)
        use(found, best)
    assert labels(path)[1:] == [f"Add customer {n}" for n in range(1, STEPS + 1)]
    assert check_file(path).ok
    word = read_word(path)
    assert word is not None
    assert word.lines[0].startswith("This firm was recovered on ")
    assert "put together from its log and the backup" in "\n".join(word.lines)


def test_a_log_begun_anew_after_the_backup_is_not_taken_for_the_firm(tmp_path: Path) -> None:
    """Steps 3 to 6 stand in the lost file alone: the log over the backup would lack them in silence."""

    def begun_anew(company: Company, number: int) -> None:
        if number == 6:
            with company.raw() as conn:
                conn.execute("PRAGMA wal_checkpoint(TRUNCATE)")

    path = killed(tmp_path, 2, begun_anew)
    backups = [backup.path for backup in list_backups(path)]
    emptied(path)
    work = tmp_path / "work"
    work.mkdir()
    made = log_over_backup(path, backups, work)
    assert made is None or labels(made[0])[1:] == [f"Add customer {n}" for n in range(1, STEPS + 1)]


def test_another_firms_log_is_not_taken(tmp_path: Path) -> None:
    one, other = tmp_path / "one", tmp_path / "other"
    one.mkdir()
    other.mkdir()
    mine, theirs = killed(one, 3, never), killed(other, 7, never)
    with closing(sqlite3.connect(theirs)) as conn:
        conn.execute("UPDATE customer SET name = 'Somebody else'")
        conn.execute("UPDATE action SET label = 'Theirs' WHERE id = 2")
        conn.commit()
        shutil.copy2(theirs.with_name(theirs.name + "-wal"), mine.with_name(mine.name + "-wal"))
    emptied(mine)
    work = tmp_path / "work"
    work.mkdir()
    assert log_over_backup(mine, [backup.path for backup in list_backups(mine)], work) is None


def test_a_torn_log_ends_at_its_last_whole_step(tmp_path: Path) -> None:
    path = killed(tmp_path, 1, never)
    whole, wal = labels_of_log(path), path.with_name(path.name + "-wal")
    emptied(path)
    content, luck = wal.read_bytes(), random.Random(3)
    for turn in range(12):
        wal.write_bytes(content[: luck.randrange(len(content))])
        work = tmp_path / f"work {turn}"
        work.mkdir()
        made = log_over_backup(path, [backup.path for backup in list_backups(path)], work)
        if made is not None:
            found = labels(made[0])
            assert found == whole[: len(found)]
            assert len(found) >= 2


def labels_of_log(path: Path) -> list[str]:
    copy = path.with_name("whole")
    copy.mkdir()
    for ending in ("", "-wal"):
        shutil.copy2(path.with_name(path.name + ending), copy / (path.name + ending))
    return labels(copy / path.name)
