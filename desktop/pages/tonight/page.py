"""Tonight: today's work first, then what waits, each row a way to where it is dealt with."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from datetime import date, datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtGui import QKeyEvent, QKeySequence, QPaintEvent, QShortcut, QShowEvent
from PySide6.QtWidgets import QAbstractButton, QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from db.company_file.problems import CompanyProblem
from db.queries.heading import heading_over
from db.queries.log_offers import RunningClock
from db.queries.tonight import Band, Evening, FirstSteps, evening
from desktop.desk import COMPANY, CUSTOMERS, JOBS, Desk
from desktop.pages.page import Page
from desktop.pages.tonight import words
from desktop.pages.tonight.backup_card import BackupCard
from desktop.pages.tonight.line_row import LineRow
from desktop.pages.tonight.todays_card import TodaysCard
from desktop.pages.tonight.words import Line
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import Card, PageHead, label, scroll_page, segments
from domain.units import format_clock

if TYPE_CHECKING:
    from desktop.pages.tonight.calendar import CalendarView

VIEWS = (("tonight", "Tonight"), ("week", "Week"), ("month", "Month"))
_ARROWS = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Left, Qt.Key.Key_Right)

READ_LATER_MS = 30
HEADING = 4  # so many jobs heading over their quotes are shown
CALM = "Nothing waits for you besides today's work. Have a good evening."
PURPOSE = (
    "Every evening: today's job to log, quotes to finish or follow up, accepted jobs without a work day, jobs that "
    "ran without hours, money to ask for, deadlines that come near, jobs running over, and work that nobody "
    "quoted. Each line opens the place where it is dealt with."
)


class BandCard(Card):
    """One kind of thing to do; hidden while there is none."""

    def __init__(self, title: str, note: str, open_line: Callable[[Line], object]) -> None:
        super().__init__(title, note)
        self._title, self._note = title, note
        self._open = open_line
        self.rows: list[LineRow] = []
        self.body.setSpacing(1)
        space = self.body.contentsMargins()
        self.body.setContentsMargins(8, space.top(), 8, 8)
        self.header.setContentsMargins(8, 0, 8, 4)

    def show_lines(self, lines: Sequence[Line], more: int = 0) -> None:
        """Show these lines; the rest is counted in a line of its own. Rows are kept, and so is the focus."""
        wanted = list(lines)
        if more > 0:
            wanted.append(Line(f"more-{self._title}", f"and {more} more", "", "", "ink_soft", JOBS, "list"))
        while len(self.rows) < len(wanted):
            row = LineRow(wanted[len(self.rows)])
            row.clicked.connect(lambda _checked=False, one=row: self._open(one.line))
            self.rows.append(row)
            self.body.addWidget(row)
        for place, row in enumerate(self.rows):
            row.setVisible(place < len(wanted))
            if place < len(wanted):
                row.set_line(wanted[place])
        if wanted:
            self.rows[0].fit_with_neighbours()  # another may have been hidden
        total = len(lines) + max(more, 0)
        self.header.set_words(self._title, self._note or (f"{total}" if total > 1 else ""))
        self.setVisible(bool(wanted))


class TonightPage(Page):
    """The page the program opens on."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.setObjectName("page")
        self.head = PageHead("")
        self.view = "tonight"
        self.views = segments(VIEWS, self.show_view, "View")
        set_tip(self.views, "Alt+1, Alt+2, Alt+3")
        self.head.add_action(self.views)
        self._calendar: CalendarView | None = None
        self._dates_asked = self._dates_known = self._is_calm = False
        self._seen: Evening | None = None
        self._heading = self._beside = 0  # things that wait on the cards read with the evening, and after it
        self._later = QTimer(self)  # dates and money are read again once the evening stands
        self._later.setSingleShot(True)
        self._later.setInterval(READ_LATER_MS)
        self._later.timeout.connect(self._read_later)
        self.today = TodaysCard(self._log, lambda: desk.go(JOBS, "list"), lambda: desk.go(COMPANY, None, "pull"))
        self.steps = BandCard("First steps", "in this order, a few minutes each", self._go)
        self.clock = BandCard("The clock is running", "", self._go)
        self.offered = BandCard("Worked on one of these today?", "Enter opens its log", self._go)
        self.silent = BandCard("Worked, but no hours logged", "", self._go)
        self.over = BandCard("Running over", "", self._go)
        self.heading = BandCard("Heading over the quote", "by what is done so far", self._go)
        self.dates = BandCard("Dates", "", self._go)
        self.tests = BandCard("Radon tests", "", self._go)
        self.money = BandCard("Money", "", self._go)
        self.quotes = BandCard("Quotes to finish or follow up", "", self._go)
        self.dayless = BandCard("Accepted, without a work day", "", self._go)
        self.deadlines = BandCard("Deadlines near", "", self._go)
        self.unquoted = BandCard("Work that was not quoted", "", self._go)
        self.backup = BackupCard(desk, self._read_later)
        self.purpose = Card("What stands here later")
        self.purpose.add(label(PURPOSE, "body", "soft", wrap=True))
        self.calm = Card("All done")
        self.calm.add(label(CALM, "body", "soft", wrap=True))
        self._left = [self.steps, self.clock, self.offered, self.silent, self.over, self.heading, self.tests]
        self._right = [self.dates, self.money, self.quotes, self.dayless, self.deadlines, self.unquoted]
        self._arrange()
        for band in (*self._left, *self._right, self.calm):
            band.hide()
        for number, (view, _) in enumerate(VIEWS, 1):
            keys = QShortcut(QKeySequence(f"Alt+{number}"), self)
            keys.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            keys.activated.connect(lambda view=view: self.show_view(view))

    def _arrange(self) -> None:
        body = QWidget()
        outer = QVBoxLayout(body)
        outer.setContentsMargins(28, 16, 28, 20)
        outer.setSpacing(8)
        outer.addWidget(self.head)
        pair = QHBoxLayout()
        pair.setSpacing(14)
        for cards in ([self.steps, self.today, *self._left[1:]], [*self._right, self.backup, self.calm, self.purpose]):
            column = QVBoxLayout()
            column.setSpacing(12)
            for card in cards:
                column.addWidget(card)
            column.addStretch(1)
            pair.addLayout(column, 1)
        outer.addLayout(pair, 1)
        page = QVBoxLayout(self)
        page.setContentsMargins(0, 0, 0, 0)
        self._stack = QStackedWidget()
        self._stack.addWidget(scroll_page(body))
        page.addWidget(self._stack)

    # Views.

    @property
    def calendar(self) -> CalendarView:
        """The week and the month, built when they are first asked for."""
        if self._calendar is None:
            from desktop.pages.tonight.calendar import CalendarView

            self._calendar = CalendarView(self.desk)
            self._stack.addWidget(self._calendar)
        return self._calendar

    def parts_to_ready(self) -> Mapping[str, Callable[[], QWidget]]:
        return {"calendar": lambda: self.calendar}

    def show_view(self, view: object, day: date | None = None) -> None:
        """Turn to "tonight", "week" or "month"; the choice stands in the head of each."""
        self.view = str(view)
        self.views.set_value(self.view)
        if self.view == "tonight":
            self.head.add_action(self.views)
            self._stack.setCurrentIndex(0)
            self.refresh()
            QTimer.singleShot(0, self._take_focus)
        else:
            self.calendar.head.add_action(self.views)
            self._stack.setCurrentWidget(self.calendar)
            self.calendar.show_mode(self.view, day)
            self.calendar.take_focus()

    def show_key(self, key: object, section: str = "") -> None:
        """Show a view by its name in `section`, the calendar on the day `key`."""
        day = key if isinstance(key, date) else None
        view = section if section in dict(VIEWS) else "week" if day else self.view
        self.show_view(view, day)

    def take_focus(self) -> None:
        if self.view == "tonight":
            super().take_focus()
        else:
            self.calendar.take_focus()

    # Showing.

    def refresh(self) -> None:
        """Read the evening or the calendar again; rows stay where they are, and so does the cursor."""
        if self.view != "tonight":
            self.calendar.refresh()
            return
        today = self.desk.today()
        with self.desk.read() as conn:
            seen = evening(conn, today)
            heading = heading_over(conn, [row.name.job_id for row in seen.over.rows])
        self._seen, self._heading = seen, len(heading.jobs)
        self._say_how_much()
        self.today.setVisible(seen.steps.begun)
        self.today.show_evening(seen, today)
        self.steps.show_lines([] if seen.steps.begun else _step_lines(seen.steps))
        self.clock.show_lines([_clock_line(seen.clock)] if seen.clock else [])
        self.offered.show_lines([words.offered_line(row, today) for row in seen.offered] if seen.steps.begun else [])
        self._show(self.silent, seen.silent, lambda row: words.silent_line(row, today))
        self._show(self.over, seen.over, lambda row: words.over_line(row, heading.first.get(row.name.job_id)))
        self.heading.show_lines(
            [words.heading_line(row) for row in heading.jobs[:HEADING]], len(heading.jobs) - HEADING
        )
        self._show(self.quotes, seen.quotes, lambda row: words.quote_line(row, today))
        self._show(self.dayless, seen.dayless, lambda row: words.dayless_line(row, today))
        self._show(self.deadlines, seen.deadlines, lambda row: words.deadline_line(row, today))
        self._show(self.unquoted, seen.unquoted, words.unquoted_line)
        self._is_calm = _is_calm(seen, heading.jobs)
        self.purpose.setHidden(seen.steps.begun)
        if self._dates_known:
            self._later.start()
        for stop in (*self.today.buttons(), *self._rows()):
            stop.installEventFilter(self)  # a second time changes nothing

    def _say_how_much(self) -> None:
        """The date, and how many things all the cards hold."""
        if self._seen is not None:
            told = words.summary(self._seen, self.desk.today(), self._heading + self._beside)
            self.head.set_words(words.greeting(self._seen), told)

    def read_dates(self) -> None:
        """Read what calendar and accounts say; at first once the page is painted, as the evening comes first."""
        from db.queries.billing.tonight_money import money_tonight
        from db.queries.calendar_reminders import date_reminders
        from db.queries.journal import first_work_on
        from db.queries.radon_reminders import radon_reminders
        from desktop.pages.tonight.date_words import date_lines
        from desktop.pages.tonight.money_words import money_lines
        from desktop.pages.tonight.radon_words import radon_lines

        today, self._dates_known = self.desk.today(), True
        with self.desk.read() as conn:
            dates, money = date_reminders(conn, today), money_tonight(conn, today)
            tests, first_work = radon_reminders(conn, today), first_work_on(conn)
        self.dates.show_lines(date_lines(dates, today))
        self.money.show_lines(money_lines(money, today))
        self.tests.show_lines(*radon_lines(tests, today))
        reminded = self.backup.show_due(first_work, today)
        waits = dates.to_do + money.to_do + tests.to_do + bool(reminded)
        self._beside = waits + len(dates.tomorrow)  # they stand on a card: the head counts what the cards count
        self._say_how_much()
        self.calm.setVisible(self._is_calm and not waits)
        for stop in (*self.dates.rows, *self.tests.rows, *self.money.rows, *self.backup.rows):
            stop.installEventFilter(self)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if not self._dates_asked:
            self._dates_asked = True
            QTimer.singleShot(0, self._after_painting)

    def finish_reading(self) -> None:
        """Read now what would be read in a moment."""
        if self._later.isActive():
            self._later.stop()
            self._read_later()

    def _after_painting(self) -> None:
        if not self._dates_known:
            self._read_later()

    def _read_later(self) -> None:
        if self.view == "tonight" and self.isVisible():
            with suppress(CompanyProblem):
                self.read_dates()

    def _show(self, card: BandCard, band: Band, line: Callable[..., Line]) -> None:  # type: ignore[type-arg]
        card.show_lines([line(row) for row in band.rows], band.more)

    # Going.

    def _go(self, line: Line) -> None:
        if line.section == "visit":
            self._open_visit(line.target)
            return
        self.desk.go(line.place, line.target, line.section)

    def _open_visit(self, visit_id: object) -> None:
        from desktop.pages.visits.dialog import VisitDialog

        assert isinstance(visit_id, int)
        VisitDialog(self.desk, self.window()).change(visit_id)

    def _log(self, job_id: int) -> None:
        self.desk.go(JOBS, job_id, "log")

    # Moving.

    def _columns(self) -> tuple[list[QAbstractButton], list[QAbstractButton]]:
        left, right = (
            [row for band in bands if not band.isHidden() for row in band.rows if not row.isHidden()]
            for bands in (self._left, [*self._right, self.backup])
        )
        return [*self.today.buttons(), *left], [*right]

    def _rows(self) -> list[QAbstractButton]:
        left, right = self._columns()
        return left + right

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Arrows go from thing to thing, Enter opens it."""
        if event.type() == QEvent.Type.KeyPress and isinstance(watched, QAbstractButton):
            assert isinstance(event, QKeyEvent)
            plain = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
            if plain and event.key() in _ARROWS:
                self._step(watched, Qt.Key(event.key()))
                return True
            if plain and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                watched.click()
                return True
        return super().eventFilter(watched, event)

    def _step(self, stop: QAbstractButton, key: Qt.Key) -> None:
        """Up and Down go through everything, Left and Right to what stands across."""
        left, right = self._columns()
        if key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            stops = left + right
            place = stops.index(stop) + (1 if key == Qt.Key.Key_Down else -1)
            if 0 <= place < len(stops):
                stops[place].setFocus()
            return
        across = left if key == Qt.Key.Key_Left else right
        if stop not in across and across:
            height = _height_of(stop, self)
            min(across, key=lambda one: abs(_height_of(one, self) - height)).setFocus()

    def showEvent(self, event: QShowEvent) -> None:
        """Begin on today's work, or on the first row."""
        super().showEvent(event)
        if not event.spontaneous():
            QTimer.singleShot(0, self._take_focus)

    def _take_focus(self) -> None:
        now = self.window().focusWidget()
        if not self.isVisible() or (now is not None and self.isAncestorOf(now)):
            return
        stops = self._rows()
        todo = [stop for stop in stops if not (isinstance(stop, LineRow) and stop.line.icon == "check")]
        if stops:
            (todo or stops)[0].setFocus()


