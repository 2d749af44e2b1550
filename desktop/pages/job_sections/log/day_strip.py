"""The head of the log: which day, who worked, the running clock, and the totals that move as one types."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from desktop.look.theme import current_tokens
from desktop.widgets.cards import Segments, button, label, set_tone, tool_button
from desktop.widgets.form import ChoiceField, DateField
from desktop.widgets.half import only_asks
from desktop.widgets.quoted_actual_bar import QuotedActualBar
from domain.dates import format_day
from domain.firm import Person
from domain.log_day import LogTotals
from domain.money import format_money
from domain.units import format_minutes

SIDE_BY_SIDE = 4
"""So many people stand beside each other; more are a list."""

WIDE = 1040
"""Below this width the totals are told in fewer words."""


def called(names: list[str]) -> list[str]:
    """What people who work together call each other: first names, full ones where two share the first."""
    firsts = [name.split()[0] if name.split() else name for name in names]
    return [first if firsts.count(first) == 1 else name for first, name in zip(firsts, names, strict=True)]


class DayStrip(QWidget):
    """Day, person and clock. Signals: `day_chosen(date)`, `person_chosen(id)`, `stepped()` by a button."""

    day_chosen = Signal(object)
    person_chosen = Signal(object)
    stepped = Signal()

    def __init__(self, today: Callable[[], date]) -> None:
        super().__init__()
        self._today = today
        self._stays_on: date | None = None
        self._shown = today()
        self._people: list[Person] = []
        self.day = DateField(today, required=True)
        only_asks(self.day, told=False)
        self.day.problem_changed.connect(lambda _: self._tell_day())
        self.day.setAccessibleName("Day")
        self.day.setFixedWidth(186)
        self.day.edited.connect(self.day_chosen)
        self.earlier = tool_button("left", "The day before (Left in a table)", lambda: self._click(-1))
        self.later = tool_button("right", "The day after (Right in a table)", lambda: self._click(1))
        self.about = label("", "small_strong", "over")
        self.today_button = button("Today", lambda: self._choose(self._today()), "link")
        self.clock = button("", None, "plain", "timer")
        self.cancel = tool_button("cross", "Stop the clock and log nothing")
        self._people_box = QHBoxLayout()
        self._people_box.setContentsMargins(0, 0, 0, 0)
        self.people: Segments | ChoiceField | None = None
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(6)
        for part in (self.earlier, self.day, self.later, self.about, self.today_button):
            line.addWidget(part)
        line.addSpacing(14)
        line.addLayout(self._people_box)
        line.addStretch(1)
        line.addWidget(self.clock)
        line.addWidget(self.cancel)
        self.cancel.hide()
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)

    def show_day(self, day: date) -> None:
        """Show the day; Today is offered while it is another one."""
        self._shown = day
        self.day.set_value(day)
        self._tell_day()
        stays = day == self._stays_on and day < self._today()
        self.today_button.setText(f"Past midnight: go to {format_day(self._today())}" if stays else "Today")
        self.today_button.setVisible(day != self._today())
        self.later.setEnabled(day < self._today())

    def refuse(self, problem: str) -> None:
        """Mark the day that is typed as one that cannot be shown; "" when it can. The rows stay those of their day."""
        if problem:
            self.day.refuse(problem, self._shown)
        else:
            self.day.set_problem("")

    def _tell_day(self) -> None:
        """Beside words that name no day one can show: the day the rows are of."""
        about = "" if self._shown == self._today() else "not today"
        self.about.setText(f"shown: {format_day(self._shown)}" if self.day.problem() else about)

    def stay_on(self, day: date | None) -> None:
        """The day that was today until midnight passed; while it is shown, the way to the new one says so."""
        self._stays_on = day

    def show_people(self, people: list[Person], chosen: int) -> None:
        """Offer who can have worked; nobody to choose between: nothing is shown."""
        if people != self._people:
            self._people = people
            if self.people is not None:
                self._people_box.removeWidget(self.people)
                self.people.deleteLater()
            self.people = self._chooser(
                list(zip((one.id for one in people), called([one.name for one in people]), strict=True))
            )
            self._people_box.addWidget(self.people)
        if self.people is not None:
            self.people.set_value(chosen)
            self.people.setVisible(len(people) > 1)

    def _chooser(self, names: list[tuple[int, str]]) -> Segments | ChoiceField:
        """Side by side while they are few, else a list to type into."""
        if len(names) <= SIDE_BY_SIDE:
            segments = Segments(names, "Who worked")
            segments.chosen.connect(self.person_chosen)
            return segments
        field = ChoiceField(names, required=True)
        field.setAccessibleName("Who worked")
        field.setFixedWidth(220)
        field.edited.connect(self.person_chosen)
        return field

    def step(self, days: int) -> None:
        """Go so many days on, never beyond today."""
        now = self.day.value() or self._today()
        self._choose(min(now + timedelta(days=days), self._today()))

    def _click(self, days: int) -> None:
        self.step(days)
        self.stepped.emit()

    def _choose(self, day: date) -> None:
        if day != self.day.value() or self.day.problem():
            self.day.take(day)


class _BigBar(QuotedActualBar):
    def sizeHint(self) -> QSize:
        return QSize(320, 26)

    def minimumSizeHint(self) -> QSize:
        return QSize(90, 26)


class _Measure(QWidget):
    """A heading, the two figures, and the big bar beneath."""

    def __init__(self, heading: str, shown: Callable[..., str]) -> None:
        super().__init__()
        self._shown = shown
        self._figure, self._rest = label("", "figure"), label("", "body", "soft")
        self.bar = _BigBar(shown)
        self.bar.setAccessibleName(heading)
        words = QHBoxLayout()
        words.setSpacing(8)
        for part in (label(heading, "small", "soft"), self._figure, self._rest):
            words.addWidget(part, 0, Qt.AlignmentFlag.AlignBaseline)
        words.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addLayout(words)
        column.addWidget(self.bar)

    def show_values(self, quoted: int, actual: int, left: str) -> None:
        """Show the actual figure, what it is compared with, and the bar."""
        self._figure.setText(self._shown(actual))
        self._rest.setText(left)
        set_tone(self._figure, "over" if quoted and actual > quoted else "")
        self.bar.set_values(quoted, actual)


class TotalsStrip(QWidget):
    """Hours of the day, hours so far against quoted, money so far against the quoted cost."""

    def __init__(self) -> None:
        super().__init__()
        self._totals: LogTotals | None = None
        self._day = label("", "figure")
        day = QVBoxLayout()
        day.setSpacing(2)
        day.addWidget(label("This day", "small", "soft"))
        day.addWidget(self._day)
        day.addStretch(1)
        self.hours = _Measure("Hours so far", format_minutes)
        self.money = _Measure("Cost so far", format_money)
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(current_tokens().space.wide)
        line.addLayout(day)
        line.addWidget(self.hours, 1)
        line.addWidget(self.money, 1)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)

    def show_totals(self, totals: LogTotals) -> None:
        """Show these totals; in a narrow window in fewer words."""
        self._totals = totals
        wide = self.width() >= WIDE
        self._day.setText(format_minutes(totals.day_minutes))
        for measure, shown, quoted, actual in (
            (self.hours, format_minutes, totals.quoted_minutes, totals.minutes),
            (self.money, format_money, totals.quoted_cents, totals.cents),
        ):
            measure.show_values(quoted, actual, _compared(shown, quoted, quoted - actual, wide))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if self._totals is not None:
            self.show_totals(self._totals)

    def day_text(self) -> str:
        """The hours of the day as they stand."""
        return self._day.text()


def _compared(shown: Callable[[int], str], quoted: int, left: int, wide: bool) -> str:
    if not quoted:
        return "nothing quoted"
    if not wide:
        return f"of {shown(quoted)}"
    return f"of {shown(quoted)} quoted, {shown(abs(left))} {'left' if left >= 0 else 'over'}"
