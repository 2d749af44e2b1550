"""A table of one of the owner's lists with all one does to its entries: type, move, archive, delete, bring back.

Alt+Up and Alt+Down move the current entry; Delete deletes it, or says why it has to stay and offers to archive it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.edit import Edit
from desktop.desk import Desk
from desktop.pages.company.part import attempt
from desktop.pages.company.problem_line import ProblemLine
from desktop.pages.drafts import Draft
from desktop.widgets.cards import Notice, button, flowing, label, tool_button
from desktop.widgets.form import SwitchField
from desktop.widgets.table import Column, RowsModel, RowsTable

Command = Callable[[Edit, int], object]


@dataclass(frozen=True)
class ListVerbs:
    """What can be done with an entry; a verb that is None is not offered.

    Attributes:
        noun: what one entry is called, e.g. "job type".
        change: (entry, column key, typed text) -> None or what is wrong.
        move: (edit, id, step).
    """

    noun: str
    change: Callable[[Any, str, str], str | None]
    archive: Command
    restore: Command
    delete: Command
    move: Callable[[Edit, int, int], object] | None = None
    name_of: Callable[[Any], str] = field(default=lambda entry: str(entry.name))
    id_of: Callable[[Any], int] = field(default=lambda entry: int(entry.id))
    is_archived: Callable[[Any], bool] = field(default=lambda entry: bool(entry.archived))


class ListTable(QWidget):
    """The table and the buttons beneath it.

    Signals:
        current_changed: the entry under the cursor or None.
        archived_wanted: whether archived entries are to be shown.
    """

    current_changed = Signal(object)
    archived_wanted = Signal(bool)

    def __init__(
        self, desk: Desk, verbs: ListVerbs, columns: Sequence[Column], name: str, *,
        add_row: QWidget | None = None, **model_parts: Any,
    ) -> None:  # fmt: skip
        super().__init__()
        self.desk, self.verbs = desk, verbs
        tones = dict(model_parts.pop("tone", {}))
        for column in columns:
            tones.setdefault(column.key, lambda entry: "ink_faint" if verbs.is_archived(entry) else None)
        self.model = RowsModel(
            columns, row_id=verbs.id_of, setter=verbs.change, tone=tones,
            can_edit=lambda entry, _key: not verbs.is_archived(entry), **model_parts,
        )  # fmt: skip
        self.table = RowsTable(self.model, name)
        self.table.current_changed.connect(self._current_changed)
        self.refusal = Notice("caution")
        self.count = label("", "small", "soft")
        self.up = tool_button("up", "Move up (Alt+Up)", lambda: self.move_current(-1))
        self.down = tool_button("down", "Move down (Alt+Down)", lambda: self.move_current(1))
        self.archive = button("Archive", self.archive_current, "quiet", "archive")
        self.delete = button("Remove", self.delete_current, "quiet", "trash")
        self.archived = SwitchField("Show archived")
        self.archived.edited.connect(lambda on: self.archived_wanted.emit(bool(on)))
        self._arrange(add_row)
        self._keys()
        self._current_changed(None)

    def _arrange(self, add_row: QWidget | None) -> None:
        movers = (self.up, self.down) if self.verbs.move is not None else ()
        line = flowing(*movers, self.archive, self.delete, self.archived, self.count, spacing=4)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(8)
        if add_row is not None:
            box.addWidget(add_row)
        box.addWidget(self.table, 1)
        box.addWidget(self.refusal)
        box.addWidget(line)

    def _keys(self) -> None:
        pairs = [("Delete", self.delete_current)]
        if self.verbs.move is not None:
            pairs += [("Alt+Up", lambda: self.move_current(-1)), ("Alt+Down", lambda: self.move_current(1))]
        for keys, slot in pairs:
            shortcut = QShortcut(QKeySequence(keys), self.table)
            shortcut.setContext(Qt.ShortcutContext.WidgetShortcut)
            shortcut.activated.connect(slot)

    def set_rows(self, rows: Sequence[Any], counted: str = "") -> None:
        """Show these entries; `counted` stands at the foot."""
        self.model.set_rows(rows)
        self.count.setText(counted)
        self._current_changed(self.table.current_row())

    def shows_archived(self) -> bool:
        """True when the owner wants to see archived entries too."""
        return self.archived.value()

    def select(self, entry_id: int, key: str | None = None) -> None:
        """Put the cursor on an entry."""
        self.table.select_id(entry_id, key)

    def move_current(self, step: int) -> None:
        """Move the entry under the cursor up or down."""
        entry = self.table.current_row()
        if entry is None or self.verbs.move is None or self.verbs.is_archived(entry):
            return
        move = self.verbs.move
        attempt(self.desk, f"Move {self.verbs.name_of(entry)}", lambda edit: move(edit, self.verbs.id_of(entry), step))

    def archive_current(self) -> None:
        """Archive the entry under the cursor, or bring it back."""
        entry = self.table.current_row()
        if entry is None:
            return
        name, back = self.verbs.name_of(entry), self.verbs.is_archived(entry)
        command = self.verbs.restore if back else self.verbs.archive
        done = "is offered again" if back else "is no longer offered; what was done with it stays"
        attempt(
            self.desk, f"{'Bring back' if back else 'Archive'} {name}",
            lambda edit: command(edit, self.verbs.id_of(entry)), say=f"“{name}” {done}.", undo=True,
        )  # fmt: skip

    def delete_current(self) -> None:
        """Delete the entry under the cursor; when it has to stay, say why and offer to archive it."""
        entry = self.table.current_row()
        if entry is None:
            return
        name = self.verbs.name_of(entry)
        message = attempt(
            self.desk, f"Remove {name}", lambda edit: self.verbs.delete(edit, self.verbs.id_of(entry)),
            say=f"“{name}” removed.", undo=True,
        )  # fmt: skip
        if message and not self.verbs.is_archived(entry):
            self.refusal.set_words("caution", message, ("Archive", self.archive_current))
        elif message:
            self.refusal.set_words("caution", message)

    def _current_changed(self, entry: Any) -> None:
        self.refusal.set_words("caution", "")
        there = entry is not None
        for widget in (self.up, self.down, self.archive, self.delete):
            widget.setEnabled(there)
        back = there and self.verbs.is_archived(entry)
        self.archive.setText("Bring back" if back else "Archive")
        self.up.setEnabled(there and not back)
        self.down.setEnabled(there and not back)
        self.current_changed.emit(entry)


class AddRow(QWidget):
    """Fields side by side with a button; Enter in any of them adds. What is wrong is said beneath.

    `add` returns None, or what is wrong and with which field (the first one when it does not say).
    """

    def __init__(
        self, fields: Sequence[QWidget], text: str, add: Callable[[], str | tuple[str, QWidget] | None], wide: int = 0,
        draft: tuple[Desk, str] | None = None,
    ) -> None:  # fmt: skip
        super().__init__()
        self.fields, self._add = list(fields), add
        self.button = button(text, self.try_to_add, icon_name="plus")
        line = QHBoxLayout()
        line.setSpacing(8)
        for number, one in enumerate(self.fields):
            line.addWidget(one, 3 if number == wide else 1)
            one.setAccessibleName(one.accessibleName() or getattr(one, "placeholderText", lambda: "")())
            entry: Any = one.lineEdit() if hasattr(one, "lineEdit") else one
            entry.returnPressed.connect(self.try_to_add)
        line.addWidget(self.button)
        self.draft = Draft(draft[0], draft[1], {str(n): one for n, one in enumerate(self.fields)}) if draft else None
        self._begun = False
        self.problem = ProblemLine(self.fields)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(4)
        box.addLayout(line)
        box.addWidget(self.problem)

    def showEvent(self, event: QShowEvent) -> None:
        """What was begun on another evening comes back once the lists to choose from are there."""
        super().showEvent(event)
        if not self._begun and self.draft is not None:
            self._begun = True
            QTimer.singleShot(0, self, self.draft.turn)

    def try_to_add(self) -> None:
        """Add what was typed; the first field is ready for the next one."""
        for one in self.fields:
            if not one.commit():  # type: ignore[attr-defined]
                one.setFocus()
                return
        wrong = self._add()
        if wrong is not None:
            message, field = wrong if isinstance(wrong, tuple) else (wrong, self.fields[0])
            field.set_problem(message)  # type: ignore[attr-defined]
            field.setFocus()
            return
        for one in self.fields:
            one.reset()  # type: ignore[attr-defined]
        self.fields[0].setFocus()