def _height_of(stop: QWidget, page: QWidget) -> int:
    return stop.mapTo(page, stop.rect().center()).y()


def _is_calm(seen: Evening, heading: Sequence[object]) -> bool:
    """Nothing at all stands on the page besides today's work: only then it may say so."""
    return seen.steps.begun and not (seen.to_do or heading or seen.clock)


def _clock_line(clock: RunningClock) -> Line:
    began = datetime.fromisoformat(clock.timer.started_at)
    since = format_clock(began.hour * 60 + began.minute)
    return Line(
        "clock", clock.customer, f"{clock.task} · {clock.person}", f"since {since}", "accent", JOBS,
        clock.timer.job_id, "log", icon="timer",
    )  # fmt: skip


def _step_lines(steps: FirstSteps) -> list[Line]:
    third: tuple[str, object] = (JOBS, "list") if steps.has_job else (JOBS, "new")
    wanted = (
        (steps.hour_set, "Set what an hour costs", "wage, taxes, the hours nobody pays for", COMPANY, None, "hour"),
        (steps.has_customer, "Add a customer", "a name and an address are enough", CUSTOMERS, "new", ""),
        (steps.has_quote, "Quote the first job", "open a job, then its quote", *third, ""),
    )
    return [
        Line(f"step{n}", f"{n}  {title}", why, "done" if done else "", "under", place, target, section,
             icon="check" if done else "right")
        for n, (done, title, why, place, target, section) in enumerate(wanted, 1)
    ]  # fmt: skip
