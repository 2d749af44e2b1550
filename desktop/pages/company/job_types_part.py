"""Job types: how a proposal of each begins, its own target margin, and the lines a quote usually starts from."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from PySide6.QtWidgets import QTabWidget, QVBoxLayout, QWidget

from db.commands import library
from db.queries import library as lists
from db.queries.library import used_counts
from db.queries.price_list import priced_items
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from desktop.pages.company.list_table import AddRow, ListTable
from desktop.pages.company.named_lists import list_verbs
from desktop.pages.company.part import Part, attempt, read_cell
from desktop.pages.company.usual_lines import UsualLines, UsualVerbs
from desktop.widgets.cards import Card, label, panes
from desktop.widgets.form import NotesField, TextField
from desktop.widgets.table import Column
from domain.library import JobType
from domain.units import format_percent, parse_percent
from domain.unlikely import percent_doubt


class JobTypesPart(Part):
    """The job types at the left; scope and usual lines of the current one at the right."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Job types",
            "A new quote starts from its job type's lines, and margins are compared by it. Changes are for new quotes.",
        )  # fmt: skip
        self._used: dict[int, int] = {}
        self._shown: JobType | None = None
        self._saver = Autosave(desk)
        self.new_name = TextField("Another job type")
        self.list = ListTable(
            desk,
            list_verbs("job_type", "job type", self._change),
            [
                Column("name", "Job type", stretch=1, editable=True),
                Column("margin_percent", "Margin", "right", width=84, editable=True,
                       tooltip="Target margin on the price; empty: the firm's"),
                Column("used", "Jobs", "right", width=58),
            ],
            "Job types",
            add_row=AddRow([self.new_name], "Add", self._add, draft=(self.desk, "job type")),
            text={
                "margin_percent": lambda kind: "firm's" if kind.margin_percent is None
                else format_percent(kind.margin_percent),
                "used": lambda kind: str(self._used.get(kind.id, "–")),
            },
            doubt=lambda kind, key: percent_doubt(kind.margin_percent, Decimal(80))
            if key == "margin_percent" and kind.margin_percent is not None else "",
            sort_key={
                "margin_percent": lambda kind: kind.margin_percent,
                "used": lambda kind: self._used.get(kind.id, 0),
            },
        )  # fmt: skip
        self.list.table.set_empty("No job type yet", "Type the first one above, for example: new system.")
        self.list.current_changed.connect(self._show)
        self.list.archived_wanted.connect(lambda _: self.refresh())
        split = panes(self.list, self._make_side(), (2, 3))
        split.setSizes([360, 660])
        self.add(split, 1)

    def _make_side(self) -> QWidget:
        self.scope = NotesField("What a proposal of this type says will be done", lines=5)
        self.scope.setAccessibleName("Scope")
        self._saver.bind(
            self.scope, "Change a scope",
            lambda edit, text: library.change_job_type(edit, self._shown.id if self._shown else 0, scope_text=text),
            lambda: self._shown and ("job type", self._shown.id),
        )  # fmt: skip
        self.tasks = UsualLines(
            self.desk, "task",
            UsualVerbs(library.add_usual_task, library.change_usual_task, library.remove_usual_task,
                       library.move_usual_task, library.link_usual_task),
        )  # fmt: skip
        self.items = UsualLines(
            self.desk, "item",
            UsualVerbs(library.add_usual_item, library.change_usual_item, library.remove_usual_item,
                       library.move_usual_item, library.link_usual_item),
        )  # fmt: skip
        self.tabs = QTabWidget()
        self.tabs.addTab(self.tasks, "Usual labor")
        self.tabs.addTab(self.items, "Usual materials")
        self.card = Card("Job type")
        self.card.add(label("How the scope of a proposal begins", "small", "soft"))
        self.card.add(self.scope)
        self.card.add(self.tabs, 1)
        side = QWidget()
        box = QVBoxLayout(side)
        box.setContentsMargins(8, 0, 0, 0)
        box.addWidget(self.card)
        side.setMinimumWidth(456)
        return side

    def refresh(self) -> None:
        with self.desk.read() as conn:
            kinds = lists.job_types(conn, self.list.shows_archived())
            self._used = used_counts(conn, "job_type")
            self._all_tasks = lists.usual_tasks(conn)
            self._all_items = lists.usual_items(conn)
            tasks = lists.labour_tasks(conn)
            items = priced_items(conn, self.desk.today())
        self.tasks.set_choices([(task.id, task.name, task.unit) for task in tasks])
        self.items.set_choices([(one.item.id, f"{one.item.code}  {one.item.name}", one.item.unit) for one in items])
        self.list.set_rows(kinds, f"{sum(not kind.archived for kind in kinds)} offered")
        if self.list.table.current_row() is None and kinds:
            self.list.select(kinds[0].id)
        self._show(self.list.table.current_row())

    def _show(self, kind: JobType | None) -> None:
        before, self._shown = self._shown, kind
        self.card.setEnabled(kind is not None)
        if kind is None:
            self.scope.reset("")
            return
        self.card.header.set_words(kind.name)
        if before is not None and before.id != kind.id and self.scope.hasFocus():
            self._shown = before
            self.scope.commit()
            self._shown = kind
        self._saver.show(self.scope, kind.scope_text)
        tasks = [line for line in self._all_tasks if line.job_type_id == kind.id]
        items = [line for line in self._all_items if line.job_type_id == kind.id]
        self.tasks.show_lines(kind.id, kind.name, tasks)
        self.items.show_lines(kind.id, kind.name, items)
        self.tabs.setTabText(0, f"Usual labor ({len(tasks)})")
        self.tabs.setTabText(1, f"Usual materials ({len(items)})")

    def _change(self, kind: JobType, key: str, typed: str) -> str | None:
        value: Any = typed.strip()
        if key == "margin_percent":
            percent: Decimal | None = None
            if value not in ("", "firm's"):
                percent, message = read_cell(parse_percent, typed)
                if message:
                    return message
            value = percent
        return attempt(
            self.desk, f"Change {kind.name}", lambda edit: library.change_job_type(edit, kind.id, **{key: value})
        )

    def _add(self) -> str | None:
        name = self.new_name.value()
        made: list[int] = []
        message = attempt(self.desk, f"Add {name}", lambda edit: made.append(library.add_job_type(edit, name)))
        if made and not message:
            self.list.select(made[0])
        return message
