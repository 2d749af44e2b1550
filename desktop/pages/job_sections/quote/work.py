"""The work on a quote: task, quantity, the standard and how it came about, what the owner thinks instead."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtGui import QResizeEvent

from db.commands.quotes import add_labour, change_labour
from db.edit import Edit
from db.queries.cases import Cases
from desktop.pages.job_sections.quote.editing import QuoteEditing
from desktop.pages.job_sections.quote.line_card import LineCard
from desktop.pages.job_sections.quote.record.line_seen import LineSeen
from desktop.widgets.quoted_actual_bar import common_scale
from desktop.widgets.table import Column
from domain.job_price import LineCase
from domain.money import format_money, labour_cents
from domain.quoting.doubts import costs_nothing
from domain.quoting.lines import LabourLine
from domain.quoting.quantities import minutes_in_words
from domain.quoting.typed import CREW_WORDS, Values, blank_labour, labour_then, labour_values
from domain.units import format_minutes, format_quantity
from domain.unlikely import minutes_doubt, quantity_doubt

ROOM_FOR_BARS = 800
ROOM_FOR_WHY = 720
"""Below this width the standard is its minutes alone, how they came about is in its tip; and the last time has room."""


class WorkCard(LineCard):
    """Labour lines."""

    kind, first, word = "labour", "task", "line of work"

    def __init__(self, editing: QuoteEditing, title: str, note: str) -> None:
        self._seen: dict[int, LineSeen] = {}
        self._scale = 1.0
        self._cases = Cases()
        self._brief = False
        super().__init__(editing, title, note)
        for key in ("seen", "last"):
            self.table.setColumnHidden(self.model.column_of(key), True)

    def columns(self) -> list[Column]:
        return [
            Column("task", "Task", stretch=3, editable=True, tooltip="Type any part of a task's name"),
            Column("quantity", "Qty", "right", width=54, editable=True, tooltip="Quantity"),
            Column("why", "Standard", stretch=2, tooltip="Quantity × standard minutes × access conditions"),
            Column("override", "Yours", "right", width=68, editable=True,
                   tooltip="Your own time instead of the standard: 2h15, 2.25, 45m. Empty: the standard"),
            Column("seen", "Expected", kind="bar", width=92, stretch=1,
                   tooltip="Your time, what finished jobs expect, and where 8 of 10 such lines end; Ctrl+R says why"),
            Column("last", "Last time", width=120, stretch=1,
                   tooltip="On the last such job; here, at its pace. Ctrl+J: see it; Ctrl+Shift+J: take it"),
            Column("reason", "Reason", stretch=1, editable=True, tooltip="Access conditions, or why yours differs"),
            Column("crew", "Who", width=68, editable=True),
            Column("cost", "Cost", "right", width=84),
        ]  # fmt: skip

    def texts(self) -> dict[str, Callable[[LabourLine], Any]]:
        return {
            "task": lambda line: self._name(line) if line.task_id else "Add work: type a task",
            "quantity": lambda line: format_quantity(line.quantity) if line.task_id else "",
            "why": lambda line: self._standard(self.shown(line)),
            "override": lambda line: format_minutes(line.override_minutes) if line.override_minutes is not None else "",
            "last": self._last_time,
            "crew": lambda line: CREW_WORDS[line.crew] if line.task_id else "",
            "cost": lambda line: self._cost(self.shown(line)),
        }

    def tones(self) -> dict[str, Callable[[LabourLine], str]]:
        return {
            "task": lambda line: "" if line.id else "ink_faint",
            "why": lambda line: "ink_faint" if self.shown(line).override_minutes is not None else "ink_soft",
            "override": lambda line: _override_tone(self.shown(line)),
            "cost": lambda line: "over" if line.task_id and costs_nothing(self.shown(line)) else "",
        }

    def tips(self) -> dict[str, Callable[[LabourLine], str]]:
        return {
            "task": self._caution,
            "why": self._whole_why,
            "seen": lambda line: self._seen[line.id].words if line.id in self._seen else "",
            "last": self._last_tip,
            "cost": lambda line: f"{format_minutes(line.minutes)} at {format_money(line.rate_cents)} an hour"
            if line.task_id
            else "",
        }

    def bars(self) -> dict[str, Callable[[LabourLine], Any]]:
        return {"seen": self._bar}

    def show_seen(self, lines: Sequence[LineSeen]) -> None:
        """What finished jobs expect of the lines; the column is away where they say nothing."""
        seen = {line.id: line for line in lines}
        if seen == self._seen:
            return
        self._seen, self._scale = seen, common_scale([(line.own, line.high) for line in lines])
        self._make_room()
        self.model.set_rows(self.model.rows)

    def show_cases(self, cases: Cases) -> None:
        """What each task took on the last such job; the column is away where finished jobs tell more."""
        if cases == self._cases:
            return
        self._cases = cases
        self._make_room()
        self.model.set_rows(self.model.rows)

    def case_of(self, line: LabourLine | None) -> LineCase | None:
        """The last such job of a line's task."""
        return self._cases.of(self._name(line)) if line is not None and line.task_id else None

    def _last_tip(self, line: LabourLine) -> str:
        case = self.case_of(line)
        return f"{case.words}. {case.here(line.quantity, line.factor_percent)}" if case else ""

    def _last_time(self, line: LabourLine) -> str:
        case = self.case_of(line)
        return f"{case.beside(line.quantity, line.factor_percent)} · {case.number}" if case else ""

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._make_room()

    def _make_room(self) -> None:
        """The bars stand where they fit; the view "Track record" has them in any window."""
        narrow = self.width() < ROOM_FOR_BARS
        self.table.setColumnHidden(self.model.column_of("seen"), not self._seen or narrow)
        self.table.setColumnHidden(self.model.column_of("last"), not self._cases.tasks or bool(self._seen))
        if (brief := self.width() < ROOM_FOR_WHY) != self._brief:
            self._brief = brief
            self.model.set_rows(self.model.rows)

    def _standard(self, line: LabourLine) -> str:
        """How long it takes by the standard, and where there is room how that comes about."""
        return format_minutes(line.standard_minutes) if self._brief and line.task_id else self._why(line)

    def _bar(self, line: LabourLine) -> tuple[int, int, float, int, int] | None:
        seen = self._seen.get(line.id)
        return (seen.own, seen.expected, self._scale, seen.low, seen.high) if seen else None

    def choices(self) -> dict[str, Callable[[LabourLine], list[str]]]:
        return {
            "task": lambda _: self.editing.page.picks.task_names if self.editing.page else [],
            "crew": lambda _: list(CREW_WORDS.values()),
        }

    def doubt(self, line: LabourLine, key: str) -> str:
        if key == "quantity":
            return quantity_doubt(line.quantity, self._unit(line))
        if key == "override" and line.override_minutes is not None:
            return minutes_doubt(line.override_minutes, line.standard_minutes)
        return ""

    def lines(self) -> list[LabourLine]:
        return [line for line in self.editing.document.labour if line.option_id == self.editing.option_id]

    def show_lines(self, total: str) -> None:
        """Show the lines; a sent quote in which every time is the standard leaves the room to the reasons."""
        own = any(line.override_minutes is not None for line in self.lines())
        self.table.setColumnHidden(self.model.column_of("override"), self.editing.frozen and not own)
        super().show_lines(total)

    def blank(self) -> LabourLine:
        return blank_labour(self.editing.quote, self.editing.option_id)

    def values(self, line: LabourLine, key: str, text: str) -> Values:
        assert self.editing.page is not None
        return labour_values(key, text, self._unit(line), self.editing.page.picks)

    def then(self, line: LabourLine, values: Values) -> LabourLine:
        assert self.editing.page is not None
        return labour_then(line, values, self.editing.page.picks, self.editing.quote)

    def add_line(self, edit: Edit, line: LabourLine) -> int:
        return add_labour(edit, line.quote_id, line.task_id, line.quantity, option_id=line.option_id)

    def change_line(self, edit: Edit, line_id: int, values: Values) -> None:
        change_labour(edit, line_id, **values)

    def named(self, line: LabourLine) -> str:
        return self._name(line).lower()

    def _name(self, line: LabourLine) -> str:
        pick = self.editing.page.picks.task(line.task_id) if self.editing.page else None
        return pick.task.name if pick else ""

    def _unit(self, line: LabourLine) -> str:
        pick = self.editing.page.picks.task(line.task_id) if self.editing.page else None
        return pick.task.unit if pick else ""

    def _caution(self, line: LabourLine) -> str:
        pick = self.editing.page.picks.task(line.task_id) if self.editing.page else None
        return pick.task.caution if pick else ""

    def _cost(self, line: LabourLine) -> str:
        return format_money(labour_cents(line.minutes, line.rate_cents)) if line.task_id else ""

    def _why(self, line: LabourLine) -> str:
        if not line.task_id:
            return ""
        words = minutes_in_words(line.quantity, self._unit(line), line.unit_minutes, line.factor_percent, "")
        return f"{format_minutes(line.standard_minutes)} = {words}"

    def _whole_why(self, line: LabourLine) -> str:
        """``2 h 53 = 12 joints × 9 min × 1.6 low crawl``; what the owner typed instead keeps its own reason."""
        if not line.task_id:
            return ""
        why = line.reason if line.override_minutes is None else ""
        words = minutes_in_words(line.quantity, self._unit(line), line.unit_minutes, line.factor_percent, why)
        return f"{format_minutes(line.standard_minutes)} = {words}"


def _override_tone(line: LabourLine) -> str:
    """More than the standard reads as over, less as under."""
    if line.override_minutes is None or line.override_minutes == line.standard_minutes:
        return ""
    return "over" if line.override_minutes > line.standard_minutes else "under"
