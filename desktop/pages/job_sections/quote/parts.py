"""Base and options: which part of the quote the lines belong to, and the words of an option."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from db.commands.quotes import add_option, change_option, remove_option
from desktop.pages.job_sections.quote.editing import QuoteEditing
from desktop.widgets.cards import FlowLayout, button, label, tool_button
from desktop.widgets.form import TextField


class PartStrip(QWidget):
    """Buttons for the base and each option, and the option's own words beneath; `add` has its place above the lines.

    Signals:
        chosen: another part is to be shown.
    """

    chosen = Signal()

    def __init__(self, editing: QuoteEditing) -> None:
        super().__init__()
        self.editing = editing
        strip = QWidget()
        self._flow = FlowLayout(strip, spacing=6)
        self.buttons: dict[int | None, QPushButton] = {}
        self.add = button("Add an option", self.add_option, "quiet", "plus", "Something the customer can choose on top")
        self.name = TextField("what the customer reads", required=True)
        self.name.setAccessibleName("Name of the option")
        self.words = TextField("a sentence about it")
        self.words.setAccessibleName("Description of the option")
        editing.saver.bind(
            self.name, "Rename the option", lambda edit, v: change_option(edit, self._id(), name=v), self._record
        )
        editing.saver.bind(
            self.words, "Describe the option", lambda edit, v: change_option(edit, self._id(), description=v),
            self._record,
        )
        self.remove = tool_button("trash", "Remove this option and its lines", self._remove)
        self.about = QWidget()
        line = QHBoxLayout(self.about)
        line.setContentsMargins(0, 0, 0, 0)
        for part, stretch in (
            (label("Option", "body", "soft"), 0), (self.name, 2), (self.words, 3), (self.remove, 0)
        ):  # fmt: skip
            line.addWidget(part, stretch)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addWidget(strip)
        column.addWidget(self.about)

    def _id(self) -> int:
        assert self.editing.option_id is not None
        return self.editing.option_id

    def _record(self) -> object:
        return self.editing.option_id and ("option", self.editing.option_id)

    def show_parts(self) -> None:
        """The parts of the quote shown."""
        document, frozen = self.editing.document, self.editing.frozen
        wanted: list[int | None] = [None, *(option.id for option in document.options)]
        if wanted != list(self.buttons):
            self._rebuild(wanted)
        names: dict[int | None, str] = {option.id: option.name for option in document.options}
        for key, made in self.buttons.items():
            made.setText(f"Option: {names[key]}" if key is not None else "Base")
            made.setChecked(key == self.editing.option_id)
        shown = next((option for option in document.options if option.id == self.editing.option_id), None)
        self.about.setVisible(shown is not None)
        if shown is not None:
            self.editing.saver.show(self.name, shown.name)
            self.editing.saver.show(self.words, shown.description)
        for field in (self.name, self.words):
            field.setReadOnly(frozen)
        self.remove.setVisible(not frozen)
        self.setVisible(len(wanted) > 1)  # the base alone needs no choice; its first option is begun above

    def add_option(self) -> None:
        """Begin an option and put the cursor on its name."""
        made: list[int] = []
        number = len(self.editing.document.options) + 1
        quote_id = self.editing.quote.id
        if self.editing.save("Add an option", lambda edit: made.append(add_option(edit, quote_id, f"Option {number}"))):
            return
        self._choose(made[0])
        self.name.setFocus()
        self.name.selectAll()

    def _remove(self) -> None:
        option_id = self._id()
        self.editing.save(
            "Remove the option", lambda edit: remove_option(edit, option_id), say="The option is gone", undo=True
        )

    def _choose(self, key: int | None) -> None:
        self.editing.option_id = key
        self.name.reset("")
        self.words.reset("")
        self.chosen.emit()

    def _rebuild(self, wanted: list[int | None]) -> None:
        for made in self.buttons.values():
            self._flow.removeWidget(made)
            made.hide()
            made.deleteLater()
        self.buttons = {}
        for key in wanted:
            made = button("", lambda key=key: self._choose(key), "segment")
            made.setCheckable(True)
            self._flow.addWidget(made)
            self.buttons[key] = made
        self._flow.invalidate()
        self.updateGeometry()
