"""What is logged on the day, entry by entry: every figure can be corrected in place, everything can be taken out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

from db.commands.log import (
    change_hours,
    change_material,
    change_other_cost,
    change_time,
    remove_hours,
    remove_material,
    remove_other_cost,
)
from db.queries.log_page import LogPage
from desktop.desk import Desk
from desktop.pages.job_sections.log.costs_panel import NAMES
from desktop.pages.job_sections.log.entering import enter, pick
from desktop.pages.job_sections.log.log_table import show_all_rows
from desktop.widgets.cards import Card, button, label
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.actuals import HoursEntry, MaterialUse, OtherCost
from domain.errors import NotUnderstood
from domain.log_entry import format_hours, parse_hours
from domain.money import format_money, format_unit_cost, labour_cents, line_cents, parse_unit_cost
from domain.units import format_quantity, parse_quantity

Entry = HoursEntry | MaterialUse | OtherCost

_CHANGE: dict[type, Callable[..., None]] = {
    HoursEntry: change_hours, MaterialUse: change_material, OtherCost: change_other_cost,
}  # fmt: skip
_REMOVE: dict[type, Callable[..., None]] = {
    HoursEntry: remove_hours, MaterialUse: remove_material, OtherCost: remove_other_cost,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class EntryRow:
    """One entry of any kind with the words the table shows."""

    entry: Entry
    what: str
    who: str  # the person, or where it came from
    amount: str
    each: str  # rate or price
    cents: int
    cause: str

    @property
    def key(self) -> tuple[str, int]:
        """What makes it the same row after a refresh."""
        return (type(self.entry).__name__, self.entry.id)


def entry_rows(page: LogPage) -> list[EntryRow]:
    """The entries of the page's day: hours, materials, costs."""
    tasks = {task.id: task.name for task in page.lists.tasks}
    people = {one.id: one.name for one in page.lists.people}
    causes = {cause.id: cause.name for cause in page.lists.causes}
    rows = [
        EntryRow(
            one, tasks.get(one.task_id, "?"), people.get(one.person_id, "?"), format_hours(one.minutes, one.began),
            f"{format_money(one.rate_cents)}/h", labour_cents(one.minutes, one.rate_cents),
            causes.get(one.cause_id or 0, ""),
        )
        for one in page.log.hours
        if one.day == page.day
    ]  # fmt: skip
    rows += [
        EntryRow(
            use, use.description, f"receipt {use.receipt}".strip() if use.source == "receipt" else "stock",
            format_quantity(use.quantity, use.unit), format_unit_cost(use.unit_cost),
            line_cents(use.quantity, use.unit_cost), causes.get(use.cause_id or 0, ""),
        )
        for use in page.log.materials
        if use.day == page.day
    ]  # fmt: skip
    rows += [
        EntryRow(
            cost, " · ".join(part for part in (NAMES[cost.kind], cost.description) if part), "",
            format_quantity(cost.quantity, "mi" if cost.unit == "mile" else "" if cost.unit == "each" else cost.unit),
            format_unit_cost(cost.unit_cost), line_cents(cost.quantity, cost.unit_cost),
            causes.get(cost.cause_id or 0, ""),
        )
        for cost in page.log.others
        if cost.day == page.day
    ]  # fmt: skip
    return rows


class _EntriesTable(RowsTable):
    """Delete takes the row out, U turns its mark where nothing can be typed."""

    def __init__(self, model: RowsModel, remove: Callable[[], object], turn: Callable[[], object]) -> None:
        super().__init__(model, name="Entries of this day")
        self._acts = {Qt.Key.Key_Delete: remove, Qt.Key.Key_Backspace: remove, Qt.Key.Key_U: turn}
        self.setSortingEnabled(False)
        self.horizontalHeader().setSortIndicatorShown(False)
        show_all_rows(self, when_empty=110)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        act = self._acts.get(Qt.Key(event.key()))
        if event.key() == Qt.Key.Key_U and self.rows_model().can_edit(self.currentIndex()):
            act = None  # it begins a word typed into this cell
        if act and event.modifiers() == Qt.KeyboardModifier.NoModifier and self.state() != self.State.EditingState:
            act()
        else:
            super().keyPressEvent(event)


