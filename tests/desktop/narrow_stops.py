"""Every page, part and view of the sample, to be looked at in a small window."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from PySide6.QtWidgets import QWidget

from db.queries.tour import telling_jobs
from desktop.desk import COMPANY, CUSTOMERS, JOBS, MARGINS, TONIGHT
from desktop.tour import company_parts
from desktop.window import Window

Stop = tuple[str, Callable[[Window], object]]
SECTIONS = ("survey", "quote", "log", "closeout", "money", "outcome")


def found(window: Window, kind: str) -> Any:
    """The widget of this class that is shown."""
    return next(one for one in window.findChildren(QWidget) if type(one).__name__ == kind and one.isVisible())


def _facts(window: Window, open_it: bool) -> None:
    page = found(window, "JobPage")
    if page.facts_shown != open_it:
        page.toggle_facts()


def stops(window: Window) -> Iterator[Stop]:
    """Name and way to each."""
    assert window.desk is not None
    with window.desk.read() as conn:
        jobs = telling_jobs(conn)
    for view in ("tonight", "week", "month"):
        yield view, lambda w, view=view: w.go(TONIGHT, None, view)
    yield "customer", lambda w: w.go(CUSTOMERS, jobs.customer_id)
    for which in ("open", "all", "closed", "lost"):
        yield f"jobs {which}", lambda w, which=which: _list(w, which)
    yield "new job", lambda w: w.go(JOBS, "new")
    kinds = {"closed": jobs.rework, "running": jobs.running, "draft": jobs.draft}
    for kind, job_id in kinds.items():
        for section in SECTIONS:
            yield f"{kind} {section}", lambda w, job_id=job_id, section=section: _job(w, job_id, section, False)
    for section in ("survey", "quote", "log", "outcome"):
        yield f"facts {section}", lambda w, section=section: _job(w, jobs.running, section, True)
    for view in ("route", "beside", "list", "air"):
        yield f"takeoff {view}", lambda w, view=view: _takeoff(w, jobs.takeoff, view)
    for view in ("record", "texts", "preview"):
        yield f"quote {view}", lambda w, view=view: _quote(w, jobs.draft, view)
    yield "margins", lambda w: w.go(MARGINS)
    yield "margins quoting", lambda w: (w.go(MARGINS), found(w, "MarginsPage").show_quoting())
    yield "margins group", lambda w: (w.go(MARGINS), _group(w))
    for key in company_parts():
        yield f"firm {key}", lambda w, key=key: w.go(COMPANY, None, key)
    for view in ("bought", "receipt"):
        yield f"firm shopping {view}", lambda w, view=view: _shopping(w, view)


def _list(window: Window, which: str) -> None:
    window.go(JOBS, "list")
    made = found(window, "JobList")
    made.filters.set_value(which)
    made.refresh()


def _job(window: Window, job_id: int, section: str, facts: bool) -> None:
    window.go(JOBS, job_id, section)
    _facts(window, facts)


def _takeoff(window: Window, job_id: int, view: str) -> None:
    _job(window, job_id, "takeoff", False)
    found(window, "TakeoffSection").show_view(view)


def _quote(window: Window, job_id: int, view: str) -> None:
    _job(window, job_id, "quote", False)
    found(window, "QuoteSection").show_view(view)


def _group(window: Window) -> None:
    page = found(window, "MarginsPage")
    rows = page.overview.groups.rows_model().rows
    page.open_group(rows[0].key)


def _shopping(window: Window, view: str) -> None:
    window.go(COMPANY, None, "shopping")
    part = found(window, "ShoppingPart")
    part.view.set_value(view)
    part._turn()
