"""Buttons in the kinds the stylesheet knows.

    button("Save as…", save, kind="plain" | "primary" | "quiet" | "danger" | "link" | "rail", icon_name="save")
    tool_button("undo", "Undo", undo)          # an icon with a spoken name and a tool tip
    on_keys(made, "Ctrl+N")                    # keys that press it
    segments([("month", "Month"), ("type", "Job type")], chosen)   # one of a few, as a row of buttons
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QAbstractButton,
    QButtonGroup,
    QCheckBox,
    QHBoxLayout,
    QPushButton,
    QSizePolicy,
    QToolButton,
    QWidget,
)

from desktop.look.icons import icon
from desktop.widgets.as_typed import AsTyped, set_tip

_KEYPAD = Qt.KeyboardModifier.KeypadModifier
_ICON_TONE = {"primary": "on_accent", "danger": "error", "link": "accent"}


class PushButton(AsTyped, QPushButton):
    """A push button for words that may be data."""

    def __init__(self, text: str = "") -> None:
        super().__init__()
        self.setText(text)


class Tick(AsTyped, QCheckBox):
    """A box to tick for words that may be data."""

    def __init__(self, text: str = "") -> None:
        super().__init__()
        self.setText(text)


def button(
    text: str,
    on_click: Callable[[], object] | None = None,
    kind: str = "plain",
    icon_name: str | None = None,
    tip: str = "",
) -> QPushButton:
    """A push button; `kind` is one of the stylesheet's."""
    made = PushButton(text)
    made.setProperty("kind", kind)
    made.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
    made.setAutoDefault(True)  # so that Enter presses it as the space bar does
    made.setCursor(Qt.CursorShape.PointingHandCursor if kind == "link" else Qt.CursorShape.ArrowCursor)
    if icon_name:
        size, gap = (18, 10) if kind == "rail" else (16, 5)
        made.setIcon(icon(icon_name, size, _ICON_TONE.get(kind, "ink_soft"), gap))
        made.setIconSize(QSize(size + gap, size))
    if tip:
        set_tip(made, tip)
    if on_click:
        made.clicked.connect(lambda: on_click())
    return made


class _ToolButton(QToolButton):
    """Enter presses it, as the space bar does."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.modifiers() & ~_KEYPAD:
            self.click()
        else:
            super().keyPressEvent(event)


def tool_button(icon_name: str, name: str, on_click: Callable[[], object] | None = None) -> QToolButton:
    """A quiet button with an icon only; `name` is its tool tip and spoken name."""
    made = _ToolButton()
    made.setProperty("kind", "quiet")
    made.setIcon(icon(icon_name))
    made.setIconSize(QSize(18, 18))
    set_tip(made, name)
    made.setAccessibleName(name)
    made.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    if on_click:
        made.clicked.connect(lambda: on_click())
    return made


def on_keys(one: QAbstractButton, keys: str) -> None:
    """Press this button with keys, at once: Qt's own shortcut of a button acts only a tenth of a second later."""
    QShortcut(QKeySequence(keys), one).activated.connect(one.click)


class Segments(QWidget):
    """One of a few, side by side; arrow keys move between them. value(), set_value(key), chosen(key)."""

    chosen = Signal(object)

    def __init__(self, choices: Sequence[tuple[object, str]], name: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        self._group = QButtonGroup(self)
        self._keys = [key for key, _ in choices]
        for number, (_, text) in enumerate(choices):
            one = PushButton(text)
            one.setProperty("kind", "segment")
            one.setCheckable(True)
            one.setAutoDefault(False)
            one.setAccessibleName(f"{name}: {text}" if name else text)
            self._group.addButton(one, number)
            row.addWidget(one)
        row.addStretch(1)
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        if choices:
            self._group.button(0).setChecked(True)
        self._group.idClicked.connect(lambda number: self.chosen.emit(self._keys[number]))

    def value(self) -> object:
        """The chosen key."""
        return self._keys[self._group.checkedId()] if self._group.checkedId() >= 0 else None

    def set_words(self, key: object, text: str) -> None:
        """Change what stands on one of them, e.g. a count."""
        one = self._group.button(self._keys.index(key))
        one.setText(text)
        one.setAccessibleName(f"{self.accessibleName()}: {text}" if self.accessibleName() else text)

    def set_value(self, key: object) -> None:
        """Choose without telling anyone."""
        if key in self._keys:
            self._group.button(self._keys.index(key)).setChecked(True)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(Qt.Key(event.key()))
        target = self._group.button(self._group.checkedId() + step) if step else None
        if target is None:
            super().keyPressEvent(event)
            return
        target.setFocus()
        target.click()


def segments(choices: Sequence[tuple[object, str]], on_choice: Callable[[object], object], name: str = "") -> Segments:
    """A row of segments connected to a slot."""
    made = Segments(choices, name)
    made.chosen.connect(on_choice)
    return made
