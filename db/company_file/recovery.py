"""What to do with a file nobody can work in: keep it as it is, see what can be had of it, and choose knowingly."""

from __future__ import annotations

import shlex
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from db.company_file.aftermath import leave_word
from db.company_file.backups import list_backups
from db.company_file.checking import check_file
from db.company_file.copying import working_in
from db.company_file.examine import full_path, must_be_ours, whole_problem
from db.company_file.holdings import Difference, Holdings, holdings_of, steps_missing
from db.company_file.keeping_aside import keep_aside
from db.company_file.lock import hold
from db.company_file.log_over_backup import log_over_backup
from db.company_file.lost_log import known_lost, note_lost_log
from db.company_file.on_trust import LOOK
from db.company_file.places import backup_folder, side_files
from db.company_file.problems import CompanyProblem, Damaged, Gone, Refused, cannot_write, problem_of
from db.company_file.readable import can_write_beside
from db.company_file.refilling import NOTHING, Refilled, note_in_journal
from db.company_file.restoring import restore
from db.company_file.torn_steps import Step, torn_steps
from domain.dates import format_moment

FROM_FILE, FROM_BACKUP = "file", "backup"


@dataclass(frozen=True, slots=True)
class Offer:
    """One file that could take the place of what cannot be worked in.

    Attributes:
        source: what could be read of the file itself, or the newest backup.
        holds: what is in it.
        lacks: saved steps the other offer has and this one has not.
        notes: what else is to be known of it.
        refilled: what came from the journal or a backup, and what nobody can vouch for.
        loose: how many of the steps it lacks stand in torn pages or the log and could not be put in place.
        alone: there is no other.
        open_end: nobody can say whether later steps were saved.
    """

    source: str
    path: Path
    holds: Holdings
    lacks: Difference
    notes: tuple[str, ...]
    refilled: Refilled = NOTHING
    loose: int = 0
    alone: bool = False
    open_end: bool = False

    def title(self) -> str:
        """What it is."""
        if self.source == FROM_FILE:
            return "What can be read of the file itself"
        return f"The newest backup, “{self.path.name}”"

    def lines(self) -> list[str]:
        """What it holds and what it lacks, readable as it is."""
        return [self.holds.words(), self.lacking(), *self.notes, *self.on_trust()]

    def on_trust(self) -> list[str]:
        """What nobody can vouch for, row by row, and what to do about it; empty when everything is vouched for."""
        trust = self.refilled.trust
        return ["Nobody can vouch for these:", *trust, LOOK] if trust else []

    def lacking(self) -> str:
        """What it lacks, in a sentence."""
        end = " Steps saved after its last one may be missing: the end of the file's journal could not be read."
        more = end if self.open_end else ""
        if not self.lacks.steps:
            nothing = "No newer step was found in the file." if self.alone else "It lacks no step the other has."
            return nothing + more
        stand = "1 of them stands" if self.loose == 1 else f"{self.loose:,} of them stand"
        kept = f" {stand} in the file or its log but could not be put in place; the copy keeps them."
        where = kept if self.loose else ""
        partly = ", or holds only in part," if self.refilled.doubted else ""
        return f"It lacks{partly} {self.lacks.words()}{where}{more}"


@dataclass(frozen=True, slots=True)
class Recovery:
    """The file kept as it is, and what could take its place; nothing has been put there yet.

    Attributes:
        path: the company file.
        kept: the copy of the file, its log beside it; None when there is neither.
        offers: the one with the most steps first.
        lost: what is to be told of a log that is not whole.
    """

    path: Path
    kept: Path | None
    offers: tuple[Offer, ...]
    lost: tuple[str, ...] = ()


@contextmanager
def recovering(path: Path | str, now: datetime | None = None) -> Iterator[Recovery | None]:
    """Keep the file and its log aside and make what can be had, for as long as the block runs; the file stays as it is.

    Yields:
        None when a check finds nothing in the way: then there is nothing to recover.

    Raises:
        OpenElsewhere: the firm is open in some window.
        Damaged: neither the file nor a backup can be read.
        CompanyProblem: it is not ours, or there is no room.
    """
    path, now = full_path(path), now or datetime.now().astimezone()
    note_lost_log(path)
    if not needs_recovery(path):
        yield None
        return
    if not can_write_beside(path):
        raise cannot_write(path)
    with working_in(path.parent, "The recovered file") as work:
        yield _prepared(path, now, work)


def _prepared(path: Path, now: datetime, work: Path) -> Recovery:
    let_go = hold(path)
    try:
        lost = tuple(note_lost_log(path)) or tuple(known_lost(path))
        kept = keep_aside(path, now) if path.exists() or any(side.exists() for side in side_files(path)) else None
        offers = [offer for offer in (_of_the_file(path, kept, work), _of_the_backup(path)) if offer is not None]
    finally:
        let_go()
    if not offers:
        where = f"A copy of it was kept as “{kept.name}” there. " if kept is not None else ""
        raise Damaged(
            path,
            f"Nothing could be read of “{path.name}”, and there is no backup of it in “{backup_folder(path).name}”.",
            f"{where}Restore a backup from another place.",
            f"riserbook restore BACKUP {shlex.quote(str(path.parent))}",
        )
    found = torn_steps(kept) if kept is not None else set()
    compared = [_compared(offer, offers, found) for offer in offers]
    return Recovery(path, kept, tuple(sorted(compared, key=lambda offer: offer.lacks.steps)), lost)


