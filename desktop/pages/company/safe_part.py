"""Safe keeping: backups, restoring one, a copy elsewhere, and a look over the file."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFileDialog, QVBoxLayout, QWidget

from db.company_file import (
    SUFFIX,
    Backup,
    CheckReport,
    backup_folder,
    check_file,
    list_backups,
)
from db.company_file.aftermath import forget_word, read_word
from db.company_file.elsewhere import Elsewhere, last_elsewhere
from db.company_file.problems import CompanyProblem
from desktop.desk import Desk
from desktop.keeping import back_up_beside, copy_to
from desktop.pages.company import safe_words as words
from desktop.pages.company.kept_aside_card import KeptAsideCard
from desktop.pages.company.part import Part
from desktop.pages.company.restore_question import RestoreQuestion
from desktop.restoring_backup import FILTER, Wish, look_with_password
from desktop.slow_work import SlowWork
from desktop.widgets.cards import Card, Notice, button, label, panes, row, scroll_page
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.dates import format_moment

Result = TypeVar("Result")

class SafePart(Part):
    """The backups at the left; what can be done with the file at the right.

    Signals:
        recover_asked: (company file): the window is to close the firm and offer to recover it.
        restore_asked: (Wish): the window is to close the firm, put a backup in its place and open it again.
        open_asked: (company file): the owner wants to see a copy.
    """

    restore_asked = Signal(object)
    recover_asked = Signal(object)
    open_asked = Signal(object)

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Safe keeping",
            "Everything is saved as you go. The last ten backups and one a month are kept beside the file, with "
            "its photos and papers; keep one elsewhere too, for a lost or broken machine.",
        )  # fmt: skip
        self.said = Notice("good")
        self.word = Notice("info")
        self.back_up_now = button("Back up now", self._back_up, "primary", "save")
        self.back_up_to = button("Back up to another place", self._back_up_elsewhere, icon_name="save")
        self.look_over = button("Check the file", self._check, icon_name="check")
        self.copy = button("Save a copy as", self._copy, icon_name="copy")
        self.restore_button = button("Restore this backup", self._ask_restore, "plain", "undo")
        self.restore_other = button("Restore another file", self._choose_backup, "quiet", "open")
        self.asked = RestoreQuestion(self.restore_wanted)
        self._wanted: Path | None = None
        self._password: str | None = None
        self.table = self._make_table()
        self.add(self.word)
        self.add(self.said)
        split = panes(self._left(), self._right(), (3, 2))
        split.setSizes([600, 420])
        self.add(split, 1)
        desk.slow_began.connect(self._follow)
        if desk.slow is not None:
            self._follow(desk.slow)

    def _make_table(self) -> RowsTable:
        model = RowsModel(
            [
                Column("made_at", "Backup of", stretch=2),
                Column("age", "Age", "right", width=84),
                Column("kind", "Made", width=112),
                Column("size", "Size", "right", width=78),
            ],
            text={
                "made_at": lambda backup: format_moment(backup.made_at),
                "age": lambda backup: words.age(backup.made_at, datetime.now().astimezone()),
                "kind": words.made,
                "size": lambda backup: words.size(backup.size),
            },
            sort_key={
                "made_at": lambda backup: backup.made_at,
                "age": lambda backup: -backup.made_at.timestamp(),
                "size": lambda backup: backup.size,
            },
            tip={"made_at": lambda backup: str(backup.path)},
            row_id=lambda backup: str(backup.path),
        )
        table = RowsTable(model, "Backups")
        table.set_empty(
            "No backup yet", "One is made by itself when the firm is opened after a change.", "Back up now",
            self._back_up,
        )  # fmt: skip
        table.current_changed.connect(self._chosen)
        return table

    def _left(self) -> QWidget:
        left = QWidget()
        box = QVBoxLayout(left)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(8)
        box.addWidget(self.table, 1)
        box.addWidget(self.asked)
        box.addWidget(row(self.restore_button, self.restore_other, None))
        return left

    def _right(self) -> QWidget:
        self.where = label("", wrap=True)
        self.where.setTextInteractionFlags(self.where.textInteractionFlags().TextSelectableByMouse)
        self.backups_at = label("", "small", "soft", wrap=True)
        self.elsewhere = label("", "small", "soft", wrap=True)
        file_card = Card("This firm's file")
        file_card.add(self.where)
        file_card.add(self.backups_at)
        file_card.add(self.elsewhere)
        file_card.add(row(self.back_up_now, None))
        file_card.add(row(self.back_up_to, None))
        file_card.add(row(self.copy, None))
        file_card.add(row(self.look_over, None))
        self.report = label("", wrap=True)
        self.report_card = Card("What the check found")
        self.report_card.add(self.report)
        self.recover = button("Close this firm and recover it", self._recover, "plain", "undo")
        self.report_card.add(row(self.recover, None))
        self.report_card.hide()
        self.kept_aside = KeptAsideCard()
        right = QWidget()
        box = QVBoxLayout(right)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(12)
        box.addWidget(file_card)
        box.addWidget(self.report_card)
        box.addWidget(self.kept_aside)
        box.addStretch(1)
        whole = scroll_page(right)
        whole.setMinimumWidth(330)
        return whole

    def refresh(self) -> None:
        path = self.desk.company.path
        self.table.rows_model().set_rows(list_backups(path))
        self.where.setText(str(path))
        self.backups_at.setText(f"Backups lie in “{backup_folder(path).name}” beside it.")
        self.elsewhere.setText(words.elsewhere(last_elsewhere(path), datetime.now().astimezone()))
        self.kept_aside.show_of(path)
        self._show_word(path)
        problem = getattr(self.desk.company, "backup_problem", None)
        if problem is not None and not self.said.text():
            told = f"The last backup could not be made. {problem}"
            self.said.set_words("caution", told, ("Try again", self._back_up))
        self._chosen(self.table.current_row())

    def _show_word(self, path: Path) -> None:
        """What a recovery or restore left to be known stands here until the owner says that it was read."""
        word = read_word(path)
        lines = [*(word.lines if word is not None else ()), *self.desk.company.changed_by_itself]

        def read() -> None:
            forget_word(path)
            self.desk.company.changed_by_itself = ()
            self.word.set_words("", "")

        self.word.set_words("info", "\n".join(lines), ("I have read it", read) if lines else None)

    # What the owner does.

    def _back_up(self) -> None:
        back_up_beside(self.desk, lambda _made: self._told("Backed up, and the backup was checked."), self._not_done)

    def _told(self, words: str, action: tuple[str, Callable[[], object]] | None = None) -> None:
        self.refresh()
        self.said.set_words("good", words, action)

    def _not_done(self, words: str) -> None:
        self.said.set_words("error", words)

    def _follow(self, slow: SlowWork) -> None:
        """Show long work where it is begun, wherever it was: how far it is, and a stop."""
        busy = (self.back_up_now, self.back_up_to, self.copy, self.restore_button, self.restore_other,
                self.asked.button)  # fmt: skip
        for one in busy:
            one.setEnabled(False)

        def show() -> None:
            self.said.set_words("info", slow.words(), ("Stop", slow.stop))

        def end() -> None:
            for one in busy:
                one.setEnabled(True)
            self.restore_button.setEnabled(self.table.current_row() is not None)
            if self.said.text() == slow.words():
                self.said.set_words("", "")

        show()
        slow.moved.connect(show)
        slow.ended.connect(end)

    def _back_up_elsewhere(self) -> None:
        from desktop.back_up_elsewhere import BackUpElsewhere, made_words

        def told(made: Elsewhere) -> None:
            self.refresh()
            self.said.set_words("caution" if made.missing else "good", made_words(made))

        dialog = BackUpElsewhere(self.desk, self.window())
        dialog.made.connect(told)
        dialog.finished.connect(dialog.deleteLater)
        dialog.open()

    def _copy(self) -> None:
        path = self.desk.company.path
        name, _ = QFileDialog.getSaveFileName(
            self, "Save a copy as", str(path.with_name(f"{path.stem} copy{SUFFIX}")), f"Firms' files (*{SUFFIX})"
        )
        if not name:
            return
        copy_to(
            self.desk, Path(name),  # the file dialog has asked whether it may be replaced
            lambda made: self._told(
                f"Copied to “{made}”. You go on working in the file that is open.",
                ("Open the copy", lambda: self.open_asked.emit(made)),
            ),
            self._not_done,
        )  # fmt: skip

    def _check(self) -> None:
        path = self.desk.company.path
        self.look_over.setEnabled(False)
        self.said.set_words("info", "Looking the file over …")

        def done(report: CheckReport) -> None:
            self.look_over.setEnabled(True)
            self.said.set_words("", "")
            self.report.setText("\n".join(report.lines))
            self.recover.setVisible(report.recoverable)
            self.report_card.show()

        def failed(error: Exception) -> None:
            self.look_over.setEnabled(True)
            if not isinstance(error, CompanyProblem):
                raise error
            self.said.set_words("error", str(error))

        self.desk.background(lambda: check_file(path), done, failed)

    def _recover(self) -> None:
        self.recover_asked.emit(self.desk.company.path)

    def _chosen(self, backup: Backup | None) -> None:
        self.restore_button.setEnabled(backup is not None)
        if backup is None or backup.path != self._wanted:
            self._wanted = None
            self.asked.ask("")

    def _ask_restore(self) -> None:
        backup = self.table.current_row()
        if backup is not None:
            self._ask(backup.path)

    def _choose_backup(self) -> None:
        name, _ = QFileDialog.getOpenFileName(
            self, "Restore from", str(backup_folder(self.desk.company.path).parent), FILTER
        )
        if name:
            self._ask(Path(name))

    def _ask(self, path: Path) -> None:
        """Say what the backup holds, what is here and what would be gone, at the place; wait for a second press."""
        looked = self._try(lambda: look_with_password(self, path))
        if looked is None:
            return
        look, password = looked
        beside = self._try(lambda: look.beside(self.desk.company.path, password))
        if beside is None:
            return
        self._wanted, self._password = path, password
        self.asked.ask(words.question(look, beside))

    def restore_wanted(self) -> None:
        """Ask the window to close the firm, put the backup in its place and open it again."""
        if self._wanted is not None:
            self.restore_asked.emit(Wish(self.desk.company.path, self._wanted, self._password))

    def _try(self, work: Callable[[], Result]) -> Result | None:
        try:
            return work()
        except CompanyProblem as problem:
            self.said.set_words("error", str(problem))
            return None
