"""Leftover pipe on the truck: kept after a cut list or typed here, used first by the next cut list."""

from __future__ import annotations

from decimal import Decimal

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.commands import offcuts
from db.commands.takeoff import set_choice
from db.queries.buying.offcuts import OffcutRow
from desktop.desk import Desk
from desktop.pages.company.list_table import AddRow
from desktop.pages.company.part import attempt, read_cell
from desktop.widgets.cards import button, label
from desktop.widgets.form import ChoiceField, TypedField
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.dates import format_day_short
from domain.job_takeoff.offcuts import CHOICE, offcut_feet
from domain.routes.route import PIPE_SIZES, size_words
from domain.units.lengths import format_length
from domain.units.numbers import plain


def _shown(feet: Decimal) -> str:
    return format_length(feet, "ft-in")


class OffcutsList(QWidget):
    """A row a piece; a line above adds one, Delete removes one."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self.size = ChoiceField([(size, size_words(size)) for size in PIPE_SIZES], placeholder="Pipe size")
        self.size.setAccessibleName("Size of the offcut")
        self.length = TypedField(offcut_feet, _shown, placeholder="Length, as 4'6\"", right=True)
        self.length.setAccessibleName("Length of the offcut")
        self.add_row = AddRow([self.size, self.length], "Add", self._add, draft=(self.desk, "offcut"))
        self.table = self._make_table()
        self.away = button("Remove", self.throw_away, "quiet", "trash", "No longer on the truck (Delete)")
        self.shortest = TypedField(offcut_feet, _shown, right=True)
        self.shortest.setAccessibleName("Shortest worth keeping")
        self.shortest.setFixedWidth(90)
        self.shortest.edited.connect(self._set_shortest)
        self.total = label("", "small", "soft")
        self._arrange()
        delete = QShortcut(QKeySequence("Delete"), self.table)
        delete.setContext(Qt.ShortcutContext.WidgetShortcut)
        delete.activated.connect(self.throw_away)
        self._chosen(None)

    def _make_table(self) -> RowsTable:
        self.model = RowsModel(
            [
                Column("size", "Pipe", width=110),
                Column("feet", "Length", "right", width=110, editable=True),
                Column("kept", "Kept on", width=130),
                Column("from", "Left over from", stretch=1),
            ],
            text={
                "size": lambda row: size_words(row.offcut.size),
                "feet": lambda row: _shown(row.offcut.feet),
                "kept": lambda row: format_day_short(row.offcut.kept_on),
                "from": lambda row: f"job {row.job_number}" if row.job_number else "typed here",
            },
            sort_key={
                "size": lambda row: row.offcut.size, "feet": lambda row: row.offcut.feet,
                "kept": lambda row: row.offcut.kept_on,
            },
            tone={"from": lambda _: "ink_soft", "kept": lambda _: "ink_soft"},
            row_id=lambda row: row.offcut.id,
            setter=self._change,
        )  # fmt: skip
        table = RowsTable(self.model, "Pipe offcuts on the truck")
        table.set_empty(
            "No offcuts kept",
            "In a job's takeoff, List, “Offcuts onto the truck” keeps what its cut list leaves over. Or add a piece "
            "above. The next cut list uses them before a new stick.",
        )
        table.current_changed.connect(self._chosen)
        return table

    def _arrange(self) -> None:
        words = label("Shortest worth keeping", "small", "soft")
        words.setBuddy(self.shortest)
        foot = QHBoxLayout()
        foot.addWidget(self.away)
        foot.addStretch(1)
        for widget in (self.total, words, self.shortest):
            foot.addWidget(widget)
            foot.addSpacing(6)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(8)
        box.addWidget(self.add_row)
        box.addWidget(self.table, 1)
        box.addLayout(foot)

    def show_offcuts(self, rows: list[OffcutRow], shortest_ft: Decimal) -> None:
        """Show these pieces and the owner's setting."""
        self.model.set_rows(rows)
        if not self.shortest.hasFocus():
            self.shortest.set_value(shortest_ft)
        feet = sum((row.offcut.feet for row in rows), Decimal(0))
        self.total.setText(f"{len(rows)} {'piece' if len(rows) == 1 else 'pieces'}, {_shown(feet)}" if rows else "")
        self._chosen(self.table.current_row())

    def _chosen(self, row: OffcutRow | None) -> None:
        self.away.setEnabled(row is not None)

    def throw_away(self) -> None:
        """The piece under the cursor is no longer on the truck."""
        row = self.table.current_row()
        if row is not None:
            words = f"{_shown(row.offcut.feet)} of {size_words(row.offcut.size)}"
            attempt(
                self.desk, f"Remove {words}", lambda edit: offcuts.remove_offcut(edit, row.offcut.id),
                say=f"{words} is no longer on the truck.", undo=True,
            )  # fmt: skip

    def _change(self, row: OffcutRow, _key: str, typed: str) -> str | None:
        feet, message = read_cell(offcut_feet, typed)
        return message or attempt(
            self.desk, "Correct an offcut", lambda edit: offcuts.change_offcut(edit, row.offcut.id, feet)
        )

    def _set_shortest(self, feet: Decimal | None) -> None:
        if feet is not None:
            words = plain(feet)
            attempt(self.desk, "Shortest offcut worth keeping", lambda edit: set_choice(edit, CHOICE, words))

    def _add(self) -> str | tuple[str, QWidget] | None:
        size, feet = self.size.value(), self.length.value()
        if size is None:
            return "Say which size.", self.size
        if feet is None:
            return "Say how long it is.", self.length
        return attempt(
            self.desk, "Add an offcut", lambda edit: offcuts.add_offcut(edit, size, feet, self.desk.today())
        )
