"""A firm after some evenings of which every row is known, and the question whether a recovery kept its word."""

from __future__ import annotations

import json
import random
import re
import shutil
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from db.company_file import Company, back_up, open_company
from db.company_file.owner_words import things
from db.edit import Edit
from db.tables import METADATA, contact, customer, item, job, property_, survey
from tests.db.company_files import TODAY

Row = tuple[str, int]
Rows = dict[Row, tuple[Any, ...]]

STEPS, BACKED_UP = 70, (20, 45)
NOT_COMPARED = {"row_sums", "action", "change", "alembic_version"}


@dataclass(frozen=True)
class Told:
    """The firm's file and backups, every row of it, and what each step made of it.

    Attributes:
        folder: holds the firm as it was closed, its folder of backups beside it.
        rows: every row, as stored.
        versions: what each step that was not undone made of a row; see `versions_of`.
        labels: number and label of each step that was not undone.
    """

    folder: Path
    name: str
    rows: Rows
    versions: dict[Row, list[tuple[int, dict[str, Any] | None]]]
    labels: dict[int, str]

    def copy_to(self, place: Path) -> Path:
        """The firm with its backups, to be harmed."""
        shutil.copytree(self.folder, place)
        return place / self.name


@cache
def told_firm(original: Path) -> tuple[Told, TemporaryDirectory[str]]:
    """Seventy steps on a made-up firm, two backups among them, some steps undone; the last backup lacks 25 steps."""
    keep = TemporaryDirectory()
    folder = Path(keep.name) / "firm"
    folder.mkdir()
    path = folder / "Firm.riserbook"
    shutil.copy2(original, path)
    luck = random.Random(5)
    with open_company(path, backup=False) as company:
        for number in range(1, STEPS + 1):
            some_step(company, number, luck)
            if number % 9 == 0:
                company.undo()
            if number in BACKED_UP:
                back_up(company)
    return Told(folder, path.name, rows_of(path), versions_of(path), labels_of(path)), keep


def some_step(company: Company, number: int, luck: random.Random) -> None:
    """One step, in one table or several: rows added, changed, taken away."""
    with company.action(f"Step {number}") as edit:
        for _ in range(luck.randint(1, 3)):
            luck.choice((_note, _survey, _customer, _title, _item, _take_away))(edit, number, luck)
        _note(edit, number, luck)


def _some(edit: Edit, table: str, luck: random.Random) -> int:
    found = [int(row[0]) for row in edit.conn.exec_driver_sql(f"SELECT id FROM {table} ORDER BY id")]
    return luck.choice(found)


def _note(edit: Edit, number: int, luck: random.Random) -> None:
    edit.change(property_, _some(edit, "property", luck), note=f"As of step {number}, " + "x" * luck.randint(0, 300))


def _survey(edit: Edit, number: int, luck: random.Random) -> None:
    found = f"Findings of step {number} " * luck.randint(1, 20)
    edit.change(survey, _some(edit, "survey", luck), findings=found)


def _title(edit: Edit, number: int, luck: random.Random) -> None:
    edit.change(job, _some(edit, "job", luck), title=f"Job as of step {number}")


def _item(edit: Edit, number: int, luck: random.Random) -> None:
    edit.change(item, _some(edit, "item", luck), name=f"Item as of step {number}")


def _customer(edit: Edit, number: int, luck: random.Random) -> None:
    one = edit.add(customer, kind="person", name=f"Customer of step {number}", created_on=TODAY)
    edit.add_many(contact, [{"customer_id": one, "kind": "phone", "value": str(place)} for place in range(6)])


def _take_away(edit: Edit, number: int, luck: random.Random) -> None:
    edit.remove(contact, _some(edit, "contact", luck))


def rows_of(path: Path) -> Rows:
    """Every row as it lies there, texts as bytes."""
    found: Rows = {}
    with closing(sqlite3.connect(path)) as conn:
        conn.text_factory = bytes
        for table in tables_of(conn):
            for row in conn.execute(f'SELECT id, * FROM "{table}"'):
                found[(table, int(row[0]))] = tuple(row[1:])
    return found


def tables_of(conn: sqlite3.Connection) -> Iterator[str]:
    """Tables with rows of the firm."""
    asked = "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name"
    for (name,) in conn.execute(asked).fetchall():
        text = name.decode() if isinstance(name, bytes) else name
        if text not in NOT_COMPARED:
            yield text


def labels_of(path: Path) -> dict[int, str]:
    """Steps that are not undone."""
    with closing(sqlite3.connect(path)) as conn:
        return dict(conn.execute("SELECT id, label FROM action WHERE NOT undone").fetchall())


def versions_of(path: Path) -> dict[Row, list[tuple[int, dict[str, Any] | None]]]:
    """For each row a step wrote, what it was after each step that was not undone, the oldest first."""
    asked = (
        "SELECT table_name, row_id, action_id, after FROM change JOIN action AS a ON a.id = action_id"
        " WHERE NOT a.undone ORDER BY change.id"
    )
    found: dict[Row, list[tuple[int, dict[str, Any] | None]]] = {}
    with closing(sqlite3.connect(path)) as conn:
        for table, row, step, after in conn.execute(asked):
            found.setdefault((str(table), int(row)), []).append((int(step), after and json.loads(after)))
    return found


def named_rows(lines: Iterable[str]) -> set[Row]:
    """The rows an owner finds named in what a recovery says."""
    tables = {things(name).lower(): name for name in METADATA.tables}
    found: set[Row] = set()
    for line in lines:
        if told := re.match(r"(.+), rows? ([\d, -]+): ", line):
            for part in told[2].split(", "):
                first, _, last = part.partition("-")
                found |= {(tables[told[1].lower()], number) for number in range(int(first), int(last or first) + 1)}
    return found


def broken_promises(told: Told, path: Path, lines: Iterable[str]) -> list[str]:
    """Rows that are not as the steps the file claims to hold left them, and that nobody named."""
    there, claimed, named = rows_of(path), labels_of(path), named_rows(lines)
    broken = []
    for row in told.rows.keys() | there.keys() | told.versions.keys():
        if row in named or there.get(row) == told.rows.get(row):
            continue
        versions = told.versions.get(row, [])
        held = [step for step, _ in versions if claimed.get(step) == told.labels.get(step)]
        can_be = [as_stored(path, row[0], after) for step, after in versions if step >= max(held, default=0)]
        lost_last = bool(versions) and versions[-1][0] not in held
        began = not held and (versions[0][0] if versions else 0)
        if lost_last and (there.get(row) in can_be or began):
            continue
        broken.append(f"{row} of step {versions[-1][0] if versions else 0}: {there.get(row)} not {told.rows.get(row)}")
    return broken


def as_stored(path: Path, table: str, row: dict[str, Any] | None) -> tuple[Any, ...] | None:
    """A row of the journal as `rows_of` has it."""
    if row is None:
        return None
    with closing(sqlite3.connect(path)) as conn:
        names = [column[1] for column in conn.execute(f'PRAGMA table_info("{table}")')]
    return tuple(row[name].encode() if isinstance(row[name], str) else row[name] for name in names)
