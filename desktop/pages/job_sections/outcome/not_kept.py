"""What was typed for a job and could not be taken: closing names it, since it is part of no figure."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import partial
from typing import Any

from PySide6.QtWidgets import QWidget

from desktop.desk import JOBS, Desk
from desktop.pages.drafts import JOB_FORMS
from desktop.pages.page import Section
from desktop.widgets.half import unkept_cells
from desktop.widgets.rows_model import RefusedCell
from domain.dates import format_day_short
from domain.errors import as_typed

_IN_THE_LOG = re.compile(r"not kept in (\w+) (\d{4}-\d\d-\d\d)(?: (\d+))? (\d+)")
_MOST = 4


@dataclass(frozen=True, slots=True)
class NotKept:
    """One text, where it stands, and the way there."""

    text: str
    where: str
    go: Callable[[], object] = field(compare=False)

    @property
    def words(self) -> str:
        """``“280” in the hours of Nov 3``."""
        return f"{self.text} {self.where}".strip()


def not_kept(desk: Desk, job_id: int, inside: QWidget) -> list[NotKept]:
    """Texts refused in the log of this job, on any day, and in its other tables; forms begun and not added.

    Args:
        inside: any widget of the job's page.
    """
    found = []
    for key, words in desk.drafts.under("not kept in "):
        there = _IN_THE_LOG.fullmatch(key)
        if there is None or int(there[4]) != job_id:
            continue
        name, day, person = there[1], date.fromisoformat(there[2]), there[3] or ""
        way = f"log {day} {person}".strip()
        for text in words.values():
            where = f"in the {name} of {format_day_short(day)}"
            typed = as_typed(text.partition("\n")[0])
            found.append(NotKept(typed, where, partial(desk.go, JOBS, job_id, way)))
    found += not_kept_in_tables(desk, job_id, inside)
    for name in dict.fromkeys(desk.drafts.begun(f" {job_id}")):
        if name in JOB_FORMS:
            found.append(NotKept("", f"{name}: typed, not added", lambda: desk.go(JOBS, job_id, "")))
    return found


def not_kept_in_tables(desk: Desk, job_id: int, inside: QWidget) -> list[NotKept]:
    """Refused cells of this job outside its log, those of the review itself among them."""
    found = []
    for table, cell in unkept_cells():
        above = table
        while above is not None and not isinstance(above, Section):
            above = above.parentWidget()
        if above is None or above.job_id != job_id or above.window() is not inside.window():
            continue
        if table.property("waits") and not table.property("waits beside"):
            continue  # the log's own: read from its drafts, with their days
        way = partial(_go_to_cell, desk, above, table, cell)
        found.append(NotKept(as_typed(cell.text), f"in {table.accessibleName()}", way))
    return found


def _go_to_cell(desk: Desk, section: Section, table: Any, cell: RefusedCell) -> None:
    desk.go(JOBS, section.job_id, type(section).__module__.split(".")[3])
    table.setFocus()
    table.select_id(cell.row_id, cell.key)


def told(ones: Sequence[NotKept]) -> str:
    """In a sentence or two; "" for none."""
    if not ones:
        return ""
    first = "; ".join(one.words for one in ones[:_MOST])
    more = f" and {len(ones) - _MOST} more" if len(ones) > _MOST else ""
    return f"Typed and not kept, so in no figure: {first}{more}."
