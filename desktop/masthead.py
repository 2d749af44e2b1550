"""The head of the window: company and its menu, the five places, find, the running clock, saved."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QKeySequence, QResizeEvent
from PySide6.QtWidgets import QButtonGroup, QFrame, QHBoxLayout, QMenu, QPushButton, QToolButton, QWidget

from desktop.look.icons import icon
from desktop.look.theme import current_tokens, theme_changed
from desktop.places import PLACES
from desktop.widgets.as_typed import caption, set_tip
from desktop.widgets.buttons import button as a_button
from desktop.widgets.buttons import on_keys

PICTURE = QSize(21, 16)
ROOM_FOR_PICTURES = 1180


class Masthead(QFrame):
    """Signals: `chosen(place key)`, `find_asked()`."""

    chosen = Signal(str)
    find_asked = Signal()

    def __init__(self, menu: QMenu, right: list[QWidget]) -> None:
        super().__init__()
        self.setObjectName("masthead")
        self._buttons: dict[str, QPushButton] = {}
        self._group = QButtonGroup(self)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 6, 16, 6)
        row.setSpacing(2)
        row.addWidget(self._company_button(menu))
        row.addSpacing(14)
        for number, place in enumerate(PLACES, 1):
            button = a_button(place.title, lambda key=place.key: self.chosen.emit(key), "place", place.icon)
            button.setCheckable(True)
            keys = QKeySequence(f"Ctrl+{number}")
            on_keys(button, keys.toString())
            set_tip(button, f"{place.title} ({keys.toString(QKeySequence.SequenceFormat.NativeText)})")
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            self._group.addButton(button)
            self._buttons[place.key] = button
            row.addWidget(button)
        row.addStretch(1)
        for widget in right:
            row.addWidget(widget)
        row.addSpacing(8)
        row.addWidget(self._find_button())
        theme_changed.connect(self._dress)
        self._dress()

    def _company_button(self, menu: QMenu) -> QToolButton:
        self._company = QToolButton()
        self._company.setProperty("kind", "quiet")
        self._company.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self._company.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self._company.setMenu(menu)
        self._company.setIcon(icon("fan", 18, "accent", 5))
        self._company.setIconSize(QSize(23, 18))
        self._company.setShortcut(QKeySequence("F10"))
        set_tip(self._company, "Open, save a copy, undo, appearance (F10)")
        self._company.setAccessibleName("Firm menu")
        return self._company

    def _find_button(self) -> QPushButton:
        keys = QKeySequence("Ctrl+K").toString(QKeySequence.SequenceFormat.NativeText)
        button = a_button(f"Find   {keys}", self.find_asked.emit, icon_name="search")
        button.setAccessibleName("Find a customer, job or item")
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        return button

    def _dress(self, *_: object) -> None:
        tokens = current_tokens()
        self.setStyleSheet(
            f"#masthead {{ background: {tokens.sheet}; border: 0; border-bottom: 1px solid {tokens.line}; }}"
            f"QPushButton[kind='place'] {{ background: transparent; border: 0; border-bottom: 3px solid transparent;"
            f" border-radius: 0; padding: 7px 12px 5px 12px; color: {tokens.ink_soft}; }}"
            f"QPushButton[kind='place']:hover {{ color: {tokens.ink}; background: {tokens.sunk}; }}"
            f"QPushButton[kind='place']:checked {{ color: {tokens.accent}; border-bottom-color: {tokens.accent}; }}"
            f"QPushButton[kind='place']:focus {{ background: {tokens.accent_soft}; }}"
            "QToolButton::menu-indicator { image: none; width: 0; }"
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        """In a narrow window the words of the places stand without their pictures: then nothing is cut."""
        super().resizeEvent(event)
        size = QSize(0, 0) if self.width() < ROOM_FOR_PICTURES else PICTURE
        for button in self._buttons.values():
            button.setIconSize(size)

    def set_company(self, name: str) -> None:
        """Show the company's name, elided when it is very long."""
        shown = name if len(name) <= 26 else name[:25].rstrip() + "…"
        self._company.setText(f"{caption(shown)}  ▾")
        set_tip(self._company, f"{name}: open, save a copy, undo, appearance (F10)")

    def set_place(self, key: str) -> None:
        """Mark the place that is shown."""
        if key in self._buttons:
            self._buttons[key].setChecked(True)


