"""The current route as a table of parts beside its words; a change in one shows in the other."""

from __future__ import annotations

from typing import Any

from desktop.pages.job_sections.takeoff.editing import TakeoffEditing
from desktop.pages.job_sections.takeoff.typed_table import TypedTable
from desktop.widgets.foot_model import FootModel
from desktop.widgets.table import Column
from domain.errors import NotUnderstood
from domain.job_takeoff.route_table import (
    CHOICES,
    EMPTY_LINE,
    PartLine,
    line_cells,
    moved_line,
    part_lines,
    with_line,
    without_line,
)

COLUMNS = (
    Column("part", "Part", width=74, stretch=2, editable=True, tooltip="As in the words: up, 45, wye B"),
    Column("length", "Length", "right", width=66, editable=True),
    Column("size", "Size", width=56, editable=True),
    Column("space", "Where", width=96, editable=True),
    Column("slope", "Slope", width=92, editable=True, tooltip="Inches a foot toward the discharge: 1/8, drop 1/4"),
    Column("fall", "Fall", width=104, stretch=2, tooltip="The fall it has of the fall it needs",
           gives_way=True),
    Column("kept", "Stays", width=56, editable=True, tooltip="Already there and left in place"),
)  # fmt: skip
ONLY_LEGS = frozenset({"length", "slope"})


class _PartsModel(FootModel):
    is_empty = staticmethod(lambda line: line.part is None)


class PartsTable(TypedTable):
    """One row a part, in the order of the air."""

    def __init__(self, editing: TakeoffEditing) -> None:
        self.editing = editing
        self._cells: dict[int, dict[str, str]] = {}
        model = _PartsModel(
            list(COLUMNS),
            text={column.key: lambda line, key=column.key: self._text(line, key) for column in COLUMNS},
            tone={"fall": _fall_tone, "part": lambda line: "ink_faint" if line.part is None else ""},
            row_id=lambda line: (line.run, line.index), setter=self._save, can_edit=_can_edit,
            choices={key: lambda _, words=words: words() for key, words in CHOICES.items()},
            strong=lambda line: line.part is not None and line.run == (self.editing.chosen or (-1, 0))[0]
            and line.index == (self.editing.chosen or (-1, 0))[1],
        )  # fmt: skip
        super().__init__(model, "Parts of the route")
        self.removed.connect(self._remove)
        self.moved.connect(self._move)
        self.current_changed.connect(self._chosen)
        self._showing = False

    def show_parts(self) -> None:
        """Show the parts of the current route as it is typed."""
        sheet = self.editing.sheet
        self._cells = {}
        self._showing = True
        self.rows_model().set_rows([*part_lines(sheet), EMPTY_LINE] if sheet is not None else [])
        self._showing = False

    def show_chosen(self) -> None:
        """Bring the chosen part into sight."""
        chosen = self.editing.chosen
        if chosen is not None and not self.hasFocus():
            row = self.rows_model().find(chosen)
            if row >= 0:
                self._showing = True
                self.setCurrentIndex(self.rows_model().index(row, 0))
                self._showing = False

    def _text(self, line: PartLine, key: str) -> str:
        made = self._cells.get(id(line))
        if made is None:
            made = self._cells[id(line)] = line_cells(line, self.editing.kept.length_unit)
        return made[key]

    def _save(self, line: PartLine, key: str, text: str) -> str | None:
        sheet = self.editing.sheet
        if sheet is None:
            return None
        try:
            words = with_line(sheet, line, key, text)
        except NotUnderstood as problem:
            return str(problem)
        label = "Add a part to the route" if line.part is None else "Change a part of the route"
        return self.editing.replace_words(words, label) or None

    def _remove(self, line: PartLine) -> None:
        sheet = self.editing.sheet
        if sheet is not None and line.part is not None:
            self.editing.replace_words(without_line(sheet, line), "Remove a part of the route")

    def _move(self, line: PartLine, steps: int) -> None:
        sheet = self.editing.sheet
        if sheet is None or line.part is None:
            return
        try:
            words = moved_line(sheet, line, steps)
        except NotUnderstood as problem:
            self.editing.desk.say(str(problem), "caution")
            return
        self.editing.replace_words(words, "Move a part of the route")
        row = self.rows_model().find((line.run, line.index + steps))
        if row >= 0:
            self.setCurrentIndex(self.rows_model().index(row, max(self.currentIndex().column(), 0)))

    def _chosen(self, line: Any) -> None:
        if not self._showing and isinstance(line, PartLine) and line.part is not None:
            self.editing.choose_part((line.run, line.index))


def _can_edit(line: PartLine, key: str) -> bool:
    if line.part is None:
        return key == "part"
    if key in ONLY_LEGS:
        return line.is_leg and (key == "length" or getattr(line.part, "is_level", False))
    return True


def _fall_tone(line: PartLine) -> str:
    slope = line.slope
    wrong = line.wet or (slope is not None and not (slope.falls_enough and slope.fits))
    return "over" if wrong else "ink_soft"
