"""Words that may be data, shown as they were typed: never read as markup, and no "&" as the mark of a shortcut.

    set_tip(widget, text)       a tool tip; `as_tip(text)` for a model's role or QToolTip
    caption(text)               what a QAction, a tab, or a label with a buddy shows
    set_title(window, text)     a window's title
    AsTyped                     goes before a button's class

A tool tip is the only one of these that Qt reads as markup by itself, by a look at its first line. A label is
kept from it by its format (`page_parts.label`).
"""

from __future__ import annotations

import re

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QWidget

from domain.leaving import many_lines

_JOINER = "\u2060"
_MARKUP = re.compile(r"<|&(?=lt;)")
_LONGEST = 2_000


class AsTyped:
    """Stands before a kind of button: its words are shown as they are, an "&" among them is no mark of a shortcut."""

    def setText(self, text: str) -> None:
        """Show these words."""
        super().setText(text.replace("&", "&&"))  # type: ignore[misc]

    def text(self) -> str:
        """The words as they were given."""
        return super().text().replace("&&", "&")  # type: ignore[misc,no-any-return]


def as_tip(text: str | None) -> str:
    """A tool tip that shows this text letter for letter.

    A sign that could begin a tag is followed by U+2060, which has no width and makes the tag none.
    """
    words = many_lines(text or "")
    words = words if len(words) <= _LONGEST else f"{words[: _LONGEST - 1]}…"
    return _MARKUP.sub(lambda found: found[0] + _JOINER, words)


def set_tip(widget: QWidget | QAction, text: str | None) -> None:
    """Give a widget or an entry of a menu its tool tip."""
    widget.setToolTip(as_tip(text))


def caption(text: str) -> str:
    """A text whose "&" is shown; line ends and tabs, which would part an entry of a menu, become spaces."""
    return " ".join(text.split()).replace("&", "&&")


def set_title(window: QWidget, text: str) -> None:
    """Give a window its title; "[*]" in it is no mark of a change."""
    window.setWindowTitle(" ".join(text.split()).replace("[*]", "[*][*]"))