def needs_recovery(path: Path) -> bool:
    """Whether anything but missing photos is wrong with a file of ours.

    Raises:
        CompanyProblem: nothing is there or left of it, it is of some other kind, or only a newer version made it.
    """
    try:
        must_be_ours(path, for_work=False)
        problem = whole_problem(path)
    except (Damaged, Gone):
        return True
    if problem is not None:
        if isinstance(problem, Damaged):
            return True
        raise problem
    return check_file(path).recoverable


def use(recovery: Recovery, offer: Offer, *, may_lose: int = 0) -> Path | None:
    """Put one of the offers in the file's place; what is there now is kept once more.

    Args:
        may_lose: how many saved steps the owner agreed to lose, as they were told.

    Raises:
        Refused: it lacks other steps than agreed to; nothing was done.
        CompanyProblem: it could not be put there; the file is as it was.
    """
    if offer.lacks.steps != may_lose:
        if not offer.lacks.steps:
            raise Refused("It lacks no step.", "Leave --lose out.")
        raise Refused(
            f"This would lose {offer.lacks.words()}", f"Say so by --lose {offer.lacks.steps}, or use the other."
        )
    try:
        note_in_journal(offer.path, offer.refilled.mended, datetime.now().astimezone().isoformat(timespec="seconds"))
    except sqlite3.Error as error:
        raise problem_of(error, offer.path) or error from error
    kept = restore(recovery.path, offer.path)
    leave_word(recovery.path, _to_be_told(recovery, offer, kept), [*offer.on_trust(), *recovery.lost])
    return kept


def _to_be_told(recovery: Recovery, offer: Offer, kept: Path | None) -> list[str]:
    """What the owner is to know at the next opening, who may not be the one who typed the command."""
    what = "what could be read of it" if offer.source == FROM_FILE else f"the backup “{offer.path.name}”"
    missing = offer.lacking() if offer.lacks.steps or offer.open_end else "No saved step is missing."
    lines = [f"This firm was recovered on {format_moment(datetime.now())} from {what}.", missing]
    lines += [*offer.notes, *offer.on_trust(), *recovery.lost]
    if not offer.notes and not offer.refilled.trust and offer.source == FROM_FILE:
        lines.append("Every row of it could be read.")
    copies = [one for one in dict.fromkeys((recovery.kept, kept)) if one is not None]
    if not copies:
        return [*lines, "The file itself was gone."]
    names = " and ".join(f"“{one.name}”" for one in copies)
    return [*lines, f"As it was before, it is kept as {names} in “{copies[0].parent}”."]


def _of_the_file(path: Path, kept: Path | None, work: Path) -> Offer | None:
    from db.company_file.salvage import salvage

    if kept is None:
        return None
    backups = [backup.path for backup in list_backups(path) if whole_problem(backup.path) is None]
    if (offer := _of_the_log(kept, work, backups)) is not None:
        return offer
    if not kept.exists():  # the log alone
        return None
    try:
        made = salvage(kept, work / path.name, backups)
    except Damaged:
        return None
    return Offer(FROM_FILE, made.path, holdings_of(made.path), Difference(0, ()), made.notes, made.refilled)


def _of_the_log(kept: Path, work: Path, backups: list[Path]) -> Offer | None:
    """Log and backup put together, when that proves itself and no step that stands anywhere is missing in it."""
    found = log_over_backup(kept, backups, work)
    if found is None or steps_missing(None, found[0], loose=torn_steps(kept)).steps:
        return None
    made, backup = found
    note = (
        f"It was put together from its log and the backup “{backup.name}”. The steps follow each other without a gap, "
        "and every row is what the last step wrote there."
    )
    return Offer(FROM_FILE, made, holdings_of(made), Difference(0, ()), (note,))


def _of_the_backup(path: Path) -> Offer | None:
    for backup in list_backups(path):
        with suppress(CompanyProblem):
            if whole_problem(backup.path) is None:
                return Offer(FROM_BACKUP, backup.path, holdings_of(backup.path), Difference(0, ()), ())
    return None


def _compared(offer: Offer, offers: list[Offer], found: set[Step]) -> Offer:
    others = [other for other in offers if other is not offer]
    lacks = steps_missing(
        others[0].path if others else None, offer.path, loose=found, partly=offer.refilled.doubted,
        nameless=max(one.refilled.nameless for one in offers),
    )  # fmt: skip
    loose = steps_missing(None, offer.path, loose=found).steps
    if any(other.source == FROM_FILE for other in others):
        loose = min(loose, steps_missing(None, others[0].path, loose=found).steps)
    open_end = any(one.refilled.open_end for one in offers)
    return replace(offer, lacks=lacks, loose=loose, alone=not others, open_end=open_end)
