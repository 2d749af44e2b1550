"""A small window over everything while long work on files must be waited for: how far it is, and a stop."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from PySide6.QtCore import QEventLoop, Qt, QThreadPool
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QApplication, QDialog, QProgressBar, QVBoxLayout, QWidget

from db.company_file.how_far import PARTS, Progress
from desktop.errands import Errand
from desktop.slow_work import SlowWork, Stopped
from desktop.widgets.cards import button, label, row

Result = TypeVar("Result")

_PATIENCE_MS, _LOOK_MS = 300, 40


class SlowDialog(QDialog):
    """Stands until `leave`: stopping only asks the work to end, as what it began has to be cleared away first."""

    def __init__(self, words: str, parent: QWidget, slow: SlowWork | None) -> None:
        super().__init__(parent)
        self._slow = slow
        self.setWindowTitle("Riserbook")
        self.setWindowModality(Qt.WindowModality.ApplicationModal)
        self.setMinimumWidth(440)
        self.words = label(words, wrap=True)
        self.progress = QProgressBar()
        self.progress.setAccessibleName("How far it is")
        self.progress.setRange(0, PARTS if slow is not None else 0)
        self.stop = button("Stop", self.reject)
        self.stop.setVisible(slow is not None)
        column = QVBoxLayout(self)
        column.setContentsMargins(24, 20, 24, 20)
        column.setSpacing(12)
        column.addWidget(self.words)
        column.addWidget(self.progress)
        column.addWidget(row(None, self.stop))
        if slow is not None:
            self.progress.setValue(slow.thousandths)
            slow.moved.connect(self.progress.setValue)
        self.show()
        QApplication.processEvents()

    def reject(self) -> None:
        """Ask for an end; Esc and the window's cross do the same."""
        if self._slow is not None:
            self._slow.stop()
            self.stop.setEnabled(False)
            self.words.setText("Stopping, and clearing away what was begun.")

    def closeEvent(self, event: QCloseEvent) -> None:
        self.reject()
        event.ignore()

    def leave(self) -> None:
        """The work is over."""
        self.hide()
        self.deleteLater()


def wait_for_slow(window: QWidget, slow: SlowWork | None) -> None:
    """Before the firm is closed: let what is being written end; when that takes long, show it and offer a stop."""
    pool = QThreadPool.globalInstance()
    if pool.waitForDone(_PATIENCE_MS):
        return
    title = slow.title if slow is not None else "Writing and reading"
    shown = SlowDialog(f"{title}: this is finished first, then the firm is closed.", window, slow)
    while not pool.waitForDone(_LOOK_MS):
        QApplication.processEvents()
    shown.leave()


def run_shown(parent: QWidget, words: str, title: str, work: Callable[[Progress], Result]) -> Result:
    """Do long work while a small window over everything tells how far it is and offers to stop it.

    Raises:
        Stopped: by the owner, or because the program is ending.
        Exception: whatever the work raised.
    """
    slow, loop = SlowWork(None, title), QEventLoop()
    ended: list[tuple[Any, Exception | None]] = []

    def end(result: Any, error: Exception | None) -> None:
        ended.append((result, error))
        loop.quit()

    shown = SlowDialog(words, parent, slow)
    try:
        Errand(slow, lambda: work(slow.told), lambda result: end(result, None), lambda error: end(None, error)).begin()
        loop.exec()
        if not ended:  # the program is told to end
            slow.stop()
            QThreadPool.globalInstance().waitForDone()
            QApplication.sendPostedEvents()
            if not ended:
                raise Stopped
    finally:
        shown.leave()
    result, error = ended[0]
    if error is not None:
        raise error
    return result  # type: ignore[no-any-return]


