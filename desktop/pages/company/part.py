"""One part of the Company page: a title, a line that says what it is for, and what can be changed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtWidgets import QVBoxLayout, QWidget

from db.company_file.problems import Refused
from db.edit import Edit
from desktop.desk import Desk
from desktop.look.theme import current_tokens
from desktop.widgets.cards import PageHead, scroll_page
from domain.errors import NotUnderstood


class Part(QWidget):
    """What the Company page shows beside its list of parts."""

    def __init__(self, desk: Desk, title: str, purpose: str) -> None:
        super().__init__()
        self.desk = desk
        self.setObjectName("page")
        space = current_tokens().space
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(space.wide, space.wide - 6, space.wide, space.large)
        self._column.setSpacing(space.small)
        self.head = PageHead(title, purpose)
        self._column.addWidget(self.head)

    def add(self, widget: QWidget, stretch: int = 0) -> QWidget:
        """Put a widget below what is there."""
        self._column.addWidget(widget, stretch)
        return widget

    def add_scrolling(self, widget: QWidget) -> None:
        """Put a long widget below what is there; it scrolls."""
        self._column.addWidget(scroll_page(widget), 1)

    def refresh(self) -> None:
        """Read everything shown again, keeping focus and what is half typed."""


def attempt(desk: Desk, label: str, work: Callable[[Edit], Any], *, say: str = "", undo: bool = False) -> str | None:
    """Run one action; None when it was saved, else the sentence why not, for the place where it was typed."""
    reason: list[str] = []

    def run(edit: Edit) -> bool:
        try:
            work(edit)
        except Refused as refusal:
            reason.append(str(refusal))
            raise
        except NotUnderstood as error:
            reason.append(str(error))
            raise Refused(str(error)) from error
        return True

    if desk.do(label, run, say=say, undo=undo):
        return None
    return reason[0] if reason else desk.why_not()


def read_cell(parse: Callable[[str], Any], typed: str) -> tuple[Any, str | None]:
    """The value of a typed cell and None, or None and what is wrong with it."""
    try:
        return parse(typed), None
    except NotUnderstood as error:
        return None, str(error)
