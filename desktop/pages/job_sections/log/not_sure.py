"""What the log asks about at its foot: entries that may be a slip, and texts that could not be taken."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QObject

from db.queries.log_page import LogPage
from desktop.pages.job_sections.log.foot import LogFoot
from desktop.widgets.table import RowsTable
from domain.errors import as_typed
from domain.log_doubts import day_doubt, entry_doubt


class NotSure(QObject):
    """Speaks through the foot; `changed` is called when what it shows has changed."""

    def __init__(self, foot: LogFoot, tables: Sequence[RowsTable], go_to_task: Callable[[object], object]) -> None:
        super().__init__(foot)
        self._foot, self._tables, self._go_to_task = foot, tables, go_to_task
        self._sure: set[tuple[object, int]] = set()
        self._asked: tuple[object, int] | None = None
        for table in tables:
            table.rows_model().refusals.connect(self.tell_refused)

    def show_page(self, page: LogPage, person_id: int) -> None:
        """Ask about the last entry of the day that may be a slip, else about the whole day."""
        words, key, self._asked = "", None, None
        names = {task.id: task.name for task in page.lists.tasks}
        mine = [one for one in page.log.hours if (one.day, one.person_id) == (page.day, person_id)]
        for entry in () if page.is_closed else reversed(mine):
            quoted = 0 if entry.unquoted else sum(
                line.minutes for line in page.budget.labour if line.task_id == entry.task_id
            )
            if (entry.id, entry.minutes) not in self._sure:
                words = entry_doubt(names.get(entry.task_id, "this task"), entry.minutes, quoted)
            if words:
                self._asked, key = (entry.id, entry.minutes), entry
                break
        total = (("day", page.job.id, page.day, person_id), sum(one.minutes for one in mine))
        if not words and total not in self._sure and not page.is_closed:
            person = next((one.name for one in page.lists.people if one.id == person_id), "one person")
            self._asked, words = total, day_doubt(person, total[1])
        self._entry = key
        action = ("It is right", self._is_sure)
        self._foot.doubt.set_words("caution", words, action if words else None)
        self.tell_refused()

    def _is_sure(self) -> None:
        if self._asked is not None:
            self._sure.add(self._asked)
        self._foot.doubt.set_words("caution", "")
        self._foot.choose()
        self._go_to_task(self._entry)

    def tell_refused(self) -> None:
        """Name what could not be taken last, and lead back to it."""
        cells = [(table, cell) for table in self._tables for cell in table.rows_model().refused_cells()]
        if not cells:
            self._foot.refused.set_words("error", "")
            self._foot.doubt.set_second(None)
        else:
            table, cell = cells[0]
            model = table.rows_model()
            on = model.text(model.row_at(model.find(cell.row_id)), "what") if cell.key != "what" else ""
            place = f" on {on}" if on else ""
            more = f" And {len(cells) - 1} more." if len(cells) > 1 else ""
            self._foot.refused.set_words(
                "error", f"Not kept yet: {as_typed(cell.text)}{place}. {cell.message}{more}",
                ("Go to it", self.go_to_refused),
            )  # fmt: skip
            first = as_typed(cell.text[:12]) if len(cells) == 1 else f"{len(cells)} entries"
            self._foot.doubt.set_second((f"Not kept yet: {first}", self.go_to_refused))  # both are in reach
        self._foot.choose()

    def go_to_refused(self) -> None:
        """Put the cursor on the first text that could not be taken."""
        for table in self._tables:
            for cell in table.rows_model().refused_cells():
                table.setFocus()
                table.select_id(cell.row_id, cell.key)
                return
