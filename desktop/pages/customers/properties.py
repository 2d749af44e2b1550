"""The houses of a customer: a line each, the chosen one open with all its facts, and one to add."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from db.commands.people import add_property, archive_property, delete_property, restore_property
from desktop.desk import JOBS, Desk
from desktop.pages.autosave import Autosave, Line, LineList
from desktop.pages.property_form import PropertyForm
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import StatePill, button, label, tool_button
from desktop.widgets.form import TextField
from domain.people import Property


class PropertyLine(Line):
    """One house: its address and foundation, and beneath it its facts when it is opened."""

    def __init__(self, desk: Desk, house: Property) -> None:
        super().__init__()
        self._desk, self.house, self._saver = desk, house, Autosave(desk)
        self.opener = button("", self.toggle, "quiet", "down")
        self.opener.setCheckable(True)
        self.opener.setObjectName("property_opener")
        self.foundation = label("", "small", "soft")
        self.archived = StatePill("", "plain")
        self.form: PropertyForm | None = None  # made when first opened
        self.new_job = button("New job", self._open_job, "quiet", "plus", "New job in this house")
        self.put_away = tool_button("archive", "Archive this property", self._archive)
        self.delete = tool_button("trash", "Remove this property", self._delete)
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(self.opener)
        row.addWidget(self.foundation)
        row.addWidget(self.archived)
        row.addStretch(1)
        row.addWidget(self.new_job)
        row.addWidget(self.put_away)
        row.addWidget(self.delete)
        column = self._column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addLayout(row)
        rule = QFrame()
        rule.setProperty("rule", True)
        rule.setFixedHeight(1)
        column.addWidget(rule)

    def show_record(self, record: Property) -> None:
        self.house = record
        self.opener.setText(record.one_line)
        self.opener.setAccessibleName(f"Property {record.one_line}")
        self.opener.setAccessibleDescription("Shows or hides what is known of the house")
        self.foundation.setText(record.foundation if record.foundation != "not recorded" else "foundation not recorded")
        away = record.archived_on is not None
        self.archived.set_words("archived" if away else "", "plain")
        words = "Bring this property back" if away else "Archive this property"
        set_tip(self.put_away, words)
        self.put_away.setAccessibleName(words)
        self.new_job.setVisible(not away)
        if self.form is not None:
            self.form.show_house(record)

    def toggle(self) -> None:
        """Open or close the facts."""
        self.open(self.form is None or self.form.isHidden())

    def open(self, shown: bool) -> None:
        """Show or hide the facts."""
        if shown and self.form is None:
            self.form = PropertyForm(self._desk)
            self._column.insertWidget(1, self.form)
            self.form.show_house(self.house)
        if self.form is not None:
            self.form.setVisible(shown)
        self.opener.setChecked(shown)
        self.foundation.setVisible(not shown)  # the open facts tick it, and the line needs the room

    def _open_job(self) -> None:
        self._desk.go(JOBS, ("new", self.house.customer_id, self.house.id))

    def _archive(self) -> None:
        house, today = self.house, self._desk.today()
        if house.archived_on:
            self._saver.do(f"Bring back {house.street}", lambda edit: restore_property(edit, house.id))
        else:
            self._saver.do(
                f"Archive {house.street}", lambda edit: archive_property(edit, house.id, today),
                say=f"{house.street} is archived; its jobs stay", undo=True,
            )  # fmt: skip

    def _delete(self) -> None:
        house = self.house
        self._saver.do(
            f"Remove {house.street}", lambda edit: delete_property(edit, house.id),
            say=f"{house.street} removed", undo=True,
        )  # fmt: skip


class PropertyList(QWidget):
    """All houses of one customer."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk, self._saver, self._customer_id = desk, Autosave(desk), 0
        self.lines = LineList(lambda house: PropertyLine(desk, house))
        self.none_yet = label("No house yet. A job needs one: type its street below.", "body", "soft")
        self.street = TextField("12 Mill Road")
        self.street.setAccessibleName("Street of a new property")
        self.street.setObjectName("add_street")
        self.town = TextField("City")
        self.town.setAccessibleName("City of a new property")
        for field in (self.street, self.town):
            field.returnPressed.connect(self.add_entry)
        self.problem = label("", "small", "error", wrap=True)
        self.problem.hide()
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(label("Add", "body", "soft"))
        row.addWidget(self.street, 3)
        row.addWidget(self.town, 2)
        row.addWidget(button("Add", self.add_entry, icon_name="plus"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        for part in (self.none_yet, self.lines):
            column.addWidget(part)
        column.addLayout(row)
        column.addWidget(self.problem, 0, Qt.AlignmentFlag.AlignTop)

    def show_houses(self, customer_id: int, houses: list[Property]) -> None:
        """Show the houses of a customer; a single one stands open."""
        fresh = customer_id != self._customer_id
        if fresh:
            self._customer_id = customer_id
            self.street.reset()
            self.town.reset()
            self._say("")
        self.none_yet.setVisible(not houses)
        self.lines.show_records(houses)
        if fresh and len(houses) == 1:
            self.lines.line(houses[0].id).open(True)  # type: ignore[attr-defined]

    def add_entry(self) -> None:
        """Add a house with the street and town typed below the list."""
        street, town = self.street.text().strip(), self.town.text().strip()
        if not street:
            self._say("Type the street and number first.")
            self.street.setFocus()
            return
        if self._saver.do(
            f"Add property {street}", lambda edit: add_property(edit, self._customer_id, street, town=town)
        ):
            self.street.reset()
            self.town.reset()
            self._say("")
            line = self.lines.lines[-1] if self.lines.lines else None
            if isinstance(line, PropertyLine):
                line.open(True)
                if line.form is not None:
                    line.form.field("region").setFocus()

    def _say(self, text: str) -> None:
        self.problem.setText(text)
        self.problem.setVisible(bool(text))
