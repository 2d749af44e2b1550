"""What takes time: each count of the takeoff with the task it drives and the minutes that come of it."""

from __future__ import annotations

from db.commands.takeoff import choose_task
from desktop.pages.job_sections.quote.lines_table import LinesTable
from desktop.pages.job_sections.takeoff.editing import TakeoffEditing
from desktop.widgets.table import Column, RowsModel
from domain.errors import NotUnderstood
from domain.job_takeoff.choosing import task_typed, tasks_offered
from domain.job_takeoff.driving import Driven
from domain.units import format_minutes, format_quantity

COLUMNS = [
    Column("what", "What takes time", width=190, stretch=2),
    Column("count", "How many", "right", width=96),
    Column("task", "Task it drives", width=190, stretch=2, editable=True, tooltip="Remembered for every job"),
    Column("minutes", "Minutes", "right", width=88),
    Column("why", "Why", width=200, stretch=3),
]


class DrivenTable(LinesTable):
    """One row a count."""

    def __init__(self, editing: TakeoffEditing) -> None:
        self.editing = editing
        model = RowsModel(
            COLUMNS,
            text={
                "what": lambda one: one.words,
                "count": lambda one: format_quantity(one.driver.quantity, one.driver.unit.replace("each", "")),
                "task": _task, "why": _why,
                "minutes": lambda one: format_minutes(one.minutes) if one.pick is not None else "",
            },
            tone={
                "task": lambda one: "" if one.pick is not None else "ink_faint",
                "why": lambda _: "ink_soft",
            },
            tip={"why": _why},
            row_id=lambda one: one.key, setter=self._save,
            choices={"task": lambda one: tasks_offered(one.driver, editing.kept.picks.tasks)},
        )  # fmt: skip
        super().__init__(model, "What takes time", "task")
        self.set_empty("Nothing counted yet", "Feet, pits, passages and the like drive the minutes of your tasks.")

    def show_driven(self) -> None:
        """Show the counts as they stand."""
        self.rows_model().set_rows(self.editing.counted.driven)

    def _save(self, one: Driven, key: str, text: str) -> str | None:
        try:
            task_id = task_typed(one.driver, text, self.editing.kept.picks.tasks)
        except NotUnderstood as problem:
            return str(problem)
        return self.editing.save(
            f"Choose the task for {one.words}", lambda edit: choose_task(edit, one.key, task_id)
        ) or None  # fmt: skip


def _task(one: Driven) -> str:
    return one.pick.task.name if one.pick is not None else "no task of its own"


def _why(one: Driven) -> str:
    factor = f"{one.pick.why} × {one.pick.factor_percent / 100:f}" if one.pick is not None and one.pick.why else ""
    return "; ".join(part for part in (one.note, one.driver.reason, factor) if part)
