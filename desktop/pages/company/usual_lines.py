"""The lines a quote of one job type usually starts from: a table, and a line to add one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.edit import Edit
from db.queries.library import UsualLine
from desktop.desk import Desk
from desktop.pages.company.list_table import AddRow
from desktop.pages.company.part import attempt, read_cell
from desktop.widgets.cards import label, tool_button
from desktop.widgets.form import ChoiceField, QuantityField
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.job_takeoff.stands_for import ALONE, part_typed, part_words, parts_offered
from domain.units import format_quantity, parse_quantity
from domain.unlikely import quantity_doubt

LINK_TIP = (
    "The part of the takeoff that counts the same thing. When a list is taken into a quote, the line gives way to what "
    "is counted of it; a line that is not linked is kept and named."
)


@dataclass(frozen=True)
class UsualVerbs:
    """The commands for one kind of line."""

    add: Callable[[Edit, int, int, Decimal], int]
    change: Callable[[Edit, int, Decimal], object]
    remove: Callable[[Edit, int], object]
    move: Callable[[Edit, int, int], object]
    link: Callable[[Edit, int, str], object]


class UsualLines(QWidget):
    """Labour or material lines of the chosen job type. Alt+Up and Alt+Down move a line, Delete takes it away."""

    def __init__(self, desk: Desk, noun: str, verbs: UsualVerbs) -> None:
        super().__init__()
        self.desk, self._noun, self._verbs = desk, noun, verbs
        self._job_type_id, self._job_type = 0, ""
        self._units: dict[int, str] = {}
        self._model = RowsModel(
            [
                Column("name", noun.capitalize(), stretch=1),
                Column("quantity", "Quantity", "right", width=92, editable=True),
                Column("unit", "Unit", width=58),
                Column("stands_for", "Stands for", width=110, stretch=1, editable=True, tooltip=LINK_TIP),
            ],
            text={
                "name": lambda line: f"{line.name}{', archived: left out' if line.archived else ''}",
                "quantity": lambda line: format_quantity(line.quantity),
                "stands_for": lambda line: part_words(noun, line.stands_for) or "not linked",
            },
            sort_key={"quantity": lambda line: line.quantity},
            tone={
                "name": lambda line: "ink_faint" if line.archived else None,
                "stands_for": lambda line: {"": "over", ALONE: "ink_faint"}.get(line.stands_for),
            },
            choices={"stands_for": lambda _: parts_offered(noun)},
            tip={"name": lambda line: f"{line.code}  {line.name}" if line.code else line.name},
            row_id=lambda line: line.id,
            setter=self._set,
            doubt=lambda line, key: quantity_doubt(line.quantity, line.unit, line.name) if key == "quantity" else "",
        )
        self.table = RowsTable(self._model, f"Usual {noun}s")
        self.table.set_empty("No usual lines", f"Add the {noun}s a quote of this type nearly always has.")
        self.part = ChoiceField(placeholder=f"Another {noun}")
        self.part.setAccessibleName(f"Another {noun}")
        self.part.edited.connect(lambda key: self.quantity.set_unit(self._units.get(key, "")))
        self.quantity = QuantityField()
        self.quantity.setPlaceholderText("Quantity")
        self.quantity.setMinimumWidth(112)
        self.quantity.setAccessibleName("How many")
        self.adding = AddRow([self.part, self.quantity], "Add", self._add, draft=(self.desk, f"usual {noun}"))
        self._arrange()

    def _arrange(self) -> None:
        foot = QHBoxLayout()
        foot.setSpacing(4)
        foot.addWidget(tool_button("up", "Move up (Alt+Up)", lambda: self.move_current(-1)))
        foot.addWidget(tool_button("down", "Move down (Alt+Down)", lambda: self.move_current(1)))
        foot.addWidget(tool_button("trash", "Remove the line (Delete)", self.remove_current))
        words = "Without waste: it is added from the price list." if self._noun == "item" else "Before any factor."
        foot.addWidget(label(words, "small", "faint"))
        foot.addStretch(1)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 8, 0, 0)
        box.setSpacing(8)
        box.addWidget(self.adding)
        box.addWidget(self.table, 1)
        box.addLayout(foot)
        for keys, slot in (
            ("Delete", self.remove_current),
            ("Alt+Up", lambda: self.move_current(-1)),
            ("Alt+Down", lambda: self.move_current(1)),
        ):
            shortcut = QShortcut(QKeySequence(keys), self.table)
            shortcut.setContext(Qt.ShortcutContext.WidgetShortcut)
            shortcut.activated.connect(slot)

    def set_choices(self, choices: Sequence[tuple[int, str, str]]) -> None:
        """What can be added: id, words, unit."""
        self._units = {key: unit for key, _, unit in choices}
        self.part.set_choices([(key, words) for key, words, _ in choices])

    def show_lines(self, job_type_id: int, job_type: str, lines: Sequence[UsualLine]) -> None:
        """Show the lines of this job type."""
        self._job_type_id, self._job_type = job_type_id, job_type
        self._model.set_rows(lines)

    def move_current(self, step: int) -> None:
        """Move the line under the cursor."""
        if (line := self.table.current_row()) is not None:
            attempt(self.desk, f"Move {line.name}", lambda edit: self._verbs.move(edit, line.id, step))

    def remove_current(self) -> None:
        """Take the line under the cursor away."""
        if (line := self.table.current_row()) is not None:
            attempt(
                self.desk, f"Remove {line.name}", lambda edit: self._verbs.remove(edit, line.id),
                say=f"“{line.name}” is no usual line of “{self._job_type}” any more.", undo=True,
            )  # fmt: skip

    def _set(self, line: UsualLine, key: str, typed: str) -> str | None:
        if key == "stands_for":
            part, message = read_cell(lambda text: part_typed(self._noun, text), typed)
            return message or attempt(
                self.desk, f"What {line.name} stands for", lambda edit: self._verbs.link(edit, line.id, part)
            )
        quantity, message = read_cell(lambda text: parse_quantity(text, line.unit), typed)
        return message or attempt(
            self.desk, f"Usual quantity of {line.name}", lambda edit: self._verbs.change(edit, line.id, quantity)
        )

    def _add(self) -> str | None:
        part_id, quantity = self.part.value(), self.quantity.value()
        if part_id is None:
            return f"Choose the {self._noun} first."
        made: list[int] = []

        def work(edit: Any) -> None:
            made.append(self._verbs.add(edit, self._job_type_id, part_id, quantity or Decimal(1)))

        message = attempt(self.desk, f"Add a usual line to {self._job_type}", work)
        if made and not message:
            self.table.select_id(made[0])
            self.quantity.set_unit("")
        return message
