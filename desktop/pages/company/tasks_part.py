"""Labour tasks: what one can quote and log hours on, how long one unit takes, and what makes it longer."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from PySide6.QtWidgets import QVBoxLayout, QWidget

from db.commands import library
from db.queries import library as lists
from db.queries.library import used_counts
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from desktop.pages.company.list_table import AddRow, ListTable
from desktop.pages.company.named_lists import list_verbs
from desktop.pages.company.part import Part, attempt, read_cell
from desktop.widgets.cards import Card, label, panes
from desktop.widgets.form import NotesField, QuantityField, TextField
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.library import AccessCondition, LabourTask, minutes_under
from domain.units import format_percent, format_quantity, parse_percent, parse_quantity
from domain.unlikely import minutes_doubt, percent_doubt

_ROLES = {"work": "work", "travel": "travel", "callback": "callback"}


@dataclass(frozen=True, slots=True)
class _Factor:
    condition: AccessCondition
    percent: Decimal | None


class TasksPart(Part):
    """The tasks at the left; factors and caution of the current one at the right."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Labor tasks",
            "A quote multiplies quantity, minutes for one unit, and the factors of the job's conditions. The starting "
            "minutes are common practice without a source: make them yours.",
        )  # fmt: skip
        self._used: dict[int, int] = {}
        self._factors: dict[tuple[int, int], Decimal] = {}
        self._conditions: list[AccessCondition] = []
        self._task: LabourTask | None = None
        self._saver = Autosave(desk)
        self._make_list()
        split = panes(self.list, self._make_side(), (3, 2))
        split.setSizes([610, 410])
        self.add(split, 1)

    def _make_list(self) -> None:
        self.new_name, self.new_unit = TextField("Another task"), TextField("Unit")
        self.new_minutes = QuantityField("min", doubt=lambda minutes: minutes_doubt(int(minutes)))
        self.new_minutes.setPlaceholderText("Minutes")
        self.list = ListTable(
            self.desk,
            list_verbs("labour_task", "task", self._change),
            [
                Column("name", "Task", stretch=1, editable=True),
                Column("unit", "Unit", width=66, editable=True, tooltip="What is counted: each, ft, joint, hour …"),
                Column("standard_minutes", "For one", "right", width=92, editable=True, tooltip="Minutes for one unit"),
                Column("role", "Counts as", width=92, editable=True, tooltip="work, travel or callback"),
                Column("used", "Used", "right", width=58, tooltip="How often it is quoted or logged"),
            ],
            "Labor tasks",
            add_row=AddRow(
                [self.new_name, self.new_unit, self.new_minutes], "Add", self._add, draft=(self.desk, "labor task")
            ),
            text={
                "standard_minutes": lambda task: format_quantity(task.standard_minutes, "min"),
                "used": lambda task: str(self._used.get(task.id, "–")),
            },
            sort_key={
                "standard_minutes": lambda task: task.standard_minutes,
                "used": lambda task: self._used.get(task.id, 0),
            },
            doubt=lambda task, key: minutes_doubt(int(task.standard_minutes)) if key == "standard_minutes" else "",
            choices={
                "unit": lambda _: sorted({task.unit for task in self.list.model.rows}),
                "role": lambda _: list(_ROLES),
            },
        )
        self.list.table.set_empty("No task yet", "Type the first one above: what one does, its unit, its minutes.")
        self.list.current_changed.connect(self._show)
        self.list.archived_wanted.connect(lambda _: self.refresh())

    def _make_side(self) -> QWidget:
        self.factor_model = RowsModel(
            [
                Column("condition", "Condition", stretch=1),
                Column("percent", "It takes", "right", width=84, editable=True),
                Column("minutes", "For one", "right", width=84),
            ],
            text={
                "condition": lambda factor: factor.condition.name,
                "percent": lambda factor: format_percent(factor.percent) if factor.percent is not None else "–",
                "minutes": self._longer,
            },
            row_id=lambda factor: factor.condition.id,
            setter=self._set_factor,
            doubt=lambda factor, _key: percent_doubt(factor.percent, Decimal(250), Decimal(50))
            if factor.percent is not None else "",
        )
        self.factors = RowsTable(self.factor_model, "Factors of the task")
        self.factors.set_empty("No access condition yet", "Add some under Access conditions.")
        self.caution = NotesField("What to mind when doing it", lines=4)
        self.caution.setAccessibleName("Caution")
        self._saver.bind(
            self.caution, "Change a caution",
            lambda edit, text: library.change_labour_task(edit, self._task.id if self._task else 0, caution=text),
            lambda: self._task and ("labor task", self._task.id),
        )  # fmt: skip
        self.card = Card("Factors")
        self.card.add(
            label("130% takes 1.3 times as long. Several conditions multiply. Empty: no difference.", "small", "soft",
                  wrap=True)
        )  # fmt: skip
        self.card.add(self.factors, 1)
        self.card.add(label("Caution", "small", "soft"))
        self.card.add(self.caution)
        side = QWidget()
        box = QVBoxLayout(side)
        box.setContentsMargins(8, 0, 0, 0)
        box.addWidget(self.card)
        side.setMinimumWidth(330)
        return side

    def refresh(self) -> None:
        with self.desk.read() as conn:
            tasks = lists.labour_tasks(conn, self.list.shows_archived())
            self._used = used_counts(conn, "labour_task")
            self._conditions = lists.access_conditions(conn)
            self._factors = {
                (factor.task_id, factor.condition_id): factor.factor_percent for factor in lists.task_factors(conn)
            }
        self.list.set_rows(tasks, f"{sum(not task.archived for task in tasks)} offered")
        if self.list.table.current_row() is None and tasks:
            self.list.select(tasks[0].id)
        self._show(self.list.table.current_row())

    def _show(self, task: LabourTask | None) -> None:
        before, self._task = self._task, task
        self.card.setEnabled(task is not None)
        if task is None:
            self.factor_model.set_rows([])
            self.caution.reset("")
            return
        self.card.header.set_words("Factors", task.name)
        self.factor_model.set_rows(
            [_Factor(one, self._factors.get((task.id, one.id))) for one in self._conditions]
        )
        if before is not None and before.id != task.id and self.caution.hasFocus():
            self._task = before
            self.caution.commit()
            self._task = task
        self._saver.show(self.caution, task.caution)

    def _longer(self, factor: _Factor) -> str:
        if factor.percent is None or self._task is None:
            return ""
        return format_quantity(minutes_under(self._task, factor.percent), "min")

    def _set_factor(self, factor: _Factor, key: str, typed: str) -> str | None:
        if self._task is None:
            return None
        percent, message = (None, None) if typed.strip() in ("", "–", "-") else read_cell(parse_percent, typed)
        task, condition = self._task, factor.condition
        return message or attempt(
            self.desk, f"Factor of {task.name}, {condition.name}",
            lambda edit: library.set_task_factor(edit, task.id, condition.id, percent),
        )  # fmt: skip

    def _change(self, task: LabourTask, key: str, typed: str) -> str | None:
        value: Any = typed.strip()
        if key == "standard_minutes":
            value, message = read_cell(lambda text: parse_quantity(text, "min"), typed)
            if message:
                return message
        return attempt(
            self.desk, f"Change {task.name}", lambda edit: library.change_labour_task(edit, task.id, **{key: value})
        )

    def _add(self) -> str | tuple[str, QWidget] | None:
        name, unit = self.new_name.value(), self.new_unit.value() or "each"
        minutes = self.new_minutes.value()
        if minutes is None:
            return "Say how many minutes one takes.", self.new_minutes
        made: list[int] = []
        message = attempt(
            self.desk, f"Add {name}", lambda edit: made.append(library.add_labour_task(edit, name, unit, minutes))
        )
        if made and not message:
            self.list.select(made[0])
        return message
