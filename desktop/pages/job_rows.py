"""The table of jobs, as the job list and a customer's page show it."""

from __future__ import annotations

from PySide6.QtGui import QResizeEvent

from desktop.desk import JOBS, Desk
from desktop.pages.states import deadline_tone, deadline_words, state_tone, state_word
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.dates import format_day_short
from domain.jobs import STATES, JobRow
from domain.money import format_money

_ONLY_IN_FULL = ("customer", "opened")
_ROOM_FOR_OPENED = 1320
"""From this width on the day a job was opened is shown; below, the work needs the room, and numbers tell the order."""


class _Jobs(RowsTable):
    def resizeEvent(self, event: QResizeEvent) -> None:
        keys = [column.key for column in self.rows_model().columns]
        if "opened" in keys:
            self.setColumnHidden(keys.index("opened"), self.width() < _ROOM_FOR_OPENED)
        super().resizeEvent(event)


def jobs_table(desk: Desk, *, full: bool = True) -> RowsTable:
    """A table of JobRow; Enter or a double click opens the job. Not in full: for a customer's own page."""
    today = desk.today
    columns = [
        Column("number", "Job", width=84),
        Column("customer", "Customer", stretch=2),
        Column("place", "Property"),
        Column("what", "Work", stretch=3),
        Column("state", "State", kind="state"),
        Column("deadline", "Deadline"),
        Column("price", "Price", "right", width=104, tooltip="Sent or accepted price with change orders, before tax"),
        Column("opened", "Opened"),
    ]
    model = RowsModel(
        [column for column in columns if full or column.key not in _ONLY_IN_FULL],
        text={
            "what": work_words,
            "state": lambda row: state_word(row.state, row.closed_on is not None),
            "deadline": lambda row: deadline_words(row.deadline_on, today(), with_date=full),
            "price": lambda row: format_money(row.price_cents) if row.price_cents is not None else "",
            "opened": lambda row: format_day_short(row.opened_on),
        },
        sort_key={
            "state": lambda row: (row.closed_on is not None, STATES.index(row.state)),
            "deadline": lambda row: row.deadline_on,
            "price": lambda row: row.price_cents,
            "opened": lambda row: (row.opened_on, row.id),
        },
        tone={
            "state": lambda row: state_tone(row.state, row.closed_on is not None),
            "deadline": lambda row: deadline_tone(row.deadline_on, today()),
        },
        tip={
            "what": lambda row: f"{row.job_type}: {row.title}" if row.title else row.job_type,
            "deadline": lambda row: ": ".join(
                part for part in (row.deadline_reason, deadline_words(row.deadline_on, today())) if part
            ),
            "place": lambda row: row.place,
            "customer": lambda row: row.customer,
        },
        row_id=lambda row: row.id,
    )
    table = _Jobs(model, name="Jobs")
    table.row_activated.connect(lambda row: row is not None and desk.go(JOBS, row.id))
    return table


def work_words(row: JobRow) -> str:
    """What a job is about: its title, else its type."""
    return row.title or row.job_type


def fit_height(table: RowsTable, most: int = 8, least: int = 1) -> None:
    """Make a table within a page as high as its rows, up to so many; an empty one keeps room for its guidance."""
    height = table.horizontalHeader().minimumHeight() + table.rows_height(least, most) + 6
    table.setFixedHeight(height if table.model().rowCount() else 190)
