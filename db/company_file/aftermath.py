"""What a recovery or a restore left to be known: told once at the next opening, and kept until the owner has seen it.

It lies among the notes of the backups, beside the firm: it is about the file, and no work of the owner's.
"""

from __future__ import annotations

import json
import os
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from db.company_file.backup_notes import FOLDER
from db.company_file.files import OWNER_ONLY, make_private_folder, sync_folder
from db.company_file.places import backup_folder

_NAME = "to be told"


@dataclass(frozen=True, slots=True)
class Aftermath:
    """What is to be told.

    Attributes:
        lines: readable as they are; the first says in short what happened.
        told: it was said at an opening already.
        trust: those of the lines that name what nobody can vouch for; a look over the file tells them, too.
    """

    lines: tuple[str, ...]
    told: bool = False
    trust: tuple[str, ...] = ()


def leave_word(path: Path, lines: list[str], trust: Sequence[str] = ()) -> None:
    """Keep this for the firm's next opening, in place of what waited there; a full disk is no reason to fail."""
    with suppress(OSError):
        make_private_folder(backup_folder(path))
        make_private_folder(_place(path).parent)
        _write(path, Aftermath(tuple(lines), trust=tuple(trust)))


def add_to_word(path: Path, lines: list[str]) -> None:
    """Keep this, too, as something nobody can vouch for; what stands there already is not said again."""
    word = read_word(path)
    if word is None:
        leave_word(path, lines, lines)
    elif not set(lines) <= set(word.trust):
        leave_word(path, [*lines, *word.lines], [*lines, *word.trust])


def read_word(path: Path) -> Aftermath | None:
    """What waits to be told; None when nothing does."""
    try:
        kept = json.loads(_place(path).read_text("utf-8"))
        lines = tuple(str(line) for line in kept["lines"])
        trust = tuple(str(line) for line in kept.get("trust", ()))
        return Aftermath(lines, bool(kept["told"]), trust) if lines else None
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None


def trust_lines(path: Path) -> list[str]:
    """What nobody can vouch for, for a look over the file; empty once the owner has said to have seen to it."""
    word = read_word(path)
    if word is None or not word.trust:
        return []
    return [*word.trust, "Once that is done, say so on the Firm page, under Safe keeping."]


def mark_told(path: Path, word: Aftermath) -> None:
    """It was said at an opening; it stays until it is forgotten."""
    with suppress(OSError):
        _write(path, replace(word, told=True))


def forget_word(path: Path) -> None:
    """The owner has seen it."""
    with suppress(OSError):
        _place(path).unlink(missing_ok=True)


def _place(path: Path) -> Path:
    return backup_folder(path) / FOLDER / _NAME


def _write(path: Path, word: Aftermath) -> None:
    half = _place(path).with_name(f"{_NAME} half")
    handle = os.open(half, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, OWNER_ONLY)
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        json.dump(asdict(word), file, ensure_ascii=False)
        file.flush()
        os.fsync(file.fileno())
    os.replace(half, _place(path))
    sync_folder(half.parent)
