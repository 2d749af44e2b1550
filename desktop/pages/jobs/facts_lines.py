"""Deadlines and parties of a job: a line or two each, and an entry to add one."""

from __future__ import annotations

from PySide6.QtWidgets import QCheckBox, QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from db.commands.jobs import (
    add_deadline,
    add_party,
    change_deadline,
    change_party,
    mark_deadline_met,
    remove_deadline,
    remove_party,
)
from desktop.desk import Desk
from desktop.pages.autosave import Autosave, Line, LineList
from desktop.pages.drafts import Draft
from desktop.pages.states import SOON_DAYS
from desktop.widgets.cards import button, label, set_tone, tool_button
from desktop.widgets.error_line import ErrorLine
from desktop.widgets.form import ChoiceField, DateField, TextField
from domain.jobs import PARTY_ROLES, Deadline, Party, days_left
from domain.unlikely import far_from

REASONS = ("closing date", "inspection", "permit", "retest", "promised to the customer")


class DeadlineLine(Line):
    """One deadline: day, reason, met or not."""

    def __init__(self, desk: Desk, saver: Autosave, record: Deadline) -> None:
        super().__init__()
        self._desk, self._saver = desk, saver
        self.day = DateField(desk.today, required=True, doubt=far_from(desk.today))
        self.day.setAccessibleName("Deadline")
        self.reason = TextField("why", required=True)
        self.reason.setAccessibleName("Reason of the deadline")
        self.met = QCheckBox("met")
        self.met.setAccessibleName("Deadline met")
        self.left = label("", "small", "soft")
        of = lambda: ("deadline", record.id)  # noqa: E731
        saver.bind(self.day, "Move a deadline", lambda edit, on: change_deadline(edit, record.id, due_on=on), of)
        saver.bind(self.reason, "Reword a deadline", lambda edit, why: change_deadline(edit, record.id, reason=why), of)
        self.met.clicked.connect(lambda on: desk.do(
            "Tick a deadline off" if on else "Take back a tick", lambda edit: mark_deadline_met(edit, record.id, on)
        ))  # fmt: skip
        remove = tool_button("trash", "Remove this deadline", lambda: desk.do(
            "Remove a deadline", lambda edit: remove_deadline(edit, record.id), say="Deadline removed", undo=True
        ))  # fmt: skip
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(4)
        grid.addWidget(self.day, 0, 0)
        grid.addWidget(self.met, 0, 1)
        grid.addWidget(remove, 0, 2)
        grid.addWidget(self.reason, 1, 0)
        grid.addWidget(self.left, 1, 1, 1, 2)
        grid.setColumnStretch(0, 1)

    def show_record(self, record: Deadline) -> None:
        self._saver.show(self.day, record.due_on)
        self._saver.show(self.reason, record.reason)
        self.met.setChecked(record.met)
        today = self._desk.today()
        self.left.setText("" if record.met else days_left(record.due_on, today))
        set_tone(self.left, "over" if (record.due_on - today).days <= SOON_DAYS else "soft")


