"""Every page and every job of a company of 10,000 jobs stands within 60 ms of the click, and in little memory."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import QThreadPool
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from db.company_file import create_company
from desktop.desk import COMPANY, CUSTOMERS, JOBS, MARGINS, PLACES, TONIGHT
from desktop.local_settings import LocalSettings
from desktop.look.theme import apply_theme
from desktop.pages.company import PARTS
from desktop.window import READ_AFTER_MS, Window
from tests.bench.big_company import fill_big_company
from tests.bench.quiet_time import QuietTime

pytestmark = pytest.mark.bench

BAR_MS = 60.0
TIMES_OPENED = 2
SECTIONS = ("survey", "quote", "log", "closeout", "money", "outcome", "facts")


@pytest.fixture(scope="module")
def big(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("big") / "Big.riserbook"
    with create_company(path, "Big", "Ida Kvale", date(2024, 1, 1)) as made, made.writing() as conn:
        fill_big_company(conn, 10_000)
    return path


@pytest.fixture
def window(qtbot: QtBot, qapp: QApplication, tmp_path: Path) -> Iterator[Window]:
    apply_theme(qapp, "light")
    made = Window(LocalSettings(tmp_path))
    qtbot.addWidget(made)
    with qtbot.waitExposed(made):
        made.show()
    yield made
    made.let_go()


def settle() -> None:
    """Let what is still being added up, drawn or thrown away come to its end."""
    QThreadPool.globalInstance().waitForDone()
    for _ in range(4):
        QApplication.processEvents()


class Clicks:
    """Goes to places and measures how long each takes until it is painted."""

    def __init__(self, window: Window) -> None:
        self.window, self.times = window, QuietTime()

    def measure(self, name: str, work: Callable[[], object]) -> None:
        """One click, measured until the window has been painted again."""

        def until_painted() -> None:
            work()
            QApplication.processEvents()

        self.times.measure(name, until_painted)
        settle()

    def go(self, name: str, *where: object) -> None:
        """As if the owner had clicked."""
        self.measure(name, lambda: self.window.go(*where))  # type: ignore[arg-type]

    def report(self, title: str) -> dict[str, float]:
        """Print what was measured, the slowest first, and give back what missed the bar."""
        found = sorted(self.times.milliseconds().items(), key=lambda pair: -pair[1])
        print(f"\n{title} (bar {BAR_MS:.0f} ms): " + ", ".join(f"{name} {ms:.0f}" for name, ms in found))
        return {name: round(ms) for name, ms in found if ms > BAR_MS}


def open_ready(window: Window, path: Path) -> None:
    """Open the company and wait until the places are readied, as they are a few seconds after the start."""
    window.open_file(path, remembered=False)
    settle()
    assert window.readying is not None
    window.readying.finish()
    settle()


def test_first_visits(window: Window, big: Path) -> None:
    clicks = Clicks(window)
    for opened in range(TIMES_OPENED):
        open_ready(window, big)
        first_job = 2_000 + 500 * opened
        for place in PLACES:
            clicks.go(place, place)
        clicks.go("a customer", CUSTOMERS, first_job)
        for number, section in enumerate(SECTIONS):
            clicks.go(section, JOBS, first_job + number, section)
        clicks.go("new job", JOBS, "new")
        clicks.go("new customer", CUSTOMERS, "new")
        for view in ("week", "month"):
            clicks.go(view, TONIGHT, None, view)
        window.close_company()
        settle()
    assert clicks.report("first visits") == {}


def test_first_visits_to_the_parts_of_the_company(window: Window, big: Path) -> None:
    """The parts are built, for memory's sake, only once the page itself was visited: while its first part is read."""
    clicks = Clicks(window)
    for _ in range(TIMES_OPENED):
        open_ready(window, big)
        window.go(COMPANY)
        settle()
        window.stack.currentWidget().ahead.finish()
        settle()
        for part in PARTS:
            clicks.go(f"company {part}", COMPANY, None, part)
        window.close_company()
        settle()
    assert clicks.report("parts of the company, first visits") == {}


def test_later_visits(window: Window, big: Path) -> None:
    clicks = Clicks(window)
    open_ready(window, big)
    for visit in range(4):
        if visit == 1:
            clicks = Clicks(window)  # from the second visit on
        for place in (TONIGHT, CUSTOMERS, MARGINS, COMPANY):
            clicks.go(place, place)
        window.go(JOBS, "list")
        clicks.go(TONIGHT, TONIGHT)
        clicks.go("the list of jobs", JOBS)
        clicks.go("a customer", CUSTOMERS, 100 + visit)
        for number, section in enumerate(SECTIONS):
            clicks.go(section, JOBS, 7_000 + 10 * visit + number, section)
            clicks.go(f"{section} again", JOBS, 7_000 + 10 * visit + number, section)
        clicks.go("new job", JOBS, "new")
        clicks.go("new customer", CUSTOMERS, "new")
        for view in ("week", "month", "tonight"):
            clicks.go(view, TONIGHT, None, view)
        for part in PARTS:
            clicks.go(f"company {part}", COMPANY, None, part)
    assert clicks.report("later visits") == {}


def test_find(window: Window, big: Path) -> None:
    clicks = Clicks(window)
    open_ready(window, big)
    for _ in range(3):
        clicks.measure("Find opens", window.find)
        finder = QApplication.activeModalWidget()
        assert finder is not None
        QTest.qWait(2 * READ_AFTER_MS)
        line = finder.findChildren(QLineEdit)[0]
        for name, letter in (("first letter", "m"), ("next letter", "i"), ("next letter", "l")):
            QTest.keyClicks(line, letter)
            clicks.measure(name, line.flush)  # type: ignore[attr-defined]
        finder.close()
        settle()
    assert clicks.report("Find") == {}


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="reads the kernel's own figure")
def test_memory_with_the_company_open(big: Path) -> None:
    """The highest the process ever took, with the places readied and each of the five visited."""

    def peak(*command: str) -> int:
        done = subprocess.run([sys.executable, *command], capture_output=True, text=True, check=True)
        return int(done.stdout.split()[-1])

    bare = peak("-c", _PEAK.format(work="sys.argv = ['bare']; from tests.bench.bare_window import main; main()"))
    ours = peak("-c", _PEAK.format(work=f"from tests.bench.test_page_bench import visit; visit({str(big)!r})"))
    print(f"\nmemory with every place visited: {ours / bare:.2f} x a bare window (bar 2.5)")
    assert ours / bare <= 2.5


def visit(path: str) -> None:
    """Open every place once, as a process of its own."""
    import tempfile

    app = QApplication([])
    apply_theme(app, "light")
    with tempfile.TemporaryDirectory() as folder:
        window = Window(LocalSettings(Path(folder)))
        window.show()
        open_ready(window, Path(path))
        for place in PLACES:
            window.go(place)
            settle()
        window.close()
        window.let_go()


# Not getrusage: there, a process that was started by a large one begins with that one's peak.
_PEAK = "import sys; {work}; print([line.split()[1] for line in open('/proc/self/status') if 'VmHWM' in line][0])"
