"""The one window: opens and closes companies, shows the five places, undoes, finds, and speaks."""

from __future__ import annotations

from contextlib import ExitStack
from pathlib import Path
from time import perf_counter
from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QCloseEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import QApplication, QLabel, QMainWindow, QStackedWidget, QVBoxLayout, QWidget

from db.company_file import back_up_if_changed, open_company
from db.company_file.company import Company
from db.company_file.problems import CompanyProblem
from db.queries.firm import firm
from desktop import clock, log_file
from desktop.desk import TONIGHT, Desk
from desktop.draft_shelf import DraftShelf
from desktop.half_told import HalfTold, leave_drafts_open
from desktop.kept_cells import KeptCells
from desktop.keys import said_where
from desktop.local_settings import LocalSettings
from desktop.masthead import Masthead
from desktop.new_day import NewDay
from desktop.opening_words import tell_after_opening
from desktop.pages.page import Page
from desktop.places import PLACES, go_to_place
from desktop.readying import Readying
from desktop.slow_dialog import wait_for_slow
from desktop.slow_line import SlowLine
from desktop.taking import close_and_offer, offer_recovery, put_back, take_or_let_go
from desktop.undo_keys import ScrolledPlaces, UndoKeys, go_back_to, stops_around
from desktop.welcome import WelcomePage
from desktop.widgets.as_typed import set_tip, set_title
from desktop.widgets.cards import Saved, Toast
from desktop.widgets.timer_strip import TimerStrip
from desktop.window_menu import WindowMenu
from domain.dates import format_day

if TYPE_CHECKING:
    from db.queries.find import Findable
    from desktop.widgets.palette_dialog import Hit

SMALLEST = (1024, 640)
USUAL = (1280, 800)
BACKUP_AFTER_MS = 1500
MOST_FOUND = 12
READ_AFTER_MS = 30
"""Find reads what it looks through once its box has been painted, before a first letter can have been typed."""


