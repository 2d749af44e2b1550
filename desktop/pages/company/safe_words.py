"""What the page about safe keeping says of backups."""

from __future__ import annotations

from datetime import datetime

from db.company_file import Backup
from db.company_file.elsewhere import Elsewhere
from db.company_file.restore_look import Beside, Look
from domain.dates import format_moment
from domain.units import count_of

KINDS = {
    "rolling": "by itself",
    "by hand": "by hand",
    "before update": "before an update",
    "before restore": "before a restore",
}


def age(at: datetime, now: datetime) -> str:
    """How old something is, in its largest unit; a moment that has not come yet says so."""
    minutes = int((now - at).total_seconds() // 60)
    if minutes < -5:
        return "dated ahead"
    for size, word in ((60 * 24, "day"), (60, "hour"), (1, "minute")):
        if minutes >= size:
            count = minutes // size
            return f"{count} {word}{'' if count == 1 else 's'}"
    return "just now"


def size(count: int) -> str:
    """A number of bytes."""
    return f"{max(1, round(count / 1000)):,} kB" if count < 1_000_000 else f"{count / 1_000_000:.1f} MB"


def made(backup: Backup) -> str:
    """Why a backup was made, and what it could not take along."""
    kind = KINDS.get(backup.kind, backup.kind)
    return f"{kind}, {count_of(len(backup.missing), 'paper')} missing" if backup.missing else kind


def elsewhere(last: Elsewhere | None, now: datetime) -> str:
    """When the last backup was made in another place, where, and how old it is."""
    if last is None:
        return "No backup has been made to another place yet. A lost or broken machine would take all of them along."
    old = age(last.made_at, now)
    told = f"{old} old" if old[0].isdigit() else old
    sealed = ", under a password" if last.sealed else ""
    return f"The last in another place is of {format_moment(last.made_at)}, {told}: “{last.path}”{sealed}."


def question(look: Look, beside: Beside) -> str:
    """What a backup holds and what is here, and what would be gone."""
    made_at = f" of {look.made_at}" if look.made_at else ""
    papers = "no photo or paper" if not look.papers else f"{look.papers:,} photos and papers"
    words = f"The backup{made_at} holds {papers}. {look.words}\nHere now: {beside.words}\n"
    if beside.lost.steps:
        words += f"That would be gone from this firm: {beside.lost.words()}"
    elif not beside.unknown:
        words += "Nothing that is here would be gone."
    missing = f" {len(look.missing):,} photos or papers are not in the backup." if look.missing else ""
    return f"{words}{missing} What is here now is backed up first, so that it can be brought back the same way."
