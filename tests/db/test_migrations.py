"""The steps from an empty file to the newest revision make exactly the tables, and an update is safe."""

from __future__ import annotations

import ast
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import Connection, create_engine
from sqlalchemy.pool import StaticPool

from db import migrations
from db.company_file import check_file, create_company, list_backups, open_company, open_for_reading
from db.company_file.problems import TooOld, UpdateFailed
from db.migrations import FOLDER, HEAD, REVISIONS
from db.migrations.run import config_for, default_differs, upgrade
from db.tables import METADATA
from tests.db.company_files import TODAY, company_file, content, untouched


@pytest.fixture
def conn() -> Iterator[Connection]:
    engine = create_engine("sqlite://", poolclass=StaticPool)
    with engine.connect() as open_one:
        yield open_one


def schema(conn: sqlite3.Connection) -> dict[tuple[str, str], object]:
    """What a file is made of, spelling aside: columns, keys, references and indexes of every table."""
    found: dict[tuple[str, str], object] = {}
    for kind, name, table in conn.execute("SELECT type, name, tbl_name FROM sqlite_master").fetchall():
        if kind == "table":
            found[kind, name] = (
                conn.execute(f'PRAGMA table_xinfo("{name}")').fetchall(),
                sorted(row[2:] for row in conn.execute(f'PRAGMA foreign_key_list("{name}")')),
                sorted(row[2:] for row in conn.execute(f'PRAGMA index_list("{name}")') if row[3] != "c"),
            )
        else:
            found[kind, name] = (table, conn.execute(f'PRAGMA index_xinfo("{name}")').fetchall())
    return found


def driver(conn: Connection) -> sqlite3.Connection:
    found = conn.connection.driver_connection
    assert isinstance(found, sqlite3.Connection)
    return found


def differences(conn: Connection) -> list[str]:
    """What a developer's next step would have to do."""
    options = {"compare_type": True, "compare_server_default": default_differs}
    steps = compare_metadata(MigrationContext.configure(conn, opts=options), METADATA)
    return sorted(step[0] if isinstance(step, tuple) else step[0][0] for step in steps)


def test_the_steps_make_exactly_the_tables(conn: Connection) -> None:
    upgrade(conn)
    assert differences(conn) == []


def test_what_is_missing_or_different_would_be_noticed(conn: Connection) -> None:
    upgrade(conn)
    conn.exec_driver_sql("ALTER TABLE customer DROP COLUMN note")
    conn.exec_driver_sql("ALTER TABLE survey DROP COLUMN findings")
    conn.exec_driver_sql("ALTER TABLE survey ADD COLUMN findings TEXT NOT NULL DEFAULT 'none'")
    conn.exec_driver_sql("DROP INDEX ix_job_customer_id")
    assert differences(conn) == ["add_column", "add_index", "modify_default"]


def test_a_new_file_is_what_the_steps_would_have_made(tmp_path: Path, conn: Connection) -> None:
    upgrade(conn)
    with closing(sqlite3.connect(company_file(tmp_path))) as made:
        assert schema(made) == schema(driver(conn))
        assert made.execute("SELECT version_num FROM alembic_version").fetchall() == [(HEAD,)]


def test_the_file_names_give_the_revisions_in_order(conn: Connection) -> None:
    steps = list(ScriptDirectory.from_config(config_for(conn)).walk_revisions())[::-1]
    assert tuple(step.revision for step in steps) == REVISIONS
    assert [step.down_revision for step in steps] == [None, *REVISIONS[:-1]]
    assert tuple(f"{number:04d}" for number in range(1, len(REVISIONS) + 1)) == REVISIONS


def test_no_step_depends_on_the_tables_of_today() -> None:
    for path in (FOLDER / "versions").glob("0*.py"):
        imported = {
            f"{node.module}.{name.name}"
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
            if isinstance(node, ast.ImportFrom)
            for name in node.names
        }
        ours = {name for name in imported if name.startswith("db")}
        assert ours <= {"db.tables.base"}, "a step names its tables itself; only the column types are shared"


NEXT_STEP = '''"""{title}."""

import sqlalchemy as sa
from alembic import op

revision = "{number}"
down_revision = "{before}"
branch_labels = None
depends_on = None


def upgrade() -> None:
{steps}
'''
GOOD = """
    with op.batch_alter_table("customer") as table:
        table.add_column(sa.Column("nickname", sa.String(), nullable=False, server_default=""))
        table.alter_column("note", existing_type=sa.Text(), type_=sa.String())
    op.execute("UPDATE customer SET nickname = name")
"""
RAISES = GOOD + '    op.execute("UPDATE no_such_table SET x = 1")\n'
STOPS_HALF_WAY = (
    GOOD + '    op.get_bind().commit()\n    op.execute("BEGIN")\n    op.execute("DELETE FROM contact")\n'
    "    raise RuntimeError('stopped')\n"
)
BREAKS_REFERENCES = GOOD + '    op.execute("DELETE FROM customer")\n'


@pytest.fixture
def with_customers(tmp_path: Path) -> Path:
    path = company_file(tmp_path)
    with closing(sqlite3.connect(path)) as conn:
        conn.execute("INSERT INTO customer (kind, name, created_on) VALUES ('person', 'Bo', '2026-03-02')")
        conn.execute("INSERT INTO contact (customer_id, kind, value) VALUES (1, 'phone', '555-0100')")
        conn.commit()
    return path


