"""A paper (PDF) shown in the window.

    view = PaperView()
    view.show_paper(pdf_bytes, "Proposal 1042.pdf")     # name offered by Save as…
    view.clear()

Keys: Ctrl++ and Ctrl+- zoom, Ctrl+0 whole page, Ctrl+9 full width, Ctrl+Shift+S save as. Qt's PDF modules are loaded on
first use. Copies made here are readable by their owner alone where the system has file modes.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, Qt, QUrl, Signal
from PySide6.QtGui import QColor, QDesktopServices, QKeySequence, QPalette, QResizeEvent, QShortcut
from PySide6.QtWidgets import QFileDialog, QFrame, QHBoxLayout, QVBoxLayout, QWidget

from desktop.look.theme import current_tokens, theme_changed
from desktop.widgets.buttons import button, tool_button
from desktop.widgets.page_parts import EmptyPage, label
from domain.leaving import whole_file_name

_STEP = 1.2
_ROOM_FOR_FITTING = 640
"""Below this width the two ways to fit a page are left to their keys, so that saving is never cut off."""


class PaperView(QWidget):
    """The pages with zoom, Save as… and Open outside."""

    saved = Signal(str)
    failed = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bytes, self._name = b"", "paper.pdf"
        self._buffer: QBuffer | None = None
        self._document: Any = None
        self._view: Any = None
        self._folder: tempfile.TemporaryDirectory[str] | None = None
        self._pages = label("", "small", "soft")
        self._buttons = [
            tool_button("zoom_out", "Smaller (Ctrl+-)", lambda: self.zoom(1 / _STEP)),
            tool_button("zoom_in", "Larger (Ctrl++)", lambda: self.zoom(_STEP)),
            button("Full width", self.fit_width, "quiet", tip="Ctrl+9"),
            button("Whole page", self.fit_page, "quiet", tip="Ctrl+0"),
            button("Save as…", self.save_as, "plain", "save", tip="Ctrl+Shift+S"),
            button("Open outside", self.open_outside, "plain", "open"),
        ]
        bar = QHBoxLayout()
        bar.setSpacing(current_tokens().space.tight)
        for number, one in enumerate(self._buttons):
            if number == 4:
                bar.addWidget(self._pages)
                bar.addStretch(1)
            bar.addWidget(one)
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.setSpacing(current_tokens().space.small)
        self._layout.addLayout(bar)
        self._empty = EmptyPage("Nothing to show yet", "The paper appears here once it is made.", icon_name="paper")
        self._layout.addWidget(self._empty, 1)
        self._shortcuts()
        self._enable(False)

    def show_paper(self, pdf: bytes, name: str = "paper.pdf") -> bool:
        """Show these bytes; False (and `failed`) when they are no PDF. Zoom and place are kept."""
        self._prepare()
        place = self._view.verticalScrollBar().value()
        self._bytes, self._name = pdf, whole_file_name(name)
        self._document.close()
        self._buffer = QBuffer(self)
        self._buffer.setData(QByteArray(pdf))
        self._buffer.open(QIODevice.OpenModeFlag.ReadOnly)
        self._document.load(self._buffer)
        ready = self._document.status() == self._document.Status.Ready
        self._empty.setVisible(not ready)
        self._view.setVisible(ready)
        self._enable(ready)
        if not ready:
            self._pages.setText("")
            self.failed.emit("This paper cannot be shown here. It can still be saved or made again.")
            return False
        self._view.verticalScrollBar().setValue(place)
        self._tell_page()
        return True

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        for one in self._buttons[2:4]:
            one.setVisible(self.width() >= _ROOM_FOR_FITTING)

    def clear(self) -> None:
        """Show nothing."""
        if self._document is not None:
            self._document.close()
            self._view.hide()
        self._bytes = b""
        self._pages.setText("")
        self._empty.show()
        self._enable(False)

    def page_count(self) -> int:
        """Pages of the paper shown."""
        return int(self._document.pageCount()) if self._document is not None else 0

    def zoom(self, factor: float) -> None:
        """Make it larger or smaller by a factor, between a fifth and six times."""
        if self._view is not None:
            now = self._view.zoomFactor() if self._is_custom() else self._fitted_factor()
            self._view.setZoomMode(self._view.ZoomMode.Custom)
            self._view.setZoomFactor(min(max(now * factor, 0.2), 6.0))

    def fit_width(self) -> None:
        """As wide as the view."""
        if self._view is not None:
            self._view.setZoomMode(self._view.ZoomMode.FitToWidth)

    def fit_page(self) -> None:
        """The whole page at once."""
        if self._view is not None:
            self._view.setZoomMode(self._view.ZoomMode.FitInView)

    def save_as(self) -> None:
        """Ask where, then write a copy."""
        path, _ = QFileDialog.getSaveFileName(self, "Save as", str(Path.home() / self._name), "PDF (*.pdf)")
        if path:
            self.save_to(Path(path))

    def save_to(self, path: Path) -> bool:
        """Write the paper; `saved` or `failed` says how it went."""
        try:
            _write_private(path, self._bytes)
        except OSError as error:
            self.failed.emit(f"Not saved: {error.strerror or error}. Choose another folder.")
            return False
        self.saved.emit(str(path))
        return True

    def open_outside(self, opener: Callable[[QUrl], bool] = QDesktopServices.openUrl) -> bool:
        """Open a copy in the program the system uses for PDF; the copy goes when this program ends."""
        self._folder = self._folder or tempfile.TemporaryDirectory(prefix="riserbook-", ignore_cleanup_errors=True)
        path = Path(self._folder.name) / (Path(self._name).name or "paper.pdf")
        if not self.save_quietly(path) or not opener(QUrl.fromLocalFile(str(path))):
            self.failed.emit("No program for PDF answered. Use Save as… and open the file from there.")
            return False
        return True

    def save_quietly(self, path: Path) -> bool:
        """Write the paper without a word; False when that failed."""
        try:
            _write_private(path, self._bytes)
        except OSError:
            return False
        return True

    def _prepare(self) -> None:
        if self._view is not None:
            return
        from PySide6.QtPdf import QPdfDocument
        from PySide6.QtPdfWidgets import QPdfView

        self._document = QPdfDocument(self)
        self._view = QPdfView(self)
        self._view.setDocument(self._document)
        self._view.setPageMode(QPdfView.PageMode.MultiPage)
        self._view.setZoomMode(QPdfView.ZoomMode.FitToWidth)
        self._view.setFrameShape(QFrame.Shape.NoFrame)
        self._view.setAccessibleName("Pages of the paper")
        self._view.pageNavigator().currentPageChanged.connect(lambda _: self._tell_page())
        theme_changed.connect(self._dress)
        self._dress()
        self._layout.addWidget(self._view, 1)

    def _dress(self, *_: object) -> None:
        surround = self._view.palette()
        for role in (QPalette.ColorRole.Dark, QPalette.ColorRole.Window, QPalette.ColorRole.Base):
            surround.setColor(role, QColor(current_tokens().sunk))
        self._view.setPalette(surround)

    def _is_custom(self) -> bool:
        return bool(self._view.zoomMode() == self._view.ZoomMode.Custom)

    def _fitted_factor(self) -> float:
        page = self._document.pagePointSize(0)
        dots = self.logicalDpiX() / 72
        room = self._view.viewport().size()
        wide = (room.width() - 12) / max(page.width() * dots, 1)
        if self._view.zoomMode() == self._view.ZoomMode.FitToWidth:
            return wide
        return min(wide, (room.height() - 12) / max(page.height() * dots, 1))

    def _tell_page(self) -> None:
        self._pages.setText(f"Page {self._view.pageNavigator().currentPage() + 1} of {self.page_count()}")

    def _enable(self, on: bool) -> None:
        for one in self._buttons:
            one.setEnabled(on)

    def _shortcuts(self) -> None:
        for keys, what in (
            ("Ctrl++", lambda: self.zoom(_STEP)),
            ("Ctrl+=", lambda: self.zoom(_STEP)),
            ("Ctrl+-", lambda: self.zoom(1 / _STEP)),
            ("Ctrl+0", self.fit_page),
            ("Ctrl+9", self.fit_width),
            ("Ctrl+Shift+S", self.save_as),
        ):
            shortcut = QShortcut(QKeySequence(keys), self)
            shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            shortcut.activated.connect(what)


def _write_private(path: Path, data: bytes) -> None:
    """Write a file that only its owner can read (0600 where the system has modes)."""
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC | getattr(os, "O_BINARY", 0), 0o600)
    with os.fdopen(handle, "wb") as out:
        out.write(data)
    if os.name == "posix":
        path.chmod(0o600)
