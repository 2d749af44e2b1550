"""The points of every checklist: ours with their figures and sources, hidden or reworded, and the owner's own."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout

from db.commands.checklist import add_own_point, change_point, hide_point, remove_own_point
from db.queries.closeout import own_points
from db.queries.jobs import job_lists
from db.queries.standards import own_standards
from desktop.desk import Desk
from desktop.pages.company.part import Part, attempt
from desktop.widgets.cards import Card, button, label
from desktop.widgets.form import ChoiceField, Form, TextField
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.closeout.checklist import points_of
from domain.closeout.points import CheckPoint, built_in_points
from domain.closeout.records import PHASE_WORDS, PHASES, OwnPoint
from domain.standards import READ

PURPOSE = (
    "What is checked on a job before, during and after the work. The figures in our points come from Standards, so a"
    " value of your own shows here too; a point in your own words keeps its figure as you type it. Local code comes"
    " first. Answers that were given stay as they are."
)


class ChecklistPart(Part):
    """A table of all points, and an entry for the owner's own."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk, "Checklist", PURPOSE)
        self._types: dict[int, str] = {}
        self._own: dict[str, OwnPoint] = {}
        self.table = RowsTable(self._model(), "Points of the checklist")
        self.hide_one = button("Leave it off", self._hide, "plain", tip="The point is not asked any more")
        self.back = button("Back to our words", self._back, "quiet")
        self.remove = button("Remove own point", self._remove, "quiet", "trash")
        line = QHBoxLayout()
        for one in (self.hide_one, self.back, self.remove):
            line.addWidget(one)
        line.addStretch(1)
        card = Card()
        card.add(self.table, 1)
        card.add(line)
        self.add(card, 1)
        entry = Card("A point of your own")
        self.form = Form(columns=2)
        self.fields: dict[str, Any] = {
            "wording": self.form.add("What is checked", TextField("hatch screwed shut again"), wide=True),
            "phase": self.form.add("When", ChoiceField([(one, PHASE_WORDS[one]) for one in PHASES], required=True)),
            "job_type_id": self.form.add("On which jobs", ChoiceField([(None, "every job type")], "every job type")),
            "source": self.form.add("Who asks it", TextField("the county, your own experience"), wide=True),
        }
        self.problem = label("", "small", "error", wrap=True)
        self.problem.hide()
        self.new = button("Add the point", self.add_point, "plain", "plus")
        for part in (self.form, self.problem):
            entry.add(part)
        entry.body.addWidget(self.new, 0, Qt.AlignmentFlag.AlignLeft)
        self.add(entry)
        self.fields["phase"].reset("after")
        self.table.current_changed.connect(lambda _: self._show_verbs())

    def _model(self) -> RowsModel:
        return RowsModel(
            [
                Column("phase", "When", width=140),
                Column("wording", "Point", width=260, stretch=3, editable=True),
                Column("source", "Where it is from", width=200, stretch=2, editable=True),
                Column("jobs", "On", width=130),
                Column("state", "", kind="state", width=110),
            ],
            text={
                "phase": lambda point: PHASE_WORDS[point.phase],
                "source": lambda point: point.source.replace(f" ({READ})", ""),
                "jobs": self._jobs,
                "state": lambda point: "left off" if point.hidden else "own" if point.is_own else "",
            },
            tip={"source": lambda point: point.source},
            tone={"state": lambda point: "over" if point.hidden else "good"},
            sort_key={"phase": lambda point: PHASES.index(point.phase)},
            row_id=lambda point: point.key,
            setter=self._set,
        )

    def refresh(self) -> None:
        with self.desk.read() as conn:
            own, standards = own_points(conn), own_standards(conn)
            self._types = {one.id: one.name for one in job_lists(conn).job_types}
        self._own = {one.point_key: one for one in own}
        built_in = built_in_points(None, self.desk.today(), standards)
        self.table.rows_model().set_rows(points_of(built_in, own, None, with_hidden=True))
        types: list[tuple[int | None, str]] = [(None, "every job type"), *self._types.items()]
        self.fields["job_type_id"].set_choices(types)
        self._show_verbs()

    def add_point(self) -> None:
        """Add what stands in the entry."""
        if not self.form.commit_all():
            return
        given = {name: field.value() for name, field in self.fields.items()}
        reason = attempt(self.desk, "Add a point to the checklist", lambda edit: add_own_point(
            edit, given["phase"], given["wording"], source=given["source"], job_type_id=given["job_type_id"]
        ))  # fmt: skip
        self.problem.setText(reason or "")
        self.problem.setVisible(bool(reason))
        if not reason:
            for name in ("wording", "source"):
                self.fields[name].reset()
            self.fields["wording"].setFocus()

    def _jobs(self, point: CheckPoint) -> str:
        mine = self._own.get(point.key)
        if mine is None or mine.job_type_id is None:
            return "every job" if mine is not None and point.key.startswith("own-") else "by kind of work"
        return self._types.get(mine.job_type_id, "an archived type")

    def _set(self, point: CheckPoint, key: str, typed: str) -> str | None:
        return attempt(self.desk, "Change a point of the checklist",
                       lambda edit: change_point(edit, point.key, **{key: typed}))  # fmt: skip

    def _hide(self) -> None:
        point: CheckPoint | None = self.table.current_row()
        if point is not None:
            word = "Ask a point again" if point.hidden else "Leave a point off"
            attempt(self.desk, word, lambda edit: hide_point(edit, point.key, not point.hidden), undo=True)

    def _back(self) -> None:
        self._take("Go back to the built-in point", "Our own words count again.")

    def _remove(self) -> None:
        self._take("Remove a point of the checklist", "Point removed.")

    def _take(self, title: str, say: str) -> None:
        point: CheckPoint | None = self.table.current_row()
        if point is not None:
            attempt(self.desk, title, lambda edit: remove_own_point(edit, point.key), say=say, undo=True)

    def _show_verbs(self) -> None:
        point: CheckPoint | None = self.table.current_row()
        own = point is not None and point.key.startswith("own-")
        self.hide_one.setText("Ask it again" if point is not None and point.hidden else "Leave it off")
        self.hide_one.setEnabled(point is not None)
        self.back.setVisible(point is not None and not own)
        self.back.setEnabled(point is not None and point.key in self._own)
        self.remove.setVisible(own)
