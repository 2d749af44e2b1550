"""A card for each kind of part beside the routes: rows typed cell by cell, an empty one at the foot."""

from __future__ import annotations

from typing import Any

from db.commands.takeoff import add_part, change_part, remove_part
from desktop.pages.job_sections.quote.lines_table import LineKeys, LinesTable
from desktop.pages.job_sections.takeoff.editing import TakeoffEditing
from desktop.widgets.cards import Card, label, tool_button
from desktop.widgets.foot_model import FootModel
from desktop.widgets.table import Column
from domain.errors import NotUnderstood
from domain.job_takeoff.parts import (
    CHOICES,
    FIRST_CELL,
    TITLES,
    PartValue,
    blank_part,
    cells,
    name_of,
    read_part,
    result_of,
    with_cell,
)
from domain.job_takeoff.records import PartRow


def _columns(first: str, *others: tuple[str, str, int]) -> list[Column]:
    made = [Column(others[0][0], others[0][1], width=others[0][2], stretch=1, editable=True)]
    made += [Column(key, title, width=width, editable=True) for key, title, width in others[1:]]
    return [*made, Column("result", first, stretch=1)]


COLUMNS = {
    "joint": _columns(
        "Comes to", ("label", "Joint", 150), ("feet", "Length", 80), ("section", "Bead", 92), ("width_in", "Wide", 66),
        ("depth_in", "Deep", 66), ("backer", "Backer", 78),
    ),
    "pit": _columns(
        "Comes to", ("label", "Pit", 150), ("across_in", "Across", 80), ("deep_in", "Deep", 80),
        ("hollow", "Shape", 84),
    ),
    "circuit": _columns(
        "Fill", ("label", "Circuit", 130), ("sections", "Feet by section", 130), ("kind", "Conduit", 78),
        ("trade_size", "Size", 66), ("wires", "Wires", 110), ("disconnect", "Disconnect", 106),
    ),
    "floor": _columns(
        "Comes to", ("label", "Crawl floor", 130), ("length_ft", "Long", 72), ("width_ft", "Wide", 72),
        ("roll_width_ft", "Roll wide", 76), ("roll_ft", "Roll long", 76), ("piers", "Piers", 60),
        ("pier_round_ft", "Each round", 84),
    ),
    "paint": _columns(
        "Primer", ("spaces", "Pipe that is painted", 190), ("coats", "Coats", 66), ("container", "From a", 80),
        ("colour", "Color", 130), ("primer", "Primer", 96),
    ),
    "offcuts": _columns("Comes to", ("size", "Size", 90), ("feet", "Pieces", 220)),
}  # fmt: skip

INVITES = {
    "joint": "Add a joint: where is it?",
    "pit": "Add a pit: where is it?",
    "circuit": "Add a circuit: for what?",
    "floor": "Add a crawl floor: its name",
    "paint": "Add paint: where the pipe shows",
    "offcuts": "Add a size",
}

NOTES = {
    "joint": "Old caulk and floors may hold asbestos: when in doubt stop. Air the space while sealant cures.",
    "pit": "Concrete dust is silica: wet the cut or use a shroud and fine-dust vacuum. Find buried lines first.",
    "circuit": "Sections run from box to box; count the ground among the wires (3 x 12). For a licensed electrician "
    "where local rules ask for one. Circuit off, checked dead, permit drawn.",
    "floor": "A crawl space may be a confined space: have it judged before going in, bring air and light, never alone.",
    "paint": "Keep paint off labels, fan and pressure indicator. In houses from before 1978 do not sand old paint.",
    "offcuts": "Used before a new stick is cut. Those kept on the truck are counted already, without typing them here.",
}


class PartCard(Card):
    """All parts of one kind."""

    def __init__(self, editing: TakeoffEditing, kind: str) -> None:
        super().__init__(TITLES[kind])
        self.editing, self.kind, self.first = editing, kind, FIRST_CELL[kind]
        self._keys = LineKeys()
        columns = COLUMNS[kind]
        self.model = FootModel(
            columns,
            text={column.key: lambda row, key=column.key: self._text(row, key) for column in columns},
            tone={
                self.first: lambda row: "" if row.id else "ink_faint",
                "result": lambda row: "over" if self._is_wrong(row) else "ink_soft",
            },
            row_id=lambda row: self._keys.name(row.id), lasting=self._keys.lasting, setter=self._save,
            can_edit=lambda row, key: row.id != 0 or key == self.first,
            choices={key: lambda _, words=words: list(words) for (of, key), words in CHOICES.items() if of == kind},
        )  # fmt: skip
        self.table = LinesTable(self.model, TITLES[kind], self.first)
        self.table.removed.connect(self.remove)
        self.add_action(tool_button("trash", "Remove the current row (Delete)", self._remove_current))
        self.add(self.table)
        self.add(label(NOTES[kind], "small", "soft", wrap=True))

    def show_parts(self) -> None:
        """Show what is kept."""
        rows = [row for row in self.editing.kept.parts if row.kind == self.kind]
        if self.kind != "paint" or not rows:
            rows.append(PartRow(0, self.editing.kept.job_id, 10**6, self.kind, ""))
        self.model.set_rows(rows)

    def _value(self, row: PartRow) -> PartValue:
        return read_part(row.kind, row.details) if row.id else blank_part(self.kind)

    def _text(self, row: PartRow, key: str) -> str:
        if not row.id:
            return INVITES[self.kind] if key == self.first else ""
        try:
            value = self._value(row)
        except NotUnderstood as problem:
            return str(problem) if key == "result" else ""
        return result_of(value, self.editing.rules) if key == "result" else cells(value)[key]

    def _is_wrong(self, row: PartRow) -> bool:
        return "more than" in self._text(row, "result") or "too full" in self._text(row, "result")

    def _save(self, row: PartRow, key: str, text: str) -> str | None:
        try:
            value = with_cell(self._value(row), key, text)
        except NotUnderstood as problem:
            return str(problem)
        name = name_of(self.kind, value)
        if row.id:
            return self.editing.save(f"Change {name}", lambda edit: change_part(edit, row.id, value)) or None
        job_id = self.editing.kept.job_id
        self.table.just_added = True
        problem = self.editing.save(
            f"Add {name}", lambda edit: self._keys.became(add_part(edit, job_id, value))
        )  # fmt: skip
        self.table.just_added = self.table.just_added and not problem
        return problem or None

    def remove(self, row: Any) -> None:
        """Take a part away; Undo is offered."""
        if row.id:
            name = name_of(self.kind, self._value(row))
            self.editing.save(
                f"Remove {name}", lambda edit: remove_part(edit, row.id), say=f"Removed {name}", undo=True
            )

    def _remove_current(self) -> None:
        row = self.table.current_row()
        if row is not None and row.id:
            self.remove(row)
        else:
            self.editing.desk.say("Put the cursor on the row first.")