class DeadlineList(QWidget):
    """All deadlines of a job."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._saver, self._job_id = Autosave(desk), 0
        self.lines = LineList(lambda record: DeadlineLine(desk, self._saver, record), spacing=10)
        self.day = DateField(desk.today, placeholder="the day, e.g. 6/12 or +14", doubt=far_from(desk.today))
        self.day.setAccessibleName("Day of a new deadline")
        self.reason = ChoiceField([(why, why) for why in REASONS], "why: closing date…", allow_new=True)
        self.reason.setMinimumContentsLength(6)
        self.reason.setAccessibleName("Reason of a new deadline")
        self.draft = Draft(desk, "deadline", {"day": self.day, "reason": self.reason}, lambda: self._job_id)
        self.problem = ErrorLine()
        row = QHBoxLayout()
        row.addWidget(self.reason, 1)
        row.addWidget(button("Add", self.add_entry, icon_name="plus"))
        column = _column(self)
        column.addWidget(self.lines)
        column.addWidget(self.day)
        column.addLayout(row)
        column.addWidget(self.problem)

    def show_deadlines(self, job_id: int, records: list[Deadline]) -> None:
        """Show the deadlines of a job."""
        if job_id != self._job_id:
            self._job_id = job_id
            self.day.reset()
            self.reason.reset()
            self.draft.turn()
            self.problem.say("")
        self.lines.show_records(records)

    def add_entry(self) -> None:
        """Add what stands in the entry."""
        if not self.day.commit() or not self.reason.commit() or self.day.value() is None:
            self.problem.say(self.day.problem() or "Type the day first, for example 6/12.")
            self.day.setFocus()
            return
        due, why = self.day.value(), self.reason.value() or ""
        reason = self._saver.refusal(f"Add deadline {why}", lambda edit: add_deadline(edit, self._job_id, due, why))
        self.problem.say(reason)
        if reason:
            self.reason.setFocus()
        else:
            self.day.reset()
            self.reason.reset()
            self.day.setFocus()


class PartyLine(Line):
    """One person with a part in the job."""

    def __init__(self, desk: Desk, saver: Autosave, record: Party) -> None:
        super().__init__()
        self._saver = saver
        self.role = ChoiceField([(role, role) for role in PARTY_ROLES], required=True)
        self.role.setMinimumContentsLength(6)
        self.name, self.phone, self.mail = TextField("name", required=True), TextField("phone"), TextField("email")
        self.fields = {"role": self.role, "name": self.name, "phone": self.phone, "mail": self.mail}
        for column, field in self.fields.items():
            field.setAccessibleName(f"{column.title()} of a party")
            saver.bind(
                field, f"Change {column} of a party",
                lambda edit, value, column=column: change_party(edit, record.id, **{column: value}),
                lambda: ("party", record.id),
            )  # fmt: skip
        remove = tool_button("trash", "Remove this person", lambda: desk.do(
            f"Remove {record.role} {record.name}", lambda edit: remove_party(edit, record.id),
            say=f"{record.name} removed", undo=True,
        ))  # fmt: skip
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(4)
        grid.addWidget(self.role, 0, 0, 1, 2)
        grid.addWidget(remove, 0, 2)
        grid.addWidget(self.name, 1, 0, 1, 2)
        grid.addWidget(self.phone, 2, 0)
        grid.addWidget(self.mail, 2, 1)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)

    def show_record(self, record: Party) -> None:
        for column, field in self.fields.items():
            self._saver.show(field, getattr(record, column))


class PartyList(QWidget):
    """Everybody with a part in a job."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._saver, self._job_id = Autosave(desk), 0
        self.lines = LineList(lambda record: PartyLine(desk, self._saver, record), spacing=12)
        self.role = ChoiceField([(role, role) for role in PARTY_ROLES], "part: buyer, agent…")
        self.role.setMinimumContentsLength(6)
        self.role.setAccessibleName("Part of a new person")
        self.name = TextField("name")
        self.name.setAccessibleName("Name of a new person")
        self.name.returnPressed.connect(self.add_entry)
        self.draft = Draft(desk, "person with a part", {"role": self.role, "name": self.name}, lambda: self._job_id)
        self.problem = ErrorLine()
        row = QHBoxLayout()
        row.addWidget(self.role, 1)
        row.addWidget(self.name, 1)
        row.addWidget(button("Add", self.add_entry, icon_name="plus"))
        column = _column(self)
        column.addWidget(self.lines)
        column.addLayout(row)
        column.addWidget(self.problem)

    def show_parties(self, job_id: int, records: list[Party]) -> None:
        """Show the parties of a job."""
        if job_id != self._job_id:
            self._job_id = job_id
            self.role.reset()
            self.name.reset()
            self.draft.turn()
            self.problem.say("")
        self.lines.show_records(records)

    def add_entry(self) -> None:
        """Add what stands in the entry."""
        if not self.role.commit() or self.role.value() is None:
            self.problem.say("Choose the part first: buyer, seller, an agent, inspector…")
            self.role.setFocus()
            return
        role, name = self.role.value(), self.name.text().strip()
        reason = self._saver.refusal(f"Add {role} {name}", lambda edit: add_party(edit, self._job_id, role, name))
        self.problem.say(reason)
        if reason:
            self.name.setFocus()
        else:
            self.role.reset()
            self.name.reset()
            self.role.setFocus()


def _column(widget: QWidget) -> QVBoxLayout:
    column = QVBoxLayout(widget)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(6)
    return column
