"""Parts of `table`: the delegate that paints and edits cells, the guide of an empty table, the word beside a cell."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import shiboken6
from PySide6.QtCore import (
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QPointF,
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QCursor, QFontMetrics, QKeyEvent, QPainter, QPen
from PySide6.QtWidgets import (
    QHeaderView,
    QLabel,
    QLineEdit,
    QPushButton,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from desktop.look.fonts import face, font
from desktop.look.theme import current_tokens
from desktop.look.tokens import Tokens
from desktop.widgets.fields import mark_wrong
from desktop.widgets.paint import TONES, draw_mark, draw_pill, tone_colours
from desktop.widgets.quoted_actual_bar import paint_bar_cell
from desktop.widgets.rows_model import PROBLEM_ROLE, QUESTION_ROLE, Cell, RowsModel
from desktop.widgets.word_list import WordList

Index = QModelIndex | QPersistentModelIndex


_MOVES = {
    Qt.Key.Key_Return: "down",
    Qt.Key.Key_Enter: "down",
    Qt.Key.Key_Tab: "next",
    Qt.Key.Key_Backtab: "previous",
}


class CellDelegate(QStyledItemDelegate):
    """Paints text, bars and states; edits with a line that keeps what the setter refuses."""

    finished = Signal(object, str, str)  # row id, column key, move: down, next, previous
    refused = Signal(QModelIndex, str)
    stopped = Signal()
    typed = Signal(object, str, str)  # row id, column key, the text so far; after Escape the text that is saved
    goes_on: Callable[[QModelIndex, str], bool] = staticmethod(lambda _index, _move: False)
    """Whether one goes on after a refusal, so that what is typed next never replaces what was refused."""
    _left: QWidget | None = None
    was_refused = False
    """Whether what was committed last was not taken."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        tokens, model = current_tokens(), index.model()
        cell: Cell = model.cell(index)  # type: ignore[attr-defined]
        rect, state = option.rect, option.state
        painter.save()
        _ground(painter, rect, cell, bool(state & QStyle.StateFlag.State_Selected), tokens)
        if cell.kind == "bar":
            paint_bar_cell(painter, rect, cell.bar, tokens)
        elif cell.kind == "state":
            _paint_state(painter, rect, cell, tokens)
        elif cell.text:
            _paint_text(painter, rect, cell, tokens)
        if state & QStyle.StateFlag.State_Selected and index.column() == 0:
            painter.fillRect(rect.left(), rect.top(), 3, rect.height(), QColor(tokens.accent))
        if state & QStyle.StateFlag.State_HasFocus and model.is_editable:  # type: ignore[attr-defined]
            painter.setPen(QPen(QColor(tokens.accent), 1.5))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(rect).adjusted(1, 1, -1.5, -1.5))
        painter.restore()

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        return QSize(super().sizeHint(option, index).width(), current_tokens().row_height)

    # Editing.

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        editor = QLineEdit(parent)
        editor.setFrame(False)
        editor.setAlignment(index.data(Qt.ItemDataRole.TextAlignmentRole))
        model: Any = index.model()
        editor.setAccessibleName(model.columns[index.column()].title)
        if words := model.choices_for(index):
            offered = WordList(editor, words)
            offered.activated.connect(lambda word: self._chosen(editor, word))
        editor.setProperty("cell", QPersistentModelIndex(index))
        editor.textEdited.connect(lambda: self._typing(editor))
        return editor

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        if isinstance(editor, QLineEdit) and not editor.isModified() and not editor.property("filled"):
            editor.setProperty("filled", True)
            editor.setText(index.data(Qt.ItemDataRole.EditRole) or "")
            editor.selectAll()
            if problem := index.data(PROBLEM_ROLE):
                mark_wrong(editor, True)
                self.refused.emit(QModelIndex(index), problem)

    def setModelData(self, editor: QWidget, model: Any, index: Index) -> None:
        """Qt commits when the focus leaves: a refused text stays in its cell, marked."""
        if editor is self._left:
            return
        if isinstance(editor, QLineEdit) and (editor.isModified() or index.data(PROBLEM_ROLE)):
            model.attempt(index, editor.text())
            editor.setModified(False)  # one text is refused once

    def updateEditorGeometry(self, editor: QWidget, option: QStyleOptionViewItem, index: Index) -> None:
        editor.setGeometry(option.rect)

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        if isinstance(editor, QLineEdit) and event.type() == QEvent.Type.KeyPress:
            assert isinstance(event, QKeyEvent)
            words = editor.findChild(WordList)
            if event.key() in _MOVES:
                self._take_marked(editor, words)
                self._commit(editor, _MOVES[Qt.Key(event.key())])
                return True
            if event.key() == Qt.Key.Key_Escape:
                if words is not None and words.is_open:
                    words.close()
                else:
                    self._take_back(editor)
                return True
        return super().eventFilter(editor, event)

    def _take_marked(self, editor: QLineEdit, words: WordList | None) -> None:
        """Enter and Tab take the word that is marked, or what was typed when none is, and go on as without the list."""
        if words is None or not words.is_open:
            return
        if word := words.marked:
            editor.setText(word)
            editor.setModified(True)
        words.close()

    def _cell(self, editor: QLineEdit) -> QModelIndex:
        return QModelIndex(editor.property("cell"))

    def _commit(self, editor: QLineEdit, move: str) -> None:
        index = self._cell(editor)
        if not index.isValid():
            return
        model: Any = index.model()
        row_id, key = model.id_at(index.row()), model.columns[index.column()].key
        if move == "down" and not editor.isModified() and index.data(QUESTION_ROLE):
            model.say_yes(index)
        touched = editor.isModified() or bool(index.data(PROBLEM_ROLE))
        message = model.attempt(index, editor.text()) if touched else None
        self.was_refused = bool(message)
        if message and shiboken6.isValid(editor) and not self.goes_on(self._cell(editor), move):
            mark_wrong(editor, True)
            editor.setAccessibleDescription(message)
            editor.end(False)  # what is typed next is added: nothing refused goes because one types on
            self.refused.emit(self._cell(editor), message)
            return
        if shiboken6.isValid(editor):
            editor.setModified(False)
            self._left = editor if message else None  # its text stays in the model, refused once is enough
            self.closeEditor.emit(editor, QStyledItemDelegate.EndEditHint.NoHint)
        self.finished.emit(row_id, key, move)

    def _chosen(self, editor: QLineEdit, word: str) -> None:
        """A word picked from the list is meant: it is committed as if Enter followed."""
        if shiboken6.isValid(editor) and editor.isVisible():
            editor.setText(word)
            editor.setModified(True)
            self._commit(editor, "down")

    def _take_back(self, editor: QLineEdit) -> None:
        index = self._cell(editor)
        editor.setModified(False)
        if index.isValid():
            index.model().forget_refused(index)  # type: ignore[attr-defined]
            self._tell(index, index.data(Qt.ItemDataRole.EditRole) or "")
        self.stopped.emit()
        self.closeEditor.emit(editor, QStyledItemDelegate.EndEditHint.RevertModelCache)

    def _typing(self, editor: QLineEdit) -> None:
        mark_wrong(editor, False)
        self.stopped.emit()
        if (index := self._cell(editor)).isValid():
            self._tell(index, editor.text())

    def _tell(self, index: QModelIndex, text: str) -> None:
        model: Any = index.model()
        self.typed.emit(model.id_at(index.row()), model.columns[index.column()].key, text)


