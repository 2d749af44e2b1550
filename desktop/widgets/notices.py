"""Words from the program: an inline strip, a pill, the saved mark, a toast with Undo. See `cards`."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QAccessible, QAccessibleEvent, QColor, QFontMetrics, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QApplication, QFrame, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QWidget

from desktop.look.fonts import font
from desktop.look.icons import paint_icon
from desktop.look.theme import current_tokens
from desktop.widgets.as_typed import set_tip
from desktop.widgets.buttons import button, tool_button
from desktop.widgets.flow import show_in_place
from desktop.widgets.paint import draw_pill, tone_colours

_ICONS = {"info": "info", "good": "check", "caution": "warning", "error": "warning"}


class _Glyph(QWidget):
    """An icon in the colour of a tone."""

    def __init__(self, tone: str) -> None:
        super().__init__()
        self.tone = tone
        self.setFixedSize(QSize(20, 20))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        colour = tone_colours(self.tone, current_tokens())[0]
        paint_icon(painter, QRectF(1, 1, 18, 18), _ICONS.get(self.tone, "info"), colour)
        painter.end()


class Notice(QFrame):
    """An inline strip: kind info, good, caution or error; an optional action at its right."""

    def __init__(
        self,
        kind: str = "info",
        text: str = "",
        action: tuple[str, Callable[[], object]] | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._kind = kind
        self._glyph = _Glyph(kind)
        self._text = QLabel()
        self._text.setWordWrap(True)
        self._text.setTextFormat(Qt.TextFormat.PlainText)
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(14, 7, 10, 7)
        self._row.setSpacing(10)
        self._row.addWidget(self._glyph, 0, Qt.AlignmentFlag.AlignVCenter)
        self._row.addWidget(self._text, 1)
        self._button: QPushButton | None = None
        self._action: Callable[[], object] | None = None
        self._second: QPushButton | None = None
        self._second_action: Callable[[], object] | None = None
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        self.set_words(kind, text, action)

    def set_words(self, kind: str, text: str, action: tuple[str, Callable[[], object]] | None = None) -> None:
        """Say something else; an empty text hides the strip."""
        self._kind = self._glyph.tone = kind
        self._text.setText(text)
        self.setAccessibleName(text)
        self._action = action[1] if action else None
        if action and self._button is None:
            self._button = button("", self._act, "plain")
            self._row.addWidget(self._button, 0, Qt.AlignmentFlag.AlignVCenter)
        if self._button is not None:  # one button for all it ever says: an old one would stay until Qt has time
            self._button.setText(action[0] if action else "")
            self._button.setVisible(action is not None)
        show_in_place(self, bool(text))
        self.update()

    def set_second(self, action: tuple[str, Callable[[], object]] | None) -> None:
        """Another thing to press, before the first, which stays where it is; None: no more."""
        if action and self._second is None:
            self._second = button("", self._act_second, "link")
            self._row.insertWidget(2, self._second, 0, Qt.AlignmentFlag.AlignVCenter)
        self._second_action = action[1] if action else None
        if self._second is not None:
            self._second.setText(action[0] if action else "")
            self._second.setVisible(action is not None)

    def _act_second(self) -> None:
        if self._second_action is not None:
            self._second_action()

    def _act(self) -> None:
        if self._action is not None:
            self._action()

    def text(self) -> str:
        """The words now shown."""
        return self._text.text()

    def paintEvent(self, event: QPaintEvent) -> None:
        ink, ground = tone_colours(self._kind, current_tokens())
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(ground))
        radius = current_tokens().radius.control
        painter.drawRoundedRect(QRectF(self.rect()), radius, radius)
        painter.setBrush(QColor(ink))
        painter.drawRoundedRect(QRectF(0, 0, 4, self.height()), 2, 2)
        painter.end()


class StatePill(QWidget):
    """A short word on a rounded ground: plain, info, good, over, under, goodwill, caution, error."""

    def __init__(self, text: str = "", tone: str = "plain", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._text, self._tone = text, tone
        self.setFont(font("small"))
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.set_words(text, tone)

    def set_words(self, text: str, tone: str = "plain") -> None:
        """Change word and tone; an empty text hides the pill."""
        self._text, self._tone = text, tone
        self.setAccessibleName(text)
        show_in_place(self, bool(text))
        self.updateGeometry()
        self.update()

    def text(self) -> str:
        """The word."""
        return self._text

    def sizeHint(self) -> QSize:
        metrics = QFontMetrics(font("small"))
        return QSize(metrics.horizontalAdvance(self._text) + 24, metrics.height() + 6)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(font("small"))
        draw_pill(painter, QRectF(self.rect()), self._text, self._tone, current_tokens())
        painter.end()


class Saved(QWidget):
    """The quiet mark that everything is kept: "Saved 21:04"."""

    clicked = Signal()
    """Somebody wants to see what is not kept yet."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._tone, self._words = "good", QLabel()
        self._words.setTextFormat(Qt.TextFormat.PlainText)
        self._words.setFont(font("small"))
        self._words.setProperty("tone", "soft")
        self._glyph = _Glyph("good")
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(5)
        row.addWidget(self._glyph)
        row.addWidget(self._words)
        self.hide()

    def show_saved(self, at: str) -> None:
        """Say when it was last saved; `at` is the time as it is to be read."""
        self._say(f"Saved {at}", "good")

    def show_half(self, text: str) -> None:
        """Say that something typed is not added yet."""
        self._say(text if len(text) <= 44 else f"{text[:43]}…", "caution")

    def show_problem(self, text: str) -> None:
        """Say that it was not saved."""
        self._say(text, "error")

    def text(self) -> str:
        """The words now shown."""
        return self._words.text()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self.clicked.emit()

    def _say(self, text: str, tone: str) -> None:
        self._glyph.tone = tone
        self._words.setText(text)
        self.setAccessibleName(text)
        leads = tone == "caution"
        self.setCursor(Qt.CursorShape.PointingHandCursor if leads else Qt.CursorShape.ArrowCursor)
        set_tip(self, "Click to go there (F8)" if leads else "")
        self.show()
        self._glyph.update()


