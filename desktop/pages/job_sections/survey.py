"""Survey: the visit, the house, radon tests, access conditions, cautions and photos of one job."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from db.commands.survey import save_survey
from db.queries.jobs import SurveyPage, survey_page
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from desktop.pages.job_sections.survey_access import AccessTicks
from desktop.pages.job_sections.survey_photos import PhotoStrip
from desktop.pages.job_sections.survey_tests import RadonTests
from desktop.pages.page import Section
from desktop.pages.property_form import PropertyForm
from desktop.pages.tab_order import EyeOrder
from desktop.widgets.cards import Card, Notice, button, label, scroll_page
from desktop.widgets.form import DateField, Form, NotesField
from domain.cautions import CLOSING_WORDS, survey_cautions
from domain.jobs import far_words

_WORDS = {
    "existing_notes": ("What is there", "pipe, fan, slope, where it leaves the house, what is wrong with it"),
    "findings": ("Findings", "drains, sump, cracks, block walls, how the suction test went"),
    "access_notes": ("Getting in and about", "hatch sizes, ladder, keys, what has to be moved"),
}
WIDE = 1180
"""From this width on the cards stand in two columns."""


class SurveySection(Section):
    """The survey of a job; each field saves itself."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._saver, self._shown_job = Autosave(desk), 0
        self._page: SurveyPage | None = None
        self.day = DateField(desk.today, required=True, doubt=lambda day: far_words(day, desk.today()))
        self.today_button = button("Today", self._surveyed_today, "plain", "check", "Surveyed today")
        self.today_button.setAccessibleName("Surveyed today")  # in one word: what is asked of a day needs the room
        self.visit = Form()
        self.visit.add("Survey day", self.day)
        self._saver.bind(self.day, "Set the survey day", lambda edit, on: self._save(edit, on), self._record)
        self.notes: dict[str, NotesField] = {}
        for name, (title, hint) in _WORDS.items():
            field = self.notes[name] = NotesField(hint, lines=3)
            field.setAccessibleName(title)
            self._saver.bind(field, f"Write {title.lower()}", self._writer(name), self._record)
        self.house = PropertyForm(desk, with_address=False)
        self.tests = RadonTests(desk)
        self.access = AccessTicks(desk)
        self.photos = PhotoStrip(desk)
        self.cautions = [Notice("caution") for _ in range(4)]
        self._order = EyeOrder(self)
        self._arrange()

    def _record(self) -> object:
        return self.job_id and ("survey of job", self.job_id)

    def _writer(self, name: str) -> Callable[[Any, Any], None]:
        return lambda edit, text: self._save(edit, self._survey_day(), **{name: text})

    def _save(self, edit: Any, on: date, **texts: str) -> None:
        save_survey(edit, self.job_id, on, **texts)

    def _survey_day(self) -> date:
        """The day kept, else the one in the field, else today: a first note makes the survey."""
        if self._page and self._page.survey:
            return self._page.survey.surveyed_on
        return self.day.value() or self.desk.today()

    def _surveyed_today(self) -> None:
        self._saver.do("Set the survey day", lambda edit: self._save(edit, self.desk.today()))
        self.notes["findings"].setFocus()

    # Arranging.

    def _arrange(self) -> None:
        self._cards = (self._visit_card(), self._house_card(), self._tests_card(), self._access_card())
        self._left, self._right = QVBoxLayout(), QVBoxLayout()
        for column in (self._left, self._right):
            column.setSpacing(12)
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(12)
        photos = Card("Photos", "pictures are copied beside the firm's file; drop them here or add them by name")
        photos.add_action(button("Add photos…", self.photos.ask, "plain", "camera"))
        photos.add(self.photos)
        inside = QWidget()
        inside.setObjectName("page")
        column = QVBoxLayout(inside)
        column.setContentsMargins(28, 10, 28, 24)
        column.setSpacing(12)
        column.addLayout(self._grid)
        column.addWidget(photos)
        column.addWidget(self._cautions_card())
        column.addStretch(1)
        self._grid.addLayout(self._left, 0, 0)
        self._grid.addLayout(self._right, 0, 1)
        self._columns = 0
        self._set_columns(1)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(scroll_page(inside))
        self.setAcceptDrops(True)

    def _visit_card(self) -> Card:
        card = Card("The visit")
        line = QHBoxLayout()
        line.addWidget(self.visit, 1)
        line.addWidget(self.today_button)
        card.add(line)
        for name in ("findings", "access_notes"):
            card.add(self._labelled(name))
        return card

    def _house_card(self) -> Card:
        card = Card("The house", "kept with the property, for every job there")
        card.add(self.house)
        card.add(self._labelled("existing_notes"))
        return card

    def _tests_card(self) -> Card:
        card = Card("Radon tests", "before the work, and after it")
        card.add(self.tests)
        return card

    def _access_card(self) -> Card:
        card = Card("Access conditions", "what makes an hour longer; the quote's minutes follow")
        card.add(self.access)
        return card

    def _cautions_card(self) -> Card:
        card = Card("Before anyone works here")
        for notice in self.cautions:
            card.add(notice)
        card.add(label(CLOSING_WORDS, "small", "soft", wrap=True))
        return card

    def _labelled(self, name: str) -> QWidget:
        box = QWidget()
        column = QVBoxLayout(box)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(3)
        words = label(_WORDS[name][0], "body", "soft")
        words.setBuddy(self.notes[name])
        column.addWidget(words)
        column.addWidget(self.notes[name])
        return box

    def resizeEvent(self, event: Any) -> None:
        super().resizeEvent(event)
        self._set_columns(2 if self.width() >= WIDE else 1)

    def _set_columns(self, count: int) -> None:
        if count == self._columns:
            return
        self._columns = count
        for column in (self._left, self._right):
            for card in self._cards:
                column.removeWidget(card)  # not takeAt: the old item must go, or the new one keeps an old height
            while column.count():
                column.takeAt(0)
        visit, house, tests, access = self._cards
        left = (visit, house) if count == 2 else (visit, tests, house, access)
        for card in left:
            self._left.addWidget(card)
        for card in (tests, access) if count == 2 else ():
            self._right.addWidget(card)
        self._left.addStretch(1)
        self._right.addStretch(1)
        self._grid.setColumnStretch(0, 1)
        self._grid.setColumnStretch(1, 1 if count == 2 else 0)
        self._grid.setHorizontalSpacing(12 if count == 2 else 0)
        self._order.apply()

    # Showing.

    def refresh(self) -> None:
        if not self.job_id:
            return
        try:
            with self.desk.read() as conn:
                page = survey_page(conn, self.job_id)
        except LookupError:
            return
        fresh, self._shown_job = self._shown_job != self.job_id, self.job_id
        self._page = page
        kept = page.survey
        if fresh:
            self.day.reset()
            for field in self.notes.values():
                field.reset("")
        self._saver.show(self.day, kept.surveyed_on if kept else None)
        for name, field in self.notes.items():
            self._saver.show(field, getattr(kept, name) if kept else "")
        self.today_button.setVisible(kept is None)
        self.house.show_house(page.house)
        self.tests.show_tests(self.job_id, page.tests, page.radon_unit)
        self.access.show_conditions(self.job_id, page.conditions, page.ticked, page.effects)
        self.photos.show_photos(self.job_id, page.photos)
        words = survey_cautions(page.house)
        for place, notice in enumerate(self.cautions):
            notice.set_words("caution", words[place] if place < len(words) else "")
        self._order.apply()

    def dragEnterEvent(self, event: Any) -> None:
        if event.mimeData().hasUrls():
            event.acceptProposedAction()

    def dropEvent(self, event: Any) -> None:
        self.photos.add_files([url.toLocalFile() for url in event.mimeData().urls() if url.isLocalFile()])
        event.acceptProposedAction()
