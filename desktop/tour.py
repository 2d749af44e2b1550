"""Draws every page to PNG, light and dark, in two sizes: for the README and for looking things over."""

from __future__ import annotations

import errno
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QSize, QThreadPool
from PySide6.QtWidgets import QApplication

from db.company_file.problems import Refused
from desktop import terminal
from desktop.desk import COMPANY, CUSTOMERS, JOBS, MARGINS, TONIGHT
from desktop.local_settings import LocalSettings
from desktop.look.theme import apply_theme
from desktop.window import Window

SIZES = ((1280, 800), (1920, 1080))
SECTIONS = ("survey", "takeoff", "quote", "log", "closeout", "money", "outcome")

Stop = tuple[str, Callable[[Window], None]]


def draw_tour(app: QApplication, folder: Path) -> int:
    """Draw the welcome page, the sample company's pages and an empty company's; returns the exit status.

    Raises:
        OSError: the folder cannot be made, or a picture cannot be written into it.
        CompanyProblem: there is no room for the companies that are drawn.
    """
    _make_room(folder)
    with tempfile.TemporaryDirectory(prefix="riserbook-tour-") as scratch:
        settings = LocalSettings(Path(scratch) / "settings")
        window = Window(settings)
        window.show()
        try:
            drawn = _draw(app, window, folder, [("welcome", lambda _window: None)])
            window.open_sample()
            if window.company is None:
                raise Refused(window.welcome.problem.text())
            drawn += _draw(app, window, folder, list(_sample_stops(window)))
            window.create_file(Path(scratch) / "Empty.riserbook", "A new firm", "")
            drawn += _draw(app, window, folder, list(_empty_stops()))
        finally:
            window.close()
            window.let_go()
    terminal.say(f"Drew {drawn} pictures in {folder}")
    return 0


def _make_room(folder: Path) -> None:
    """Make the folder and try it, before a minute is spent on drawing."""
    if folder.exists() and not folder.is_dir():
        raise FileExistsError(errno.EEXIST, "it is a file, not a folder", str(folder))
    folder.mkdir(parents=True, exist_ok=True)
    tempfile.TemporaryFile(dir=folder).close()


def _keep(window: Window, path: Path) -> None:
    """Write one picture whole, with the system's own word when it refuses."""
    drawn = QBuffer()
    drawn.open(QIODevice.OpenModeFlag.WriteOnly)
    window.grab().save(drawn, "PNG")
    path.write_bytes(bytes(drawn.data().data()))


def _draw(app: QApplication, window: Window, folder: Path, stops: list[Stop]) -> int:
    drawn = 0
    for theme in ("light", "dark"):
        apply_theme(app, theme)  # type: ignore[arg-type]
        for width, height in SIZES:
            window.resize(QSize(width, height))
            for name, go in stops:
                go(window)
                _settle(app)
                _keep(window, folder / f"{name}-{theme}-{width}x{height}.png")
                drawn += 1
    return drawn


def _settle(app: QApplication) -> None:
    """Let layouts, lazy sections and previews finish before the picture is taken."""
    for _ in range(4):
        QThreadPool.globalInstance().waitForDone(10_000)  # what is added up in the background is part of the page
        app.processEvents()


def _sample_stops(window: Window) -> Iterator[Stop]:
    from db.queries.tour import telling_jobs

    assert window.desk is not None
    with window.desk.read() as conn:
        jobs = telling_jobs(conn)
    yield "tonight", lambda w: w.go(TONIGHT, None, "tonight")
    for view in ("week", "month"):
        yield view, lambda w, view=view: w.go(TONIGHT, None, view)
    yield "customers", lambda w: w.go(CUSTOMERS, jobs.customer_id)
    yield "jobs", lambda w: w.go(JOBS, "list")
    for section in SECTIONS:
        if section == "takeoff":
            continue  # each of its views below
        job_id = jobs.running if section == "log" else jobs.draft if section == "quote" else jobs.rework
        yield section, lambda w, job_id=job_id, section=section: w.go(JOBS, job_id, section)
    for view in ("beside", "list", "air", "route"):
        name = "takeoff" if view == "route" else f"takeoff-{view}"
        yield name, lambda w, view=view: _show_takeoff(w, jobs.takeoff, view)
    yield "quote-sent", lambda w: w.go(JOBS, jobs.rework, "quote")
    yield "margins", lambda w: w.go(MARGINS)
    for key in company_parts():
        yield f"company-{key}", lambda w, key=key: w.go(COMPANY, None, key)


def _show_takeoff(window: Window, job_id: int, view: str) -> None:
    """One of the takeoff's own views."""
    from desktop.pages.job_sections.takeoff import TakeoffSection

    window.go(JOBS, job_id, "takeoff")
    for section in window.findChildren(TakeoffSection):
        section.show_view(view)


def _empty_stops() -> Iterator[Stop]:
    for place in (TONIGHT, CUSTOMERS, JOBS, MARGINS, COMPANY):
        yield f"empty-{place}", lambda w, place=place: w.go(place)


def company_parts() -> tuple[str, ...]:
    """The parts of the Company page, by their keys."""
    from desktop.pages.company import PARTS

    return tuple(PARTS)
