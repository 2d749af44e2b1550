"""What a backup holds, beside what the firm's file holds now: shown before anything is restored."""

from __future__ import annotations

import os
import tempfile
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from db.company_file.connection import connect
from db.company_file.container import is_container, open_container
from db.company_file.examine import full_path, must_be_ours, revision_of, whole_problem
from db.company_file.holdings import Difference, Holdings, holdings_of, steps_missing
from db.company_file.kept import MISSING, named_files, state_of
from db.company_file.places import SUFFIX, photo_folder, store_folder
from db.company_file.problems import CompanyProblem, NotOurs
from db.company_file.workplace import workplace


@dataclass(frozen=True, slots=True)
class Beside:
    """What is there now, where a backup is to go.

    Attributes:
        words: what it holds, in a sentence; empty when nothing is there.
        lost: what of it the backup lacks.
        unknown: it cannot be read, so nobody knows what would be lost.
    """

    words: str
    lost: Difference
    unknown: bool = False


@dataclass(frozen=True, slots=True)
class Look:
    """What a backup holds.

    Attributes:
        path: the backup.
        firm_file: what the firm's file was called.
        made_at: when, YYYY-MM-DD HH:MM; empty when the backup does not say.
        holdings: its firm, jobs, last step.
        papers: how many photos and papers come with it.
        missing: the names of those that do not.
    """

    path: Path
    firm_file: str
    made_at: str
    holdings: Holdings
    papers: int
    missing: tuple[str, ...]

    @property
    def words(self) -> str:
        """One sentence to compare with another file's."""
        return self.holdings.words()

    @property
    def notes(self) -> list[str]:
        """What comes with it and what does not, in lines."""
        with_it = [f"Photos and papers in it: {self.papers}."]
        return with_it + [f"Not in it, as it could not be found when it was made: {name}." for name in self.missing]

    def beside(self, path: Path, password: str | None = None) -> Beside:
        """What the file at `path` holds that would make way.

        Raises:
            CompanyProblem: the backup cannot be read.
            NotOurs: something else lies there.
        """
        path = full_path(path)
        nothing = Difference(0, ())
        if not path.exists():
            return Beside("", nothing)
        problem = whole_problem(path)
        if isinstance(problem, NotOurs):
            raise problem
        try:
            return self._compared(path, password)
        except CompanyProblem:
            if problem is None:
                raise
            return Beside(f"{problem.message} What it holds cannot be told.", nothing, unknown=True)

    def _compared(self, path: Path, password: str | None) -> Beside:
        present = holdings_of(path)
        if not is_container(self.path):
            return Beside(present.words(), steps_missing(path, self.path))
        with workplace(_private_place(path)) as work:
            inside = work / f"firm{SUFFIX}"
            with open_container(self.path, password) as container:
                container.read(lambda _piece: inside, papers=False)
            return Beside(present.words(), steps_missing(path, inside))


def look_into(backup: Path | str, password: str | None = None) -> Look:
    """Look into a backup from elsewhere, one of the firm's own, or a company file.

    Raises:
        CompanyProblem: it is none, it is damaged, or it is under a password that was not given.
    """
    path = full_path(backup)
    if is_container(path):
        with open_container(path, password) as container:
            held = container.contents
            return Look(
                path, held.firm_file, held.made_at.replace("T", " ")[:16], Holdings(**held.holdings),
                len(held.papers), held.missing,
            )  # fmt: skip
    must_be_ours(path, for_work=False)
    revision_of(path, held=False)
    folders = (photo_folder(path), path.parent / store_folder(path).name)
    with closing(connect(path, "ro" if path.with_name(path.name + "-wal").exists() else "immutable")) as conn:
        named = named_files(conn)
    missing = tuple(one.name for one in named if all(state_of(folder, one) == MISSING for folder in folders))
    return Look(path, _plain_name(path), _made_at(path), holdings_of(path), len(named) - len(missing), missing)


def target_of(look: Look, to: Path | str) -> Path:
    """The firm's file a backup goes to: `to` itself, or inside it when it is a folder.

    Raises:
        NotOurs: something else has that name.
    """
    to = full_path(to)
    if to.is_dir():
        return to / look.firm_file
    if to.exists() and (to.suffix != SUFFIX or not to.is_file()):
        raise NotOurs(
            to, f"“{to.name}” is there already and is no firm's file.",
            f"Name a folder, or the firm's file to be, for example {to.name}{SUFFIX}.",
        )  # fmt: skip
    return to if to.suffix == SUFFIX else to.with_name(to.name + SUFFIX)


def _plain_name(path: Path) -> str:
    """The firm's name of one of its own backups, from the folder they lie in."""
    owner = path.parent.name.removesuffix(" backups")
    return f"{owner}{SUFFIX}" if owner != path.parent.name else path.name


def _made_at(path: Path) -> str:
    stem = path.name[:16]
    return f"{stem[:10]} {stem[11:].replace('.', ':')}" if stem[:4].isdigit() else ""


def _private_place(path: Path) -> Path:
    return path.parent if os.access(path.parent, os.W_OK | os.X_OK) else Path(tempfile.gettempdir())
