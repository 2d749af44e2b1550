"""Look a company file over and say in plain lines what was found."""

from __future__ import annotations

import sqlite3
from collections import Counter
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path

from db.company_file.aftermath import trust_lines
from db.company_file.backups import list_backups
from db.company_file.checking_papers import backup_lines, paper_findings, shortened, sum_findings
from db.company_file.connection import connect
from db.company_file.container import BrokenBackup, is_container, verify_container
from db.company_file.examine import full_path, judged, must_be_ours
from db.company_file.foreign import foreign_things
from db.company_file.holdings import Holdings, counted, moment, read_holdings, steps_after
from db.company_file.journal_witness import Disagreement, disagreements
from db.company_file.lost_log import note_lost_log
from db.company_file.one_name import must_have_one_name
from db.company_file.owner_words import things
from db.company_file.problems import HOW_TO_RECOVER, CompanyProblem, Damaged, ManyNames, cannot_read, not_found
from db.company_file.readable import readable
from db.company_file.row_sums import Unlike, unlike_sealed
from db.company_file.values import bad_values, missing_columns
from db.company_file.verdict import TROUBLES, is_broken, judge
from db.migrations import HEAD, REVISIONS
from domain.leaving import one_line

_MOST_LINES = 20
_BY_ITSELF = (
    "Something changed by itself on the disk, or was written by another program: put it right from your papers or a "
    "backup, and do not trust this disk any longer."
)
_COUNTED = (
    ("customer", "customer", "customers"),
    ("job", "job", "jobs"),
    ("quote", "quote or change order", "quotes and change orders"),
    ("hours_entry", "hours entry", "hours entries"),
    ("material_use", "material entry", "material entries"),
    ("action", "saved step", "saved steps"),
)


@dataclass(frozen=True, slots=True)
class CheckReport:
    """What a look over a company file found.

    Attributes:
        ok: nothing needs the owner's attention.
        lines: the findings, readable as they are, the worst first.
        recoverable: recovering answers what was found.
        on_trust: a recovery left what nobody can vouch for, and the owner has not yet said to have looked it over.
    """

    ok: bool
    lines: tuple[str, ...]
    recoverable: bool = False
    on_trust: bool = False


def check_file(path: Path | str, password: str | None = None) -> CheckReport:
    """Check every page, index, reference and value, the version, the journal and the photos; nothing is changed.

    Args:
        path: a company file, or a backup from elsewhere, which is read from end to end.
        password: of a backup that is under one.

    Raises:
        CompanyProblem: it cannot be looked at: there is no such file, or it is some other kind of file.
    """
    path = full_path(path)
    if is_container(path):
        return _check_backup(path, password)
    notes: list[str] = []
    lost: list[str] = []
    try:
        must_be_ours(path, for_work=False)
        lost = note_lost_log(path)
        with readable(path) as (place, mode), closing(connect(place, mode)) as conn:
            conn.execute("PRAGMA query_only=ON")
            conn.execute("BEGIN")  # one state from the first question to the last, whoever writes meanwhile
            wrong, notes = _findings(path, conn)
    except Damaged as found:
        wrong = [found.message, found.advice]
    except ManyNames as found:
        wrong = [str(found)]
    except TROUBLES as error:
        problem = judged(path) if is_broken(error) else cannot_read(error, path)
        wrong = [problem.message, problem.advice]
    except OSError as error:
        wrong = [str(not_found(path, error))]
    trust = trust_lines(path) or lost  # where no word can be kept
    wrong += trust
    verdict = f"“{path.name}” needs attention:" if wrong else f"“{path.name}” is in order."
    return CheckReport(not wrong, (verdict, *wrong, *notes, *backup_lines(path)), HOW_TO_RECOVER in wrong, bool(trust))


def _check_backup(path: Path, password: str | None) -> CheckReport:
    try:
        contents = verify_container(path, password)
    except BrokenBackup as problem:
        return CheckReport(False, (f"“{path.name}” needs attention:", str(problem)))
    held = Holdings(**contents.holdings)
    lines = [
        f"“{path.name}” is a whole backup of {contents.made_at.replace('T', ' ')[:16]}.", held.words(),
        f"Photos and papers in it: {len(contents.papers)}. Every sum agrees.",
        *(f"Not in it, as it could not be found when it was made: {name}." for name in contents.missing),
    ]  # fmt: skip
    return CheckReport(True, tuple(lines))


