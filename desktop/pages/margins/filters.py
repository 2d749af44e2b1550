"""What to group by and which days of closing to count."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from desktop.desk import Desk
from desktop.widgets.cards import FlowLayout, Notice, label, row, segments
from desktop.widgets.form import DateField
from desktop.widgets.half import only_asks
from desktop.widgets.still_shown import still_shown
from domain.costing import GROUPINGS, period

PERIOD_WORDS = {
    "all": "All",
    "this-year": "This year",
    "last-year": "Last year",
    "last-12-months": "Last 12 months",
}
OTHER_DAYS = "other-days"


class Filters(QWidget):
    """Group by, quick picks of time, and two days for any other time; `changed` tells of each choice."""

    changed = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self.by_choice = segments([(by, words) for by, words in GROUPINGS.items()], self._tell, "Group by")
        self.period_choice = segments(
            [*PERIOD_WORDS.items(), (OTHER_DAYS, "Other days")], self._pick, "Closed in"
        )
        self.from_field, self.to_field = DateField(desk.today), DateField(desk.today)
        only_asks(self.from_field, self.to_field, told=False)
        for field, name in ((self.from_field, "Closed from"), (self.to_field, "Closed to")):
            field.setAccessibleName(name)
            field.setPlaceholderText("any day")
            field.setFixedWidth(190)
            field.edited.connect(self._days_typed)
            field.problem_changed.connect(self._show_problem)
        self.problem = Notice("caution")
        flow = FlowLayout(self, 14)
        flow.addWidget(row(label("Group by", "body", "soft"), self.by_choice))
        flow.addWidget(row(label("Closed in", "body", "soft"), self.period_choice))
        self._days = row(label("from", "body", "soft"), self.from_field, label("to", "body", "soft"), self.to_field)
        self._days.hide()
        flow.addWidget(self._days)
        flow.addWidget(self.problem)

    def by(self) -> str:
        """One of GROUPINGS."""
        return str(self.by_choice.value())

    def days(self) -> tuple[date | None, date | None]:
        """First and last day of closing, None for no end."""
        return self.from_field.value(), self.to_field.value()

    def choose_by(self, by: str) -> None:
        """Group by this, as if it had been clicked."""
        self.by_choice.set_value(by)
        self.changed.emit()

    def _tell(self, _choice: object) -> None:
        self.changed.emit()

    def _pick(self, choice: object) -> None:
        self._days.setVisible(choice == OTHER_DAYS)
        if choice == OTHER_DAYS:
            self.from_field.setFocus()
            self.from_field.selectAll()
            return
        from_, to = period(str(choice), self._desk.today())
        self.from_field.reset(from_)
        self.to_field.reset(to)
        self.problem.set_words("caution", "")
        self.changed.emit()

    def _days_typed(self, _day: object) -> None:
        from_, to = self.days()
        if from_ and to and from_ > to:
            self.problem.set_words("caution", "The first day is after the last: nothing was closed in between.")
        else:
            self._show_problem("")
        self.changed.emit()

    def _show_problem(self, _text: str) -> None:
        wrong = next((one for one in (self.from_field, self.to_field) if one.problem()), None)
        self.problem.set_words("caution", still_shown(wrong, wrong.problem()) if wrong is not None else "")
