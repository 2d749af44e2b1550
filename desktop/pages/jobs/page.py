"""The Jobs page: the list, one job, or the form for a new job."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtWidgets import QStackedLayout, QWidget

from desktop.desk import CUSTOMERS, Desk
from desktop.pages.jobs.job_list import JobList
from desktop.pages.jobs.job_page import JobPage
from desktop.pages.jobs.new_job import NewJob
from desktop.pages.page import Page


class JobsPage(Page):
    """Jobs. `show_key(job_id, section)` opens a job; `("new", customer_id or None, property_id or None)` the form;
    `"list"` the list. The sections are survey, quote, log, outcome; "facts" opens the job's facts beside them."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.list = JobList(desk, self.begin_new, self.show_job)
        self.job = JobPage(desk, self.show_list)
        self._form: NewJob | None = None
        self._before_form: object = None
        self._stack = QStackedLayout(self)
        for widget in (self.list, self.job):
            self._stack.addWidget(widget)

    @property
    def form(self) -> NewJob:
        """The form for a new job, built when it is first asked for."""
        if self._form is None:
            self._form = NewJob(self.desk)
            self._form.opened.connect(lambda job_id: self.show_job(job_id, "survey"))
            self._form.left.connect(self._leave_form)
            self._stack.addWidget(self._form)
        return self._form

    def show_key(self, key: object, section: str = "") -> None:
        if isinstance(key, int):
            self.show_job(key, section)
        elif isinstance(key, tuple) and key[:1] == ("new",):
            self.begin_new(*key[1:])
        elif key == "new":
            self.begin_new()
        elif key == "list":
            self.show_list()
        else:
            self.refresh()

    def show_top(self) -> None:
        """To the list; what was typed into the form for a new job stays in it."""
        self.show_list()

    def parts_to_ready(self) -> Mapping[str, Callable[[], QWidget]]:
        return {**self.job.parts_to_ready(), "form": lambda: self.form}

    def refresh(self) -> None:
        shown = self._stack.currentWidget()
        if shown is self.job and not self.job.refresh():
            self.show_list()
        elif shown is self.list:
            self.list.refresh()
        elif isinstance(shown, NewJob):
            shown.refresh()

    def take_focus(self) -> None:
        """On the list, in the form, or on the strip of the job's sections."""
        shown = self._stack.currentWidget()
        if isinstance(shown, NewJob):
            shown.customer.setFocus()
        elif shown is self.job:
            self.job.take_focus()
        else:
            self.list.take_focus()

    def show_job(self, job_id: int, section: str = "") -> None:
        """Open a job."""
        if self.job.show_job(job_id, section):
            self._stack.setCurrentWidget(self.job)
            if section == "facts":
                self.job.focus_facts()
            else:
                self.job.take_focus(into_section=bool(section))
        else:
            self.desk.say("That job is no longer there.", "caution")
            self.show_list()

    @property
    def seen_job(self) -> int:
        """The job that is shown, 0 while it is the list or the form."""
        return self.job.job_id if self._stack.currentWidget() is self.job else 0

    def show_list(self) -> None:
        """Show the list with its filters as they were."""
        came_from = self.job.job_id if self._stack.currentWidget() is self.job else 0
        self._stack.setCurrentWidget(self.list)
        self.list.refresh()
        self.list.take_focus(came_from)

    def begin_new(self, customer_id: int | None = None, property_id: int | None = None) -> None:
        """Show the form for a new job."""
        if self._stack.currentWidget() is not self.form:
            self._before_form = customer_id
        self._stack.setCurrentWidget(self.form)
        self.form.begin(customer_id, property_id)

    def _leave_form(self) -> None:
        self.show_list()
        if isinstance(self._before_form, int):
            self.desk.go(CUSTOMERS, self._before_form)
