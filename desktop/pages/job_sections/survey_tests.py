"""Radon tests of a job: a line each with what its timing says, and an entry that takes the full record."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from db.commands.attachments import attach_report, detach_report
from db.commands.survey import add_radon_test, change_radon_test, remove_radon_test
from db.photo_folder import kept_path, photo_folder
from db.queries.closeout import attachment_named
from desktop.desk import Desk
from desktop.pages.autosave import Autosave, Line, LineList
from desktop.pages.drafts import Draft
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import button, label, set_tone, tool_button
from desktop.widgets.error_line import ErrorLine
from desktop.widgets.form import ChoiceField, DateField, Form, RadonField, TextField, TypedField
from domain.calendar.hours import parse_clock
from domain.closeout.timing import DEVICES, Timing, moment_words
from domain.dates import format_day_short
from domain.jobs import RadonTest, far_words
from domain.units import format_clock, format_radon

PURPOSES = (("before", "before the work"), ("after", "after the work"))
CLOSED_HOUSE = (("", "not known"), ("yes", "yes"), ("no", "no"))
PAPERS = "PDF or picture (*.pdf *.jpg *.jpeg *.png *.gif);;All files (*)"


def _device_field() -> ChoiceField:
    return ChoiceField([(name, name) for name in DEVICES], "kind of device, if it is known", allow_new=True)


def time_field(placeholder: str = "9:30, 1 pm") -> TypedField:
    """A time of day as a minute of the day; None when it is not known."""
    return TypedField(parse_clock, format_clock, placeholder=placeholder)


def _fields(form: Form, desk: Desk, unit: str) -> dict[str, Any]:
    """The full record of a test, by the names the commands know."""
    today = desk.today

    def doubt(day: date) -> str:
        return far_words(day, today())

    return {
        "result": form.add("Level", RadonField(unit, required=True)),
        "purpose": form.add("When", ChoiceField(PURPOSES, required=True)),
        "device": form.add("Device", _device_field()),
        "serial": form.add("Number", TextField("the device's own")),
        "ended_on": form.add("Ended", DateField(today, required=True, doubt=doubt)),
        "ended_minute": form.add("Ended at", time_field()),
        "started_on": form.add("Began", DateField(today, placeholder="if known", doubt=doubt)),
        "started_minute": form.add("Began at", time_field()),
        "place": form.add("Where", TextField("family room, lowest level")),
        "closed_house": form.add("Closed house", ChoiceField(CLOSED_HOUSE)),
        "placed_by": form.add("By whom", TextField("who placed it")),
        "note": form.add("Note", TextField()),
    }


class TestLine(Line):
    """One radon test: a sentence, and beneath it its fields when it is opened."""

    __test__ = False  # the trade's word, not pytest's

    def __init__(
        self, desk: Desk, saver: Autosave, record: RadonTest, unit: str, timings: Callable[[], Mapping[int, Timing]]
    ) -> None:
        super().__init__()
        self._desk, self._saver, self._record, self._unit = desk, saver, record, unit
        self._timings = timings
        self.level = label("", "strong")
        self.words, self.device = label("", "body", wrap=True), label("", "small", "soft", wrap=True)
        self.timing = label("", "small", "soft", wrap=True)
        self.refused = label("", "small", "error", wrap=True)
        self.refused.hide()
        self.report = tool_button("paper", "Add the laboratory's report to this radon test", self._report)
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
        said.addWidget(self.timing)
        row.addLayout(said, 1)
        row.addWidget(self.report)
        row.addWidget(self.opener)
        row.addWidget(remove)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addLayout(row)
        self.without = button("Remove the report", self.remove_report, "quiet", "trash")
        self.without.hide()
        self._column.addWidget(self.refused)

    def toggle(self) -> None:
        """Open or close the fields."""
        if self.form is None:
            self.form = self._make_form()
            self._column.addWidget(self.form)
            self._column.addWidget(self.without, 0, Qt.AlignmentFlag.AlignLeft)
            self.show_record(self._record)
            self.form.hide()
        self.form.setVisible(self.form.isHidden())
        self.without.setVisible(not self.form.isHidden() and self._record.attachment_id is not None)
        if not self.form.isHidden():
            self.fields["result"].setFocus()

    def _make_form(self) -> Form:
        form = Form(columns=2)
        self.fields = _fields(form, self._desk, self._unit)
        for name, field in self.fields.items():
            title = form.label_of(field).text().lower()
            self._saver.bind(
                field, f"Change {title} of a radon test", self._writer(name), lambda: ("radon test", self._record.id)
            )
        return form

    def _writer(self, name: str) -> Callable[[Any, Any], None]:
        return lambda edit, value: change_radon_test(
            edit, self._record.id, today=self._desk.today(), **{name: "" if value is None and name in _WORDS else value}
        )

    def _report(self) -> None:
        """Add the report, or open the one that is there."""
        if self._record.attachment_id is None:
            name, _ = QFileDialog.getOpenFileName(self, "The laboratory's report", "", PAPERS)
            if name:
                self.add_report(Path(name))
            return
        with self._desk.read() as conn:
            kept = attachment_named(conn, self._record.attachment_id)
        path = kept_path(photo_folder(self._desk.company.path), kept.file_name)
        if path is None:
            self._say_refused(f"{kept.original_name} is not in the folder beside the firm's file. Add it again.")
            return
        QDesktopServices.openUrl(QUrl.fromLocalFile(str(path)))

    def add_report(self, source: Path) -> None:
        """Copy a report in; what cannot be added is said."""
        folder = photo_folder(self._desk.company.path)
        self._say_refused(self._saver.refusal("Add a test's report", lambda edit: attach_report(
            edit, self._record.id, source, folder, self._desk.today()
        ), say="Report added", undo=True))  # fmt: skip

    def remove_report(self) -> None:
        """Take the report off."""
        self._saver.do("Remove a test's report", lambda edit: detach_report(edit, self._record.id),
                       say="Report removed", undo=True)  # fmt: skip

    def _say_refused(self, reason: str) -> None:
        self.refused.setText(reason)
        self.refused.setVisible(bool(reason))

    def show_record(self, record: RadonTest) -> None:
        self._record = record
        for name, field in self.fields.items():
            self._saver.show(field, getattr(record, name))
        self.level.setText(format_radon(record.result, self._unit))
        self.words.setText(f"{dict(PURPOSES).get(record.purpose, record.purpose)}, {_days(record)}")
        number = f"no. {record.serial}" if record.serial else ""
        parts = (record.device, number, record.place, record.placed_by and f"by {record.placed_by}", record.note)
        self.device.setText(", ".join(part for part in parts if part))
        has = record.attachment_id is not None
        name = "Open the laboratory's report" if has else "Add the laboratory's report to this radon test"
        set_tip(self.report, name)
        self.report.setAccessibleName(name)
        self.without.setVisible(has and self.form is not None and not self.form.isHidden())
        self._show_timing(self._timings().get(record.id))

    def _show_timing(self, timing: Timing | None) -> None:
        self.timing.setVisible(timing is not None)
        if timing is None:
            return
        set_tone(self.timing, {True: "under", False: "over", None: "soft"}[timing.met])
        self.timing.setText(timing.verdict)
        set_tip(self.timing, "\n".join(f"{check.rule}: {check.words} {check.source}" for check in timing.checks))


_WORDS = ("device", "place", "note", "closed_house", "placed_by", "serial")


def _days(record: RadonTest) -> str:
    if record.started_on is None:
        return moment_words(record.ended_on, record.ended_minute)
    if record.started_minute is not None or record.ended_minute is not None:
        began = moment_words(record.started_on, record.started_minute)
        return f"{began} to {moment_words(record.ended_on, record.ended_minute)}"
    began = format_day_short(record.started_on)
    same_year = record.started_on.year == record.ended_on.year
    return f"{began.partition(',')[0] if same_year else began} to {format_day_short(record.ended_on)}"


class RadonTests(QWidget):
    """All radon tests of a job."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._saver, self._job_id, self._unit = Autosave(desk), 0, "pCi/L"
        self._desk = desk
        self._timings: Mapping[int, Timing] = {}
        self.lines = LineList(lambda record: TestLine(desk, self._saver, record, self._unit, lambda: self._timings))
        self.none_yet = label(
            "No test yet. The result before the work is what the proposal answers to.", "body", "soft", wrap=True
        )
        self.form = form = Form(columns=2)
        self.fields = _fields(form, desk, self._unit)
        self.result, self.purpose, self.device = (self.fields[name] for name in ("result", "purpose", "device"))
        self.ended, self.place, self.started = (self.fields[name] for name in ("ended_on", "place", "started_on"))
        self.draft = Draft(desk, "radon test", self.fields, lambda: self._job_id)
        self.problem = ErrorLine()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        self.another = button("Another test", self._open_entry, "quiet", "plus")
        self.add = button("Add test", self.add_entry, icon_name="plus")
        for part in (self.none_yet, self.lines, self.another, self.form, self.add, self.problem):
            column.addWidget(part)

    def show_tests(
        self, job_id: int, tests: list[RadonTest], unit: str, timings: Mapping[int, Timing] | None = None
    ) -> None:
        """Show the tests of a job in the firm's unit; `timings`: what is said of each, by its id."""
        self._timings = timings or {}
        if unit != self._unit:
            self._unit = unit
            self.fields["result"].set_unit(unit)
        if job_id != self._job_id:
            self._job_id = job_id
            self._clear()
            self.purpose.reset("before" if not tests else "after")
            self._show_entry(self.draft.turn() or not tests)
        self.none_yet.setVisible(not tests)
        self.lines.show_records(tests)

    def add_entry(self) -> None:
        """Add what stands in the entry; what cannot be used is said and stays."""
        required = (self.result, self.purpose, self.ended)
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
        given = {name: field.value() for name, field in self.fields.items()}
        words = {name: given.pop(name) or "" for name in _WORDS}
        reason = self._saver.refusal("Add a radon test", lambda edit: add_radon_test(
            edit, self._job_id, **given, **words, today=self._desk.today()
        ))  # fmt: skip
        self.problem.say(reason)
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
        for name, field in self.fields.items():
            if name != "purpose":
                field.reset("" if name == "closed_house" else None)
        self.form.clear_errors()
        self.problem.say("")
