"""Restore in the window: ask for a password, tell what a backup holds, and show how far it is."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog, QInputDialog, QLineEdit, QWidget

from db.company_file import BACKUP_SUFFIX, SUFFIX, restore
from db.company_file.container import NeedsPassword, is_under_password
from db.company_file.problems import AlreadyThere, CompanyProblem
from db.company_file.restore_look import Look, look_into
from desktop.slow_dialog import run_shown
from desktop.slow_work import NOTHING_LEFT, Stopped

if TYPE_CHECKING:
    from desktop.window import Window

FILTER = f"Backups (*{BACKUP_SUFFIX} *{SUFFIX})"


@dataclass(frozen=True, slots=True)
class Wish:
    """Which backup is to be put in the place of which firm, and the password of one that is under it."""

    path: Path
    backup: Path
    password: str | None = None


def look_with_password(parent: QWidget, backup: Path) -> tuple[Look, str | None] | None:
    """Look into a backup, asking for its password as often as needed; None when the owner gives up.

    Raises:
        CompanyProblem: it is no backup, or not whole.
    """
    word = f"“{backup.name}” is under a password."
    while True:
        password: str | None = None
        if is_under_password(backup):
            password, ok = QInputDialog.getText(
                parent, "Password of the backup", f"{word}\nPassword:", QLineEdit.EchoMode.Password
            )
            if not ok:
                return None
        try:
            return look_into(backup, password), password
        except NeedsPassword as problem:
            word = problem.message


def restore_shown(parent: QWidget, path: Path, backup: Path, password: str | None) -> Path | None:
    """Restore while a small window tells how far it is and offers to stop; as `db.company_file.restore`.

    Raises:
        Stopped: by the owner; nothing was changed.
    """
    return run_shown(
        parent, "Restoring the firm, its photos and papers.", "Restoring",
        lambda told: restore(path, backup, password, told),
    )  # fmt: skip


def restore_in_place(window: Window, wish: Wish, remembered: bool) -> None:
    """Close the open firm, put the backup in its place and open it again; what went wrong is said."""
    window.close_company()
    try:
        restore_shown(window, wish.path, wish.backup, wish.password)
    except Stopped:
        words, tone = NOTHING_LEFT, "info"
    except CompanyProblem as problem:
        words, tone = f"Not restored: {problem}", "error"
    except OSError as problem:
        words, tone = f"Not restored: {problem.strerror or problem}. The firm is as it was.", "error"
    else:
        words, tone = "Restored. What was there before is among the backups.", "good"
    window.open_file(wish.path, remembered)
    if window.company is not None:  # else why it cannot be opened stands on the welcome page
        window.toast.say(words, tone=tone)


def restore_to_new_place(parent: QWidget) -> Path | None:
    """Ask for a backup and where it is to go, on a computer that has no firm yet; return the firm's file.

    Raises:
        CompanyProblem: it could not be restored; nothing was changed.
    """
    name, _ = QFileDialog.getOpenFileName(parent, "Restore a backup", str(Path.home()), f"{FILTER};;All files (*)")
    if not name:
        return None
    looked = look_with_password(parent, Path(name))
    if looked is None:
        return None
    look, password = looked
    chosen, _ = QFileDialog.getSaveFileName(
        parent, "Where to keep the firm", str(Path.home() / look.firm_file), f"Firms (*{SUFFIX})"
    )
    if not chosen:
        return None
    path = Path(chosen)
    path = path if path.suffix == SUFFIX else path.with_name(path.name + SUFFIX)
    if path.exists():
        raise AlreadyThere(
            path, f"“{path.name}” is already there.",
            "Choose another name; or open it and restore the backup from its page Safe keeping, which shows what would "
            "be gone.",
        )  # fmt: skip
    try:
        restore_shown(parent, path, Path(name), password)
    except Stopped:
        return None
    return path