_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


def _ground(painter: QPainter, rect: QRect, cell: Cell, selected: bool, tokens: Tokens) -> None:
    if selected or cell.problem or cell.question:
        soft = tokens.error_soft if cell.problem else tokens.over_soft
        painter.fillRect(rect, QColor(tokens.accent_soft if selected and not cell.question else soft))
    painter.setPen(QColor(tokens.line))
    painter.drawLine(rect.bottomLeft(), rect.bottomRight())
    if cell.editable:  # a dotted foot says: this can be typed over
        painter.setPen(QPen(QColor(tokens.line_strong), 1, Qt.PenStyle.DotLine))
        painter.drawLine(rect.left() + 10, rect.bottom() - 4, rect.right() - 10, rect.bottom() - 4)


def _paint_text(painter: QPainter, rect: QRect, cell: Cell, tokens: Tokens) -> None:
    shown, metrics = face("strong" if cell.strong else "body")
    painter.setFont(shown)
    painter.setPen(QColor(_text_colour("error" if cell.problem else "over" if cell.question else cell.tone, tokens)))
    inner = rect.adjusted(10, 0, -10, 0)
    lines = [metrics.elidedText(cell.text, Qt.TextElideMode.ElideRight, inner.width())]
    if not cell.right and rect.height() > metrics.lineSpacing() * 2:
        lines = in_lines(cell.text, metrics, inner.width(), (rect.height() - 8) // metrics.lineSpacing())
    painter.drawText(inner, _RIGHT if cell.right else _LEFT, "\n".join(lines))


MOST_LINES = 6


def row_height(lines: int) -> int:
    """How high a row is in which a text takes so many lines."""
    return lines * face("body")[1].lineSpacing() + 14


def in_lines(text: str, metrics: QFontMetrics, room: int, most: int = MOST_LINES) -> list[str]:
    """The text in one line where it fits, else in two of about the same length, else in more; the rest is cut off.

    A figure stays with its unit and a sign with what follows it: ``4 in``, ``× 1.3``.
    """
    if metrics.horizontalAdvance(text) <= room:
        return [text]
    fitting = [(first, rest) for first, rest in _splits(text) if metrics.horizontalAdvance(first) <= room]
    if most < 2 or not fitting:
        return [metrics.elidedText(text, Qt.TextElideMode.ElideRight, room)]
    first, rest = min(fitting, key=lambda pair: max(metrics.horizontalAdvance(part) for part in pair))
    if metrics.horizontalAdvance(rest) > room:
        first, rest = fitting[-1]
    return [first, *in_lines(rest, metrics, room, most - 1)]


def _splits(text: str) -> list[tuple[str, str]]:
    """Every way to part a text in two between its words, the shortest first part first."""
    words = text.split(" ")
    places = [n for n in range(1, len(words)) if not _belong_together(words[n - 1], words[n])]
    return [(" ".join(words[:n]), " ".join(words[n:])) for n in places]


def _belong_together(word: str, following: str) -> bool:
    unit = following.rstrip(",.").isalpha() and len(following) <= 4
    return word in ("×", "=", "·") or (word[-1:].isdigit() and unit)


def _paint_state(painter: QPainter, rect: QRect, cell: Cell, tokens: Tokens) -> None:
    if not cell.text:
        return
    shown, metrics = face("small")
    width = min(metrics.horizontalAdvance(cell.text) + 20, rect.width() - 16)
    pill = QRectF(rect.left() + 8, 0, width, metrics.height() + 5)
    pill.moveTop(rect.center().y() - pill.height() / 2)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setFont(shown)
    text = metrics.elidedText(cell.text, Qt.TextElideMode.ElideRight, int(width - 14))
    draw_pill(painter, pill, text, cell.tone or "plain", tokens)


def _text_colour(tone: str | None, tokens: Tokens) -> str:
    if tone in (None, "", "ink"):
        return tokens.ink
    if tone in TONES:
        return tone_colours(str(tone), tokens)[0]
    return str(getattr(tokens, str(tone), tokens.ink))


class Heading(QHeaderView):
    """Column titles in small semi-bold with a rule beneath and an arrow beside the sorted one."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setFont(font("small_strong"))
        self.setMouseTracking(True)

    def paintSection(self, painter: QPainter, rect: QRect, number: int) -> None:
        tokens, model = current_tokens(), self.model()
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        hovered = rect.contains(self.viewport().mapFromGlobal(QCursor.pos())) and self.underMouse()
        painter.setPen(QPen(QColor(tokens.line_strong), 1))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        (shown_in, metrics), side = face("small_strong"), Qt.Orientation.Horizontal
        text = model.headerData(number, side) or ""
        align = model.headerData(number, side, Qt.ItemDataRole.TextAlignmentRole)
        sorted_here = self.isSortIndicatorShown() and self.sortIndicatorSection() == number
        inner = rect.adjusted(10, 0, -10, 0)
        room = rect.width() - 10 - (14 if sorted_here else 4)
        shown = metrics.elidedText(text, Qt.TextElideMode.ElideRight, room)
        wide = metrics.horizontalAdvance(shown)
        at_right = bool(align & Qt.AlignmentFlag.AlignRight)
        left = inner.right() + 1 - wide if at_right else inner.left()
        painter.setFont(shown_in)
        painter.setPen(QColor(tokens.accent_strong if hovered else tokens.ink if sorted_here else tokens.ink_soft))
        middle = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
        painter.drawText(QRect(left, rect.top(), wide + 2, rect.height()), middle, shown)
        if sorted_here:
            up = self.sortIndicatorOrder() == Qt.SortOrder.AscendingOrder
            spot = QPointF(left - 9 if at_right else left + wide + 9, rect.center().y() + 1)
            draw_mark(painter, spot, "up" if up else "down", tokens.accent, 3.6)
        painter.restore()


def as_tabbed(model: RowsModel, columns: Sequence[int], rows: Sequence[Any]) -> str:
    """Rows as text for the clipboard: headings first, tab-separated, without the bars."""
    shown = [model.columns[n] for n in columns if model.columns[n].kind != "bar"]
    lines = [[column.title for column in shown], *([model.text(row, column.key) for column in shown] for row in rows)]
    return "\n".join("\t".join(" ".join(cell.split()) for cell in line) for line in lines)


class EmptyGuide(QWidget):
    """What an empty table is for, and its first step."""

    def __init__(self, viewport: QWidget) -> None:
        super().__init__(viewport)
        layout = QVBoxLayout(self)
        layout.setSpacing(current_tokens().space.small)
        self._title, self._text, self._button = QLabel(), QLabel(), QPushButton()
        self._title.setFont(font("section"))
        self._text.setProperty("tone", "soft")
        for label in (self._title, self._text):
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setAlignment(Qt.AlignmentFlag.AlignCenter)
            label.setWordWrap(True)
        layout.addStretch(2)
        layout.addWidget(self._title)
        layout.addWidget(self._text)
        layout.addWidget(self._button, 0, Qt.AlignmentFlag.AlignHCenter)
        layout.addStretch(3)
        self._callback: Callable[[], object] | None = None
        self._button.clicked.connect(lambda: self._callback() if self._callback else None)
        self._button.hide()

    def set_words(
        self, title: str, text: str, action_label: str | None, callback: Callable[[], object] | None
    ) -> None:
        """Say this; the button is there only with a label."""
        self._title.setText(title)
        self._text.setText(text)
        self._button.setText(action_label or "")
        self._button.setVisible(bool(action_label))
        self._callback = callback

    def fill(self) -> None:
        """Take the whole viewport."""
        self.setGeometry(self.parentWidget().rect())
