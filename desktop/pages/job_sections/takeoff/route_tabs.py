"""The routes of the job side by side: turn to one, add, copy, name, delete, and say which is built."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from db.commands.takeoff import add_route, change_route, copy_route, remove_route
from desktop.pages.job_sections.takeoff.editing import TakeoffEditing
from desktop.widgets.buttons import PushButton
from desktop.widgets.cards import FlowLayout, button, segments, tool_button
from desktop.widgets.form import SwitchField, TextField
from domain.job_takeoff.reckoning import route_title
from domain.job_takeoff.records import RouteRow
from domain.routes.route import STATUSES


class RouteTabs(QWidget):
    """A button for each route, and beneath them what the current one is.

    Signals:
        begun: a route was added or copied and is the current one; its words are next.
    """

    begun = Signal()

    def __init__(self, editing: TakeoffEditing) -> None:
        super().__init__()
        self.editing = editing
        self.buttons: dict[int, QPushButton] = {}
        strip = QWidget()
        self._flow = FlowLayout(strip, spacing=4)
        self.add_found = button("As found", lambda: self.add("found"), "quiet", "plus", "A route as it was found")
        self.add_proposed = button(
            "Proposed", lambda: self.add("proposed"), "quiet", "plus", "Another proposed route (Ctrl+Shift+R)"
        )
        self.copy = tool_button("copy", "Begin a proposed route as a copy of this one (Ctrl+D)", self.copy_route)
        self.remove = tool_button("trash", "Remove this route", self.remove_route)
        self.status = segments(list(STATUSES.items()), self._set_status, "Status of the route")
        self.name = TextField("a name, if there are several")
        self.name.setAccessibleName("Name of the route")
        self.name.setMinimumWidth(150)
        editing.saver.bind(
            self.name, "Name the route", lambda edit, name: change_route(edit, editing.route_id, name=name),
            lambda: editing.route_id and ("route", editing.route_id),
        )
        self.built = SwitchField("Built: counts in the list")
        self.built.setAccessibleName("This route is built")
        editing.saver.bind(
            self.built, self._built_label, lambda edit, on: change_route(edit, editing.route_id, built=on), lambda: None
        )
        self.about = QWidget()
        line = QHBoxLayout(self.about)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(8)
        for part, stretch in ((self.status, 0), (self.name, 1), (self.built, 0), (self.copy, 0), (self.remove, 0)):
            line.addWidget(part, stretch)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(strip)
        column.addWidget(self.about)

    def show_routes(self) -> None:
        """The routes as they are kept, the current one marked."""
        rows = self.editing.kept.routes
        wanted = {row.id for row in rows}
        for gone in [key for key in self.buttons if key not in wanted]:
            self._take_off(self.buttons.pop(gone))
        while self._flow.count():
            self._flow.takeAt(0)
        for row in rows:
            made = self.buttons.get(row.id) or self._made(row)
            words = route_title(row.status, row.name)
            made.setText(f"{words} ✓" if _counts(row) else words)
            made.setAccessibleName(f"Route: {words}{', built' if _counts(row) else ''}")
            self._flow.addWidget(made)
        for add in (self.add_found, self.add_proposed):
            self._flow.addWidget(add)
            add.show()
        self.show_current()

    def show_current(self) -> None:
        """What the current route is."""
        for route_id, made in self.buttons.items():
            made.setChecked(route_id == self.editing.route_id)
        row = self.editing.kept.route(self.editing.route_id)
        self.about.setVisible(row is not None)
        if row is not None:
            self.status.set_value(row.status)
            self.editing.saver.show(self.name, row.name)
            self.editing.saver.show(self.built, row.built)
            self.built.setVisible(row.status == "proposed")

    def turn(self, steps: int) -> None:
        """Turn to a neighbouring route."""
        ids = [row.id for row in self.editing.kept.routes]
        if ids:
            self.editing.turn_to(ids[(ids.index(self.editing.route_id) + steps) % len(ids)])

    # Doing.

    def add(self, status: str) -> None:
        """Add an empty route and turn to it."""
        job_id = self.editing.kept.job_id
        self._made_by("Add a route", lambda edit: add_route(edit, job_id, status))

    def copy_route(self) -> None:
        """Begin a proposed route from this one."""
        if self.editing.sheet is not None:
            self.editing.save_words()
            source = self.editing.route_id
            self._made_by("Copy a route", lambda edit: copy_route(edit, source))

    def remove_route(self) -> None:
        """Delete the current route; Undo is offered."""
        sheet = self.editing.sheet
        if sheet is not None:
            self.editing.save_words()
            gone = self.editing.route_id
            self.editing.save(
                f"Remove the route “{sheet.title}”", lambda edit: remove_route(edit, gone),
                say=f"Removed “{sheet.title}”", undo=True,
            )  # fmt: skip

    def _made_by(self, label: str, work: object) -> None:
        made: list[int] = []
        if not self.editing.save(label, lambda edit: made.append(work(edit))):  # type: ignore[operator]
            self.editing.turn_to(made[0])
            self.begun.emit()

    def _set_status(self, status: object) -> None:
        problem = self.editing.save(
            "Say what the route is", lambda edit: change_route(edit, self.editing.route_id, status=status)
        )
        if problem:
            self.show_current()

    def _built_label(self) -> str:
        return "Say whether the route is built"

    def _made(self, row: RouteRow) -> QPushButton:
        made = PushButton()
        made.setProperty("kind", "segment")
        made.setCheckable(True)
        made.setAutoDefault(False)
        made.clicked.connect(lambda _=False, route_id=row.id: self._clicked(route_id))
        self.buttons[row.id] = made
        return made

    def _clicked(self, route_id: int) -> None:
        self.editing.turn_to(route_id)
        self.show_current()

    def _take_off(self, gone: QPushButton) -> None:
        gone.hide()
        gone.deleteLater()


def _counts(row: RouteRow) -> bool:
    return row.status == "proposed" and row.built
