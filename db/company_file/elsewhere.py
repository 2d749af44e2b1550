"""Backups kept elsewhere: one file with everything in it on a stick or another drive, and when the last was made."""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import IO, Any

from db.company_file.company import Company
from db.company_file.connection import connect
from db.company_file.container import (
    Contents,
    Piece,
    TornPiece,
    verify_container,
    write_container,
)
from db.company_file.copying import finished_copy, working_in
from db.company_file.files import make_private, make_private_folder, put_without_overwriting, sync_file, sync_folder
from db.company_file.holdings import read_holdings
from db.company_file.how_far import counted, told_nobody
from db.company_file.kept import files_to_keep, sum_of, whole_file
from db.company_file.places import BACKUP_SUFFIX, SUFFIX, backup_folder, photo_folder, store_folder
from db.company_file.problems import AlreadyThere, CompanyProblem, Refused
from db.company_file.sealed import SHORTEST_PASSWORD, SealingStream
from db.company_file.table_sums import state_of_journal, table_sums
from db.company_file.workplace import clear_left_behind

REMIND_AFTER = timedelta(days=7)
_STAMP = "%Y-%m-%d %H.%M.%S"
_RECORD = "elsewhere.json"


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """A backup that was made elsewhere.

    Attributes:
        path: where.
        made_at: when, local wall time.
        papers: how many photos and papers are in it.
        missing: the names of those that could not be found, neither in their folder nor in an earlier backup.
        sealed: it is under a password.
        same_disk: it lies on the disk the company itself lies on, so it is lost with it.
    """

    path: Path
    made_at: datetime
    papers: int
    missing: tuple[str, ...]
    sealed: bool
    same_disk: bool


