"""The list that opens beneath what one types: what fits best first, and nothing chosen before one chooses.

    words = WordList(line_edit); words.set_words(["Permit", "Travel"]); words.open_whole()
    words.activated.connect(take)     # a word was picked, by Enter, Tab or the mouse

It lies in the window it belongs to and is no window of its own: keys typed ahead, while the program is still busy with
what was typed before, would go to that other window, and be lost with it once it closes.
"""

from __future__ import annotations

from collections.abc import Sequence

import shiboken6
from PySide6.QtCore import QEvent, QObject, QPoint, QStringListModel, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QApplication, QLineEdit, QListView, QWidget

from domain.choosing import NameList

MOST_OFFERED = 200
"""More than anybody reads; what fits best is among them."""
_MOST_SEEN = 14
_STEPS = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1, Qt.Key.Key_PageDown: _MOST_SEEN, Qt.Key.Key_PageUp: -_MOST_SEEN}
_ENDS = (QEvent.Type.FocusOut, QEvent.Type.Hide)
_OUTSIDE = (QEvent.Type.MouseButtonPress, QEvent.Type.Wheel, QEvent.Type.WindowDeactivate)


class WordList(QObject):
    """Ranks by `domain.choosing`. `holder`: the widget that gets the keys, when that is not the line itself."""

    activated = Signal(str)

    def __init__(self, line: QLineEdit, words: Sequence[str] = (), holder: QWidget | None = None) -> None:
        super().__init__(line)
        self._own_line, self._holder = line, holder or line
        self._words: list[str] = []
        self._names = NameList(())
        self._offered = QStringListModel(self)
        self._view: QListView | None = None
        self._typed = ""  # what stood in the line before words of the list were looked through
        self.set_words(words)
        line.textEdited.connect(self._follow)
        self._holder.installEventFilter(self)

    @property
    def _line(self) -> QLineEdit:
        """The line; that of a list box is asked for anew, since Python may have let go of it while it still lives."""
        ask = getattr(self._holder, "lineEdit", None)
        return ask() if callable(ask) else self._own_line

    def set_words(self, words: Sequence[str]) -> None:
        """Offer these from now on."""
        self._words = list(words)
        self._names = NameList(self._words)

    @property
    def view(self) -> QListView:
        """The list as it is seen; it lies in the window of the line."""
        if self._view is None or not shiboken6.isValid(self._view):
            view = self._view = QListView(self._line.window())
            view.setModel(self._offered)
            view.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            view.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
            view.setUniformItemSizes(True)
            view.setProperty("words", True)
            view.setAccessibleName("What fits")
            view.clicked.connect(lambda index: self._pick(str(index.data())))
            view.hide()
            self.destroyed.connect(view.deleteLater)
        return self._view

    @property
    def is_open(self) -> bool:
        """True while the list is seen."""
        return self._view is not None and shiboken6.isValid(self._view) and self._view.isVisible()

    @property
    def marked(self) -> str:
        """The word that is marked in the open list, "" when none is."""
        index = self._view.currentIndex() if self._view is not None and self.is_open else None
        return str(index.data()) if index is not None and index.isValid() else ""

    def rank(self, text: str) -> None:
        """Offer what fits this text, best first."""
        places = [place for _, place in self._names.ranks(text)[:MOST_OFFERED]]
        self._offered.setStringList([self._words[place] for place in places])

    def open_whole(self) -> None:
        """Open the whole list, as a click on a list box does; typing goes on in the line."""
        self._offered.setStringList(self._words)
        self._open()

    def close(self) -> None:
        """The list goes; what stands in the line stays."""
        if self.is_open and self._view is not None:
            self._view.hide()
        QApplication.instance().removeEventFilter(self)  # type: ignore[union-attr]

    def _follow(self, text: str) -> None:
        self.rank(text)
        if text and self._offered.rowCount() and self._holder.isVisible():
            self._open()
        else:
            self.close()

    def _open(self) -> None:
        self._typed = self._line.text()
        view = self.view
        if view.parentWidget() is not self._line.window():
            view.setParent(self._line.window())
        view.clearSelection()
        view.setCurrentIndex(self._offered.index(-1, 0))
        view.scrollToTop()
        self._place()
        if not view.isVisible():
            view.show()
            QApplication.instance().installEventFilter(self)  # type: ignore[union-attr]
        view.raise_()

    def _place(self) -> None:
        """Beneath the line, or above it where there is more room; never over the line itself."""
        view, holder = self.view, self._holder
        room = holder.window().rect()
        top = holder.mapTo(holder.window(), QPoint(0, 0))
        below, above = room.height() - top.y() - holder.height() - 4, top.y() - 4
        row = max(view.sizeHintForRow(0), 10)
        edge = view.contentsMargins().top() + view.contentsMargins().bottom() + 2
        wanted = min(self._offered.rowCount(), _MOST_SEEN) * row + edge
        under = below >= wanted or below >= above
        height = min(wanted, max(below if under else above, row + edge))
        widest = view.sizeHintForColumn(0) + view.verticalScrollBar().sizeHint().width() + edge + 8
        width = min(max(holder.width(), widest), room.width() - 8)
        left = max(4, min(top.x(), room.width() - width - 4))
        view.setGeometry(left, top.y() + holder.height() + 1 if under else top.y() - height - 1, width, height)

    def _pick(self, word: str) -> None:
        self.close()
        self.activated.emit(word)

    def _step(self, by: int) -> None:
        """The mark moves; the marked word stands in the line, and above the first word what was typed."""
        at, last = self.view.currentIndex().row(), self._offered.rowCount() - 1
        to = last if at < 0 and by < 0 else min(at + by, last)
        index = self._offered.index(to, 0) if to >= 0 else self._offered.index(-1, 0)
        self.view.setCurrentIndex(index)
        self._line.setText(str(index.data()) if index.isValid() else self._typed)
        self._line.setModified(True)

    def key(self, event: QKeyEvent) -> bool:
        """A key while the list is open; True when it was meant for the list alone."""
        key, plain = event.key(), not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if key in _STEPS and plain:
            self._step(_STEPS[Qt.Key(key)])
            return True
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab):
            word = self.marked
            self.close()
            if word:
                self.activated.emit(word)
            return bool(word) and key != Qt.Key.Key_Tab
        if key == Qt.Key.Key_Escape:
            self.close()
            return not self._line.isModified()
        return False

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        kind = event.type()
        if watched is self._holder:
            if kind in _ENDS:
                self.close()
            elif kind == QEvent.Type.KeyPress and self.is_open and isinstance(event, QKeyEvent):
                return self.key(event)
            elif kind == QEvent.Type.Move and self.is_open:
                self._place()
        elif kind in _OUTSIDE and isinstance(watched, QWidget) and not self._within(watched):
            self.close()
        return False

    def _within(self, widget: QWidget) -> bool:
        inside = (self._holder, self._line, self._view)
        return any(one is not None and (one is widget or one.isAncestorOf(widget)) for one in inside)
