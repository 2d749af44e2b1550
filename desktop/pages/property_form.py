"""The facts of a house, saved field by field: on the customer's page whole, on the survey the part one sees there."""

from __future__ import annotations

from typing import Any

from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QVBoxLayout, QWidget

from db.commands.people import EARLIEST_YEAR, LATEST_YEAR, change_property
from db.edit import Edit
from desktop.desk import Desk
from desktop.look.theme import current_tokens
from desktop.pages.autosave import Autosave
from desktop.widgets.form import Form, NotesField, SwitchField, TextField, TypedField
from domain.errors import NotUnderstood
from domain.people import Property, parse_storeys

FOUNDATION = (("slab", "Slab"), ("basement", "Basement"), ("crawl_space", "Crawl space"))


def parse_year(text: str) -> int:
    """Read the year a house was built; raises NotUnderstood."""
    digits = text.strip()
    if not digits.isdecimal() or not EARLIEST_YEAR <= int(digits) <= LATEST_YEAR:
        raise NotUnderstood(f"“{text.strip()}” is not a year. Type four digits, for example 1962.", text)
    return int(digits)


class YearField(TypedField):
    """The year a house was built."""

    def __init__(self) -> None:
        super().__init__(parse_year, str, placeholder="1962")


class StoreysField(TypedField):
    """How many stories a house has, as text: what was noted before as words stays until it is typed anew."""

    empty_value = ""

    def __init__(self) -> None:
        super().__init__(parse_storeys, str, placeholder="1, 1.5, 2…")


class FoundationTicks(QWidget):
    """Which parts the foundation has; any combination."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk, self._house_id = desk, 0
        self.ticks: dict[str, QCheckBox] = {}
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(14)
        for name, word in FOUNDATION:
            tick = self.ticks[name] = QCheckBox(word)
            tick.setAccessibleName(f"Foundation: {word.lower()}")
            tick.clicked.connect(lambda on, name=name, word=word: self._save(name, word, on))
            row.addWidget(tick)
        row.addStretch(1)
        self.setMinimumHeight(current_tokens().control_height)

    def show_house(self, house: Property) -> None:
        """Show the parts of this house."""
        self._house_id = house.id
        for name, tick in self.ticks.items():
            tick.setChecked(getattr(house, name))

    def _save(self, name: str, word: str, on: bool) -> None:
        label = f"{'Note' if on else 'Remove'} {word.lower()}"
        self._desk.do(label, lambda edit: change_property(edit, self._house_id, **{name: on}))


class PropertyForm(QWidget):
    """The facts of one house; `with_address` adds street, town, region, postcode and note."""

    def __init__(self, desk: Desk, with_address: bool = True) -> None:
        super().__init__()
        self._saver, self._house_id = Autosave(desk), 0
        self._fields: dict[str, Any] = {}
        self.form = Form(columns=2 if with_address else 1)
        if with_address:
            self._add("street", "Street", TextField("12 Mill Road", required=True))
            self._add("town", "City", TextField())
            self._add("region", "State", TextField("ME"))
            self._add("postcode", "ZIP", TextField())
        self._add("year_built", "Year built", YearField())
        self._add("storeys", "Stories", StoreysField())
        self.foundation = FoundationTicks(desk)
        self.form.add("Foundation", self.foundation, wide=True)
        self._add("existing_system", "Existing system", SwitchField())
        self._add("existing_by", "Put in by", TextField("builder, another firm, the owner; for you alone"))
        if with_address:
            self._add("note", "Property note", NotesField("where to park, dog, key, who to call", lines=2), wide=True)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.form)

    def _add(self, name: str, title: str, field: Any, wide: bool = False) -> None:
        self._fields[name] = self.form.add(title, field, wide=wide)
        self._saver.bind(
            field, f"Change {title.lower()}", lambda edit, value: self._write(edit, name, value),
            lambda: self._house_id and ("property", self._house_id),
        )  # fmt: skip

    def _write(self, edit: Edit, name: str, value: Any) -> None:
        change_property(edit, self._house_id, **{name: value})

    def show_house(self, house: Property) -> None:
        """Show a house, or the same house again."""
        if house.id != self._house_id:
            self._house_id = house.id
            for name, field in self._fields.items():
                field.reset(getattr(house, name))
        for name, field in self._fields.items():
            self._saver.show(field, getattr(house, name))
        self.foundation.show_house(house)
        self.form.set_visible(self._fields["existing_by"], house.existing_system)

    def field(self, name: str) -> Any:
        """The field of a column, to put the cursor there."""
        return self._fields[name]
