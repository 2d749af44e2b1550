"""Report a problem: shows everything that could be handed over, to be changed, copied or saved. It sends nothing."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtGui import QFont, QFontDatabase, QGuiApplication
from PySide6.QtWidgets import QDialog, QFileDialog, QPlainTextEdit, QVBoxLayout, QWidget

from desktop.own_folders import write_private
from desktop.widgets.cards import Notice, button, label, row

FILE_NAME = "Riserbook problem.txt"
_WORDS = (
    "This is all there is to hand over, and exactly what you copy or save. Say first what you did and what happened. "
    "It has no customers, addresses or amounts in it, but the names of the firm files you opened; take out what you "
    "do not want to give. Nothing is sent by itself."
)


class ProblemDialog(QDialog):
    """Signals: none; it ends when it is closed."""

    def __init__(self, summary: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Report a problem")
        self.resize(820, 600)
        self.text = QPlainTextEdit(summary)
        self.text.setAccessibleName("What could be handed over")
        self.text.setFont(_even_font())
        self.text.setTabChangesFocus(True)
        self.said = Notice("good")
        self.copy_button = button("Copy it all", self.copy, "primary")
        self.save_button = button("Save to a file…", self._ask_where, icon_name="save")
        whole = QVBoxLayout(self)
        whole.setContentsMargins(20, 18, 20, 18)
        whole.setSpacing(12)
        whole.addWidget(label(_WORDS, tone="soft", wrap=True))
        whole.addWidget(self.text, 1)
        whole.addWidget(self.said)
        whole.addWidget(row(self.copy_button, self.save_button, None, button("Close", self.reject)))
        cursor = self.text.textCursor()
        cursor.movePosition(cursor.MoveOperation.Down)
        self.text.setTextCursor(cursor)
        self.text.setFocus()

    def copy(self) -> None:
        """Everything in the box, as it stands there now."""
        QGuiApplication.clipboard().setText(self.text.toPlainText())
        self.said.set_words("good", "Copied. Paste it where you want it.")

    def save(self, path: Path) -> None:
        """Everything in the box, as it stands there now, to a file of the owner's alone."""
        try:
            write_private(path, self.text.toPlainText())
        except OSError as error:
            self.said.set_words("error", f"Not written: {error.strerror}. Choose another folder.")
        else:
            self.said.set_words("good", f"Saved as {path.name} in {path.parent}.")

    def _ask_where(self) -> None:
        chosen, _ = QFileDialog.getSaveFileName(self, "Save it", str(Path.home() / FILE_NAME), "Text (*.txt)")
        if chosen:
            self.save(Path(chosen) if Path(chosen).suffix else Path(f"{chosen}.txt"))


def _even_font() -> QFont:
    return QFontDatabase.systemFont(QFontDatabase.SystemFont.FixedFont)
