"""What the owner adds to the list in words of their own."""

from __future__ import annotations

from typing import Any

from db.commands.takeoff import add_extra, change_extra, remove_extra
from desktop.pages.job_sections.quote.lines_table import LineKeys, LinesTable
from desktop.pages.job_sections.takeoff.editing import TakeoffEditing
from desktop.widgets.cards import Card, label, tool_button
from desktop.widgets.foot_model import FootModel
from desktop.widgets.table import Column
from domain.errors import NotUnderstood
from domain.job_takeoff.extras import extra_cells, extra_values, new_extra
from domain.job_takeoff.records import ExtraRow
from domain.price_list import ITEM_CLASSES
from domain.quoting.typed import item_label

COLUMNS = [
    Column("description", "Extra", stretch=2, editable=True, tooltip="An item's name, or words of your own"),
    Column("quantity", "Quantity", "right", width=84, editable=True),
    Column("unit", "Unit", width=70, editable=True),
    Column("item_class", "Kind", width=100, editable=True),
    Column("reason", "Why", stretch=1, editable=True),
]


class ExtrasCard(Card):
    """Typed lines of the list."""

    def __init__(self, editing: TakeoffEditing) -> None:
        super().__init__("Extras", "whatever the route does not know of")
        self.editing = editing
        self._keys = LineKeys()
        self.model = FootModel(
            COLUMNS,
            text={column.key: lambda row, key=column.key: extra_cells(row)[key] for column in COLUMNS},
            tone={"description": lambda row: "" if row.id else "ink_faint"},
            row_id=lambda row: self._keys.name(row.id), lasting=self._keys.lasting, setter=self._save,
            can_edit=lambda row, key: row.id != 0 or key == "description",
            choices={
                "description": lambda _: [item_label(priced) for priced in editing.kept.picks.items
                                          if not priced.item.archived],
                "item_class": lambda _: list(ITEM_CLASSES),
            },
        )  # fmt: skip
        self.table = LinesTable(self.model, "Extras", "description")
        self.table.removed.connect(self.remove)
        self.add_action(tool_button("trash", "Remove the current row (Delete)", self._remove_current))
        self.add(self.table)
        self.add(label("They go into the list, and from there into the quote, like all else.", "small", "soft"))

    def show_extras(self) -> None:
        """Show what is kept."""
        self.model.set_rows([*self.editing.kept.extras, new_extra(self.editing.kept.job_id)])

    def _save(self, row: ExtraRow, key: str, text: str) -> str | None:
        try:
            values = extra_values(row, key, text, self.editing.kept.picks)
        except NotUnderstood as problem:
            return str(problem)
        if row.id:
            return self.editing.save("Change an extra", lambda edit: change_extra(edit, row.id, **values)) or None
        job_id = self.editing.kept.job_id
        self.table.just_added = True
        problem = self.editing.save(
            f"Add {values['description']}", lambda edit: self._keys.became(add_extra(edit, job_id, **values))
        )
        self.table.just_added = self.table.just_added and not problem
        return problem or None

    def remove(self, row: Any) -> None:
        """Take an extra off; Undo is offered."""
        if row.id:
            name = row.description
            self.editing.save(
                f"Remove {name}", lambda edit: remove_extra(edit, row.id), say=f"Removed {name}", undo=True
            )

    def _remove_current(self) -> None:
        row = self.table.current_row()
        if row is not None and row.id:
            self.remove(row)
        else:
            self.editing.desk.say("Put the cursor on the row first.")
