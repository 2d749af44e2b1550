"""What a company file holds, in a few figures two files can be compared by: last step, its day, number of jobs."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from contextlib import closing, suppress
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from db.company_file.connection import connect
from db.company_file.examine import looking_mode
from db.company_file.problems import damaged, problem_of
from domain.dates import format_moment
from domain.leaving import one_line

PERHAPS = "(perhaps not whole)"
"""Stands behind the label of a step that a recovery could not vouch for."""


@dataclass(frozen=True, slots=True)
class Holdings:
    """What a file holds.

    Attributes:
        firm: its name.
        last_step: what the owner did last, as Undo would name it; empty when nothing was ever done.
        last_at: when, as the file tells it (ISO 8601, local); empty likewise.
        steps: how many steps were saved and not undone, each of them whole.
        jobs: number of jobs.
        customers: number of customers.
        partly: steps that may not be whole, as a recovery found them.
    """

    firm: str
    last_step: str
    last_at: str
    steps: int
    jobs: int
    customers: int
    partly: int = 0

    def words(self) -> str:
        """One sentence an owner can compare with another file's."""
        jobs, customers = counted(self.jobs, "job"), counted(self.customers, "customer")
        steps = counted(self.steps, "saved step")
        steps += f" and {self.partly:,} perhaps not whole" if self.partly else ""
        last = f", the last “{one_line(self.last_step)}” on {moment(self.last_at)}" if self.last_step else ""
        return f"{one_line(self.firm) or 'A firm without a name'}: {jobs}, {customers}, {steps}{last}."

    def stored(self) -> dict[str, Any]:
        """As plain values, to be kept in a backup's list of contents."""
        return {name: value for name, value in asdict(self).items() if name != "partly"}


@dataclass(frozen=True, slots=True)
class Difference:
    """How many saved steps one file has that another lacks, and what the newest of them were."""

    steps: int
    newest: tuple[str, ...]

    def words(self) -> str:
        """What would be gone, in one sentence; empty when nothing would."""
        if not self.steps:
            return ""
        count = "1 step" if self.steps == 1 else f"{self.steps:,} steps"
        return f"{count}, the last: {'; '.join(map(one_line, self.newest))}."


def holdings_of(path: Path) -> Holdings:
    """What the file holds now, its write-ahead log included; nothing is changed.

    Raises:
        CompanyProblem: it cannot be read.
    """
    try:
        with closing(connect(path, looking_mode(path, held=False))) as conn:
            return read_holdings(conn)
    except sqlite3.Error as error:
        raise problem_of(error, path) or damaged(path, str(error)) from error


def read_holdings(conn: sqlite3.Connection) -> Holdings:
    """The same of an open connection; a table that an early version lacks counts as empty."""
    last = _one(conn, "SELECT label, made_at FROM action WHERE undone = 0 ORDER BY id DESC LIMIT 1") or ("", "")
    partly = _count(conn, f"action WHERE undone = 0 AND label LIKE '% {PERHAPS}'")
    return Holdings(
        firm=str((_one(conn, "SELECT name FROM company") or ("",))[0] or ""),
        last_step=str(last[0] or ""),
        last_at=str(last[1] or ""),
        steps=_count(conn, "action WHERE undone = 0") - partly,
        jobs=_count(conn, "job"),
        customers=_count(conn, "customer"),
        partly=partly,
    )


def steps_missing(
    present: Path | None, other: Path, named: int = 3, loose: Iterable[tuple[int, str, str]] = (),
    partly: Iterable[tuple[int, str, str]] = (), nameless: int = 0,
) -> Difference:  # fmt: skip
    """The saved steps that `present` holds and `other` lacks: what would be gone if it took its place.

    A step is known by its number, moment and label, so a step redone under a new number counts as another.

    Args:
        present: None when there is nothing to compare with but `loose`.
        loose: steps that could be read but not put in place; the newer ones count, for older ones may be long undone.
        partly: steps of `other` that may not be whole.
        nameless: steps of which nothing but their number is known.

    Raises:
        CompanyProblem: one of them cannot be read.
    """
    mine, theirs = _steps(present) if present is not None else {}, _steps(other)
    newest = max((number for number, _, _ in theirs), default=0)
    mine = {(number, at, _without(label)): _without(label) for (number, at, label) in mine}
    mine |= {step: step[2] for step in loose if step[0] > newest} | {step: step[2] for step in partly}
    lacking = [mine[key] for key in sorted(mine.keys() - theirs.keys(), reverse=True)]
    unknown = (f"{nameless:,} whose name could not be read",) if nameless else ()
    return Difference(len(lacking) + nameless, (*lacking[:named], *unknown))


def steps_after(conn: sqlite3.Connection, other: Path) -> Difference:
    """The steps of another file that come after the last one of this file.

    Raises:
        CompanyProblem: the other file cannot be read.
    """
    last = int((_one(conn, "SELECT coalesce(max(id), 0) FROM action") or (0,))[0])
    later = [label for (number, _, _), label in sorted(_steps(other).items(), reverse=True) if number > last]
    return Difference(len(later), tuple(later[:3]))


def _without(label: str) -> str:
    return label.removesuffix(f" {PERHAPS}")


def _steps(path: Path) -> dict[tuple[int, str, str], str]:
    try:
        with closing(connect(path, looking_mode(path, held=False))) as conn:
            rows = conn.execute("SELECT id, made_at, label FROM action WHERE undone = 0").fetchall()
    except sqlite3.Error as error:
        raise problem_of(error, path) or damaged(path, str(error)) from error
    return {(int(number), str(at), str(label)): str(label) for number, at, label in rows}


def _one(conn: sqlite3.Connection, question: str) -> tuple[Any, ...] | None:
    try:
        found: tuple[Any, ...] | None = conn.execute(question).fetchone()
    except sqlite3.OperationalError as error:
        if error.sqlite_errorcode & 0xFF == sqlite3.SQLITE_ERROR:  # an early version has no such table
            return None
        raise
    return found


def _count(conn: sqlite3.Connection, what: str) -> int:
    return int((_one(conn, f"SELECT count(*) FROM {what}") or (0,))[0])


def counted(count: int, one: str) -> str:
    """``1 job``, ``12 jobs``."""
    return f"1 {one}" if count == 1 else f"{count:,} {one}s"


def moment(at: str) -> str:
    """A moment of the journal as day and time; as it stands when it is none."""
    with suppress(ValueError):
        return format_moment(datetime.fromisoformat(at))
    return at
