"""Radon tests of a job: a line each, and an entry that takes result, device and days."""

from __future__ import annotations

from typing import Any

from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from db.commands.survey import add_radon_test, change_radon_test, remove_radon_test
from desktop.desk import Desk
from desktop.pages.autosave import Autosave, Line, LineList
from desktop.widgets.cards import button, label, tool_button
from desktop.widgets.form import ChoiceField, DateField, Form, RadonField, TextField
from domain.jobs import RadonTest

PURPOSES = (("before", "before the work"), ("after", "after the work"))
DEVICES = ("charcoal canister", "alpha track", "electret", "continuous monitor")


def _device_field() -> ChoiceField:
    return ChoiceField([(name, name) for name in DEVICES], "device, with its number", allow_new=True, required=True)


class TestLine(Line):
    """One radon test."""

    __test__ = False  # the trade's word, not pytest's

    def __init__(self, desk: Desk, saver: Autosave, record: RadonTest, unit: str) -> None:
        super().__init__()
        self._saver = saver
        self.fields: dict[str, Any] = {
            "result": RadonField(unit, required=True),
            "purpose": ChoiceField(PURPOSES, required=True),
            "started_on": DateField(desk.today, placeholder="began"),
            "ended_on": DateField(desk.today, required=True, placeholder="ended"),
            "device": _device_field(),
            "place": TextField("where: family room…"),
        }
        words = {
            "result": "Radon level", "purpose": "Before or after", "started_on": "Test began",
            "ended_on": "Test ended", "device": "Device", "place": "Where",
        }  # fmt: skip
        self.problem = label("", "small", "error", wrap=True)
        self.problem.hide()
        for name, field in self.fields.items():
            field.setAccessibleName(words[name])
            field.setToolTip(words[name])
            saver.bind(
                field, f"Change {words[name].lower()} of a radon test",
                lambda edit, value, name=name: change_radon_test(edit, record.id, **{name: value}),
            )  # fmt: skip
            field.problem_changed.connect(self._show_problem)
        remove = tool_button("trash", "Remove this radon test", lambda: desk.do(
            "Remove a radon test", lambda edit: remove_radon_test(edit, record.id), say="Radon test removed", undo=True
        ))  # fmt: skip
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 6)
        grid.setSpacing(4)
        for place, name in enumerate(("result", "purpose", "ended_on", "device", "place", "started_on")):
            grid.addWidget(self.fields[name], place // 3, place % 3)
        grid.addWidget(remove, 0, 3)
        grid.addWidget(self.problem, 2, 0, 1, 4)
        for column in range(3):
            grid.setColumnStretch(column, 2 if column < 2 else 3)

    def show_record(self, record: RadonTest) -> None:
        for name, field in self.fields.items():
            self._saver.show(field, getattr(record, name))

    def _show_problem(self, _: str) -> None:
        words = next((field.problem() for field in self.fields.values() if field.problem()), "")
        self.problem.setText(words)
        self.problem.setVisible(bool(words))


class RadonTests(QWidget):
    """All radon tests of a job."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._saver, self._job_id, self._unit = Autosave(desk), 0, "pCi/L"
        self.lines = LineList(lambda record: TestLine(desk, self._saver, record, self._unit))
        self.none_yet = label(
            "No test yet. The result before the work is what the proposal answers to.", "body", "soft", wrap=True
        )
        self.form = form = Form(columns=2)
        form.add_heading("Add a test")
        self.result = form.add("Level", RadonField(required=True))
        self.purpose = form.add("When", ChoiceField(PURPOSES, required=True))
        self.device = form.add("Device", _device_field())
        self.ended = form.add("Ended", DateField(desk.today, required=True))
        self.place = form.add("Where", TextField("family room, lowest level"))
        self.started = form.add("Began", DateField(desk.today, placeholder="if known"))
        self.problem = label("", "small", "error", wrap=True)
        self.problem.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        for part in (self.none_yet, self.lines, self.form, self.problem):
            column.addWidget(part)
        column.addWidget(button("Add test", self.add_entry, icon_name="plus"))

    def show_tests(self, job_id: int, tests: list[RadonTest], unit: str) -> None:
        """Show the tests of a job in the firm's unit."""
        if unit != self._unit:
            self._unit = unit
            self.result.set_unit(unit)
        if job_id != self._job_id:
            self._job_id = job_id
            self._clear()
            self.purpose.reset("before" if not tests else "after")
        self.none_yet.setVisible(not tests)
        self.lines.show_records(tests)

    def add_entry(self) -> None:
        """Add what stands in the entry; what cannot be used is said and stays."""
        required = (self.result, self.purpose, self.device, self.ended)
        fine = self.form.commit_all()
        for field in required:
            if field.value() is None and not field.problem():
                self.form.set_error(field, "This is needed.")
                fine = False
        if not fine:
            wrong = self.form.first_problem()
            if wrong is not None:
                wrong.setFocus()
            return
        reason = self._saver.refusal("Add a radon test", lambda edit: add_radon_test(
            edit, self._job_id, self.purpose.value(), self.device.value(), self.result.value(), self.ended.value(),
            started_on=self.started.value(), place=self.place.value(),
        ))  # fmt: skip
        self.problem.setText(reason)
        self.problem.setVisible(bool(reason))
        if not reason:
            self._clear()
            self.purpose.reset("after")
            self.result.setFocus()

    def _clear(self) -> None:
        for field in (self.result, self.device, self.ended, self.place, self.started):
            field.reset()
        self.form.clear_errors()
        self.problem.hide()
