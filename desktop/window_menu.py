"""The company menu: open, new, copies, undo and redo, appearance, the keys, about."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QFileDialog, QMenu, QMessageBox

from desktop.look.icons import icon
from desktop.look.theme import apply_theme
from desktop.widgets.as_typed import caption, set_tip

if TYPE_CHECKING:
    from desktop.window import Window

SUFFIX = ".riserbook"
FILTER = f"Riserbook firm (*{SUFFIX});;All files (*)"


class WindowMenu(QMenu):
    """Built once; what cannot be done now is greyed out when it opens."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window = window
        self._add("New firm…", "plus", self.new_company)
        self._add("Open firm…", "open", self.open_company, QKeySequence.StandardKey.Open)
        self._recent = QMenu("Open again", self)  # made here, for the reason told in `_add_appearance`
        self.addMenu(self._recent)
        self._add("Open the sample firm", "house", self.open_sample)
        self.addSeparator()
        self._copy = self._add("Save a copy as…", "save", self.save_copy)
        self._backup = self._add("Back up now", "archive", self.back_up)
        self.addSeparator()
        self._undo = self._add("Undo", "undo", window.undo)
        self._redo = self._add("Redo", "redo", window.redo)
        self.addSeparator()
        self._add_appearance()
        self._add("Keys", "info", self.show_keys, "F1")
        self._add("Report a problem…", "warning", self.report_problem)
        self._add("About Riserbook", "fan", self.show_about)
        self.addSeparator()
        self._close = self._add("Close firm", "cross", window.close_company)
        self._add("Leave Riserbook", "right", window.close, QKeySequence.StandardKey.Quit)
        self.aboutToShow.connect(self._bring_up_to_date)

    def _add(
        self, text: str, icon_name: str, slot: Callable[[], object], keys: QKeySequence.StandardKey | str | None = None
    ) -> QAction:
        action = QAction(icon(icon_name), text, self)
        action.triggered.connect(lambda _checked=False: slot())
        if keys is not None:
            action.setShortcut(QKeySequence(keys))
        self.addAction(action)
        if keys is not None:
            self._window.addAction(action)  # so that the keys work while the menu is closed
        return action

    def _add_appearance(self) -> None:
        # All of it is made here: menus and entries made by Qt itself (addMenu("…"), addAction("…")) are taken for
        # deleted by the binding after their neighbors were asked for and let go of. The walk by chance found it.
        self._appearance_menu, self._appearance_group = QMenu("Appearance", self), QActionGroup(self)
        self.addMenu(self._appearance_menu)
        self._appearances: dict[str, QAction] = {}
        for choice, text in (("system", "As the system"), ("light", "Light"), ("dark", "Dark")):
            action = QAction(text, self)
            self._appearance_menu.addAction(action)
            action.setCheckable(True)
            action.triggered.connect(lambda _checked=False, choice=choice: self.set_appearance(choice))
            self._appearance_group.addAction(action)
            self._appearances[choice] = action

    def set_appearance(self, choice: str) -> None:
        """Turn light, dark, or follow the system; kept on this computer."""
        from PySide6.QtWidgets import QApplication

        self._window.settings.appearance = choice
        app = QApplication.instance()
        if isinstance(app, QApplication):
            apply_theme(app, choice)  # type: ignore[arg-type]

    def _bring_up_to_date(self) -> None:
        company = self._window.company
        for action in (self._copy, self._backup, self._close):
            action.setEnabled(company is not None)
        slow = self._window.desk.slow if self._window.desk is not None else None
        self._copy.setEnabled(company is not None and slow is None)
        self._backup.setText("Back up now" if slow is None else f"Stop: {slow.words()}")
        undo, redo = (company.undo_label, company.redo_label) if company else (None, None)
        for action, word, label, keys in (
            (self._undo, "Undo", undo, "Ctrl+Z"),
            (self._redo, "Redo", redo, "Ctrl+Shift+Z"),
        ):
            shown = QKeySequence(keys).toString(QKeySequence.SequenceFormat.NativeText)
            action.setText(f"{word}: {caption(label)}\t{shown}" if label else f"{word}\t{shown}")
            action.setEnabled(label is not None)
        self._appearances[self._window.settings.appearance].setChecked(True)
        self._recent.clear()
        for path in self._window.settings.recent:
            action = QAction(caption(path.stem), self._recent)
            self._recent.addAction(action)
            set_tip(action, str(path))
            action.triggered.connect(lambda _checked=False, path=path: self._window.open_file(path))
        self._recent.setEnabled(not self._recent.isEmpty())

    def new_company(self) -> None:
        """Show the welcome page's form for a new company; the open one is closed first."""
        self._window.close_company()
        self._window.welcome.start_new()

    def open_company(self) -> None:
        """Choose a company file and open it."""
        chosen, _ = QFileDialog.getOpenFileName(self._window, "Open firm", "", FILTER)
        if chosen:
            self._window.open_file(Path(chosen))

    def open_sample(self) -> None:
        """Open a fresh copy of the sample company."""
        self._window.open_sample()

    def save_copy(self) -> None:
        """Write the company as it stands to another file and stay with this one."""
        company = self._window.company
        if company is None:
            return
        suggested = str(company.path.with_name(f"{company.path.stem} copy{SUFFIX}"))
        chosen, _ = QFileDialog.getSaveFileName(self._window, "Save a copy", suggested, FILTER)
        if chosen and self._window.desk is not None:
            from desktop.keeping import copy_to

            copy_to(self._window.desk, Path(chosen))

    def back_up(self) -> None:
        """Write a checked backup beside the file, or stop the long work that is under way."""
        desk = self._window.desk
        if desk is None:
            return
        from desktop.keeping import back_up_beside

        if desk.slow is not None:
            desk.slow.stop()
        else:
            back_up_beside(desk)

    def show_keys(self) -> None:
        """The keys worth knowing."""
        from desktop.keys import KeySheet

        sheet = KeySheet(self._window)
        sheet.finished.connect(sheet.deleteLater)
        sheet.open()

    def report_problem(self) -> None:
        """Show all that could be handed over with a problem."""
        from desktop.problem_dialog import ProblemDialog
        from desktop.problem_summary import problem_summary

        dialog = ProblemDialog(problem_summary(self._window.file_to_report_beside()), self._window)
        dialog.finished.connect(dialog.deleteLater)
        dialog.open()

    def show_about(self) -> None:
        """Version, licence and what the program is not."""
        from importlib.metadata import PackageNotFoundError, version

        try:
            number = version("riserbook")
        except PackageNotFoundError:
            number = "from the source folder"
        QMessageBox.about(
            self._window,
            "About Riserbook",
            f"<p><b>Riserbook</b> {number}</p><p>Quoted against actual, job by job.</p>"
            "<p>MIT license. Made with Qt under the LGPL.</p>"
            "<p>It keeps the books of a job. It never says whether a house is safe: a test does that. "
            "Local code and licensed practice come first.</p>",
        )
