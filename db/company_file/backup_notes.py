"""What is noted beside a backup of the company's own folder: in which order it was made, and its sums.

The order comes from a counter, not from a clock: evenings dated years ahead by a wrong clock come neither before nor
after what they did not. A backup without a note was made by an earlier version of the program, or copied here.
"""

from __future__ import annotations

import json
import os
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from db.company_file.files import make_private, make_private_folder, put_without_overwriting
from db.company_file.workplace import someone_works_in

FOLDER = "notes"
"""Inside the folder of backups, so that a person who looks there sees the backups."""

_ENDING = ".json"


@dataclass(frozen=True, slots=True)
class Note:
    """The note of one backup.

    Attributes:
        order: higher means made later.
        sha256: of the backup's own bytes.
        journal: the state of its journal, see `table_sums.state_of_journal`.
        sums: of each table.
        files: names of the photos and papers that belong to it.
        missing: names of photos and papers that could not be backed up with it.
    """

    order: int
    sha256: str
    journal: str
    sums: dict[str, str]
    files: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()


def note_path(backup: Path) -> Path:
    """Where the note of a backup lies."""
    return backup.parent / FOLDER / (backup.name + _ENDING)


def read_note(backup: Path) -> Note | None:
    """The note of a backup; None when there is none that can be read."""
    try:
        kept = json.loads(note_path(backup).read_text("utf-8"))
        return Note(
            order=int(kept["order"]),
            sha256=str(kept["sha256"]),
            journal=str(kept["journal"]),
            sums={str(table): str(found) for table, found in kept["sums"].items()},
            files=tuple(str(name) for name in kept["files"]),
            missing=tuple(str(name) for name in kept["missing"]),
        )
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None


def write_note(backup: Path, note: Note, work: Path) -> None:
    """Put the note in place before the backup itself: no backup is ever without its place in the order, and two
    programs that back up in the same second do not take the same name.

    Raises:
        AlreadyThere: another backup has this name, or is about to.
        OSError: the disk is full.
    """
    make_private_folder(note_path(backup).parent)
    half = work / "note"
    half.unlink(missing_ok=True)
    make_private(half)
    with half.open("w", encoding="utf-8") as file:
        json.dump(
            {"order": note.order, "sha256": note.sha256, "journal": note.journal, "files": list(note.files),
             "missing": list(note.missing), "sums": note.sums},
            file, indent=1,
        )  # fmt: skip
        file.flush()
        os.fsync(file.fileno())
    put_without_overwriting(half, note_path(backup))


def clear_lonely_notes(folder: Path) -> None:
    """Remove notes whose backup was never finished, unless someone is making one in this folder right now."""
    def made(note: Path) -> Path:
        return folder / note.name.removesuffix(_ENDING)

    with suppress(OSError):
        lonely = [path for path in (folder / FOLDER).glob(f"*{_ENDING}") if not made(path).exists()]
        if lonely and not someone_works_in(folder):
            for path in lonely:
                if not made(path).exists():
                    path.unlink()
