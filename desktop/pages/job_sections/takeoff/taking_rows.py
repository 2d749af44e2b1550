"""Opens and closes the rows that are read before a list is taken into the quote; built when first wanted."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QStackedWidget, QWidget

from db.company_file.problems import Refused
from domain.job_takeoff.reconciliation import Reconciliation

if TYPE_CHECKING:
    from desktop.pages.job_sections.takeoff.reconcile_view import ReconcileView


class TakingRows:
    """Shows `ReconcileView` in the place of the takeoff's page until it is applied or left."""

    def __init__(
        self, pages: QStackedWidget, page: QWidget, focus_after: QWidget,
        take: Callable[[Mapping[str, str], Reconciliation], object], into: str = "quote",
    ) -> None:  # fmt: skip
        self._into = into
        self._pages, self._page, self._focus_after, self._take = pages, page, focus_after, take
        self._read: Callable[[], Reconciliation] | None = None
        self.view: ReconcileView | None = None

    @property
    def are_open(self) -> bool:
        """Whether the rows are shown."""
        return self.view is not None and self._pages.currentWidget() is self.view

    def open(self, read: Callable[[], Reconciliation]) -> None:
        """Show the rows ``read`` gives, with nothing switched yet."""
        self._read = read
        if self.view is None:
            from desktop.pages.job_sections.takeoff.reconcile_view import ReconcileView

            self.view = ReconcileView(self._into)
            self.view.applied.connect(self._apply)
            self.view.left.connect(self._leave)
            self._pages.addWidget(self.view)
        self.view.forget()
        self.view.show_rows(read())
        self._pages.setCurrentWidget(self.view)
        self.view.table.setFocus()

    def read_again(self) -> bool:
        """After something changed, an undo for one, make the rows anew; False where none are shown."""
        if self.view is None or self._read is None or not self.are_open:
            return False
        try:
            rows = self._read()
        except Refused:  # the takeoff says itself what has to be put right
            self.close()
            return False
        self.view.show_rows(rows)
        return True

    def close(self) -> None:
        """Back to the takeoff, with nothing done."""
        if self.view is not None:
            self.view.forget()
            if self.are_open:
                self._pages.setCurrentWidget(self._page)

    def _apply(self) -> None:
        if self.view is None or self.view.own is None or not self.are_open:
            return
        answers, seen = self.view.answers, self.view.own
        self._leave()
        self._take(answers, seen)

    def _leave(self) -> None:
        self.close()
        self._focus_after.setFocus()
