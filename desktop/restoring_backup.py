"""Restore in the window: ask for a password, tell what a backup holds, and show how far it is."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QFileDialog, QInputDialog, QLineEdit, QProgressDialog, QWidget

from db.company_file import BACKUP_SUFFIX, SUFFIX, restore
from db.company_file.container import NeedsPassword, is_container, is_under_password
from db.company_file.problems import AlreadyThere
from db.company_file.restore_look import Look, look_into

FILTER = f"Backups (*{BACKUP_SUFFIX} *{SUFFIX})"
_STEPS = 1000


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
    """Restore while a small window tells how far it is; as `db.company_file.restore`."""
    if not is_container(backup):
        return restore(path, backup)
    shown = QProgressDialog("Restoring the firm, its photos and papers.", "", 0, _STEPS, parent)
    shown.setCancelButton(None)
    shown.setWindowTitle("Riserbook")
    shown.setWindowModality(Qt.WindowModality.ApplicationModal)
    shown.setMinimumDuration(0)
    shown.show()
    QApplication.processEvents()

    def told(done: int, of: int) -> None:
        step = _STEPS * done // max(of, 1)
        if step != shown.value():
            shown.setValue(min(step, _STEPS - 1))
            QApplication.processEvents()

    try:
        return restore(path, backup, password, told)
    finally:
        shown.close()
        shown.deleteLater()


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
    restore_shown(parent, path, Path(name), password)
    return path
