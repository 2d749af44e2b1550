"""Rows the journal does not know are held by sums in the file: a change on the disk is noticed, a step never blamed."""

from __future__ import annotations

import random
import shutil
import sqlite3
from contextlib import closing
from datetime import date
from pathlib import Path
from tempfile import mkdtemp

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from db.company_file import back_up, check_file, create_company, list_backups, open_company, restore
from db.company_file.connection import connect
from db.company_file.owner_words import things
from db.company_file.row_sums import seal, unlike_sealed
from db.tables import METADATA, customer, job_type
from tests.db.company_files import add_customer, company_file


def execute(path: Path, *statements: str) -> None:
    with closing(sqlite3.connect(path)) as conn:
        for statement in statements:
            conn.execute(statement)
        conn.commit()


def founded(folder: Path) -> Path:
    with create_company(folder / "Firm.riserbook", "Quarry Lane Radon", "Ada", date(2026, 3, 2)) as company:
        return company.path


def unlike(path: Path) -> list[tuple[str, int]]:
    with closing(connect(path)) as conn:
        return [(one.table, one.row) for one in unlike_sealed(conn)]


@pytest.mark.parametrize(
    "harm",
    [
        "UPDATE job_type SET name = 'Rewark' WHERE id = 1",
        "UPDATE item_price SET unit_cost = unit_cost + 256 WHERE id = 1",
        "DELETE FROM job_type_task WHERE id = 1",
        "UPDATE action SET label = 'Stbrt' WHERE id = 1",
    ],
)
def test_what_changed_without_a_step_is_named_in_the_owners_words(tmp_path: Path, harm: str) -> None:
    path = founded(tmp_path)
    assert check_file(path).ok
    execute(path, "PRAGMA foreign_keys=OFF", harm)
    report = check_file(path)
    table = harm.removeprefix("DELETE FROM ").removeprefix("UPDATE ").split()[0]
    assert not report.ok
    assert report.lines[1].startswith(f"Row 1 of the {things(table)} is ")
    assert report.lines[2].startswith("Something changed by itself")


def test_a_row_is_told_once_though_a_backup_tells_of_its_table_too(tmp_path: Path) -> None:
    path = founded(tmp_path)
    back_up(path)
    execute(path, "UPDATE job_type SET name = 'Rewark' WHERE id = 1")
    text = "\n".join(check_file(path).lines)
    assert text.count("job types") == 1


def test_the_sums_themselves_are_looked_at(tmp_path: Path) -> None:
    path = founded(tmp_path)
    execute(path, "UPDATE row_sums SET sums = zeroblob(length(sums)) WHERE table_name = 'item'")
    assert "The sums kept in the file have changed by themselves." in check_file(path).lines


def test_edits_undo_and_redo_are_no_damage(tmp_path: Path) -> None:
    path = founded(tmp_path)
    with open_company(path) as company:
        with company.action("Rename") as edit:
            edit.change(job_type, 1, name="Rework")
        assert unlike(path) == []
        company.undo()
        assert unlike(path) == []
        company.redo()
        assert unlike(path) == []
        add_customer(company, "Bo")
        company.undo()
    assert check_file(path).ok


def test_a_row_put_right_by_a_step_is_well_again(tmp_path: Path) -> None:
    path = founded(tmp_path)
    execute(path, "UPDATE job_type SET name = 'Rewark' WHERE id = 1")
    with open_company(path) as company:
        assert company.changed_by_itself[0].startswith("Row 1 of the job types is not as it was")
        with company.action("Put it right") as edit:
            edit.change(job_type, 1, name="Rework")
    assert check_file(path).ok
    with open_company(path) as company:
        assert company.changed_by_itself == ()


def test_a_step_that_noted_no_rows_keeps_everybody_quiet(tmp_path: Path) -> None:
    path = founded(tmp_path)
    with open_company(path) as company, company.action("Found again", undoable=False) as edit:
        edit.change(job_type, 1, name="Other")
    assert check_file(path).ok


