"""Writes everything that can still be read of a file into a fresh one: row by row, then from journal and backup."""

from __future__ import annotations

import secrets
import shutil
import sqlite3
import tempfile
from collections.abc import Sequence
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path

from db.company_file.connection import APPLICATION_ID, connect, engine_for
from db.company_file.files import make_private, sync_file
from db.company_file.foreign import VERSION_TABLE, foreign_things
from db.company_file.places import side_files
from db.company_file.problems import Damaged, damaged
from db.company_file.readable_rows import Found, readable_ranges
from db.company_file.refilling import Refilled, refill
from db.company_file.row_sums import seal
from db.company_file.schema_pages import PAGE, has_rows, mend_header, take_table_list
from db.company_file.values import missing_columns
from db.company_file.verdict import TROUBLES, judge
from db.migrations import HEAD, REVISIONS

_BEYOND = 5_000
_ENOUGH = 20
_NEEDED = {"company", "action", "change", "customer", "job"}


@dataclass(frozen=True, slots=True)
class Salvaged:
    """What could be written afresh.

    Attributes:
        path: the fresh file, sound, of the version the file had.
        notes: what is to be known of it, readable as it is; empty when every row was there.
        refilled: what came from the journal or a backup, and what nobody can vouch for.
    """

    path: Path
    notes: tuple[str, ...]
    refilled: Refilled


def salvage(source: Path, fresh: Path, backups: Sequence[Path] = ()) -> Salvaged:
    """Read what can be read of a file with its log and write a fresh one; the source is not touched.

    Args:
        source: any state of a company file; its side files lie beside it.
        fresh: where to write; must not exist.
        backups: sound copies of earlier days, newest first, for what cannot be read any more.

    Raises:
        Damaged: nothing of it can be read.
        OSError: there is no room.
    """
    with tempfile.TemporaryDirectory(prefix="riserbook-") as folder:
        working = _working_copy(source, Path(folder), backups)
        if working is None:
            raise damaged(source, "nothing in it can be read")
        making = fresh.with_name(f".{secrets.token_hex(6)}{fresh.suffix}")
        make_private(making)
        try:
            notes, refilled = _write_afresh(working, making, backups, source)
            making.rename(fresh)
        finally:
            for leftover in (making, *side_files(making)):
                with suppress(OSError):
                    leftover.unlink()
    return Salvaged(fresh, (*notes, *refilled.notes), refilled)


def _working_copy(source: Path, folder: Path, backups: Sequence[Path]) -> Path | None:
    """A copy in which the list of tables can be read: the file's own, else with a sound copy's list in it.

    Where every list lacks something, the file's own is the best there is. Without a backup that has the list, that of
    a firm founded now is tried: its tables begin at the same pages unless an update or a recovery placed them anew,
    and what can still be read of the file's own list must say so.
    """
    wal, _, journal = side_files(source)
    own: Path | None = None
    entries: dict[bytes, int] = {}
    for turn, lender in enumerate((None, *backups[:3], folder / "founded now")):
        if lender == folder / "founded now" and not _begins_alike(lender, entries):
            continue
        (place := folder / str(turn)).mkdir()
        copy = place / source.name
        for piece in (source, wal, journal):
            if piece.exists():
                shutil.copyfile(piece, place / piece.name)
        with suppress(*TROUBLES), closing(connect(copy)) as conn:  # as it is, it may well open
            conn.execute("SELECT count(*) FROM sqlite_master").fetchone()
        with suppress(*TROUBLES), closing(connect(copy)) as conn:
            conn.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        log = side_files(copy)[0]
        content = bytearray(copy.read_bytes())
        if len(content) < PAGE or not has_rows(content):
            continue  # all there is of rows would come from a backup, which is offered itself
        if lender is not None:
            log.unlink(missing_ok=True)
            take_table_list(content, lender)
        mend_header(content, with_log=log.exists() and log.stat().st_size > 0)
        copy.write_bytes(content)
        side_files(copy)[1].unlink(missing_ok=True)
        entries = entries or _entries(copy)
        if not _lists_its_tables(copy):
            continue
        if _lists_all(copy):
            return copy
        own = own or copy
    return own


