"""A list, or in its place its paper; and saving the list as csv."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QFileDialog, QStackedWidget, QVBoxLayout, QWidget

from desktop.desk import Desk
from desktop.widgets.cards import button
from desktop.widgets.pdf_view import PaperView
from domain.leaving import whole_file_name


class PaperStack(QStackedWidget):
    """Shows `body`; `show_paper` puts the paper in its place until the owner goes back (Escape)."""

    def __init__(self, desk: Desk, body: QWidget, back: str, margin: int = 0) -> None:
        super().__init__()
        self.desk = desk
        self.paper: PaperView | None = None
        self._before: QWidget | None = None
        self.back = button(back, self.leave, "quiet", "left")
        self._page = QWidget()
        self._column = QVBoxLayout(self._page)
        self._column.setContentsMargins(margin, margin // 2, margin, margin // 2)
        self._column.addWidget(self.back)
        self.addWidget(body)
        self.addWidget(self._page)
        escape = QShortcut(QKeySequence(Qt.Key.Key_Escape), self._page)
        escape.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        escape.activated.connect(self.leave)

    @property
    def shows_paper(self) -> bool:
        """True while the paper stands in place of the list."""
        return self.currentIndex() == 1

    def show_paper(self, pdf: bytes, name: str) -> None:
        """Show these bytes; `name` is offered when they are saved."""
        if self.paper is None:
            self.paper = PaperView()
            self.paper.saved.connect(lambda path: self.desk.say(f"Saved {path}", "good"))
            self.paper.failed.connect(lambda reason: self.desk.say(reason, "error"))
            self._column.addWidget(self.paper, 1)
        self._before = self.focusWidget() or self._before
        self.paper.show_paper(pdf, name)
        self.setCurrentIndex(1)
        self.back.setFocus()

    def leave(self) -> None:
        """Back to the list."""
        self.setCurrentIndex(0)
        if self._before is not None:
            self._before.setFocus()


def save_csv(desk: Desk, parent: QWidget, name: str, write: Callable[[Path], Path]) -> None:
    """Ask where, write, and say so; what goes wrong is said in words."""
    proposed = Path.home() / whole_file_name(name)
    asked, _ = QFileDialog.getSaveFileName(parent, "Save as CSV", str(proposed), "CSV (*.csv)")
    if not asked:
        return
    path = Path(asked) if asked.lower().endswith(".csv") else Path(f"{asked}.csv")
    try:
        write(path)
    except PermissionError:
        desk.say("The file cannot be written there. Close it in other programs or choose another folder.", "error")
    except OSError as error:
        desk.say(f"The file was not written: {error.strerror or error}. Choose another folder.", "error")
    else:
        desk.say(f"Wrote {path.name} in {path.parent}.", "good")
