"""Reading a price file: choose it, say which column is what, look at what it would do, bring it in whole."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QVBoxLayout, QWidget

from db.commands.buying import remember_sheet
from db.commands.price_import import apply_import
from db.company_file.problems import Refused
from db.edit import Edit
from db.price_file import PriceFile, read_price_file
from db.queries.buying.purchases import remembered_sheets
from db.queries.price_list import priced_items
from desktop.desk import Desk
from desktop.pages.company.column_chooser import ColumnChooser
from desktop.pages.company.import_preview import ImportPreview
from desktop.pages.company.part import attempt
from desktop.widgets.cards import Card, EmptyPage, Notice, button, label
from desktop.widgets.form import ChoiceField
from desktop.widgets.half import only_asks
from domain.dates import format_day_short
from domain.price_import import (
    ImportPlan,
    RememberedSheet,
    heading_names,
    missing_columns,
    named_columns,
    plan_import,
    read_rows,
    supplier_of_sheet,
)
from domain.units import count_of


class ImportPanel(QWidget):
    """The three steps on one sheet; nothing is written before the last button.

    Signals:
        left: back to the price list.
    """

    left = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self._path: Path | None = None
        self._file: PriceFile | None = None
        self._reading = 0
        self.plan: ImportPlan | None = None
        self.setAcceptDrops(True)
        self.choose_button = button("Choose a file", self.choose, "primary", "open")
        self.other_button = button("Another file", self.choose, icon_name="open")
        self.back_button = button("Back to the price list", self._leave, "quiet", "left")
        self.file_words = label("", "strong")
        self.kind_words = label("", "small", "soft")
        self.sheet = ChoiceField(required=True)
        only_asks(self.sheet)
        self.sheet.setAccessibleName("Sheet")
        self.sheet.edited.connect(lambda name: self._read(name))
        self.said = Notice("error")
        self.known = Notice("good")
        self._supplier = ""
        self.columns = ColumnChooser(desk)
        self.columns.changed.connect(self._replan)
        self.preview = ImportPreview()
        self.bring_in = button("Bring in", self._bring_in, "primary", "check")
        self._arrange()
        escape = QShortcut(QKeySequence(Qt.Key.Key_Escape), self)
        escape.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        escape.activated.connect(self._leave)

    def _arrange(self) -> None:
        top = QHBoxLayout()
        top.setSpacing(10)
        for widget in (self.back_button, self.file_words, self.kind_words, self.sheet):
            top.addWidget(widget)
        top.addStretch(1)
        top.addWidget(self.other_button)
        self.empty = EmptyPage(
            "Read a price file",
            "A workbook (xlsx) or a text file (csv), columns in any order. You will see what it would add and change "
            "before anything is done. It can also be dropped here.",
            icon_name="import",
        )
        self.empty.layout().insertWidget(self.empty.layout().count() - 1, self.choose_button, 0,
                                         Qt.AlignmentFlag.AlignHCenter)  # type: ignore[call-arg]  # fmt: skip
        self.column_card = Card("Which column is what")
        self.column_card.add(self.columns)
        self.preview_card = Card("What it would do")
        self.preview_card.add(self.preview, 1)
        self.preview_card.add_action(self.bring_in)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(8)
        box.addLayout(top)
        box.addWidget(self.said)
        box.addWidget(self.known)
        for widget, share in ((self.empty, 1), (self.column_card, 0), (self.preview_card, 1)):
            box.addWidget(widget, share)

    def begin(self) -> None:
        """Start afresh, without a file."""
        self._path = self._file = self.plan = None
        self.said.set_words("error", "")
        self._say_known()
        self._show_stage()
        self.choose_button.setFocus()

    def choose(self) -> None:
        """Ask for the file."""
        name, _ = QFileDialog.getOpenFileName(
            self, "Read a price file", "", "Price files (*.xlsx *.csv *.txt *.tsv *.xlsm);;All files (*)"
        )
        if name:
            self.read(Path(name))

    def read(self, path: Path) -> None:
        """Read this file and show what it would do."""
        self._path = path
        self._read(None)

    def _read(self, sheet: str | None) -> None:
        path = self._path
        assert path is not None
        self._reading += 1
        turn = self._reading
        self.said.set_words("info", f"Reading “{path.name}” …", ("Stop", self.stop))
        self.desk.background(
            lambda: read_price_file(path, sheet, lambda: turn == self._reading),
            lambda found: self._take(found) if turn == self._reading else None,
            lambda error: self._cannot(error) if turn == self._reading else None,
        )

    def stop(self) -> None:
        """Read no further; what was read before stays as it was."""
        self._reading += 1
        self.said.set_words("info", "The reading was stopped; nothing was changed.")
        self._show_stage()

    def _take(self, found: PriceFile) -> None:
        self._file = found
        self.said.set_words("error", "")
        assert self._path is not None
        self.file_words.setText(self._path.name)
        self.kind_words.setText(f"{found.understood_as}; {count_of(len(found.rows), 'row')} with something in them")
        self.sheet.set_choices([(name, name) for name in found.sheets])
        self.sheet.reset(found.sheet)
        with self.desk.read() as conn:
            remembered = remembered_sheets(conn)
        self.columns.set_rows(found.rows, remembered)
        self._replan()
        self._show_stage()

    def _say_known(self) -> None:
        """Say when the sheet was recognised, and offer to guess its columns instead."""
        known = self.columns.recognised if self._file is not None else None
        words = _known_words(known.sheet) if known else ""
        self.known.set_words("good", words, ("Guess instead", self.columns.guess_afresh))

    def _cannot(self, error: Exception) -> None:
        """Say what is wrong with the file; what was read before stays as it was."""
        if not isinstance(error, Refused):
            raise error
        self.said.set_words("error", str(error), ("Choose another file", self.choose))
        self._show_stage()

    def _show_stage(self) -> None:
        there = self._file is not None
        self.empty.setVisible(not there)
        for widget in (self.file_words, self.kind_words, self.other_button, self.column_card, self.preview_card):
            widget.setVisible(there)
        self.sheet.setVisible(there and len(self._file.sheets) > 1 if self._file else False)

    def refresh(self) -> None:
        """Compare again: the price list may have changed."""
        if self._file is not None:
            self._replan()

    def _replan(self) -> None:
        self._say_known()
        if self._file is None:
            return
        chosen, on = self.columns.columns(), self.columns.starts_on()
        missing = missing_columns(chosen)
        if missing or on is None:
            self.plan = None
            self.preview.show_missing(missing or "Say from which day the prices count.")
        else:
            with self.desk.read() as conn:
                existing = priced_items(conn, on, archived=True)
            rows = read_rows(self.columns.body(), chosen)
            self.plan = plan_import(rows, existing, on, self.columns.decimal_comma())
            self._supplier = supplier_of_sheet(self.plan, existing)
            self.preview.show_plan(self.plan)
        self.bring_in.setText(_button_words(self.plan))
        self.bring_in.setEnabled(self.plan is not None and self.plan.writes > 0)

    def _bring_in(self) -> None:
        plan = self.plan
        if plan is None or not plan.writes:
            return
        name = self._path.name if self._path else "a file"
        done = f"{len(plan.added)} new, {len(plan.changed)} changed from “{name}”."
        if len(plan.refused):
            done += f" {len(plan.refused)} left out."
        headings, columns = self.columns.headings(), self.columns.columns()
        supplier, today = self._supplier, self.desk.today()

        def run(edit: Edit) -> None:
            apply_import(edit, plan)
            remember_sheet(edit, heading_names(headings), named_columns(headings, columns), today, supplier)

        self._file = None  # the refresh that follows the saving must not compare again
        message = attempt(self.desk, f"Bring in prices from {name}", run, say=done, undo=True)
        if message:
            self.said.set_words("error", message, ("Read it again", lambda: self._read(self.sheet.value())))
            return
        self._leave()

    def _leave(self) -> None:
        self._reading += 1
        self._file = None
        self.left.emit()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if event.mimeData().hasUrls() and event.mimeData().urls()[0].isLocalFile():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        self.read(Path(event.mimeData().urls()[0].toLocalFile()))


def _known_words(sheet: RememberedSheet) -> str:
    whose = f"the sheet of {sheet.supplier}" if sheet.supplier else "a sheet you read before"
    return (
        f"Recognized by its headings as {whose}: its columns are read as on {format_day_short(sheet.used_on)}. "
        "Look them over below."
    )


def _button_words(plan: ImportPlan | None) -> str:
    if plan is None or not plan.writes:
        return "Nothing to bring in"
    parts = [f"{len(heap):,} {word}" for heap, word in ((plan.added, "new"), (plan.changed, "changed")) if heap]
    return f"Bring in {' and '.join(parts)}"
