"""Appearance: light or dark, and the units things are shown in."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QApplication

from db.commands.firm import change_firm
from db.queries.firm import firm
from desktop.desk import Desk
from desktop.look.theme import apply_theme, current_choice
from desktop.pages.company.part import Part, attempt
from desktop.widgets.cards import Card, column, row, segments
from desktop.widgets.form import Form


class AppearancePart(Part):
    """The look belongs to this computer, the units to the company.

    Signals:
        appearance_asked: system, light or dark.
    """

    appearance_asked = Signal(str)

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Appearance", "How the program looks on this computer, and the units this firm works in."
        )
        self.theme = segments(
            [("system", "As the system"), ("light", "Light"), ("dark", "Dark")], self._ask, "Light or dark"
        )
        self.units = segments(
            [("us", "Feet and inches"), ("metric", "Meters")], lambda key: self._change("unit_system", key), "Lengths"
        )
        self.radon = segments(
            [("pCi/L", "pCi/L"), ("Bq/m3", "Bq/m³")], lambda key: self._change("radon_unit", key), "Radon levels"
        )
        look, units = Card("On this computer"), Card("In this firm")
        form = Form()
        form.add("Light or dark", row(self.theme, None))
        look.add(form)
        form = Form()
        form.add("Lengths", row(self.units, None), "Either can always be typed: 12'6\", 3.8 m.")
        form.add("Radon levels", row(self.radon, None), "1 pCi/L is 37 Bq/m³. Either can always be typed.")
        units.add(form)
        self.add_scrolling(column(look, units, None))

    def refresh(self) -> None:
        with self.desk.read() as conn:
            stored = firm(conn)
        self.theme.set_value(current_choice())
        self.units.set_value(stored.unit_system)
        self.radon.set_value(stored.radon_unit)

    def _ask(self, choice: object) -> None:
        app = QApplication.instance()
        if isinstance(app, QApplication):
            apply_theme(app, choice)  # type: ignore[arg-type]
        self.appearance_asked.emit(str(choice))  # the window remembers it

    def _change(self, name: str, value: object) -> None:
        attempt(self.desk, "Change units", lambda edit: change_firm(edit, **{name: value}))
