"""Figures that were read while somebody types wait until that word is done: nothing moves under it.

    once_nobody_types(view, view.show_again)     # at once, or when what is being typed was committed or left
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import QApplication, QLineEdit

LOOKS_AGAIN_MS = 250
_WAITS = "late figures wait"


def somebody_types() -> bool:
    """True while words stand in the field with the keyboard that are not committed yet."""
    now = QApplication.focusWidget()
    line = now.lineEdit() if callable(getattr(now, "lineEdit", None)) else now  # type: ignore[union-attr]
    return isinstance(line, QLineEdit) and line.isModified() and not line.isReadOnly()


def once_nobody_types(owner: QObject, work: Callable[[], object]) -> None:
    """Run now, or as soon as nobody types; once, however often it was asked for meanwhile. One work an owner."""
    if not somebody_types():
        owner.setProperty(_WAITS, False)
        work()
    elif not owner.property(_WAITS):
        owner.setProperty(_WAITS, True)
        _look_again(owner, work)


def _look_again(owner: QObject, work: Callable[[], object]) -> None:
    def look() -> None:
        if not owner.property(_WAITS):
            return
        if somebody_types():
            _look_again(owner, work)
        else:
            once_nobody_types(owner, work)

    QTimer.singleShot(LOOKS_AGAIN_MS, owner, look)
