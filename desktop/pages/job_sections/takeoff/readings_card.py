"""What was measured at the house: it is used in place of the estimate of what the ground asks for."""

from __future__ import annotations

from typing import Any

from db.commands.takeoff import add_reading, change_reading, remove_reading
from desktop.pages.job_sections.quote.lines_table import LineKeys, LinesTable
from desktop.pages.job_sections.takeoff.editing import TakeoffEditing
from desktop.widgets.cards import Card, label, tool_button
from desktop.widgets.foot_model import FootModel
from desktop.widgets.table import Column
from domain.errors import NotUnderstood
from domain.job_takeoff.readings import new_reading, reading_cells, reading_values
from domain.job_takeoff.records import FANS, FLOW, READING_KINDS, ReadingRow

COLUMNS = [
    Column("kind", "Reading", width=86, stretch=1, editable=True,
           tooltip="suction or flow; flow 38 reads the number, flow present 42 the fan too"),
    Column("fan", "Fan", width=76, editable=True,
           tooltip="test: a fan on the open suction point. present: the fan that is installed now"),
    Column("place", "Where", width=70, stretch=2, editable=True),
    Column("value", "Read", "right", width=68, editable=True),
    Column("at_suction", "Suction", "right", width=72, editable=True,
           tooltip="With a flow. Test fan: at the suction point. Present fan: in the pipe just before the fan"),
    Column("read_on", "Day", width=92, editable=True, gives_way=True),
]  # fmt: skip


class ReadingsCard(Card):
    """Suction at test holes, flow with a test fan."""

    def __init__(self, editing: TakeoffEditing) -> None:
        super().__init__("Measured on site", "suction in Pa, without a minus; flow in cfm")
        self.editing = editing
        self._keys = LineKeys()
        self.model = FootModel(
            COLUMNS,
            text={column.key: lambda row, key=column.key: reading_cells(row)[key] for column in COLUMNS},
            tone={"kind": lambda row: "" if row.id else "ink_faint"},
            tip={"kind": lambda row: READING_KINDS[row.kind] if row.id else ""},
            row_id=lambda row: self._keys.name(row.id), lasting=self._keys.lasting, setter=self._save,
            can_edit=lambda row, key: key == "kind" if not row.id else key != "at_suction" or row.kind == FLOW,
            choices={"kind": lambda _: list(READING_KINDS), "fan": lambda _: list(FANS)},
        )  # fmt: skip
        self.table = LinesTable(self.model, "Measured on site", "kind")
        self.table.removed.connect(self.remove)
        self.add_action(tool_button("trash", "Remove the current reading (Delete)", self._remove_current))
        self.add(self.table)
        self.add(label(
            "A flow with its suction says what the ground asks for, and replaces the suction wanted: of a test fan the "
            "suction at the suction point, of the present fan that in the pipe before it, less what the pipe loses. "
            "Drilling makes silica dust: wet it or use a shroud. Suction can draw flue gas indoors: check flues.",
            "small", "soft", wrap=True,
        ))  # fmt: skip

    def show_readings(self) -> None:
        """Show what is kept."""
        kept = self.editing.kept
        self.model.set_rows([*kept.readings, new_reading(kept.job_id, self.editing.desk.today())])

    def _save(self, row: ReadingRow, key: str, text: str) -> str | None:
        try:
            values = reading_values(row, key, text, self.editing.desk.today())
        except NotUnderstood as problem:
            return str(problem)
        if row.id:
            return self.editing.save("Change a reading", lambda edit: change_reading(edit, row.id, **values)) or None
        job_id = self.editing.kept.job_id
        self.table.just_added = True
        problem = self.editing.save(
            "Note a reading", lambda edit: self._keys.became(add_reading(edit, job_id, **values))
        )
        self.table.just_added = self.table.just_added and not problem
        return problem or None

    def remove(self, row: Any) -> None:
        """Take a reading away; Undo is offered."""
        if row.id:
            self.editing.save(
                "Remove a reading", lambda edit: remove_reading(edit, row.id), say="Removed a reading", undo=True
            )

    def _remove_current(self) -> None:
        row = self.table.current_row()
        if row is not None and row.id:
            self.remove(row)
        else:
            self.editing.desk.say("Put the cursor on the reading first.")