FOOT = 38
"""The room at the foot of the window for two lines of small words, or for a button."""


class Toast(QFrame):
    """A word at the foot of the window that goes by itself, with an action such as Undo.

    toast = Toast(window); toast.say("12 ft of pipe removed", ("Undo", undo)). It never takes the focus; hovering
    over it or tabbing into it holds it. With an action it stays ten seconds, else five. It lies over `foot`, the
    room the window keeps for it: there it covers nothing that can be read or clicked.
    """

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self._tone = "info"
        self.foot = QWidget()
        self.foot.setFixedHeight(FOOT)
        self._text = QLabel()
        self._text.setFont(font("small"))
        self._text.setTextFormat(Qt.TextFormat.PlainText)
        self._glyph = _Glyph("info")
        self._action: QPushButton | None = None
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(12, 1, 6, 1)
        self._row.setSpacing(12)
        self._row.addWidget(self._glyph)
        self._row.addWidget(self._text, 1)
        self._close = tool_button("cross", "Dismiss", self.hide)
        self._row.addWidget(self._close)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._leave)
        self.setProperty("toast", True)
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        window.installEventFilter(self)
        self.hide()

    def say(
        self, text: str, action: tuple[str, Callable[[], object]] | None = None, tone: str = "good"
    ) -> None:
        """Show these words now, in place of what stood there; an error with an action stays until it is sent away."""
        self._glyph.tone = tone
        self._text.setText(text)
        self.setAccessibleName(text)
        if self._action is not None:
            self._action.hide()
            self._action.deleteLater()
            self._action = None
        if action:
            run = action[1]
            self._action = button(action[0], lambda: (self.hide(), run()), "plain")
            self._row.insertWidget(2, self._action)
            self._action.show()  # now, not with the next event, so that its room is counted
        self.show()
        self._settle()
        self.raise_()
        self._timer.stop()
        if not (action and tone == "error"):
            self._timer.start(10_000 if action else 5_000)
        QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.Alert))

    def stay(self) -> None:
        """What is said now stands until it is sent away, or something else is said."""
        self._timer.stop()

    def text(self) -> str:
        """The words now shown."""
        return self._text.text()

    def action_button(self) -> QPushButton | None:
        """The button, if there is an action."""
        return self._action

    def _settle(self) -> None:
        window = self.parentWidget()
        room = window.width() - 40
        self._text.setWordWrap(False)
        self._text.setMinimumWidth(0)
        self.layout().activate()
        wanted = self.sizeHint().width()
        if wanted > room:
            self._text.setWordWrap(True)
        width = min(wanted, room)
        height = self.heightForWidth(width) if self.hasHeightForWidth() else self.sizeHint().height()
        height = max(height, FOOT - 2)
        self.setGeometry((window.width() - width) // 2, window.height() - height - 1, width, height)

    def _leave(self) -> None:
        focused = QApplication.focusWidget()  # not the toast's own last one: its button may be gone
        if self.underMouse() or (focused is not None and self.isAncestorOf(focused)):
            self._timer.start(2_000)
            return
        self.hide()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and self.isVisible():
            self._settle()
        return super().eventFilter(watched, event)
