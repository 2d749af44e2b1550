"""Writing a file from a part of the Company page: asks where, writes, and says where it is or why not."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QWidget

from desktop.desk import Desk
from domain.errors import NotUnderstood
from domain.leaving import whole_file_name


def ask_where(parent: QWidget, title: str, name: str, kind: str) -> Path | None:
    """Ask for a file name; None when the owner thinks better of it."""
    asked, _ = QFileDialog.getSaveFileName(parent, title, str(Path.home() / whole_file_name(name)), kind)
    if not asked:
        return None
    suffix = Path(name).suffix
    return Path(asked) if asked.lower().endswith(suffix) else Path(asked + suffix)


def write_in_background(desk: Desk, path: Path, write: Callable[[Path], Path]) -> None:
    """Write off the window's thread and say so."""
    desk.say(f"Writing {path.name}.")
    desk.background(
        lambda: write(path),
        lambda made: desk.say(f"Wrote {made.name} in {made.parent}.", "good"),
        lambda error: _failed(desk, error),
    )


def _failed(desk: Desk, error: Exception) -> None:
    if isinstance(error, PermissionError):
        desk.say("The file cannot be written there. Close it in other programs or choose another folder.", "error")
    elif isinstance(error, OSError):
        desk.say(f"The file was not written: {error.strerror or error}. Choose another folder.", "error")
    elif isinstance(error, NotUnderstood):
        desk.say(f"The file was not written. {error}", "caution")
    else:
        raise error
