"""What speaks for and against a visit where it is being put, told while one types."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import QVBoxLayout, QWidget

from db.queries.calendar import Choice, JobOutlook
from desktop.widgets.cards import Card, Notice, label, set_tone
from domain.calendar.clashes import Clash
from domain.calendar.days import CalendarDay
from domain.calendar.steps_back import DONE, LOST, Step, StepsBack, when_words
from domain.calendar.visits import time_words
from domain.dates import format_day
from domain.units import format_minutes

Said = tuple[str, str, str]
"""Words, role and tone of a line."""

MOST_CLASHES = 4


class Lines(QWidget):
    """Words below one another; the labels are kept from one showing to the next."""

    def __init__(self) -> None:
        super().__init__()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(3)
        self._labels: list[tuple[str, QWidget]] = []

    def show_lines(self, lines: Sequence[Said]) -> None:
        """Show these."""
        for place, (words, role, tone) in enumerate(lines):
            if place == len(self._labels):
                made = label("", role, tone, wrap=True)  # type: ignore[arg-type]
                self._column.addWidget(made)
                self._labels.append((role, made))
            known_role, one = self._labels[place]
            if known_role != role:
                fresh = label("", role, tone, wrap=True)  # type: ignore[arg-type]
                self._column.replaceWidget(one, fresh)
                one.deleteLater()
                one = fresh
                self._labels[place] = (role, fresh)
            one.setText(words)  # type: ignore[attr-defined]
            set_tone(one, tone)
            one.show()
        for _, one in self._labels[len(lines) :]:
            one.hide()
        self.setVisible(bool(lines))

    def text(self) -> str:
        """All words that are shown."""
        return "\n".join(one.text() for _, one in self._labels if not one.isHidden())  # type: ignore[attr-defined]


class AdvicePanel(Card):
    """The chosen day, what clashes, and the steps back from the job's deadlines."""

    def __init__(self) -> None:
        super().__init__("The day")
        self.clashes = [Notice() for _ in range(MOST_CLASHES)]
        self.day, self.deadlines = Lines(), Lines()
        for notice in self.clashes:
            self.add(notice)
        self.add(self.day)
        self.add(self.deadlines)
        self.body.addStretch(1)
        self.show_choice(None)

    def show_choice(self, choice: Choice | None) -> None:
        """Show what is known of the choice; None while no day can be read."""
        found: Sequence[Clash] = choice.clashes if choice else ()
        for place, notice in enumerate(self.clashes):
            clash = found[place] if place < len(found) else None
            notice.set_words("error" if clash and clash.is_hard else "caution", clash.words if clash else "")
        if choice is None:
            self.header.set_words("The day")
            self.day.show_lines([("Choose a day, and what stands on it is shown here.", "body", "soft")])
            self.deadlines.show_lines([])
            return
        self.header.set_words(format_day(choice.day.day), hours_words(choice.day))
        self.day.show_lines(_day_lines(choice.day))
        self.deadlines.show_lines([line for one in choice.outlooks for line in outlook_lines(one)])

    def text(self) -> str:
        """All that is said, for tests and for reading aloud."""
        said = [notice.text() for notice in self.clashes if not notice.isHidden()]
        return "\n".join([*said, self.day.text(), self.deadlines.text()])


def hours_words(day: CalendarDay) -> str:
    """``3 h of 8 h taken``."""
    if not day.capacity_minutes:
        return f"no working day, {format_minutes(day.used_minutes)} taken" if day.used_minutes else "no working day"
    return f"{format_minutes(day.used_minutes)} of {format_minutes(day.capacity_minutes)} taken"


def _day_lines(day: CalendarDay) -> list[Said]:
    lines: list[Said] = [
        (f"{time_words(one.visit)}  {one.words}" + (f", {one.place}" if one.place else ""), "body", "soft")
        for one in day.visits
        if one.visit.stands
    ]
    lines += [(f"{one.reason}: {one.customer}", "body", "over") for one in day.deadlines]
    return lines or [("Nothing else stands on this day.", "body", "soft")]


def outlook_lines(outlook: JobOutlook) -> list[Said]:
    """A deadline's sentence and, while it matters, each step with its latest moment."""
    steps = outlook.steps
    lines: list[Said] = [(capital(steps.sentence), "strong", _tone(steps))]
    if steps.state != DONE:
        lines += [step_line(step) for step in steps.steps]
    return lines


def step_line(step: Step) -> Said:
    """``Work begins by Sun, May 24, 9 am · booked Wed, May 20, 8 am``."""
    words = f"{step.title} by {when_words(step.latest)}"
    if step.state == DONE:
        return f"{step.title}: done", "small", "under"
    if step.planned is not None:
        words += f" · {'expected' if step.key in ('fan', 'result') else 'booked'} {when_words(step.planned)}"
    troubled = step.state in (LOST, "too late", "too early", "not marked")
    return words, "small", "over" if troubled else "soft"


def capital(words: str) -> str:
    """With a large first letter."""
    return words[:1].upper() + words[1:]


def _tone(steps: StepsBack) -> str:
    if steps.state == LOST:
        return "error"
    return "" if steps.is_well else "over"
