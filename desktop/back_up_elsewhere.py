"""Back up to another place: choose the folder, a password if it is to leave the house, and see it done."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QDialog, QFileDialog, QLineEdit, QProgressBar, QVBoxLayout, QWidget

from db.company_file import back_up
from db.company_file.elsewhere import Elsewhere, last_elsewhere
from db.company_file.problems import CompanyProblem, Refused
from desktop.desk import Desk
from desktop.widgets.cards import Notice, button, label, row
from desktop.widgets.form import Form

FORGOTTEN = (
    "If this password is forgotten, the backup is lost: nobody can open it without, and nobody can look the password "
    "up. Keep it where you keep your keys."
)
WITHOUT = "Without a password, whoever finds the stick can read your customers."
_STEPS = 1000
_WIDTH, _MARGIN = 560, 24


class _Stopped(Exception):
    """The owner pressed Cancel, or the dialog went."""


class BackUpElsewhere(QDialog):
    """Signals: made(Elsewhere): a backup was written, read again and found whole."""

    made = Signal(object)
    _moved = Signal(int)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._stop = self._running = False
        self.setWindowTitle("Back up to another place")
        self.setMinimumWidth(_WIDTH)
        self.said = Notice("error")
        last = last_elsewhere(desk.company.path)
        self.folder = QLineEdit(str(last.path.parent) if last is not None and last.path.parent.is_dir() else "")
        self.folder.setPlaceholderText("a stick, another drive, a folder on the network")
        self.choose = button("Choose", self._choose, icon_name="open")
        self.password, self.again = (QLineEdit() for _ in range(2))
        for field in (self.password, self.again):
            field.setEchoMode(QLineEdit.EchoMode.Password)
            field.textChanged.connect(self._say_forgotten)
        form = Form()
        self.folder.setAccessibleName("Folder")
        form.add("Folder", row(self.folder, self.choose))
        form.add("Password", self.password, hint="only if it leaves the house; eight characters or more")
        form.add("Password again", self.again)
        self.word = label(WITHOUT, "small", "soft", wrap=True)
        self.progress = QProgressBar()
        self.progress.setRange(0, _STEPS)
        self.progress.setAccessibleName("How far the backup is")
        self.progress.hide()
        self._moved.connect(self.progress.setValue)
        self.begin = button("Back up", self.back_up, "primary", "save")
        self.cancel = button("Cancel", self.reject)
        for other in (self.choose, self.cancel):
            other.setAutoDefault(False)  # else Enter in a field would press the first button of the dialog
        self.begin.setDefault(True)
        column = QVBoxLayout(self)
        column.setContentsMargins(_MARGIN, 20, _MARGIN, 20)
        column.setSpacing(10)
        column.addWidget(
            label(
                "One file is written with everything in it: the firm, its photos, reports and bills. It is read again "
                "from end to end before it counts.",
                tone="soft",
                wrap=True,
            )
        )
        for part in (form, self.word, self.progress, self.said):  # what is said must not push down what is being typed
            column.addWidget(part)
        column.addWidget(row(None, self.cancel, self.begin))
        self._keep_places(form)
        (self.choose if not self.folder.text() else self.begin).setFocus()

    def _keep_places(self, form: Form) -> None:
        """Room for all that may be said, so that nothing moves while one types or when it begins."""
        form.setMinimumHeight(form.sizeHint().height())
        lines = self.word.fontMetrics().boundingRect(
            0, 0, _WIDTH - 2 * _MARGIN, 1_000, Qt.TextFlag.TextWordWrap, FORGOTTEN
        )
        self.word.setMinimumHeight(lines.height() + 2)
        self.word.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.said.setMinimumHeight(3 * self.fontMetrics().lineSpacing() + 14)
        for part in (self.said, self.progress):
            policy = part.sizePolicy()
            policy.setRetainSizeWhenHidden(True)
            part.setSizePolicy(policy)

    def back_up(self) -> None:
        """Write it, off the window's thread; what is wrong is said and what was typed stays."""
        if self._running:
            return
        folder, password = self.folder.text().strip(), self.password.text()
        if not folder:
            self.said.set_words("error", "Choose the folder the backup is to lie in.")
            self.choose.setFocus()
            return
        if password != self.again.text():
            self.said.set_words("error", "The two passwords are not the same. Type both again.")
            self.password.setFocus()
            return
        self._set_running(True)
        company = self._desk.company

        def told(done: int, of: int) -> None:
            if self._stop:
                raise _Stopped
            self._moved.emit(_STEPS * done // max(of, 1))

        self._desk.background(
            lambda: back_up(company, Path(folder).expanduser(), password or None, told),
            _while_it_stands(self, self._done), _while_it_stands(self, self._failed),
        )  # fmt: skip

    def reject(self) -> None:
        """Cancel; a backup that is being written is stopped, and nothing of it is left behind."""
        self._stop = True
        super().reject()

    def _done(self, _path: object) -> None:
        self._set_running(False)
        last = last_elsewhere(self._desk.company.path)
        if last is not None:
            self.made.emit(last)
        self.accept()

    def _failed(self, error: Exception) -> None:
        self._set_running(False)
        if isinstance(error, _Stopped):
            return
        if not isinstance(error, (CompanyProblem, Refused)):
            raise error
        self.said.set_words("error", str(error))

    def _set_running(self, running: bool) -> None:
        self._running, self._stop = running, False
        for part in (self.folder, self.choose, self.password, self.again, self.begin):
            part.setEnabled(not running)
        self.progress.setVisible(running)
        self.progress.setValue(0)
        self.said.set_words("", "")

    def _choose(self) -> None:
        folder = QFileDialog.getExistingDirectory(self, "Back up to", self.folder.text() or str(Path.home()))
        if folder:
            self.folder.setText(folder)
            self.begin.setFocus()

    def _say_forgotten(self) -> None:
        self.word.setText(FORGOTTEN if self.password.text() else WITHOUT)


def made_words(made: Elsewhere) -> str:
    """What to tell when it was made."""
    papers = "1 photo or paper" if made.papers == 1 else f"{made.papers:,} photos and papers"
    words = f"Backed up to “{made.path}” with {papers}, read again and found whole."
    if made.missing:
        words += f" Not in it, as they are not in the folder any more: {', '.join(made.missing[:3])}"
        words += f" and {len(made.missing) - 3} more." if len(made.missing) > 3 else "."
    if made.same_disk:
        words += " It lies on the same disk as the firm: keep one on another disk too."
    return words


def _while_it_stands(dialog: QDialog, work: Callable[..., None]) -> Callable[..., None]:
    from shiboken6 import isValid

    return lambda result: work(result) if isValid(dialog) else None
