"""Readies what the first page did not need, in short steps while nobody waits, so that a first click is a quick one."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from datetime import timedelta
from importlib import import_module

from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import QStackedWidget, QWidget
from sqlalchemy import Connection

from db.company_file.problems import CompanyProblem
from desktop.desk import COMPANY, CUSTOMERS, JOBS, MARGINS, TONIGHT, Desk
from desktop.pages.page import Page

BEGIN_AFTER_MS = 400
PAUSE_MS = 15
"""Between two steps the window answers whatever was pressed or clicked."""

MODULES = (
    "domain.company_costs", "domain.quoting.proposal", "domain.log_entry", "domain.takeoff",
    "domain.job_takeoff.reckoning", "domain.costing", "db.queries.people", "db.queries.jobs", "db.queries.takeoff",
    "db.queries.quote_page", "db.queries.log_page", "db.queries.outcome", "db.queries.margins", "db.queries.find",
    "db.commands.jobs", "db.commands.people", "db.commands.quotes", "db.commands.survey", "db.commands.log",
    "db.queries.calendar_reminders", "db.commands.visits", "desktop.widgets.form", "desktop.widgets.table",
    "desktop.widgets.page_parts", "desktop.widgets.palette_dialog",
)  # fmt: skip
"""What the pages are made from, in the order in which one needs the other: each import is then a short step."""

Step = Callable[[], object]


class Ahead(QObject):
    """Takes steps one by one while nobody waits; `finish` takes all that are left at once, `stop` none of them."""

    def __init__(self, steps: Iterator[Step], parent: QObject) -> None:
        super().__init__(parent)
        self._steps = steps
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._one_step)
        self.done = False

    def begin(self) -> None:
        """Begin shortly after what was asked for has been painted; beginning twice is once."""
        if not self.done and not self._timer.isActive():
            self._timer.start(BEGIN_AFTER_MS)

    def rest(self) -> None:
        """Not now; `begin` goes on."""
        self._timer.stop()

    def stop(self) -> None:
        """Leave the rest to the first visits; what was built may go."""
        self._timer.stop()
        gc.unfreeze()

    def finish(self) -> None:
        """Take all the steps that are left at once."""
        self._timer.stop()
        for step in self._steps:
            step()
        self._finished()

    def _finished(self) -> None:
        """What stands now stays: nobody waits any more while Python looks through all of it for what may go."""
        self.done = True
        gc.freeze()

    def _one_step(self) -> None:
        step = next(self._steps, None)
        if step is None:
            self._finished()
            return
        step()
        self._timer.start(PAUSE_MS)


class Readying(Ahead):
    """Imports and builds the places that were not visited yet."""

    def __init__(self, desk: Desk, page: Callable[[str], Page], parent: QObject) -> None:
        super().__init__(_steps(desk, page), parent)


def _steps(desk: Desk, page: Callable[[str], Page]) -> Iterator[Step]:
    for module in MODULES:
        yield lambda module=module: import_module(module)  # type: ignore[misc]
    yield from _questions(desk)
    for place in (JOBS, CUSTOMERS, MARGINS, COMPANY):
        yield lambda place=place: import_module(f"desktop.pages.{place}")  # type: ignore[misc]
        yield lambda place=place: page(place)  # type: ignore[misc]
        yield from _insides(page(place), with_rows=place != MARGINS)  # margins are added up when they are asked for
    yield from _insides(page(TONIGHT), with_rows=False)


def _questions(desk: Desk) -> Iterator[Step]:
    """Ask of the newest job what its sections ask: a statement asked before is put together already."""
    from db.queries.calendar import days_between, outlooks_until, steps_of_job, visits_of_job
    from db.queries.find import newest_jobs
    from db.queries.jobs import job_head, survey_page
    from db.queries.log_page import log_page
    from db.queries.outcome import job_outcome
    from db.queries.quote_page import quote_page

    def ask(question: Callable[[Connection, int], object]) -> None:
        with desk.unasked(), suppress(CompanyProblem, LookupError), desk.read() as conn:
            for one in newest_jobs(conn)[:1]:
                question(conn, one.key)

    today = desk.today()
    questions: tuple[Callable[[Connection, int], object], ...] = (
        lambda conn, job_id: job_head(conn, job_id, today),
        survey_page,
        lambda conn, job_id: quote_page(conn, job_id, None, today),
        lambda conn, job_id: log_page(conn, job_id, today),
        job_outcome,
        visits_of_job,
        lambda conn, job_id: steps_of_job(conn, job_id, today),
        lambda conn, _job_id: outlooks_until(conn, today, today + timedelta(days=365), 1),
        lambda conn, _job_id: days_between(conn, today, today),
    )
    for question in questions:
        yield lambda question=question: ask(question)  # type: ignore[misc]


def _insides(page: Page, with_rows: bool) -> Iterator[Step]:
    parts: Mapping[str, Callable[[], QWidget]] = page.parts_to_ready()
    for make in parts.values():
        made: list[QWidget] = []
        yield lambda make=make, made=made: made.append(make())  # type: ignore[misc]
        yield lambda made=made: polish(made[0])  # type: ignore[misc]
    if with_rows:
        yield lambda: _quietly(page.desk, page.refresh)
    yield lambda: polish(page)


def inside_steps(desk: Desk, make: Callable[[], QWidget], read: Callable[[], object]) -> Iterator[Step]:
    """Build one part of a page, read it, and let it have its looks, out of sight."""
    made: list[QWidget] = []
    yield lambda: made.append(make())
    yield lambda: _quietly(desk, read)
    yield lambda: polish(made[0])


def _quietly(desk: Desk, read: Callable[[], object]) -> None:
    """Whatever is wrong with the file is said when the owner himself asks for something."""
    with desk.unasked(), suppress(CompanyProblem):
        read()


def polish(widget: QWidget) -> None:
    """Give everything inside its fonts and colours now; a part that is shown for the first time asks for them then."""
    for child in (widget, *widget.findChildren(QWidget)):
        child.ensurePolished()
    if isinstance(stack := widget.parentWidget(), QStackedWidget):
        widget.resize(stack.size())
        widget.grab()  # laid out and drawn once, out of sight
