"""What pages are built of: head, card, section heading, big figure, empty page, search box. See `cards`."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QAction, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QLayout, QLineEdit, QSizePolicy, QVBoxLayout, QWidget

from desktop.look.fonts import Role, font
from desktop.look.icons import icon, paint_icon
from desktop.look.theme import current_tokens
from desktop.widgets.buttons import button
from desktop.widgets.flow import show_in_place


def label(text: str, role: Role = "body", tone: str = "", wrap: bool = False) -> QLabel:
    """Words in a font role and a tone (soft, faint, over, under, goodwill, error, accent)."""
    made = QLabel(text)
    made.setFont(font(role))
    made.setTextFormat(Qt.TextFormat.PlainText)
    made.setWordWrap(wrap)
    if tone:
        made.setProperty("tone", tone)
    return made


def set_tone(widget: QWidget, tone: str) -> None:
    """Change the tone of a label that is already shown."""
    if widget.property("tone") != tone:
        widget.setProperty("tone", tone)
        widget.style().unpolish(widget)
        widget.style().polish(widget)


class PageHead(QWidget):
    """The head of a page: title, a line beneath it, actions at the right."""

    def __init__(
        self, title: str, subtitle: str = "", actions: Sequence[QWidget] = (), parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._title = label(title, "title", wrap=True)
        self._subtitle = label(subtitle, "body", "soft", wrap=True)
        show_in_place(self._subtitle, bool(subtitle))
        words = QVBoxLayout()
        words.setSpacing(1)
        words.addWidget(self._title)
        words.addWidget(self._subtitle)
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, 0, 0, current_tokens().space.small)
        self._row.setSpacing(current_tokens().space.small)
        self._row.addLayout(words, 1)
        for action in actions:
            self.add_action(action)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)

    def set_words(self, title: str, subtitle: str = "") -> None:
        """Change title and subtitle."""
        self._title.setText(title)
        self._subtitle.setText(subtitle)
        self._subtitle.setVisible(bool(subtitle))

    def add_action(self, widget: QWidget) -> QWidget:
        """Add a button or pill at the right."""
        self._row.addWidget(widget, 0, Qt.AlignmentFlag.AlignVCenter)
        return widget


class SectionHeader(QWidget):
    """The heading of one section of a page, a quiet note beside it, actions at the right."""

    def __init__(
        self, title: str, note: str = "", actions: Sequence[QWidget] = (), parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._title, self._note = label(title, "section"), label(note, "small", "soft", wrap=True)
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(current_tokens().space.small)
        self._row.addWidget(self._title)
        self._row.addWidget(self._note, 1, Qt.AlignmentFlag.AlignVCenter)
        for action in actions:
            self.add_action(action)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)

    def set_words(self, title: str, note: str = "") -> None:
        """Change title and note."""
        self._title.setText(title)
        self._note.setText(note)

    def add_action(self, widget: QWidget) -> QWidget:
        """Add a button at the right."""
        self._row.addWidget(widget)
        return widget


class Card(QFrame):
    """A sheet on the paper: `card.add(widget)`, `card.add_action(button)`, `card.body` is its layout."""

    def __init__(self, title: str = "", note: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("card", True)
        space = current_tokens().space
        self.body = QVBoxLayout(self)
        self.body.setContentsMargins(space.large, space.medium, space.large, space.large)
        self.body.setSpacing(space.small)
        self.header = SectionHeader(title, note)
        self.body.addWidget(self.header)
        self.header.setVisible(bool(title))
        if title:
            self.setAccessibleName(title)

    def add(self, part: QWidget | QLayout, stretch: int = 0) -> QWidget | QLayout:
        """Add a widget or layout to the body and return it."""
        if isinstance(part, QLayout):
            self.body.addLayout(part, stretch)
        else:
            self.body.addWidget(part, stretch)
        return part

    def add_action(self, widget: QWidget) -> QWidget:
        """Add a button to the head."""
        self.header.setVisible(True)
        return self.header.add_action(widget)


class Figure(QWidget):
    """One number that matters, large, with its label above and its unit or a note beneath."""

    def __init__(
        self, label_text: str, value: str = "", note: str = "", tone: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._label = label(label_text, "small", "soft")
        self._value = label(value, "figure")
        self._note = label(note, "small", "soft")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, current_tokens().space.wide, 0)
        column.setSpacing(1)
        for part in (self._label, self._value, self._note):
            column.addWidget(part)
        self.setSizePolicy(QSizePolicy.Policy.Minimum, QSizePolicy.Policy.Fixed)
        self.set_values(value, note, tone)

    def set_values(self, value: str, note: str = "", tone: str = "") -> None:
        """Change the number, the note and the tone (over, under, goodwill, error)."""
        self._value.setText(value)
        self._note.setText(note)
        self._note.setVisible(bool(note))
        set_tone(self._value, tone)
        self.setAccessibleName(f"{self._label.text()}: {value}")
        self.setAccessibleDescription(note)

    def value(self) -> str:
        """The text now shown."""
        return self._value.text()


class _Emblem(QWidget):
    def __init__(self, name: str) -> None:
        super().__init__()
        self._name = name
        self.setFixedSize(QSize(52, 52))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        paint_icon(painter, QRectF(2, 2, 48, 48), self._name, current_tokens().line_strong)
        painter.end()


class EmptyPage(QWidget):
    """A page with nothing on it yet: what it is for, and the first step."""

    def __init__(
        self,
        title: str,
        text: str,
        action_label: str | None = None,
        callback: Callable[[], object] | None = None,
        icon_name: str = "note",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        middle = Qt.AlignmentFlag.AlignHCenter
        words = label(text, "body", "soft", wrap=True)
        words.setAlignment(Qt.AlignmentFlag.AlignCenter)
        words.setMaximumWidth(520)
        across = QHBoxLayout()
        across.addStretch(1)
        across.addWidget(words, 20)
        across.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setSpacing(current_tokens().space.small)
        layout.addStretch(2)
        layout.addWidget(_Emblem(icon_name), 0, middle)
        layout.addWidget(label(title, "section"), 0, middle)
        layout.addLayout(across)
        self.action = None
        if action_label:
            layout.addSpacing(current_tokens().space.small)
            self.action = button(action_label, callback, "primary")
            layout.addWidget(self.action, 0, middle)
        layout.addStretch(3)


class SearchBox(QLineEdit):
    """A search line. `searched(str)` comes shortly after typing stops, at once on Enter; Escape empties it.

    Up, Down, Page Up and Page Down are handed to `target`, e.g. the table beneath, without leaving the line.
    """

    searched = Signal(str)

    def __init__(self, placeholder: str = "Search", delay_ms: int = 120, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.target: QWidget | None = None
        self.setPlaceholderText(placeholder)
        self.setAccessibleName(placeholder)
        self.setClearButtonEnabled(False)
        self.setMinimumWidth(220)
        self.addAction(QAction(icon("search"), "", self), QLineEdit.ActionPosition.LeadingPosition)
        self._clear = QAction(icon("cross"), "Empty the search", self)
        self._clear.triggered.connect(self._empty)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(delay_ms)
        self._timer.timeout.connect(self._tell)
        self._told = ""
        self.textChanged.connect(self._changed)

    def flush(self) -> None:
        """Search now."""
        self._timer.stop()
        self._tell()

    def _changed(self, text: str) -> None:
        if text and self._clear not in self.actions():
            self.addAction(self._clear, QLineEdit.ActionPosition.TrailingPosition)
        elif not text:
            self.removeAction(self._clear)
        self._timer.start()

    def _tell(self) -> None:
        text = self.text().strip()
        if text != self._told:
            self._told = text
            self.searched.emit(text)

    def _empty(self) -> None:
        self.clear()
        self.flush()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        handed = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown)
        if event.key() == Qt.Key.Key_Escape and self.text():
            self._empty()
        elif event.key() in handed and self.target is not None:
            self.target.keyPressEvent(event)
        else:
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                self.flush()
            super().keyPressEvent(event)
