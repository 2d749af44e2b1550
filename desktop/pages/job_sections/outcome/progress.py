"""How far along an open job is, task by task, and where it is heading."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from db.commands.learning import note_progress
from db.queries.heading import first_warnings
from db.queries.track_record import progress_of
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from desktop.widgets.cards import Card, label, set_tone
from desktop.widgets.full_table import FullTable
from desktop.widgets.table import Column, RowsModel
from domain.costing import JobFigures
from domain.costing.over import clearly_over
from domain.earned_value import JobProgress, TaskProgress, earned_value, job_progress
from domain.errors import NotUnderstood
from domain.units import format_minutes, format_percent, parse_percent


@dataclass(frozen=True, slots=True)
class TaskSoFar:
    """A quoted task of an open job; ``done`` is None while the owner has said nothing."""

    task_id: int
    task: str
    quoted: int
    logged: int
    done: Decimal | None


class ProgressCard(Card):
    """Type how much of a task is done; the rest follows."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("How far along", "type how much of a task is done: 40 for two fifths")
        self.desk = desk
        self._saver = Autosave(desk)
        self._job_id = 0
        self.words = label("", "body", wrap=True)
        self.table = FullTable(
            RowsModel(
                [
                    Column("task", "Task", stretch=1), Column("quoted", "Quoted", "right", width=96),
                    Column("logged", "Logged", "right", width=96, tooltip="On what was quoted"),
                    Column("done", "Done", "right", width=90, editable=True, tooltip="Percent; empty: not said"),
                    Column("heading", "Heading for", "right", width=120),
                ],
                text={
                    "quoted": lambda row: format_minutes(row.quoted), "logged": lambda row: format_minutes(row.logged),
                    "done": lambda row: format_percent(row.done) if row.done is not None else "",
                    "heading": _heading,
                },
                tone={"heading": lambda row: "over" if _over(row) else ""},
                row_id=lambda row: row.task_id, setter=self._save, can_edit=lambda row, key: True,
            ),
            "How far along, task by task",
        )  # fmt: skip
        self.add(self.words)
        self.add(self.table)

    def show_job(self, job_id: int, figures: JobFigures, *, running: bool) -> None:
        """An open job with an accepted quote and something logged."""
        self._job_id = job_id
        quoted: dict[int, tuple[str, int]] = {}
        for sold in figures.sold:
            for line in sold.labour:
                name, minutes = quoted.get(line.task_id, (line.task, 0))
                quoted[line.task_id] = (name, minutes + line.minutes)
        logged: dict[int, int] = {}
        beside = 0
        for entry in figures.labour:
            if entry.unquoted or entry.task_id not in quoted:
                beside += entry.minutes
            else:
                logged[entry.task_id] = logged.get(entry.task_id, 0) + entry.minutes
        there = running and bool(quoted) and bool(figures.labour)
        self.setVisible(there)
        if not there:
            return
        with self.desk.read() as conn:
            noted, first = progress_of(conn, job_id), first_warnings(conn, [job_id]).get(job_id)
        rows = [
            TaskSoFar(task_id, name, minutes, logged.get(task_id, 0),
                      noted[task_id].done_percent if task_id in noted else None)
            for task_id, (name, minutes) in quoted.items()
        ]  # fmt: skip
        self.table.rows_model().set_rows(rows)
        value = value_so_far(rows, beside)
        warning = value.warning
        told = " ".join((warning, first.words)) if warning and first else warning
        self.words.setText(told or _calm_words(value))
        set_tone(self.words, "over" if warning else "")

    def _save(self, row: TaskSoFar, key: str, text: str) -> str | None:
        try:
            done = parse_percent(text) if text.strip() else None
        except NotUnderstood as problem:
            return str(problem)
        job_id, day = self._job_id, self.desk.today()
        return (
            self._saver.refusal(
                f"Say how much of {row.task.lower()} is done",
                lambda edit: note_progress(edit, job_id, row.task_id, done, day),
            )
            or None
        )


def value_so_far(rows: list[TaskSoFar], unquoted_minutes: int) -> JobProgress:
    """Tasks nothing was said of count as they are quoted; unquoted work is spent and earns nothing."""
    return job_progress(
        {row.task_id: row.quoted for row in rows},
        {row.task_id: row.logged for row in rows},
        {row.task_id: row.done for row in rows if row.done is not None},
        unquoted_minutes,
    )


def _heading(row: TaskSoFar) -> str:
    if not row.done:
        return ""
    whole = earned_value([TaskProgress(row.task, row.quoted, row.logged, row.done)]).estimate_at_completion
    return format_minutes(whole) if whole is not None else ""


def _over(row: TaskSoFar) -> bool:
    if not row.done:
        return False
    whole = earned_value([TaskProgress(row.task, row.quoted, row.logged, row.done)]).estimate_at_completion
    return whole is not None and clearly_over(whole, row.quoted)


def _calm_words(value: JobProgress) -> str:
    if not value.said.budget:
        return "Say how much of each task is done, and it shows where the job is heading."
    done, whole, index = value.said.percent_done, value.whole, value.said.cost_index
    if done is None or whole is None:
        return "Nothing of what you spoke of is done yet."
    pace = f": each hour does the work of {float(index):.2f} quoted hours" if index is not None else ""
    what = "the quoted work" if not value.unsaid_quoted else "what you spoke of"
    return (
        f"{format_percent(done)} of {what} is done in {format_minutes(value.said.spent)}{pace}. "
        f"Heading for {format_minutes(whole)} of {format_minutes(value.budget)}."
    )