def back_up_elsewhere(
    path: Path,
    folder: Path,
    made_at: datetime,
    opened: Company | None = None,
    password: str | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Elsewhere:
    """Write one file with everything in it into a folder, then read it again from end to end and compare every sum.

    Args:
        path: the company file; `opened` the same company where it is open.
        password: encrypt it; at least eight characters.
        progress: called with (bytes done, of); what it raises stops the backup, and nothing is left behind.

    Raises:
        Refused: the password is too short.
        CompanyProblem: the folder is missing, read-only or full, or the company cannot be read.
    """
    if password is not None and len(password) < SHORTEST_PASSWORD:
        raise Refused(
            f"The password is shorter than {SHORTEST_PASSWORD} characters.",
            "Four or five words in a row make a good one.",
        )
    if not folder.is_dir():
        with working_in(folder, "The backup"):
            pass  # says what is wrong with it
    with begun_in(path, folder):
        made = _make(path, folder, made_at, opened, password, progress)
        _note(path, made=made)
    return made


@contextmanager
def begun_in(path: Path, folder: Path) -> Iterator[None]:
    """Note beside the company that a file is being made in this folder, so that a later start knows where to clear."""
    _note(path, begun=str(folder))
    try:
        yield
    finally:
        _note(path, begun=None)  # it ended, well or not, and cleared up itself


def _make(
    path: Path, folder: Path, made_at: datetime, opened: Company | None, password: str | None,
    progress: Callable[[int, int], None] | None,
) -> Elsewhere:  # fmt: skip
    with working_in(_home(path), "The backup") as home, working_in(folder, "The backup") as work:
        database = home / f"firm{SUFFIX}"  # not in the other place, where nothing may lie unsealed
        finished_copy(path, database, opened)
        contents, sources = _contents(path, database, made_at)
        half = work / "backup"
        make_private(half)
        told = counted(progress or told_nobody, 2 * contents.size)
        with half.open("wb") as out:
            _write(out, contents, sources, password, told)
            out.flush()
            os.fsync(out.fileno())
        verify_container(half, password, told)
        target = _put(half, folder, path.stem, made_at)
    return Elsewhere(
        target, made_at, len(contents.papers), contents.missing, password is not None, _same_disk(path, folder)
    )


def last_elsewhere(path: Path) -> Elsewhere | None:
    """The last backup that was finished elsewhere, as noted beside the company; None when there is none."""
    try:
        kept = _record(path)["last"]
        return Elsewhere(
            Path(kept["path"]), datetime.fromisoformat(kept["made_at"]).astimezone(), int(kept["papers"]),
            tuple(str(name) for name in kept["missing"]), bool(kept["sealed"]), bool(kept["same_disk"]),
        )  # fmt: skip
    except (KeyError, ValueError, TypeError):
        return None


def reminder_due(path: Path, first_work: date | None, today: date) -> bool:
    """Whether the owner is to be reminded: none was made elsewhere for a week, and there is a week of work to lose.

    Args:
        first_work: the day of the first step in this company; None when nothing was done yet.
        today: the company's day.
    """
    if first_work is None or today - first_work < REMIND_AFTER:
        return False
    last = last_elsewhere(path)
    if last is not None and timedelta(0) <= today - last.made_at.date() < REMIND_AFTER:
        return False
    with suppress(KeyError, ValueError, TypeError):
        put_off = date.fromisoformat(_record(path)["not_before"])
        if today < put_off <= today + REMIND_AFTER:  # a day years ahead, by a wrong clock, puts nothing off
            return False
    return True


def put_reminder_off(path: Path, today: date) -> None:
    """Do not remind for a week."""
    _note(path, not_before=(today + REMIND_AFTER).isoformat())


def clear_elsewhere(path: Path) -> None:
    """Remove the half file of a backup that was killed in the place it was being made in, if that is connected."""
    begun = _record(path).get("begun")
    if isinstance(begun, str):
        clear_left_behind([Path(begun)])


def _contents(path: Path, database: Path, made_at: datetime) -> tuple[Contents, list[tuple[Piece, Path]]]:
    with closing(connect(database, "immutable")) as conn:
        kept = files_to_keep(conn, photo_folder(path))
        holdings, journal, sums = read_holdings(conn).stored(), state_of_journal(conn), table_sums(conn)
    firm = Piece(path.name, sum_of(database), database.stat().st_size)
    papers: list[tuple[Piece, Path]] = []
    missing: list[str] = []
    for named in kept:
        found = whole_file(named, [photo_folder(path), store_folder(path)])
        if found is None:
            missing.append(named.name)
        else:
            papers.append((Piece(named.name, found[1], found[0].stat().st_size), found[0]))
    contents = Contents(
        made_at.isoformat(timespec="seconds"), path.name, firm, tuple(piece for piece, _ in papers), tuple(missing),
        holdings, journal, sums,
    )  # fmt: skip
    return contents, [(firm, database), *papers]


def _write(
    out: IO[bytes], contents: Contents, sources: list[tuple[Piece, Path]], password: str | None,
    told: Callable[[int], None],
) -> None:  # fmt: skip
    try:
        if password is None:
            write_container(out, contents, sources, told)
        else:
            sealing = SealingStream(out, password)
            write_container(sealing, contents, sources, told)  # type: ignore[arg-type]
            sealing.finish()
    except TornPiece as error:
        raise CompanyProblem(
            None, f"The backup was not made: “{error}” changed while it was copied.", "Try again in a moment."
        ) from error


def _put(half: Path, folder: Path, stem: str, made_at: datetime) -> Path:
    for number in range(1, 1000):
        again = f" ({number})" if number > 1 else ""
        target = folder / f"{stem} {made_at.strftime(_STAMP)}{again}{BACKUP_SUFFIX}"
        with suppress(AlreadyThere):
            put_without_overwriting(half, target)
            return target
    raise AlreadyThere(folder, "There are too many backups of this very second.", "Wait a moment, then try again.")


def _home(path: Path) -> Path:
    """Where the plain copy is made: beside the company, or, where that is read-only, in the system's own place."""
    folder = backup_folder(path)
    with suppress(OSError):
        make_private_folder(folder)
    return folder if os.access(folder, os.W_OK | os.X_OK) else Path(tempfile.gettempdir())


def _same_disk(path: Path, folder: Path) -> bool:
    with suppress(OSError):
        return path.stat().st_dev == folder.stat().st_dev
    return False


def _record(path: Path) -> dict[str, Any]:
    try:
        kept = json.loads((backup_folder(path) / _RECORD).read_text("utf-8"))
    except (OSError, ValueError):
        return {}
    return kept if isinstance(kept, dict) else {}


def _note(path: Path, made: Elsewhere | None = None, **more: str | None) -> None:
    """Keep it beside the company's own backups, not in the company: it is no step of the owner's work."""
    kept = {**_record(path), **more}
    if made is not None:
        kept["last"] = {
            "path": str(made.path), "made_at": made.made_at.isoformat(timespec="seconds"), "papers": made.papers,
            "missing": list(made.missing), "sealed": made.sealed, "same_disk": made.same_disk,
        }  # fmt: skip
    folder = backup_folder(path)
    with suppress(OSError, CompanyProblem):  # a note that cannot be kept is no reason not to back up
        make_private_folder(folder)
        kept = {name: value for name, value in kept.items() if value is not None}
        if not kept:
            (folder / _RECORD).unlink(missing_ok=True)
            return
        with working_in(folder, "The note") as work:
            half = work / _RECORD
            make_private(half)
            half.write_text(json.dumps(kept, indent=1), "utf-8")
            sync_file(half)
            os.replace(half, folder / _RECORD)
        sync_folder(folder)
