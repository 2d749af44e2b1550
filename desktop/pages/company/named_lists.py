"""The short lists: access conditions, causes, lead sources."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtWidgets import QVBoxLayout, QWidget
from sqlalchemy import Connection

from db.commands import library
from db.commands.library import ListName
from db.edit import Edit
from db.queries import library as lists
from db.queries.library import used_counts
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from desktop.pages.company.list_table import AddRow, ListTable, ListVerbs
from desktop.pages.company.part import Part, attempt
from desktop.widgets.cards import Card, label, panes
from desktop.widgets.form import NotesField, TextField
from desktop.widgets.table import Column


def list_verbs(which: ListName, noun: str, change: Callable[[Any, str, str], str | None]) -> ListVerbs:
    """The verbs of one of the owner's lists."""
    return ListVerbs(
        noun=noun,
        change=change,
        archive=lambda edit, entry_id: library.archive_entry(edit, which, entry_id),
        restore=lambda edit, entry_id: library.restore_entry(edit, which, entry_id),
        delete=lambda edit, entry_id: library.delete_entry(edit, which, entry_id),
        move=lambda edit, entry_id, step: library.move_entry(edit, which, entry_id, step),
    )


class NamedListPart(Part):
    """A list of names in the owner's order, and how often each is used."""

    def __init__(
        self, desk: Desk, which: ListName, title: str, purpose: str, noun: str,
        read: Callable[[Connection, bool], Sequence[Any]], add: Callable[[Edit, str], int],
        columns: Sequence[Column] = (),
    ) -> None:  # fmt: skip
        super().__init__(desk, title, purpose)
        self._which, self._read, self._add_command, self._noun = which, read, add, noun
        self._used: dict[int, int] = {}
        self.new_name = TextField(f"Another {noun}")
        self.add_row = AddRow([self.new_name], "Add", self._add, draft=(self.desk, f"new {self._which}"))
        self.list = ListTable(
            desk,
            list_verbs(which, noun, self._change),
            [
                Column("name", title.rstrip("s") if not columns else "Name", stretch=1, editable=True),
                *columns,
                Column("used", "Used", "right", width=76, tooltip="How often it is part of a job"),
            ],
            title,
            add_row=self.add_row,
            text={"used": lambda entry: str(self._used.get(entry.id, "")) or "–"},
            sort_key={"used": lambda entry: self._used.get(entry.id, 0)},
        )
        self.list.table.set_empty(f"No {noun} yet", f"Type the first {noun} above.")
        self.list.archived_wanted.connect(lambda _: self.refresh())
        self.add(self._body(), 1)

    def _body(self) -> QWidget:
        return self.list

    def refresh(self) -> None:
        with self.desk.read() as conn:
            rows = list(self._read(conn, self.list.shows_archived()))
            self._used = used_counts(conn, self._which)
        offered = sum(not row.archived for row in rows)
        self.list.set_rows(rows, f"{offered} offered")

    def _change(self, entry: Any, key: str, typed: str) -> str | None:
        return attempt(
            self.desk, f"Rename {entry.name}", lambda edit: library.rename_entry(edit, self._which, entry.id, typed)
        )

    def _add(self) -> str | None:
        name = self.new_name.value()
        made: list[int] = []
        message = attempt(self.desk, f"Add {name}", lambda edit: made.append(self._add_command(edit, name)))
        if made and not message:
            self.list.select(made[0])
        return message


class CausesPart(NamedListPart):
    """Why work ran over."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "cause", "Causes", "Offered in the log when something took longer or cost more than quoted. "
            "Keep it short: a list one can choose from when tired.",
            "cause", lists.causes, library.add_cause,
        )  # fmt: skip


class LeadSourcesPart(NamedListPart):
    """How customers found the firm."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "lead_source", "Lead sources", "How a customer came to call. Margins can be looked at by it.",
            "lead source", lists.lead_sources, library.add_lead_source,
        )  # fmt: skip


class ConditionsPart(NamedListPart):
    """What makes an hour longer, and what to mind there."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "access_condition", "Access conditions",
            "What makes an hour longer. How much longer is set with each labor task; the caution comes up on the "
            "survey and the quote.",
            "access condition", lists.access_conditions, library.add_access_condition,
        )  # fmt: skip
        self.list.current_changed.connect(self._show)

    def _body(self) -> QWidget:
        self._shown = 0
        self._saver = Autosave(self.desk)
        self.caution = NotesField("What to mind when working there", lines=6)
        self.caution.setAccessibleName("Caution")
        self._saver.bind(
            self.caution, "Change a caution",
            lambda edit, text: library.change_access_condition(edit, self._shown, caution=text),
            lambda: self._shown and ("access condition", self._shown),
        )  # fmt: skip
        self.card = Card("Caution")
        self.card.add(self.caution)
        self.card.add(
            label(
                "A reminder, not a rule book: local code and the licensed trade decide. Where it can hurt someone, "
                "stop and ask.", "small", "soft", wrap=True,
            )
        )  # fmt: skip
        side = QWidget()
        box = QVBoxLayout(side)
        box.setContentsMargins(12, 0, 0, 0)
        box.addWidget(self.card)
        box.addStretch(1)
        side.setMinimumWidth(320)
        split = panes(self.list, side, (3, 2))
        split.setSizes([620, 400])
        return split

    def refresh(self) -> None:
        super().refresh()
        if self.list.table.current_row() is None and self.list.model.rows:
            self.list.select(self.list.model.rows[0].id)
        self._show(self.list.table.current_row())

    def _show(self, entry: Any) -> None:
        self.card.setEnabled(entry is not None)
        if entry is None:
            self._shown = 0
            self.caution.reset("")
            return
        self.card.header.set_words("Caution", entry.name)
        if entry.id != self._shown:
            self.caution.commit()
            self._shown = entry.id
        self._saver.show(self.caution, entry.caution)