def _begins_alike(founded: Path, entries: dict[bytes, int]) -> bool:
    """Found an empty firm; whether each table of the file that is still listed begins where it does there."""
    if len(entries) < _ENOUGH:
        return False
    make_private(founded)
    with closing(sqlite3.connect(":memory:")) as nothing:
        _make_tables(nothing, founded, HEAD)
    there = _entries(founded)
    return all(there.get(name) == root for name, root in entries.items())


def _entries(path: Path) -> dict[bytes, int]:
    """Where the tables and indexes begin, as far as the list of them can be read."""
    found: dict[bytes, int] = {}
    for order in ("", " DESC"):
        with suppress(*TROUBLES), closing(_tolerant(path)) as conn:
            for name, root in conn.execute(f"SELECT name, rootpage FROM sqlite_master ORDER BY rowid{order}"):
                if isinstance(name, bytes) and isinstance(root, int):
                    found[name] = root
    return found


def _lists_all(path: Path) -> bool:
    try:
        with closing(_tolerant(path)) as conn:
            return not missing_columns(conn)
    except TROUBLES:
        return False


def _lists_its_tables(path: Path) -> bool:
    try:
        with closing(_tolerant(path)) as conn:
            tables = {
                bytes(row[0]).decode("utf-8", "replace")
                for row in conn.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
            }
            for name in _NEEDED:
                conn.execute(f'SELECT * FROM "{name}" WHERE 0')
    except TROUBLES:
        return False
    return tables >= _NEEDED


def _tolerant(path: Path) -> sqlite3.Connection:
    """A connection that reads the sound part of a list of tables."""
    conn = connect(path)
    conn.execute("PRAGMA writable_schema=ON")
    conn.execute("PRAGMA cell_size_check=ON")
    conn.text_factory = bytes
    return conn


