"""After undo a page shows what it showed before, after redo what it showed then: nothing twice, nothing less."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QThreadPool
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QScrollBar, QWidget
from sqlalchemy import select

from db.commands.jobs import change_job
from db.commands.quotes.lines import change_labour
from db.edit import Edit
from db.queries.tour import telling_jobs
from db.tables import job, labour_line, quote
from desktop.local_settings import LocalSettings
from desktop.record_shelf import shelf_of
from desktop.window import Window
from tests.desktop.every_cell import arrive, settle, stops


@pytest.fixture
def window(sample_file: Path, tmp_path: Path, qapp: QApplication) -> Iterator[Window]:
    made = Window(LocalSettings(tmp_path / "settings"))
    made.open_file(sample_file, remembered=False)
    assert made.company is not None, made.welcome.problem.text()
    made.resize(1280, 800)
    made.show()
    yield made
    made.close()
    made.let_go()


def shown(window: Window) -> Counter[tuple[str, str]]:
    """Every widget of the page that can be seen, by its kind and its words."""
    for _ in range(3):
        QThreadPool.globalInstance().waitForDone(20_000)
        settle()
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)  # as the program's own loop does
    return Counter(
        (type(one).__name__, words(one))
        for one in window.stack.currentWidget().findChildren(QWidget)
        if one.isVisible() and not one.objectName().startswith("qt_") and not isinstance(one, QScrollBar)
    )


def words(one: QWidget) -> str:
    if isinstance(one, (QLabel, QAbstractButton)):
        return one.text()
    return one.accessibleName()


TOUCHED = {"draft quote", "record", "texts", "running log", "running outcome"}
"""Places that show what the step changes; the marker `long` goes to all there are."""


@pytest.mark.parametrize("every", [False, pytest.param(True, marks=pytest.mark.long)])
def test_a_page_after_undo_and_redo(window: Window, every: bool) -> None:
    desk = window.desk
    assert desk is not None
    with desk.read() as conn:
        jobs = telling_jobs(conn)
        title = conn.execute(select(job.c.title).where(job.c.id == jobs.running)).scalar_one()
        line_id, minutes = conn.execute(
            select(labour_line.c.id, labour_line.c.minutes)
            .join(quote, quote.c.id == labour_line.c.quote_id)
            .where(quote.c.job_id == jobs.draft)
        ).first() or (0, 0)
    shelf = shelf_of(desk)
    shelf.look()

    def step(edit: Edit) -> None:
        change_labour(edit, line_id, override_minutes=minutes + 45, reason="a beam")
        change_job(edit, jobs.running, title=f"{title}, the annex")

    wrong: dict[str, object] = {}
    for stop in stops(window, jobs.draft):
        if not every and stop[0] not in TOUCHED:
            continue
        arrive(window, stop)
        before = shown(window)
        assert before, stop[0]
        desk.do("Change the work", step)
        after = shown(window)
        desk.undo()
        undone = shown(window)
        desk.redo()
        redone = shown(window)
        desk.undo()
        found = [*(undone - before), *(before - undone), *(redone - after), *(after - redone)]
        if found:
            wrong[stop[0]] = found
    assert wrong == {}