def _findings(path: Path, conn: sqlite3.Connection) -> tuple[list[str], list[str]]:
    verdict = judge(conn)
    if verdict.pages:
        return [*(f"Damaged: {line}." for line in verdict.pages), HOW_TO_RECOVER], _holds(path, conn)
    must_have_one_name(path)
    version_wrong, version_note = _version(conn)
    bad = [value.words() for value in bad_values(conn, _MOST_LINES)]
    wrong = [*_rules(conn), *bad]
    mendable = bool(verdict.indexes or wrong)
    wrong += [*version_wrong, *_loose(conn)]
    told: set[str] = set()
    if not mendable:  # a text that cannot be read would stop the comparison with the journal
        wrong += changed_by_itself(conn, told)
        wrong += [HOW_TO_RECOVER] if wrong and wrong[-1] == _BY_ITSELF else []
    wrong += [f"The index {name} does not agree with its table." for name in verdict.indexes]
    notes = ["Every page holds together."] if not verdict.indexes else []
    notes += [version_note] if version_note else []
    tables = {row[0] for row in conn.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    if counts := _counts(conn, tables):
        notes.append(f"It holds {', '.join(counts)}.")
    notes += _holds(path, conn)
    if mendable:
        return [*wrong, HOW_TO_RECOVER], notes
    wrong += sum_findings(path, conn, told)
    missing, unused = paper_findings(path, conn)
    wrong += missing
    notes += unused
    return wrong, notes


def _holds(path: Path, conn: sqlite3.Connection) -> list[str]:
    """The last step with its day, to compare with what the owner knows; and whether a backup knows later ones."""
    try:
        held = read_holdings(conn)
    except TROUBLES:
        return []
    if not held.last_step:
        return []
    steps, jobs = counted(held.steps, "saved step"), counted(held.jobs, "job")
    lines = [f"Its last step is “{one_line(held.last_step)}” on {moment(held.last_at)}, of {steps} with {jobs}."]
    with suppress(CompanyProblem, *TROUBLES):
        backup = next(iter(list_backups(path)), None)
        later = steps_after(conn, backup.path) if backup is not None else None
        if backup is not None and later is not None and later.steps:
            lines.append(
                f"The newest backup, “{backup.path.name}”, holds {later.words()} This file has not come that far: "
                "so it is after a restore; else its log (the file whose name ends in “-wal”) was lost, and that "
                "backup is the better one."
            )
    return lines


def _rules(conn: sqlite3.Connection) -> list[str]:
    newest = [row[0] for row in conn.execute("SELECT version_num FROM alembic_version")] == [HEAD]
    lines = [f"It holds what Riserbook did not put there: {thing}." for thing in foreign_things(conn, newest=newest)]
    if newest:
        lines += [f"Its {name} is missing." for name in missing_columns(conn)]
    return lines


def _loose(conn: sqlite3.Connection) -> list[str]:
    """References that lead nowhere."""
    return [
        f"{things(table).capitalize()} that point at something gone from the {things(target)}: {count}."
        for (table, target), count in Counter(
            (row[0], row[2]) for row in conn.execute("PRAGMA foreign_key_check")
        ).items()
    ]


def changed_by_itself(conn: sqlite3.Connection, told: set[str] | None = None) -> list[str]:
    """Rows that are not what was last saved, each once, with what to do about them.

    Args:
        conn: on a file whose values can all be.
        told: is given the tables that are named.
    """
    found: dict[tuple[str, int], str] = {}
    both: list[Disagreement | Unlike] = [*disagreements(conn, _MOST_LINES), *unlike_sealed(conn, _MOST_LINES)]
    for one in both:
        found.setdefault((one.table, one.row), one.words())
    if told is not None:
        told |= {table for table, _ in found}
    if not found:
        return []
    return [*shortened([*found.values()]), _BY_ITSELF]


def _counts(conn: sqlite3.Connection, tables: set[str]) -> list[str]:
    counts = []
    for table, one, many in _COUNTED:
        if table in tables:
            count = conn.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
            counts.append(f"{count:,} {one if count == 1 else many}")
    return counts


def _version(conn: sqlite3.Connection) -> tuple[list[str], str]:
    found = [str(row[0]) for row in conn.execute("SELECT version_num FROM alembic_version")]
    if found == [HEAD]:
        return [], f"It is up to date (version {HEAD} of the file)."
    if len(found) == 1 and found[0] in REVISIONS:
        return [], f"It is version {found[0]} of the file; opening it in the window brings it up to {HEAD}."
    return [f"Its version ({', '.join(found) or 'none'}) is not known here: a newer Riserbook may have written it."], ""
