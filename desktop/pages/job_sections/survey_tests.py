"""Radon tests of a job: a line each, and an entry that takes result, device and days."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from db.commands.survey import add_radon_test, change_radon_test, remove_radon_test
from desktop.desk import Desk
from desktop.pages.autosave import Autosave, Line, LineList
from desktop.widgets.cards import button, label, tool_button
from desktop.widgets.form import ChoiceField, DateField, Form, RadonField, TextField
from domain.dates import format_day_short
from domain.jobs import RadonTest
from domain.units import format_radon

PURPOSES = (("before", "before the work"), ("after", "after the work"))
DEVICES = ("charcoal canister", "alpha track", "electret", "continuous monitor")


def _device_field() -> ChoiceField:
    return ChoiceField([(name, name) for name in DEVICES], "device and number", allow_new=True, required=True)


class TestLine(Line):
    """One radon test: a sentence, and beneath it its fields when it is opened."""

    __test__ = False  # the trade's word, not pytest's

    def __init__(self, desk: Desk, saver: Autosave, record: RadonTest, unit: str) -> None:
        super().__init__()
        self._desk, self._saver, self._record, self._unit = desk, saver, record, unit
        self.level = label("", "strong")
        self.words, self.device = label("", "body"), label("", "small", "soft")
        for words in (self.words, self.device):
            words.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.form: Form | None = None  # made when first opened
        self.fields: dict[str, Any] = {}
        self.opener = tool_button("edit", "Change this radon test", self.toggle)
        remove = tool_button("trash", "Remove this radon test", lambda: desk.do(
            "Remove a radon test", lambda edit: remove_radon_test(edit, record.id), say="Radon test removed", undo=True
        ))  # fmt: skip
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(self.level, 0, Qt.AlignmentFlag.AlignTop)
        said = QVBoxLayout()
        said.setSpacing(0)
        said.addWidget(self.words)
        said.addWidget(self.device)
        row.addLayout(said, 1)
        row.addWidget(self.opener)
        row.addWidget(remove)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addLayout(row)

    def toggle(self) -> None:
        """Open or close the fields."""
        if self.form is None:
            self.form = self._make_form()
            self._column.addWidget(self.form)
            self.show_record(self._record)
            self.form.hide()
        self.form.setVisible(self.form.isHidden())
        if not self.form.isHidden():
            self.fields["result"].setFocus()

    def _make_form(self) -> Form:
        form, today = Form(columns=2), self._desk.today
        self.fields = {
            "result": form.add("Level", RadonField(self._unit, required=True)),
            "purpose": form.add("When", ChoiceField(PURPOSES, required=True)),
            "device": form.add("Device", _device_field()),
            "ended_on": form.add("Ended", DateField(today, required=True)),
            "place": form.add("Where", TextField("family room, lowest level")),
            "started_on": form.add("Began", DateField(today, placeholder="if known")),
        }
        for name, field in self.fields.items():
            title = form.label_of(field).text().lower()
            self._saver.bind(field, f"Change {title} of a radon test", self._writer(name))
        return form

    def _writer(self, name: str) -> Callable[[Any, Any], None]:
        return lambda edit, value: change_radon_test(edit, self._record.id, **{name: value})

    def show_record(self, record: RadonTest) -> None:
        self._record = record
        for name, field in self.fields.items():
            self._saver.show(field, getattr(record, name))
        self.level.setText(format_radon(record.result, self._unit))
        days = format_day_short(record.ended_on)
        if record.started_on:
            began = format_day_short(record.started_on)
            days = f"{began.partition(',')[0] if record.started_on.year == record.ended_on.year else began} to {days}"
        self.words.setText(f"{dict(PURPOSES).get(record.purpose, record.purpose)}, {days}")
        self.device.setText(", ".join(part for part in (record.device, record.place) if part))


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
        self.another = button("Another test", self._open_entry, "quiet", "plus")
        self.add = button("Add test", self.add_entry, icon_name="plus")
        for part in (self.none_yet, self.lines, self.another, self.form, self.problem, self.add):
            column.addWidget(part)

    def show_tests(self, job_id: int, tests: list[RadonTest], unit: str) -> None:
        """Show the tests of a job in the firm's unit."""
        if unit != self._unit:
            self._unit = unit
            self.result.set_unit(unit)
        if job_id != self._job_id:
            self._job_id = job_id
            self._clear()
            self.purpose.reset("before" if not tests else "after")
            self._show_entry(not tests)
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
            self._show_entry(False)
            self.another.setFocus()

    def _open_entry(self) -> None:
        self._show_entry(True)
        self.result.setFocus()

    def _show_entry(self, shown: bool) -> None:
        for part in (self.form, self.add):
            part.setVisible(shown)
        self.another.setVisible(not shown)

    def _clear(self) -> None:
        for field in (self.result, self.device, self.ended, self.place, self.started):
            field.reset()
        self.form.clear_errors()
        self.problem.hide()