def test_another_programs_vacuum_is_no_damage(tmp_path: Path) -> None:
    path = founded(tmp_path)
    execute(path, "VACUUM")
    assert check_file(path).ok


def test_backup_restore_and_a_kill_before_closing_are_no_damage(tmp_path: Path) -> None:
    path = founded(tmp_path)
    made = back_up(path)
    with open_company(path) as company:
        add_customer(company, "Bo")
        with company.action("Rename") as edit:
            edit.change(job_type, 2, name="Rework")
        killed = tmp_path / "killed"
        killed.mkdir()
        for piece in (path, path.with_name(path.name + "-wal")):
            shutil.copy2(piece, killed / piece.name)
    assert check_file(killed / path.name).ok
    restore(path, made)
    assert check_file(path).ok
    restore(path, next(one.path for one in list_backups(path) if one.kind == "before restore"))
    assert check_file(path).ok


@settings(max_examples=10, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(st.sampled_from(["add", "change", "remove", "undo", "redo", "reopen"]), st.integers(1, 6))))
def test_no_order_of_steps_is_damage(tmp_path: Path, steps: list[tuple[str, int]]) -> None:
    path = Path(mkdtemp(dir=tmp_path)) / "Firm.riserbook"
    shutil.copy2(_empty(tmp_path), path)
    company = open_company(path, backup=False)
    for what, number in steps:
        if what == "reopen":
            company.close()
            company = open_company(path, backup=False)
        elif what in ("undo", "redo"):
            getattr(company, what)()
        elif what == "add":
            add_customer(company, f"Customer {number}")
        else:
            with company.action(what) as edit:
                if what == "remove":
                    edit.remove_where(customer, customer.c.id == number)
                else:
                    edit.change(job_type, number, name=f"Name {number} {edit.action_id}")
    assert unlike(path) == []
    company.close()
    assert unlike(path) == []


def _empty(folder: Path) -> Path:
    path = folder / "Firm.riserbook"
    return path if path.exists() else founded(folder)


def test_every_flipped_value_of_the_sample_is_noticed(sample_file: Path) -> None:
    """One bit of one value in each table, whatever its kind; SQLite finds every such file sound."""
    luck = random.Random(4)
    whole = sample_file.read_bytes()
    tried = 0
    for table in METADATA.tables.values():
        if table.name in ("row_sums", "change"):
            continue
        sample_file.write_bytes(whole)
        with closing(sqlite3.connect(sample_file)) as conn:
            conn.execute("PRAGMA foreign_keys=OFF")
            rows = conn.execute(f'SELECT * FROM "{table.name}"').fetchall()
            names = [column.name for column in table.c]
            fields = [
                (row[0], name, value) for row in rows for name, value in zip(names, row, strict=False)
                if name not in ("id", "undone") and (isinstance(value, int) or (isinstance(value, str) and value))
            ]  # fmt: skip
            if not fields:
                continue
            number, name, value = luck.choice(fields)
            if isinstance(value, int):
                harmed: object = value ^ 1 << luck.randrange(6)
            else:
                at = luck.randrange(len(value))
                harmed = value[:at] + chr(ord(value[at]) ^ 1) + value[at + 1 :]
            try:
                conn.execute(f'UPDATE "{table.name}" SET "{name}" = ? WHERE id = ?', (harmed, number))
                conn.commit()
            except sqlite3.IntegrityError:
                continue
        tried += 1
        assert not check_file(sample_file).ok, (table.name, name, value, harmed)
    assert tried > 40


def test_sealing_twice_is_the_same(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with closing(connect(path)) as conn:
        before = conn.execute("SELECT table_name, sums FROM row_sums ORDER BY table_name").fetchall()
        conn.execute("BEGIN")
        seal(conn)
        conn.execute("COMMIT")
        assert conn.execute("SELECT table_name, sums FROM row_sums ORDER BY table_name").fetchall() == before


def test_every_table_has_the_owners_words() -> None:
    from db.company_file.owner_words import _WORDS

    assert set(_WORDS) == set(METADATA.tables)
