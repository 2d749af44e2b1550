"""Writing the workbook or a csv: asks where, works in the background, shows how far it is, can be stopped."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QFileDialog, QFrame, QHBoxLayout, QProgressBar, QWidget

from desktop.desk import Desk
from desktop.widgets.cards import button, label
from domain.leaving import whole_file_name


class _Bridge(QObject):
    """Carries the progress from the working thread to the window's."""

    moved = Signal(int, int)


class Exporting(QFrame):
    """A strip that is there only while something is written."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._stopping = False
        self._bridge = _Bridge()
        self._bridge.moved.connect(self._show_progress)
        self.words = label("")
        self.progress = QProgressBar()
        self.progress.setAccessibleName("How much of the workbook is written")
        self.stop = button("Stop", self._stop, "plain", "cross")
        layout = QHBoxLayout(self)
        layout.setContentsMargins(28, 4, 28, 4)
        layout.addWidget(self.words)
        layout.addWidget(self.progress, 1)
        layout.addWidget(self.stop)
        self.hide()

    def ask(self, parent: QWidget, title: str, name: str, kind: str) -> Path | None:
        """Ask for a file name; None when the owner thinks better of it."""
        asked, _ = QFileDialog.getSaveFileName(parent, title, str(Path.home() / whole_file_name(name)), kind)
        if not asked:
            return None
        suffix = Path(name).suffix
        return Path(asked) if asked.lower().endswith(suffix) else Path(asked + suffix)

    def write_workbook(self, path: Path, from_: date | None, to: date | None) -> None:
        """Write the workbook in the background."""
        self._stopping = False
        self.words.setText(f"Writing {path.name}")
        self.progress.setRange(0, 0)
        self.show()

        def work() -> Path:
            from desktop.books.workbook import write_workbook

            with self._desk.read() as conn:
                return write_workbook(conn, path, from_=from_, to=to, progress=self._tell)

        self._desk.background(work, self._done, self._failed)

    def write_csv(self, path: Path, write: Callable[[Path], Path]) -> None:
        """Write a small file at once and say so."""
        try:
            self._done(write(path))
        except OSError as error:
            self._failed(error)

    def _tell(self, done: int, total: int) -> bool:
        self._bridge.moved.emit(done, total)
        return not self._stopping

    def _show_progress(self, done: int, total: int) -> None:
        self.progress.setRange(0, total)
        self.progress.setValue(done)

    def _stop(self) -> None:
        self._stopping = True
        self.words.setText("Stopping")

    def _done(self, path: Path) -> None:
        self.hide()
        self._desk.say(f"Wrote {path.name} in {path.parent}.", "good")

    def _failed(self, error: Exception) -> None:
        from desktop.books.workbook import Stopped

        self.hide()
        if isinstance(error, Stopped):
            self._desk.say("Stopped; no file was written.")
        elif isinstance(error, PermissionError):
            words = "The file cannot be written there. Close it in other programs or choose another folder."
            self._desk.say(words, "error")
        elif isinstance(error, OSError):
            self._desk.say(f"The file was not written: {error.strerror or error}. Choose another folder.", "error")
        else:
            raise error
