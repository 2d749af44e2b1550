"""The large field a route is typed in: words that are not understood are marked, what was typed stays."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QKeyEvent, QTextCharFormat, QTextCursor
from PySide6.QtWidgets import QPlainTextEdit, QTextEdit

from desktop.look.theme import current_tokens
from domain.job_takeoff.reckoning import RouteSheet

EXAMPLE = (
    "A: pit at -6', crawl 3in up 2', 90, along 14' rise 1/8, 90, sleeve, outside up 3', flex to 4in, fan, flex, "
    "up 14', out"
)


class WordsField(QPlainTextEdit):
    """A route in words.

    Signals:
        typed(str): the words changed under the owner's hands.
        left(): the field was left, or Ctrl+Enter pressed.
        part_chosen(object): (run, part) the cursor is in, None outside any.
    """

    typed = Signal(str)
    left = Signal()
    part_chosen = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName("The route in words")
        self.setPlaceholderText(EXAMPLE)
        self.setTabChangesFocus(True)
        self.setLineWrapMode(QPlainTextEdit.LineWrapMode.WidgetWidth)
        self.setMinimumHeight(76)
        self._sheet: RouteSheet | None = None
        self._filling = False
        self.textChanged.connect(self._changed)
        self.cursorPositionChanged.connect(self._cursor_moved)

    def show_sheet(self, sheet: RouteSheet | None, fresh: bool) -> None:
        """Show the words of a route and mark what is wrong; words half typed are the sheet's own."""
        self._sheet = sheet
        words = sheet.row.words if sheet is not None else ""
        if fresh or self.toPlainText() != words:
            self._put(words, fresh)
        self._mark()

    def mark(self, sheet: RouteSheet | None) -> None:
        """Mark the words as they were read."""
        self._sheet = sheet
        self._mark()

    def go_to(self, part: tuple[int, int]) -> None:
        """Put the cursor behind a part, without taking the focus."""
        place = self._sheet.reading.place_of(*part) if self._sheet is not None else None
        if place is not None and not place.start <= self.textCursor().position() <= place.end:
            cursor = self.textCursor()
            cursor.setPosition(min(place.end, len(self.toPlainText())))
            self._filling = True
            self.setTextCursor(cursor)
            self._filling = False
        self._mark()

    def _put(self, words: str, fresh: bool) -> None:
        self._filling = True
        if fresh:
            self.setPlainText(words)
        else:  # through the cursor, so that the field's own undo still works
            place = self.textCursor().position()
            cursor = QTextCursor(self.document())
            cursor.select(QTextCursor.SelectionType.Document)
            cursor.insertText(words)
            cursor = self.textCursor()
            cursor.setPosition(min(place, len(words)))
            self.setTextCursor(cursor)
        self._filling = False

    def _changed(self) -> None:
        if not self._filling:
            self.typed.emit(self.toPlainText())

    def _cursor_moved(self) -> None:
        if self._filling or self._sheet is None or not self.hasFocus():
            return
        at = self.textCursor().position()
        here = next((place for place in self._sheet.reading.places if place.start <= at <= place.end), None)
        self.part_chosen.emit((here.run, here.part) if here is not None else None)

    def _mark(self) -> None:
        tokens, marks = current_tokens(), []
        sheet = self._sheet
        if sheet is not None:
            for problem in sheet.study.stops:
                place = None
                if problem.run is not None and problem.part is not None:
                    place = sheet.reading.place_of(problem.run, problem.part)
                if place is not None:
                    marks.append(self._selection(place.start, place.end, tokens.over_fill, tokens.over_soft))
            for mistake in sheet.reading.mistakes:
                marks.append(self._selection(mistake.start, mistake.end, tokens.error, tokens.error_soft))
        self.setExtraSelections(marks)

    def _selection(self, start: int, end: int, line: str, ground: str) -> QTextEdit.ExtraSelection:
        form = QTextCharFormat()
        form.setUnderlineStyle(QTextCharFormat.UnderlineStyle.WaveUnderline)
        form.setUnderlineColor(QColor(line))
        form.setBackground(QColor(ground))
        cursor = QTextCursor(self.document())
        last = len(self.toPlainText())
        cursor.setPosition(min(start, last))
        cursor.setPosition(min(end, last), QTextCursor.MoveMode.KeepAnchor)
        made = QTextEdit.ExtraSelection()
        made.cursor, made.format = cursor, form  # type: ignore[attr-defined]
        return made

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.left.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        control = event.modifiers() == Qt.KeyboardModifier.ControlModifier
        if control and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.left.emit()
        else:
            super().keyPressEvent(event)