def _write_afresh(
    working: Path, fresh: Path, backups: Sequence[Path], source: Path
) -> tuple[list[str], Refilled]:
    revision = _revision(working, backups)
    notes = _left_out(working, newest=revision == HEAD)
    with closing(_tolerant(working)) as old:
        _make_tables(old, fresh, revision)
        with closing(connect(fresh)) as new:
            names = [str(row[0]) for row in new.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
            largest = _largest_noted(old)
            ranges = {
                name: readable_ranges(old, name, largest.get(name))
                for name in names
                if name != VERSION_TABLE and not name.startswith("sqlite_")
            }
            open_end = any(not _ends_whole(old, name, ranges[name]) for name in ("action", "change"))
    with closing(connect(fresh)) as new:
        new.execute("PRAGMA foreign_keys=OFF")
        new.execute("PRAGMA writable_schema=ON")  # a torn entry in the old list of tables then hides no other
        new.execute("ATTACH ? AS old", (working.absolute().as_uri() + "?mode=ro",))
        new.execute("PRAGMA main.journal_mode=MEMORY")  # a fresh file: a crash meanwhile costs nothing but the making
        new.execute("PRAGMA main.synchronous=OFF")
        before = new.total_changes
        torn = {name for name, found in ranges.items() if _copy_rows(new, name, found.ranges) or not found.whole}
        if new.total_changes == before:
            raise damaged(working, "nothing in it can be read")
        new.execute("DETACH old")
        new.execute("PRAGMA writable_schema=OFF")
        refilled = refill(new, torn, backups, source, open_end=open_end)
        if revision == HEAD:
            new.execute("BEGIN")
            seal(new)
            new.execute("COMMIT")
        verdict = judge(new)
        if verdict.pages or verdict.indexes:
            raise damaged(fresh, (verdict.pages + verdict.indexes)[0])
        new.execute("PRAGMA journal_mode=DELETE")
    sync_file(fresh)
    return notes, refilled


def _largest_noted(old: sqlite3.Connection) -> dict[str, int]:
    """For each table a number beyond the last row the journal names, as far as it can be read."""
    largest: dict[str, int] = {}
    with suppress(*TROUBLES):
        for name, number in old.execute("SELECT table_name, row_id FROM change NOT INDEXED"):
            if isinstance(number, int) and isinstance(name, bytes):
                table = name.decode("utf-8", "replace")
                largest[table] = max(largest.get(table, 0), number + _BEYOND)
    return largest


def _ends_whole(old: sqlite3.Connection, table: str, found: Found) -> bool:
    """Whether the last rows of a table of the journal are among those that can be read."""
    if not found.to_the_end or not found.whole:
        return found.to_the_end
    try:
        return [row[0] for row in old.execute(f"PRAGMA quick_check('{table}')")][:1] in (["ok"], [b"ok"])
    except TROUBLES:
        return False


def _left_out(working: Path, *, newest: bool) -> list[str]:
    """What other makers put into the file; the fresh one goes without it."""
    with suppress(*TROUBLES), closing(connect(working)) as old:
        return [f"Left out, as Riserbook did not put it there: {one}." for one in foreign_things(old, newest=newest)]
    return []


def _copy_rows(new: sqlite3.Connection, table: str, ranges: Sequence[tuple[int, int]]) -> bool:
    """Copy what can be read, byte for byte; whether a row had to be left out because it clashes with another."""
    try:
        there = [str(row[1]) for row in new.execute(f'PRAGMA old.table_info("{table}")')]
    except TROUBLES:
        return True
    columns = [str(row[1]) for row in new.execute(f'PRAGMA main.table_info("{table}")')]
    if len(columns) == len(there):  # by their place: a bit of a column's name may have turned over
        pairs = list(zip(columns, there, strict=True))
    else:
        pairs = [(name, name) for name in columns if name in there]
    into, names = (", ".join(f'"{pair[side]}"' for pair in pairs) for side in (0, 1))
    clash = False
    for first, last in ranges:
        try:
            before = new.total_changes
            wanted = new.execute(
                f'SELECT count(*) FROM old."{table}" NOT INDEXED WHERE rowid BETWEEN ? AND ?', (first, last)
            ).fetchone()[0]
            new.execute(
                f'INSERT OR IGNORE INTO main."{table}" ({into}) SELECT {names} FROM old."{table}" NOT INDEXED'
                " WHERE rowid BETWEEN ? AND ?",
                (first, last),
            )
            clash |= new.total_changes - before < wanted
        except TROUBLES:
            clash = True
    return clash


def _make_tables(old: sqlite3.Connection, fresh: Path, revision: str) -> None:
    from db.migrations.run import stamp
    from db.tables import METADATA

    engine = engine_for(fresh, foreign_keys=False)
    try:
        with engine.begin() as conn:
            conn.exec_driver_sql(f"PRAGMA application_id={APPLICATION_ID}")
            if revision == HEAD:
                METADATA.create_all(conn)
                stamp(conn)
                return
            for (sql,) in old.execute(
                "SELECT sql FROM sqlite_master WHERE type IN ('table', 'index') AND sql IS NOT NULL"
                " AND name NOT LIKE 'sqlite_%' ORDER BY type DESC"
            ):
                with suppress(Exception):
                    conn.exec_driver_sql(bytes(sql).decode())
            conn.exec_driver_sql("INSERT OR REPLACE INTO alembic_version (version_num) VALUES (?)", (revision,))
    finally:
        engine.dispose()


def _revision(working: Path, backups: Sequence[Path]) -> str:
    """The version the file had; when that cannot be read, the newest backup's, else the newest one."""
    for path in (working, *backups):
        with suppress(*TROUBLES), closing(_tolerant(path)) as conn:
            found = [bytes(row[0]).decode() for row in conn.execute("SELECT version_num FROM alembic_version")]
            if len(found) == 1 and found[0] in REVISIONS:
                return found[0]
    return HEAD


__all__ = ["Damaged", "Salvaged", "salvage"]
