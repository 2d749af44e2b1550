"""What the window expects of a page and of a section of the job page."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from desktop.desk import Desk
from desktop.pages.tab_order import first_field


class Page(QWidget):
    """One of the five places. Built once, when first visited."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk

    def show_key(self, key: object, section: str = "") -> None:
        """Read the page and show one customer, job, or part of it; the window calls this or `refresh`, not both."""
        self.refresh()

    def show_top(self) -> None:
        """Go to where the place begins: its list. Called when the place is clicked while it is shown already."""
        self.refresh()

    def parts_to_ready(self) -> Mapping[str, Callable[[], QWidget]]:
        """Parts that are built when first visited, and what builds each: for a moment when nobody waits."""
        return {}

    def take_focus(self) -> None:
        """Put the cursor where one begins. Called when the page is shown and the cursor is nowhere in it."""
        if (field := first_field(self)) is not None:
            field.setFocus(Qt.FocusReason.TabFocusReason)

    def refresh(self) -> None:
        """Read everything shown again. Called when the page is shown and after every saved action.

        Keeps the selection, the scroll position, the focus and whatever is half typed.
        """


class Section(QWidget):
    """One section of the job page, in the order of the work."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self.job_id = 0

    def show_job(self, job_id: int) -> None:
        """Turn to this job and read it."""
        self.job_id = job_id
        self.refresh()

    def refresh(self) -> None:
        """Read everything shown again, keeping focus and whatever is half typed."""
