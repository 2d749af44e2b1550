"""The facts of a job beside its sections: what it is, its days, its deadlines, who else has a part, how it ends."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.commands.jobs import change_job, mark_installed, mark_invoiced, mark_paid, schedule_job
from db.queries.jobs import JobHead, JobLists, job_lists
from db.queries.people import properties_of
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from desktop.pages.jobs.ending import EndingPart
from desktop.pages.jobs.facts_lines import DeadlineList, PartyList
from desktop.pages.tab_order import EyeOrder
from desktop.pages.visits.job_visits import JobVisits
from desktop.widgets.cards import label, scroll_page, tool_button
from desktop.widgets.form import ChoiceField, DateField, Form, NotesField, TextField
from domain.people import Property
from domain.unlikely import done_on, far_from

_DAYS = (
    ("scheduled_on", "First work day", schedule_job),
    ("installed_on", "Installed", mark_installed),
    ("invoiced_on", "Invoiced", mark_invoiced),
    ("paid_on", "Paid", mark_paid),
)


class FactsPanel(QWidget):
    """Shows a JobHead; each field saves itself."""

    def __init__(self, desk: Desk, close: Callable[[], object]) -> None:
        super().__init__()
        self._desk, self._saver, self._job_id = desk, Autosave(desk), 0
        self._fields: dict[str, Any] = {}
        self.about, self.days = Form(above=True), Form()
        self._add(self.about, "title", "Title", TextField("in a few words"))
        self._add(self.about, "job_type_id", "Job type", ChoiceField(required=True))
        self._add(self.about, "lead_source_id", "Lead source", ChoiceField())
        self._add(self.about, "property_id", "Property", ChoiceField(required=True))
        self._add(self.about, "number", "Number", TextField(required=True))
        self._add(self.days, "opened_on", "Opened", DateField(desk.today, required=True, doubt=done_on(desk.today)))
        for name, title, command in _DAYS:
            field = self._fields[name] = self.days.add(title, DateField(desk.today, doubt=far_from(desk.today)))
            self._saver.bind(field, f"Set {title.lower()}", self._day_writer(command), self._record)
        self.visits = JobVisits(desk)
        self.deadlines, self.parties = DeadlineList(desk), PartyList(desk)
        self.note = NotesField("anything about the job as a whole", lines=3)
        self.note.setAccessibleName("Note on the job")
        self._fields["note"] = self._saver.bind(
            self.note, "Change note of job", self._writer("note"), self._record
        )
        self.ending = EndingPart(desk)
        for field in self._fields.values():
            if isinstance(field, ChoiceField):
                field.setMinimumContentsLength(8)
        self._arrange(close)
        self._order = EyeOrder(self)
        self.setMinimumWidth(344)

    def _add(self, form: Form, name: str, title: str, field: Any) -> None:
        self._fields[name] = form.add(title, field)
        self._saver.bind(field, f"Change {title.lower()} of job", self._writer(name), self._record)

    def _record(self) -> object:
        return self._job_id and ("job", self._job_id)

    def _writer(self, name: str) -> Callable[[Any, Any], None]:
        return lambda edit, value: change_job(edit, self._job_id, **{name: value})

    def _day_writer(self, command: Callable[..., object]) -> Callable[[Any, Any], None]:
        """A visit that falls away with its day is called off today."""

        def write(edit: Any, on: Any) -> None:
            more = {"today": self._desk.today()} if command is schedule_job else {}
            command(edit, self._job_id, on, **more)

        return write

    def _arrange(self, close: Callable[[], object]) -> None:
        head = QHBoxLayout()
        head.addWidget(label("Facts of the job", "section"), 1)
        head.addWidget(tool_button("cross", "Close the facts (Esc)", close))
        inside = QWidget()
        inside.setObjectName("page")
        column = QVBoxLayout(inside)
        column.setContentsMargins(14, 4, 20, 20)
        column.setSpacing(8)
        column.addLayout(head)
        column.addWidget(self.about)
        for title, part in (
            ("Days", self.days),
            ("Visits", self.visits),
            ("Deadlines", self.deadlines),
            ("Who else has a part", self.parties),
            ("Note", self.note),
            ("How it ends", self.ending),
        ):
            column.addSpacing(8)
            column.addWidget(label(title, "section"))
            column.addWidget(part)
        column.addStretch(1)
        area = scroll_page(inside)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(area)

    def show_head(self, head: JobHead) -> None:
        """Show a job, or the same again."""
        with self._desk.read() as conn:
            lists, houses = job_lists(conn), properties_of(conn, head.customer.id)
        fresh = head.job.id != self._job_id
        self._job_id = head.job.id
        self._offer(head, lists, houses)
        for name, field in self._fields.items():
            if fresh:
                field.reset(getattr(head.job, name))
            self._saver.show(field, getattr(head.job, name))
        self.visits.show_job(head.job.id)
        self.deadlines.show_deadlines(head.job.id, head.deadlines)
        self.parties.show_parties(head.job.id, head.parties)
        self.ending.show_job(head.job)
        self._order.apply()

    def _offer(self, head: JobHead, lists: JobLists, houses: list[Property]) -> None:
        types = {one.id: one.name for one in (*lists.job_types, head.job_type)}
        self._fields["job_type_id"].set_choices(list(types.items()))
        self._fields["lead_source_id"].set_choices([(None, "not known"), *((s.id, s.name) for s in lists.lead_sources)])
        self._fields["property_id"].set_choices(
            [
                (house.id, ", ".join(part for part in (house.street, house.town) if part))
                for house in houses
                if house.archived_on is None or house.id == head.house.id
            ]
        )

    def take_focus(self) -> None:
        """Put the cursor into the first field."""
        self._fields["title"].setFocus(Qt.FocusReason.ShortcutFocusReason)

    def field(self, name: str) -> Any:
        """The field of a column."""
        return self._fields[name]
