"""What a look finds beside the rows: photos, reports and bills by their sums, and the sums kept with backups."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Collection
from contextlib import suppress
from pathlib import Path

from db.company_file.backup_notes import read_note
from db.company_file.backups import Backup, list_backups
from db.company_file.elsewhere import last_elsewhere
from db.company_file.kept import MISSING, WHOLE, Named, kept_path, named_files, state_of, sum_of
from db.company_file.owner_words import things
from db.company_file.places import photo_folder, store_folder
from db.company_file.row_sums import OWN_TABLE
from db.company_file.table_sums import state_of_journal, table_sums
from domain.dates import format_moment

_MOST_LINES = 20


def paper_findings(path: Path, conn: sqlite3.Connection) -> tuple[list[str], list[str]]:
    """What is wrong with photos and papers, and what lies among them that no row names."""
    folder = photo_folder(path)
    named = named_files(conn)
    wrong: list[str] = []
    for one in named:
        state = state_of(folder, one)
        if state != WHOLE:
            wrong.append(_words(one, state, path))
        if kept_path(store_folder(path), one.name) is not None and state_of(store_folder(path), one) != WHOLE:
            store = store_folder(path)
            wrong.append(
                f"The backups' copy of {one.name} has changed since it was written: its disk may be failing. Delete it "
                f"from “{store.parent.name}/{store.name}”, and the next backup writes it anew."
            )
    known = {one.name for one in named}
    there: list[str] = []
    with suppress(OSError):
        there = sorted(entry.name for entry in os.scandir(folder) if entry.is_file() and entry.name not in known)
    unused = [f"The file {name} in “{folder.name}” belongs to no job, test or bill." for name in there]
    return shortened(wrong), shortened(unused)


def sum_findings(path: Path, conn: sqlite3.Connection, told: Collection[str] = ()) -> list[str]:
    """What changed by itself: tables since a backup after which nothing was edited, and the backups' own bytes.

    Args:
        told: tables of which it was told already, row by row.
    """
    wrong: list[str] = []
    journal, compared = state_of_journal(conn), False
    for backup in list_backups(path):
        note = read_note(backup.path)
        if note is None:
            continue
        if not compared and note.journal == journal:
            compared = True
            now = table_sums(conn)
            differ = sorted(table for table, found in note.sums.items() if now.get(table, found) != found)
            changed = [table for table in differ if table not in told and table != OWN_TABLE]
            wrong += [_changed(table, backup) for table in changed]
        with suppress(OSError):
            if sum_of(backup.path) != note.sha256:
                wrong.append(
                    f"The backup of {format_moment(backup.made_at)} is not as it was written: its disk may be failing. "
                    "Do not rely on it; back up again, and keep one on another disk."
                )
    return shortened(wrong)


def backup_lines(path: Path) -> list[str]:
    """When backups were made last, beside the company and elsewhere."""
    backups = list_backups(path)
    if not backups:
        lines = ["There is no backup yet in the folder beside it."]
    else:
        newest = f"{format_moment(backups[0].made_at)}"
        many = f"The newest of {len(backups)} backups is of {newest}."
        lines = [f"The only backup is of {newest}." if len(backups) == 1 else many]
    last = last_elsewhere(path)
    if last is None:
        return [*lines, "No backup has been made to another place yet."]
    where = f"The last one in another place is of {format_moment(last.made_at)}, in “{last.path}”."
    return [*lines, where]


def shortened(lines: list[str]) -> list[str]:
    """The first lines, and how many more there are."""
    if len(lines) <= _MOST_LINES:
        return lines
    return [*lines[:_MOST_LINES], f"And {len(lines) - _MOST_LINES} more like these."]


def _words(named: Named, state: str, path: Path) -> str:
    folder, store = photo_folder(path), store_folder(path)
    told = "is not in" if state == MISSING else "has changed since it was taken in, in"
    more = " any more" if state == MISSING else ""
    kept = kept_path(store, named.name) is not None and state_of(store, named) == WHOLE
    where = f" A whole copy lies in “{store.parent.name}/{store.name}”: copy it back from there." if kept else ""
    return f"The {named.what} {named.name} {told} “{folder.name}”{more}.{where}"


def _changed(table: str, backup: Backup) -> str:
    return (
        f"The {things(table)} are not as they were at the backup of {format_moment(backup.made_at)}, though "
        "nothing was edited since: something changed on the disk by itself. Restore that backup; what is here now is "
        "kept first."
    )