class EntriesCard(Card):
    """The table of the day's entries."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("Entries of this day")
        self._desk = desk
        self._page: LogPage | None = None
        model = RowsModel(
            [
                Column("what", "What", stretch=3, editable=True),
                Column("who", "Who or from", width=128, editable=True),
                Column("amount", "How much", "right", width=112, editable=True),
                Column("each", "At", "right", width=92, editable=True, tooltip="Burdened rate, or price of one"),
                Column("cost", "Cost", "right", width=96, tooltip="Hours at their rate; overhead is told above"),
                Column("mark", "", width=104, kind="state"),
                Column("cause", "Because", stretch=2, editable=True),
                Column("note", "Note", stretch=2, editable=True),
            ],
            text={
                "cost": lambda row: format_money(row.cents),
                "mark": lambda row: "not quoted" if row.entry.unquoted else "",
                "note": lambda row: row.entry.note,
            },
            tone={"mark": lambda _row: "over"},
            row_id=lambda row: row.key,
            setter=self._set,
            can_edit=self._can_edit,
            choices={"what": self._what_choices, "who": self._who_choices, "cause": self._cause_choices},
        )
        self.table = _EntriesTable(model, self.remove, self.turn_unquoted)
        self.table.set_empty("Nothing logged on this day yet", "Type a time beside a task above; it is saved at once.")
        self.mark_button = button("Not quoted", self.turn_unquoted, "quiet", tip="Mark or unmark the row (U)")
        self.remove_button = button("Remove", self.remove, "quiet", "trash", "Remove the row (Delete)")
        self.add_action(self.mark_button)
        self.add_action(self.remove_button)
        self.add(self.table)
        self.add(label("Enter corrects a figure · Delete removes it · U on its cost: not quoted", "small", "faint"))

    def show_page(self, page: LogPage) -> None:
        """Show the entries of the page's day."""
        self._page = page
        rows = entry_rows(page)
        self.table.rows_model().set_rows(rows)
        self.header.set_words("Entries of this day", _total_words(rows))
        for one in (self.mark_button, self.remove_button):
            one.setVisible(bool(rows) and not page.is_closed)

    # Correcting.

    def _can_edit(self, row: EntryRow, key: str) -> bool:
        if self._page is None or self._page.is_closed:
            return False
        hours = isinstance(row.entry, HoursEntry)
        if key == "each":
            return not hours
        if key == "who":
            return hours or isinstance(row.entry, MaterialUse)
        return key != "what" or hours or isinstance(row.entry, OtherCost)

    def _what_choices(self, row: EntryRow) -> list[str]:
        return [t.name for t in self._page.lists.tasks] if self._page and isinstance(row.entry, HoursEntry) else []

    def _who_choices(self, row: EntryRow) -> list[str]:
        if isinstance(row.entry, HoursEntry):
            return [one.name for one in self._page.lists.people] if self._page else []
        return ["stock", "receipt"]

    def _cause_choices(self, _row: EntryRow) -> list[str]:
        return [cause.name for cause in self._page.lists.causes if not cause.archived] if self._page else []

    def _set(self, row: EntryRow, key: str, text: str) -> str | None:
        try:
            values = self._values(row.entry, key, text)
        except NotUnderstood as error:
            return str(error)
        if isinstance(row.entry, HoursEntry) and key == "amount" and (typed := parse_hours(text)) is not None:
            entry_id = row.entry.id
            return enter(self._desk, f"Change {row.what}", lambda edit: change_time(edit, entry_id, typed))
        if not values:
            return "Type how much, or press Escape and Delete to remove the entry."
        return self._change(row, f"Change {row.what}", **values)

    def _values(self, entry: Entry, key: str, text: str) -> dict[str, Any]:
        assert self._page is not None
        if key == "note":
            return {"note": text}
        if key == "cause":
            causes = [(cause.id, cause.name) for cause in self._page.lists.causes]
            return {"cause_id": pick(text, causes) if text.strip() else None}
        if key == "each":
            return {"unit_cost": parse_unit_cost(text.split("/")[0])}
        if isinstance(entry, HoursEntry):
            return self._hours_values(key, text)
        if key == "what":
            assert isinstance(entry, OtherCost)
            return {"description": text.removeprefix(NAMES[entry.kind]).strip(" ·")}
        if key == "who":
            source, _, receipt = text.strip().partition(" ")
            return {"source": source.casefold(), "receipt": receipt.strip()}
        return {"quantity": _quantity(text, entry.unit)}

    def _hours_values(self, key: str, text: str) -> dict[str, Any]:
        assert self._page is not None
        if key == "what":
            return {"task_id": pick(text, [(task.id, task.name) for task in self._page.lists.tasks])}
        if key == "who":
            return {"person_id": pick(text, [(one.id, one.name) for one in self._page.lists.people])}
        typed = parse_hours(text)
        return {"minutes": typed.minutes, "began": typed.began} if typed else {}

    def _change(self, row: EntryRow, words: str, **values: Any) -> str | None:
        change = _CHANGE[type(row.entry)]
        return enter(self._desk, words, lambda edit: change(edit, row.entry.id, **values))

    def remove(self) -> None:
        """Take the current entry out; Undo is offered."""
        row: EntryRow | None = self.table.current_row()
        if row is None or self._page is None or self._page.is_closed:
            return
        take_out = _REMOVE[type(row.entry)]
        words = f"{row.amount} of {row.what}"
        self._desk.do(
            f"Remove {words}", lambda edit: take_out(edit, row.entry.id), say=f"Removed: {words}", undo=True
        )

    def turn_unquoted(self) -> None:
        """Mark the current entry as not quoted, or take the mark off."""
        row: EntryRow | None = self.table.current_row()
        if row is None or self._page is None or self._page.is_closed:
            return
        words = "quoted" if row.entry.unquoted else "not quoted"
        problem = self._change(row, f"Mark {row.what} as {words}", unquoted=not row.entry.unquoted)
        if problem:
            self._desk.say(problem, "caution")


def _total_words(rows: list[EntryRow]) -> str:
    """What the rows come to, with the overhead on the hours beside them."""
    if not rows:
        return ""
    hours = [row.entry for row in rows if isinstance(row.entry, HoursEntry)]
    overhead = sum(labour_cents(one.minutes, one.overhead_rate_cents) for one in hours)
    beside = f", and {format_money(overhead)} of overhead on the hours" if overhead else ""
    return f"{format_money(sum(row.cents for row in rows))}{beside}"


def _quantity(text: str, unit: str) -> Decimal:
    if unit == "mile":
        text = text.strip().removesuffix("miles").removesuffix("mi")
    return parse_quantity(text, unit)
