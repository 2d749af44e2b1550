"""What the three cards of lines share: the table, the preview while typing, saving, removing, moving."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtWidgets import QWidget

from db.commands.quotes import move_line, remove_line
from db.commands.quotes.checks import sensible_cost, sensible_minutes, sensible_quantity
from db.company_file.problems import Refused
from db.edit import Edit
from desktop.pages.job_sections.quote.editing import Line, QuoteEditing
from desktop.pages.job_sections.quote.lines_table import LineKeys, LinesTable
from desktop.widgets.cards import Card, label, tool_button
from desktop.widgets.foot_model import FootModel
from desktop.widgets.table import Column
from domain.errors import NotUnderstood
from domain.quoting.lines import LabourLine
from domain.quoting.typed import Values


class LineCard(Card):
    """One kind of line: a card with its sum, a table, and an empty row at the foot."""

    kind = ""
    first = ""
    word = "line"

    def __init__(self, editing: QuoteEditing, title: str, note: str) -> None:
        super().__init__(title)
        self.editing, self.title = editing, title
        self._keys = LineKeys()
        self._typed: Any = None
        self.model = FootModel(
            self.columns(), text=self.texts(), tone=self.tones(), tip=self.tips(), choices=self.choices(),
            bar=self.bars(), row_id=lambda line: self._keys.name(line.id, line.option_id), setter=self._save,
            can_edit=self._can_edit, lasting=self._keys.lasting, context=self._part,
            doubt=lambda line, key: self.doubt(line, key) if line.id else "",
        )  # fmt: skip
        self.table = LinesTable(self.model, title, self.first)
        self.table.typed.connect(self._preview)
        self.table.removed.connect(self.remove)
        self.table.moved.connect(self.move_row)
        self.total = label("", "strong")
        self._tools = [
            tool_button("up", f"Move this {self.word} up (Ctrl+Up)", lambda: self._current(self.move_row, -1)),
            tool_button("down", f"Move this {self.word} down (Ctrl+Down)", lambda: self._current(self.move_row, 1)),
            tool_button("trash", f"Remove this {self.word} (Delete)", lambda: self._current(self.remove)),
        ]
        for tool in self._tools:
            self.add_action(tool)
        self.add_action(self.total)
        self._note = note
        self.body.setContentsMargins(12, 6, 12, 12)
        self.add(self.table)

    # What each kind says for itself.

    def columns(self) -> list[Column]:
        """The columns."""
        raise NotImplementedError

    def texts(self) -> dict[str, Callable[[Any], Any]]:
        """What the cells show."""
        raise NotImplementedError

    def tones(self) -> dict[str, Callable[[Any], Any]]:
        """In which tone."""
        return {}

    def tips(self) -> dict[str, Callable[[Any], Any]]:
        """What a cell says when pointed at."""
        return {}

    def bars(self) -> dict[str, Callable[[Any], Any]]:
        """Quoted and actual bars."""
        return {}

    def choices(self) -> dict[str, Callable[[Any], Any]]:
        """Words to offer while typing."""
        return {}

    def doubt(self, line: Any, key: str) -> str:
        """What is odd about a figure that was just typed, see `domain.unlikely`."""
        return ""

    def lines(self) -> list[Any]:
        """The lines of the part shown."""
        raise NotImplementedError

    def blank(self) -> Line:
        """The empty row."""
        raise NotImplementedError

    def values(self, line: Any, key: str, text: str) -> Values:
        """Columns from a typed cell; raises NotUnderstood."""
        raise NotImplementedError

    def then(self, line: Any, values: Values) -> Line:
        """The line with these values."""
        raise NotImplementedError

    def add_line(self, edit: Edit, line: Any) -> int:
        """Save a new line, return its id."""
        raise NotImplementedError

    def change_line(self, edit: Edit, line_id: int, values: Values) -> None:
        """Save a change."""
        raise NotImplementedError

    def named(self, line: Any) -> str:
        """The line in a few words, for the name of an action."""
        raise NotImplementedError

    # Showing.

    def show_note(self, wanted: bool) -> None:
        """The note beside the title; it gives way before a column of the table does."""
        self.header.set_words(self.title, self._note if wanted else "")

    def show_lines(self, total: str) -> None:
        """Show the stored lines of the part and the sum of them."""
        self._typed = None
        rows = self.lines()
        if not self.editing.frozen:
            rows.append(self.blank())
        self.model.set_rows(rows)
        self.total.setText(total)
        for tool in self._tools:
            tool.setVisible(not self.editing.frozen)
        self.setVisible(bool(rows))

    def focus_top(self) -> None:
        """Stand on the first line, ready to be looked through; without one the empty row is opened."""
        if self.table.model().rowCount() > 1:
            self.table.setFocus()
            self.table.setCurrentIndex(self.model.index(0, 0))
        elif self.table.model().rowCount():
            self.table.begin_new()

    def focus_first(self) -> QWidget:
        """Open the empty row; returns the table."""
        self.table.begin_new()
        return self.table

    # Typing and saving.

    def _part(self) -> tuple[int, int | None] | None:
        """What the lines belong to; none before a quote was ever shown: a card is built, and sized, before that."""
        page = self.editing.page
        return (self.editing.quote.id, self.editing.option_id) if page is not None and page.document else None

    def _can_edit(self, line: Any, key: str) -> bool:
        return not self.editing.frozen and (line.id != 0 or key == self.first)

    def _preview(self, row_id: Any, key: str, text: str) -> None:
        line = self.model.row_at(self.model.find(row_id))
        if line is None:
            return
        stored = self._stored(line)
        try:
            typed = self.then(stored, self.values(stored, key, text))
            self._sensible(typed)
        except (NotUnderstood, Refused):
            typed = stored
        self._typed = None if typed == stored else typed
        self.model.set_rows(self.model.rows)
        self.editing.preview_line(self._typed)

    def _sensible(self, typed: Any) -> None:
        """What would be refused is not reckoned with while it is typed either. Raises Refused."""
        sensible_quantity(self.editing.quote, typed.quantity)
        if isinstance(typed, LabourLine):
            sensible_minutes(self.editing.quote, typed.minutes)
        else:
            sensible_cost(typed.unit_cost)

    def shown(self, line: Any) -> Any:
        """The line with what is half typed: for the cells that follow from others, never for those one types in."""
        return self._typed if self._typed is not None and self._typed.id == line.id else line

    def _stored(self, line: Any) -> Any:
        """The line as saved."""
        return next((one for one in self.lines() if one.id == line.id), self.blank())

    def _save(self, line: Any, key: str, text: str) -> str | None:
        stored = self._stored(line)
        try:
            values = self.values(stored, key, text)
        except NotUnderstood as problem:
            return str(problem)
        if stored.id == 0:
            return self._add(self.then(stored, values))
        label_text = f"Change {self.named(stored)}"
        return self.editing.save(label_text, lambda edit: self.change_line(edit, stored.id, values)) or None

    def _add(self, line: Any) -> str | None:
        self.table.just_added = True
        problem = self.editing.save(
            f"Add {self.named(line)}",
            lambda edit: self._keys.became(self.add_line(edit, line), line.option_id),
        )
        if problem:
            self.table.just_added = False
        return problem or None

    # The current line.

    def remove(self, line: Any) -> None:
        """Take a line off; Undo is offered."""
        if line.id and not self.editing.frozen:
            name = self.named(line)
            self.editing.save(
                f"Remove {name}", lambda edit: remove_line(edit, self.kind, line.id), say=f"Removed {name}", undo=True
            )

    def move_row(self, line: Any, steps: int) -> None:
        """Move a line among its neighbours."""
        if line.id and not self.editing.frozen:
            self.editing.save(f"Move {self.named(line)}", lambda edit: move_line(edit, self.kind, line.id, steps))

    def _current(self, work: Callable[..., object], *more: Any) -> None:
        line = self.table.current_row()
        if line is None or not line.id:
            self.editing.desk.say(f"Put the cursor on the {self.word} first.")
            return
        work(line, *more)
