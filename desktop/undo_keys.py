"""Undo and redo keys reach the company from inside a field too, unless something is half typed in it."""

from __future__ import annotations

import shiboken6
from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QAbstractScrollArea, QApplication, QLineEdit, QPlainTextEdit, QWidget

_KEYS = (QKeySequence.StandardKey.Undo, QKeySequence.StandardKey.Redo)


class UndoKeys(QObject):
    """Watches the field with the cursor: of Ctrl+Z it keeps for itself only what takes back its own typing.

    Qt's fields claim these keys even when there is nothing of theirs to take back.
    """

    def __init__(self, parent: QObject, app: QApplication) -> None:
        super().__init__(parent)
        app.focusChanged.connect(self._follow)

    def _follow(self, before: QWidget | None, now: QWidget | None) -> None:
        if before is not None and shiboken6.isValid(before):
            before.removeEventFilter(self)
        if isinstance(now, (QLineEdit, QPlainTextEdit)):
            now.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Leave the key to the window's shortcut when nothing is half typed."""
        if event.type() != QEvent.Type.ShortcutOverride or not isinstance(event, QKeyEvent):
            return False
        if half_typed(watched) or not any(event.matches(key) for key in _KEYS):
            return False
        event.ignore()
        return True


def half_typed(field: QObject) -> bool:
    """True when something is typed in the field that is not saved."""
    if isinstance(field, QLineEdit):
        return field.isModified()
    if isinstance(field, QPlainTextEdit):
        kept = getattr(field, "value", None)
        changed = field.toPlainText() != kept() if callable(kept) else field.document().isModified()
        return changed or field.document().isUndoAvailable()  # saved in a pause, and still being written
    return False


def stops_around(field: QWidget | None) -> list[QWidget]:
    """A field and what holds it, innermost first: where the cursor can go back to when the field is gone."""
    found = []
    while field is not None and not field.isWindow():
        found.append(field)
        field = field.parentWidget()
    return found


def go_back_to(stops: list[QWidget]) -> None:
    """Put the cursor into the first of these that is still there and takes it."""
    for stop in stops:
        if shiboken6.isValid(stop) and stop.isVisible() and stop.isEnabled() and stop.focusPolicy():
            stop.setFocus()
            return


class ScrolledPlaces:
    """How far everything that scrolls in a page is scrolled: a step taken back or done again leaves it there."""

    def __init__(self, page: QWidget) -> None:
        areas = (one for one in page.findChildren(QAbstractScrollArea) if one.isVisible())
        self._kept = [(one, one.verticalScrollBar().value()) for one in areas]

    def keep(self) -> None:
        """Put each back, now and once the page has found its heights and the cursor its place."""
        self._put_back()
        QTimer.singleShot(0, lambda: QTimer.singleShot(0, self._put_back))

    def _put_back(self) -> None:
        for area, value in self._kept:
            if shiboken6.isValid(area) and area.isVisible():
                area.verticalScrollBar().setValue(value)