class Window(QMainWindow):
    """Holds one open company, or the welcome page.

    Signals:
        painted: the first page has been filled and painted.
    """

    painted = Signal()

    def __init__(self, settings: LocalSettings) -> None:
        super().__init__()
        self.settings = settings
        self.company: Company | None = None
        self.desk: Desk | None = None
        self._pages: dict[str, Page] = {}
        self._place = ""
        self._remembered = True
        self._copies = ExitStack()
        self.readying: Readying | None = None
        self._findable: Findable | None = None
        self.menu = WindowMenu(self)
        self.timer_strip = TimerStrip()
        self.saved = Saved()
        self.as_of = QLabel()
        self.as_of.setTextFormat(Qt.TextFormat.PlainText)
        self.as_of.setProperty("tone", "faint")
        self.masthead = Masthead(self.menu, [self.as_of, self.timer_strip, self.saved])
        self.welcome = WelcomePage(settings)
        self._lay_out()
        self._connect()
        self.setMinimumSize(*SMALLEST)
        self.resize(*USUAL)
        if settings.geometry:
            self.restoreGeometry(QByteArray(settings.geometry))
        self._show_welcome()

    def _lay_out(self) -> None:
        self.stack = QStackedWidget()
        self.stack.addWidget(self.welcome)
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.masthead)
        column.addWidget(self.stack, 1)
        self.setCentralWidget(body)
        self.toast = Toast(body)
        column.addWidget(self.toast.foot)
        self.slow_line = SlowLine(self.masthead, self.toast)

    def _connect(self) -> None:
        self.masthead.chosen.connect(lambda place: go_to_place(self, place))
        self.masthead.find_asked.connect(self.find)
        self.welcome.open_asked.connect(self.open_file)
        self.welcome.create_asked.connect(self.create_file)
        self.welcome.sample_asked.connect(self.open_sample)
        keys = {"Ctrl+K": self.find, "Ctrl+Z": self.undo, "Ctrl+Shift+Z": self.redo, "Ctrl+Y": self.redo,
                "F11": lambda: self.setWindowState(self.windowState() ^ Qt.WindowState.WindowFullScreen)}  # fmt: skip
        for one, slot in keys.items():
            QShortcut(QKeySequence(one), self, slot)
        self.half, self.kept_cells = HalfTold(self), KeptCells(self)
        app = QApplication.instance()
        if isinstance(app, QApplication):
            self.undo_keys = UndoKeys(self, app)

    # -- companies ---------------------------------------------------------------------------------

    def open_file(self, path: Path, remembered: bool = True) -> None:
        """Close what is open and open this company; when that fails, say why and leave all as it was."""
        began = perf_counter()
        try:
            company = open_company(Path(path), backup=False)
        except CompanyProblem as problem:
            self.cannot_open(problem)
            return
        log_file.note_opened(company.path, perf_counter() - began)
        take_or_let_go(self, company, remembered)

    def open_sample(self) -> None:
        """Open a fresh copy of the sample company; the original is never touched."""
        from desktop.sample import fresh_copy, is_written
        from desktop.writing_sample import told_while_writing

        progress = None if is_written() else told_while_writing(self if self.isVisible() else None)
        try:
            copy = self._copies.enter_context(fresh_copy(progress))
        except (CompanyProblem, OSError) as problem:
            self.cannot_open(problem)
            return
        self.open_file(copy, remembered=False)

    def let_go(self) -> None:
        """Close the company and remove the copies of the sample; the program is ending."""
        self.close_company()
        self._copies.close()

    def create_file(self, path: Path, name: str, owner_name: str) -> None:
        """Make a new company with the starting library and open it."""
        from db.company_file import create_company

        try:
            company = create_company(Path(path), name, owner_name, clock.today())
        except CompanyProblem as problem:
            self.cannot_open(problem)
            return
        take_or_let_go(self, company, True)

    def cannot_open(self, problem: CompanyProblem | OSError) -> None:
        """Say why a company could not be opened: on the welcome page, or at the foot while another is open."""
        from desktop.cli_answers import why

        self.tell_at_start(why(problem), "error")
        offer_recovery(self, problem)

    def tell_at_start(self, words: str, tone: str = "info") -> None:
        """Say something before the work has begun: on the welcome page while it stands, else at the foot."""
        if self.company is None:
            self.welcome.show_problem(words, tone)
        else:
            self.toast.say(words, ("All right", self.toast.hide), tone)

    def file_to_report_beside(self) -> Path | None:
        """The firm's file, where a report of an error is to lie beside it; none for a passing copy of the sample."""
        return self.company.path if self.company is not None and self._remembered else None

    def take(self, company: Company, remembered: bool) -> None:
        """Show this company in place of what is open; call `take_or_let_go`, which gives up in words."""
        self.close_company()
        self.company = company
        with company.read() as conn:
            this_firm = firm(conn)
        pinned = this_firm.pinned_today
        self.desk = Desk(company, (lambda: pinned) if pinned else clock.today)
        self.desk.drafts = DraftShelf(self.settings.drafts_path, str(company.path.resolve()))
        self.desk.seen = lambda: (self._place, getattr(self._pages.get(self._place), "seen_job", 0))
        self.desk.asked_for.connect(self.go)
        self.desk.spoke.connect(self._speak)
        self.desk.changed.connect(self._changed)
        self.slow_line.follow(self.desk)
        self.new_day = NewDay(self.desk, self.toast.stay)
        self.masthead.set_company(this_firm.name)
        set_title(self, f"{this_firm.name} · Riserbook")
        self.as_of.setText(f"as of {format_day(pinned)}" if pinned else "")
        set_tip(self.as_of, "A made-up firm lives on an evening of its own." if pinned else "")
        self.timer_strip.set_desk(self.desk)
        self._make_room()
        self.masthead.show()
        self._remembered = remembered
        self.go(TONIGHT)
        self.readying = Readying(self.desk, self._page, self)
        if self.painted_once:
            self.readying.begin()
        else:
            self.painted.connect(self.readying.begin)
        if remembered:
            self.settings.remember(company.path)
            QTimer.singleShot(BACKUP_AFTER_MS, self._back_up)

    def _back_up(self) -> None:
        """Keep a backup of what changed since the last one, off the window's thread and after the first page."""
        if self.company is None or self.desk is None:
            return
        company = self.company
        self.desk.background(lambda: back_up_if_changed(company), lambda _path: tell_after_opening(self, company))

    def close_company(self) -> None:
        """Commit what is half typed, close the company and show the welcome page."""
        if self.company is None:
            return
        if self.readying is not None:
            self.readying.stop()
            self.readying.deleteLater()
            self.readying = None
        self._findable = None
        leave_drafts_open(self)
        self._commit_typing()
        if self.desk is not None:
            self.desk.drafts.write()
        wait_for_slow(self, self.desk.slow if self.desk is not None else None)  # a backup needs the file
        self.timer_strip.set_desk(None)
        for page in self._pages.values():
            self.stack.removeWidget(page)
            page.deleteLater()
        self._pages.clear()
        self.company.close()
        self.company = self.desk = None
        self._show_welcome()

    def _show_welcome(self) -> None:
        self._place = ""
        self.masthead.hide()
        self.setWindowTitle("Riserbook")
        self.welcome.refresh()
        self.stack.setCurrentWidget(self.welcome)

    # -- places ------------------------------------------------------------------------------------

    def go(self, place: str, key: object = None, section: str = "") -> None:
        """Show a place, and in it one customer or job or section."""
        if self.desk is None:
            return
        self._commit_typing()
        page = self._page(place)
        self._place = place
        self.masthead.set_place(place)
        self.stack.setCurrentWidget(page)
        if key is not None or section:
            page.show_key(key, section)
        else:
            page.refresh()
        QTimer.singleShot(0, self._begin_on_page)
        if not self.isVisible() or not self.painted_once:
            page.installEventFilter(self)

    def _begin_on_page(self) -> None:
        """Where the page itself has put the cursor nowhere, put it where one begins: keys alone must do."""
        page, now = self._pages.get(self._place), self.focusWidget()
        if page is not None and (now is None or not page.isAncestorOf(now)):
            page.take_focus()

    def _page(self, place: str) -> Page:
        """The page of a place, built when it is first asked for."""
        page = self._pages.get(place)
        if page is None:
            assert self.desk is not None
            page = next(known for known in PLACES if known.key == place).build(self.desk)
            self._pages[place] = page
            self.stack.addWidget(page)
            self._connect_company_page(page)
        return page

    painted_once = False

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Notice the first paint of the first page."""
        if event.type() == QEvent.Type.Paint and not self.painted_once:
            self.painted_once = True
            watched.removeEventFilter(self)
            QTimer.singleShot(0, self.painted.emit)
        return super().eventFilter(watched, event)

    def _connect_company_page(self, page: Page) -> None:
        for name, slot in (
            ("restore_asked", lambda wish: put_back(self, wish, self._remembered)),
            ("recover_asked", lambda path: close_and_offer(self, path)),
            ("open_asked", self.open_file), ("appearance_asked", self.menu.set_appearance),
        ):  # fmt: skip
            if hasattr(page, name):
                getattr(page, name).connect(slot)

    def _changed(self) -> None:
        self._findable = None
        if self.company is None:
            return
        if self.toast.action_button() is not None:
            self.toast.hide()  # its Undo would now take back another step than the one it speaks of
        self.half.show_saved()
        if (page := self._pages.get(self._place)) is not None:
            now = self.focusWidget()
            page.refresh()
            if now is not None and page.isAncestorOf(now):  # the button pressed may be gone, and the cursor with it
                QTimer.singleShot(0, self._begin_on_page)
        self.timer_strip.refresh()
        self._make_room()

    def _make_room(self) -> None:
        """The running clock goes before the word on a made-up company's evening."""
        self.as_of.setVisible(self.timer_strip.isHidden())

    def _commit_typing(self) -> None:
        """Leave the field that is being typed in, so that it saves."""
        if (field := self.focusWidget()) is not None:
            field.clearFocus()

    # -- words, undo, find --------------------------------------------------------------------------

    def _speak(self, text: str, tone: str, offers_undo: bool) -> None:
        self.toast.say(text, ("Undo", lambda: self.undo(True)) if offers_undo else self.half.action_after(tone), tone)

    def undo(self, told: bool = False) -> None:
        """Take back the last action; see `Desk.undo`."""
        if self.desk is not None:
            stops, places = stops_around(self.focusWidget()), ScrolledPlaces(self.stack)
            self._commit_typing()
            self.desk.undo(told)
            go_back_to(stops)
            QTimer.singleShot(0, self._begin_on_page)
            places.keep()

    def redo(self) -> None:
        """Do the last undone action again."""
        places = ScrolledPlaces(self.stack)
        if self.desk is not None:
            self.desk.redo()
        places.keep()

    def find(self) -> None:
        """Ask what to find and go there."""
        if self.desk is None:
            return
        from desktop.widgets.palette_dialog import FindAnything

        finder = FindAnything(self._search, self)
        finder.chosen.connect(lambda hit: self.go(*hit.key))
        finder.finished.connect(finder.deleteLater)
        finder.open_fresh()
        QTimer.singleShot(READ_AFTER_MS, self._things)

    def _things(self) -> Findable | None:
        """What Find looks through, read once the box stands and kept until something is saved."""
        from db.queries.find import findable

        if self._findable is None and self.desk is not None:
            with self.desk.read() as conn:
                self._findable = findable(conn)
        return self._findable

    def _search(self, text: str) -> list[Hit]:
        """What matches; before anything is typed, the newest jobs."""
        from db.queries.find import found_things, newest_jobs
        from desktop.widgets.palette_dialog import Hit

        if self.desk is None:
            return []
        things = self._things() if text.strip() else None
        with self.desk.read() as conn:
            found = newest_jobs(conn) if things is None else found_things(conn, things.best(text, MOST_FOUND))
        return [Hit(one.kind, one.title, one.detail, (one.place, one.key)) for one in found]

    def show_trouble(self, report: Path | None) -> None:
        """Tell the owner about an error nobody expected."""
        from desktop.trouble_dialog import show_trouble

        show_trouble(self, report)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Save what is half typed and the window's place."""
        self._commit_typing()
        event.setAccepted(self.half.may_close())
        if event.isAccepted():
            self.settings.geometry = bytes(self.saveGeometry().data())
            self.close_company()

    def keyPressEvent(self, event) -> None:  # type: ignore[no-untyped-def]
        """A key that works elsewhere says where."""
        if not said_where(self, event):
            super().keyPressEvent(event)
