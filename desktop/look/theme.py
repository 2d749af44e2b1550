"""Applies the tokens to the running program and follows the system between light and dark.

    apply_theme(app, "system")        # or "light", "dark"; may be called again at any time
    tokens = current_tokens()         # read this inside paintEvent, never keep it
    theme_changed.connect(slot)       # slot(tokens), after palette and stylesheet have changed
"""

from __future__ import annotations

from typing import Literal

from PySide6.QtCore import QObject, Qt, Signal, Slot
from PySide6.QtGui import QColor, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication

from desktop.look.fonts import font
from desktop.look.stylesheet import stylesheet
from desktop.look.tokens import DARK, LIGHT, Tokens

Choice = Literal["system", "light", "dark"]


class _Theme(QObject):
    changed = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.tokens: Tokens = LIGHT
        self.choice: Choice = "system"
        self.shown: Tokens | None = None
        self.watching = False

    @Slot()
    def follow_system(self) -> None:
        app = QApplication.instance()
        if self.choice == "system" and isinstance(app, QApplication):
            self.show(app, _system_tokens())

    def show(self, app: QApplication, tokens: Tokens) -> None:
        if tokens is self.shown and app.styleSheet():
            return
        self.tokens = self.shown = tokens
        app.setPalette(palette(tokens))
        app.setStyleSheet(stylesheet(tokens))
        self.changed.emit(tokens)


_theme = _Theme()
theme_changed = _theme.changed


def current_tokens() -> Tokens:
    """The tokens now in force. Read them when painting; they change while the program runs."""
    return _theme.tokens


def current_choice() -> Choice:
    """What was chosen last: follow the system, light, or dark."""
    return _theme.choice


def apply_theme(app: QApplication, choice: Choice = "system") -> None:
    """Set fonts, palette and stylesheet; with "system" keep following the system's setting."""
    if not _theme.watching:
        app.setStyle("Fusion")
        app.setFont(font("body"))
        QGuiApplication.styleHints().colorSchemeChanged.connect(_theme.follow_system)
        _theme.watching = True
    _theme.choice = choice
    hints = QGuiApplication.styleHints()
    if choice == "system":
        hints.unsetColorScheme()
        _theme.show(app, _system_tokens())
    else:
        hints.setColorScheme(Qt.ColorScheme.Dark if choice == "dark" else Qt.ColorScheme.Light)
        _theme.show(app, DARK if choice == "dark" else LIGHT)


def _system_tokens() -> Tokens:
    return DARK if QGuiApplication.styleHints().colorScheme() == Qt.ColorScheme.Dark else LIGHT


def palette(tokens: Tokens) -> QPalette:
    """The Qt palette of a set of tokens, for what the stylesheet does not reach."""
    made = QPalette()
    role = QPalette.ColorRole
    for which, colour in (
        (role.Window, tokens.paper),
        (role.WindowText, tokens.ink),
        (role.Base, tokens.sheet),
        (role.AlternateBase, tokens.sunk),
        (role.Text, tokens.ink),
        (role.Button, tokens.sheet),
        (role.ButtonText, tokens.ink),
        (role.BrightText, tokens.error),
        (role.ToolTipBase, tokens.ink),
        (role.ToolTipText, tokens.paper),
        (role.PlaceholderText, tokens.ink_faint),
        (role.Highlight, tokens.accent_soft),
        (role.HighlightedText, tokens.ink),
        (role.Link, tokens.accent),
        (role.LinkVisited, tokens.accent_strong),
        (role.Light, tokens.sheet),
        (role.Midlight, tokens.sunk),
        (role.Mid, tokens.line),
        (role.Dark, tokens.line_strong),
        (role.Shadow, tokens.shadow),
        (role.Accent, tokens.accent),
    ):
        made.setColor(which, QColor(colour))
    for which in (role.WindowText, role.Text, role.ButtonText):
        made.setColor(QPalette.ColorGroup.Disabled, which, QColor(tokens.ink_faint))
    return made