def a_next_version(monkeypatch: pytest.MonkeyPatch, folder: Path, steps: str) -> str:
    """Make the program believe that one more step belongs to it."""
    number = f"{len(REVISIONS) + 1:04d}"
    versions = folder / "versions"
    versions.mkdir(parents=True)
    for path in [*(FOLDER / "versions").glob("0*.py")]:
        (versions / path.name).write_text(path.read_text(encoding="utf-8"), encoding="utf-8")
    (versions / f"{number}_next.py").write_text(
        NEXT_STEP.format(title="The next step", number=number, before=HEAD, steps=steps), encoding="utf-8"
    )
    (folder / "env.py").write_text((FOLDER / "env.py").read_text(encoding="utf-8"), encoding="utf-8")
    revisions = (*REVISIONS, number)
    for module in ("db.migrations", "db.migrations.run", "db.company_file.opening", "db.company_file.checking"):
        monkeypatch.setattr(f"{module}.HEAD", number)
    for module in ("db.migrations", "db.company_file.examine", "db.company_file.checking"):
        monkeypatch.setattr(f"{module}.REVISIONS", revisions)
    monkeypatch.setattr("db.migrations.run.FOLDER", folder)
    assert number == migrations.HEAD
    return number


def test_an_old_file_is_backed_up_and_brought_up_to_date(
    with_customers: Path, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    old = content(with_customers)
    number = a_next_version(monkeypatch, tmp_path_factory.mktemp("next"), GOOD)
    with open_company(with_customers, backup=False) as opened, opened.read() as conn:
        assert conn.exec_driver_sql("SELECT name, nickname FROM customer").all() == [("Bo", "Bo")]
        assert conn.exec_driver_sql("SELECT version_num FROM alembic_version").scalar_one() == number
        assert conn.exec_driver_sql("PRAGMA foreign_keys").scalar_one() == 1
        assert conn.exec_driver_sql("SELECT count(*) FROM contact").scalar_one() == 1
    assert check_file(with_customers).ok
    assert [backup.kind for backup in list_backups(with_customers)] == ["before update"]
    assert content(list_backups(with_customers)[0].path) == old
    with open_company(with_customers, backup=False):
        assert len(list_backups(with_customers)) == 1


def test_an_old_file_is_not_read_before_it_is_up_to_date(
    with_customers: Path, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    a_next_version(monkeypatch, tmp_path_factory.mktemp("next"), GOOD)
    before = untouched(with_customers.parent)
    with pytest.raises(TooOld, match=r"earlier version.*Open it once"):
        open_for_reading(with_customers)
    assert untouched(with_customers.parent) == before
    report = check_file(with_customers)
    assert report.ok
    assert "brings it up to" in "\n".join(report.lines)


@pytest.mark.parametrize("steps", [RAISES, STOPS_HALF_WAY, BREAKS_REFERENCES])
def test_a_failed_update_leaves_the_file_as_it_was(
    with_customers: Path, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch, steps: str
) -> None:
    old, had = content(with_customers), None
    with closing(sqlite3.connect(with_customers)) as conn:
        had = schema(conn)
    with monkeypatch.context() as newer:
        a_next_version(newer, tmp_path_factory.mktemp("next"), steps)
        with pytest.raises(UpdateFailed, match=r"could not be brought up to date.*it is as it was"):
            open_company(with_customers)
    assert content(with_customers) == old
    with closing(sqlite3.connect(with_customers)) as conn:
        assert schema(conn) == had
    assert content(list_backups(with_customers)[0].path) == old
    open_company(with_customers, backup=False).close()  # the version one had still opens it


def test_a_folder_whose_name_means_something_to_ini_files(
    with_customers: Path, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    a_next_version(monkeypatch, tmp_path_factory.mktemp("next") / "100% of %(here)s", GOOD)
    open_company(with_customers).close()


@settings(max_examples=10, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(names=st.lists(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0")), max_size=5))
def test_whatever_was_kept_survives_an_update(
    tmp_path_factory: pytest.TempPathFactory, names: list[str]
) -> None:
    folder = tmp_path_factory.mktemp("any")
    path = company_file(folder)
    with closing(sqlite3.connect(path)) as conn:
        rows = [("person", name, "2026-03-02") for name in names]
        conn.executemany("INSERT INTO customer (kind, name, created_on) VALUES (?, ?, ?)", rows)
        conn.commit()
    with pytest.MonkeyPatch.context() as patch:
        a_next_version(patch, tmp_path_factory.mktemp("next"), GOOD)
        with open_company(path, backup=False) as opened, opened.read() as conn:
            assert conn.exec_driver_sql("SELECT name FROM customer ORDER BY id").scalars().all() == names


def test_a_company_made_today_needs_no_update(tmp_path: Path) -> None:
    create_company(tmp_path / "New.riserbook", "Quarry Lane", "Ada Quill", TODAY).close()
    open_company(tmp_path / "New.riserbook", backup=False).close()
    assert list_backups(tmp_path / "New.riserbook") == []
