"""Fields that are not a typed line: a choice with type-to-filter, a switch, longer notes.

    ChoiceField(choices=[(value, label), ...], placeholder="", required=False, allow_new=False)
        set_choices([...]) keeps the value when it is still there; with allow_new free words are a value of their own
    SwitchField(text="")        value(): bool
    NotesField(placeholder="", lines=3)   value(): str; Tab leaves it, Ctrl+Enter commits

They share value(), set_value(), reset(), problem(), edited, typed and problem_changed with `fields`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QEvent, QObject, QRectF, QSize, QStringListModel, Qt, Signal
from PySide6.QtGui import QColor, QHideEvent, QKeyEvent, QPainter, QPaintEvent, QPen, QShowEvent
from PySide6.QtWidgets import QCheckBox, QComboBox, QSizePolicy, QWidget

from desktop.look.icons import paint_icon
from desktop.look.theme import current_tokens
from desktop.widgets.as_typed import AsTyped
from desktop.widgets.fields import mark_wrong
from desktop.widgets.half import watch
from desktop.widgets.notes_field import NotesField
from desktop.widgets.word_list import WordList
from domain.choosing import WHOLE, WORD_BEGINS, NameList
from domain.errors import NotUnderstood, as_typed

__all__ = ["ChoiceField", "NotesField", "SwitchField"]


class ChoiceField(QComboBox):
    """One of a list. A click opens it; typing brings what fits best to its top."""

    edited = Signal(object)
    typed = Signal(object)
    problem_changed = Signal(str)

    def __init__(
        self,
        choices: Sequence[tuple[Any, str]] = (),
        placeholder: str = "",
        required: bool = False,
        allow_new: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._required, self._allow_new = required, allow_new
        self._value: Any = None
        self._values: list[Any] = []
        self._names = NameList(())
        self._labels = QStringListModel(self)  # ten thousand customers are offered as fast as ten
        self._problem = ""
        self._waiting = ""
        self.touched = False
        self.setModel(self._labels)
        self.setEditable(True)
        self.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(14)
        self.setMaxVisibleItems(14)
        self.lineEdit().setPlaceholderText(placeholder or ("" if allow_new else "Choose or type"))
        self.setCompleter(None)  # type: ignore[arg-type]
        self._offered = WordList(self.lineEdit(), holder=self)
        self.set_choices(choices)
        self.activated.connect(lambda row: self._take(self._values[row], by_hand=True))
        self._offered.activated.connect(self._completed)
        self.prefers_kept = False
        self._asked = self._sure = ""  # words that begin a kept name: asked about, and meant as they are
        self.lineEdit().returnPressed.connect(self._enter)
        self.lineEdit().editingFinished.connect(self.commit)
        self.lineEdit().textEdited.connect(self._typing)
        self.lineEdit().installEventFilter(self)

    def set_choices(self, choices: Sequence[tuple[Any, str]]) -> None:
        """Offer these (value, label) pairs; the chosen value and half-typed words stay."""
        values, labels = [value for value, _ in choices], [label for _, label in choices]
        if values == self._values and labels == self._labels.stringList():
            return
        half_typed = self.lineEdit().text() if self._is_typing() or self._problem else None
        blocked = self.blockSignals(True)
        self._values, self._names = values, NameList(labels)
        self._offered.set_words(labels)
        self._labels.setStringList(labels)
        self.blockSignals(blocked)
        self._put(self._value)
        if half_typed is not None:
            self.lineEdit().setText(half_typed)
            self.lineEdit().setModified(True)

    def values(self) -> list[Any]:
        """The values that are offered."""
        return list(self._values)

    def value(self) -> Any:
        """The chosen value, None when there is none."""
        return self._value

    def set_value(self, value: Any) -> None:
        """Choose `value`; words being typed at this moment stay."""
        if self._is_typing() or (self._problem and value == self._value):
            self._value = value
            return
        self.reset(value)

    def reset(self, value: Any = None) -> None:
        """Choose `value` and forget what was typed."""
        self._asked = self._sure = ""
        self.touched, self._waiting = False, ""
        watch().untouch(self)
        self._value = value
        self._put(value)
        self._set_problem("")

    def retype(self, text: str) -> None:
        """Put words in as if they had just been typed, and commit them where they name a choice."""
        self.lineEdit().setText(text)
        self.lineEdit().setModified(True)
        self._typing(text)
        self.commit()

    def shown(self, value: Any) -> str:
        """This value as it stands in the field."""
        if value is not None and value in self._values:
            return self.itemText(self._values.index(value))
        return str(value) if self._allow_new and value is not None else ""

    def hold(self, stored: Any, words: str, reason: str, *, offered: bool = False) -> None:
        """What is stored stays `stored`; these words stand here for another try; see `fields`."""
        self.reset(stored)
        self.lineEdit().setText(words)
        self.lineEdit().setModified(True)
        self._waiting = words if offered else ""
        self._set_problem(reason)
        self._touch()

    def again(self) -> bool:
        """Try once more to keep what stands here."""
        self._waiting = ""
        return self.commit()

    def problem(self) -> str:
        """What is wrong with the words in the field; empty when nothing is."""
        return self._problem

    def set_problem(self, text: str) -> None:
        """Say that this choice cannot be used, for a reason only the page knows."""
        self._set_problem(text)

    def commit(self) -> bool:
        """Take the words in the field; False when no choice fits."""
        if not self.lineEdit().isModified():
            return not self._problem
        if self._waiting and self.lineEdit().text() == self._waiting:
            return False
        words = self.currentText().strip()
        if not words:
            if self._required:
                self._set_problem("Choose one of the list.")
                return False
            self._take(None)
            return True
        if self._allow_new:
            row = self._row_of(words)
            if row < 0 and self._asks_whether(words):
                return False
            self._take(self._values[row] if row >= 0 else words)
            return True
        try:
            row = self._names.choose(words, f"{as_typed(words)} is not in the list. Choose one that is.")
        except NotUnderstood as reason:
            self._set_problem(str(reason))
            return False
        self._take(self._values[row])
        return True

    def _asks_whether(self, words: str) -> bool:
        """Words that begin a kept name are asked about before they make a second one beside it."""
        fits = self.beginning_with(words) if self.prefers_kept and words != self._sure else []
        if not fits:
            return False
        self._asked = words
        more = f" and {len(fits) - 1} more" if len(fits) > 1 else ""
        takes = "Down shows them" if more else "Enter takes that name"
        self._set_problem(f"{as_typed(words)} begins {fits[0]}{more}, kept already. {takes}; Tab here makes a new one.")
        return True

    def focusNextPrevChild(self, forward: bool) -> bool:
        """Tab out of words that were asked about says that they are meant."""
        if self._asked and self._problem and self.currentText().strip() == self._asked:
            self._sure = self._asked
            self.commit()
        return super().focusNextPrevChild(forward)

    def beginning_with(self, words: str) -> list[str]:
        """The labels offered that begin with these words, or have a word that does."""
        ranks = self._names.ranks(words) if words.strip() else []
        return [self.itemText(row) for rank, row in ranks if rank <= WORD_BEGINS]

    def _enter(self) -> None:
        """Where new words are allowed but a kept name is likelier, Enter takes the only one that begins so."""
        self._waiting = ""
        if not (self.prefers_kept and self.lineEdit().isModified()):
            return
        fits = self.beginning_with(self.currentText())
        if len(fits) == 1:
            self._completed(fits[0])

    def _is_typing(self) -> bool:
        return self.lineEdit().hasFocus() and self.lineEdit().isModified()

    def _row_of(self, words: str) -> int:
        """Row of the label that is meant; -1 when it is none or more. Where new words may be, only a whole label is."""
        best = self._names.ranks(words)[:1] if self._allow_new else []
        if self._allow_new:
            return best[0][1] if best and best[0][0] == WHOLE else -1
        rows = self._names.best(words)
        return rows[0] if len(rows) == 1 else -1

    def _completed(self, label: str) -> None:
        row = self.findText(label)
        if row >= 0:
            self._take(self._values[row], by_hand=True)

    def _touch(self) -> None:
        self.touched = True
        watch().touch(self)

    def _typing(self, words: str) -> None:
        self._touch()
        row = self._row_of(words.strip()) if words.strip() else -1
        if row >= 0:
            self._set_problem("")
            self.typed.emit(self._values[row])

    def _take(self, value: Any, by_hand: bool = False) -> None:
        changed = value != self._value
        if by_hand and changed:
            self._touch()
        self._value = value
        self._put(value)
        self._set_problem("")
        watch().settled(self)
        if changed:
            self.edited.emit(value)

    def _put(self, value: Any) -> None:
        row = self._values.index(value) if value is not None and value in self._values else -1
        blocked = self.blockSignals(True)
        self.setCurrentIndex(row)
        self.lineEdit().setText(self.shown(value))
        self.lineEdit().setCursorPosition(0)
        self.lineEdit().setModified(False)
        self.blockSignals(blocked)

    def _set_problem(self, text: str) -> None:
        if text == self._problem:
            return
        self._problem = text
        mark_wrong(self, bool(text))
        self.setAccessibleDescription(text)
        self.problem_changed.emit(text)

    def setAccessibleName(self, name: str) -> None:
        super().setAccessibleName(name)
        self.lineEdit().setAccessibleName(name)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        watch().came_back(self)

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        if self.touched and not event.spontaneous():
            watch().hid(self)

    def wheelEvent(self, event: Any) -> None:
        event.ignore()  # scrolling a page must not change what was chosen

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        clicked = watched is self.lineEdit() and event.type() == QEvent.Type.MouseButtonRelease
        if clicked and self.isEnabled() and self._values and not self.lineEdit().isReadOnly() and not self._is_typing():
            self.lineEdit().selectAll()
            self._offered.open_whole()
        return super().eventFilter(watched, event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and (self.lineEdit().isModified() or self._problem):
            self.reset(self._value)
        elif event.key() == Qt.Key.Key_Down and not event.modifiers():
            self.showPopup()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        tokens = current_tokens()
        painter = QPainter(self)
        spot = QRectF(self.width() - 23, self.height() / 2 - 8, 16, 16)
        paint_icon(painter, spot, "down", tokens.ink_soft if self.isEnabled() else tokens.line_strong)
        painter.end()


class SwitchField(AsTyped, QCheckBox):
    """On or off, drawn as a small slide with its word beside it."""

    edited = Signal(object)
    typed = Signal(object)
    problem_changed = Signal(str)
    _TRACK = QSize(34, 18)

    def __init__(self, text: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setText(text)
        self.clicked.connect(self._flipped)
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)

    def value(self) -> bool:
        """True when on."""
        return self.isChecked()

    def set_value(self, value: Any) -> None:
        """Set without telling anyone."""
        self.setChecked(bool(value))

    reset = set_value

    def problem(self) -> str:
        """Always empty: a switch cannot be wrong."""
        return ""

    def _flipped(self, on: bool) -> None:
        self.typed.emit(on)
        self.edited.emit(on)

    def _words(self) -> str:
        return self.text() or ("Yes" if self.isChecked() else "No")

    def sizeHint(self) -> QSize:
        words = max(self.fontMetrics().horizontalAdvance(w) for w in ([self.text()] if self.text() else ["Yes", "No"]))
        return QSize(self._TRACK.width() + 10 + words + 8, max(self.fontMetrics().height(), self._TRACK.height()) + 10)

    minimumSizeHint = sizeHint

    def hitButton(self, position: Any) -> bool:
        return self.rect().contains(position)

    def paintEvent(self, event: QPaintEvent) -> None:
        tokens = current_tokens()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        track = QRectF(2.5, (self.height() - self._TRACK.height()) / 2, self._TRACK.width(), self._TRACK.height())
        on, usable = self.isChecked(), self.isEnabled()
        if self.hasFocus():
            painter.setPen(QPen(QColor(tokens.accent), 2))
            painter.drawRoundedRect(track.adjusted(-2, -2, 2, 2), 11, 11)
        edge = tokens.accent if on and usable else tokens.line_strong
        painter.setPen(QPen(QColor(edge), 1.3))
        painter.setBrush(QColor(tokens.accent if on and usable else tokens.sheet))
        painter.drawRoundedRect(track, 9, 9)
        knob = QRectF(0, 0, 12, 12)
        knob.moveCenter(track.center())
        knob.moveLeft(track.right() - 15 if on else track.left() + 3)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(tokens.on_accent if on and usable else tokens.line_strong))
        painter.drawEllipse(knob)
        painter.setPen(QColor(tokens.ink if usable else tokens.ink_faint))
        words = QRectF(track.right() + 10, 0, self.width() - track.right() - 10, self.height())
        painter.drawText(words, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, self._words())
        painter.end()
