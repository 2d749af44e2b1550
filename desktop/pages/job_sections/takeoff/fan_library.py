"""The fans whose sheets were entered: name, points typed as ``cfm: inches of water``, the item they are bought as."""

from __future__ import annotations

from decimal import Decimal

from PySide6.QtWidgets import QHBoxLayout

from db.commands.takeoff import add_fan_curve, change_fan_curve
from desktop.pages.job_sections.takeoff.editing import TakeoffEditing
from desktop.widgets.cards import Card, button, label
from desktop.widgets.form import ChoiceField, Form, NotesField, QuantityField, TextField
from domain.errors import NotUnderstood
from domain.job_takeoff.curve_text import EXAMPLE, print_points, read_points, stored_points
from domain.job_takeoff.records import FanCurveRow
from domain.quoting.typed import item_label


class FanLibrary(Card):
    """One fan at a time: an old one to change, or a new one."""

    def __init__(self, editing: TakeoffEditing) -> None:
        super().__init__("Fans", "points from the fan's own sheet; for every job")
        self.editing = editing
        self._curve_id = 0
        self.form = Form()
        self.which = self.form.add("Fan", ChoiceField(placeholder="A new fan"))
        self.name = self.form.add("Name", TextField("as you call it"))
        self.points = self.form.add(
            "Points", NotesField(EXAMPLE, lines=5), "One a line: cubic feet a minute, a colon, inches of water"
        )
        self.item = self.form.add("Bought as", ChoiceField(placeholder="an item of the kind fan"))
        self.watts = self.form.add("Watts", QuantityField("W"))
        self.save_button = button("Keep this fan", self.save, "plain", "check")
        self.put_away = button("Archive", self.archive, "quiet", "archive", "No longer offered; kept where it is used")
        self.problem = label("", "small", "error", wrap=True)
        self.add(self.form)
        self.add(self.problem)
        line = QHBoxLayout()
        line.addWidget(self.save_button)
        line.addWidget(self.put_away)
        line.addStretch(1)
        self.add(line)
        self.which.edited.connect(self.show_fan)

    def show_fans(self) -> None:
        """The fans that are kept; what is half typed stays."""
        kept = self.editing.kept
        self.which.set_choices([(row.id, row.name) for row in kept.curves if not row.archived])
        fans = [priced for priced in kept.picks.items if priced.item.item_class == "fan" and not priced.item.archived]
        self.item.set_choices([(priced.item.id, item_label(priced)) for priced in fans])
        self.put_away.setEnabled(bool(self._curve_id))

    def show_fan(self, curve_id: int | None) -> None:
        """Show one fan to change, or an empty form."""
        row = self._row(curve_id)
        self._curve_id = row.id if row is not None else 0
        self.which.reset(self._curve_id or None)
        self.name.reset(row.name if row else "")
        self.points.reset(print_points(stored_points(row.points)) if row else "")
        self.item.reset(row.item_id if row else None)
        self.watts.reset(row.watts if row else None)
        self.put_away.setEnabled(row is not None)
        self._say("")

    def save(self) -> None:
        """Keep what is typed, as a new fan or over the chosen one."""
        if not self.form.commit_all():
            return
        try:
            points = read_points(self.points.toPlainText())
        except NotUnderstood as problem:
            self._say(str(problem))
            self.points.setFocus()
            return
        name, item_id = self.name.value(), self.item.value()
        watts: Decimal | None = self.watts.value() or None
        curve_id, made = self._curve_id, []

        def work(edit: object) -> None:
            if curve_id:
                change_fan_curve(edit, curve_id, name=name, points=points, item_id=item_id, watts=watts)  # type: ignore[arg-type]
                made.append(curve_id)
            else:
                made.append(add_fan_curve(edit, name, points, item_id=item_id, watts=watts))  # type: ignore[arg-type]

        problem = self.editing.save(f"Keep the fan {name}", work, say=f"Kept {name}", undo=True)
        self._say(problem)
        if not problem:
            self.show_fan(made[0])

    def archive(self) -> None:
        """Offer this fan no longer."""
        row = self._row(self._curve_id)
        if row is not None:
            self.editing.save(
                f"Archive {row.name}", lambda edit: change_fan_curve(edit, row.id, archived=True),
                say=f"Archive {row.name}", undo=True,
            )  # fmt: skip
            self.show_fan(None)

    def _row(self, curve_id: int | None) -> FanCurveRow | None:
        return next((row for row in self.editing.kept.curves if row.id == curve_id), None)

    def _say(self, problem: str) -> None:
        self.problem.setText(problem)
        self.problem.setVisible(bool(problem))
