"""The page of one job: head, the strip of its sections in the order of the work, its facts beside them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from importlib import import_module

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from db.queries.jobs import JobHead, job_head
from desktop.desk import CUSTOMERS, JOBS, Desk
from desktop.pages.jobs.facts import FactsPanel
from desktop.pages.page import Section
from desktop.pages.states import deadline_tone, deadline_words, state_tone, state_word
from desktop.pages.tab_order import EyeOrder, first_field
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import PageHead, StatePill, button, label, segments, tool_button
from desktop.widgets.flow import start_at_top
from domain.money import format_money


@dataclass(frozen=True, slots=True)
class SectionPlace:
    """One section: its key, its word in the strip, and its class in desktop.pages.job_sections.<key>."""

    key: str
    title: str
    class_name: str

    def build(self, desk: Desk) -> Section:
        """Import and make the section."""
        section_class: Callable[[Desk], Section] = getattr(
            import_module(f"desktop.pages.job_sections.{self.key}"), self.class_name
        )
        return section_class(desk)


SECTIONS = (
    SectionPlace("survey", "Survey", "SurveySection"),
    SectionPlace("takeoff", "Takeoff", "TakeoffSection"),
    SectionPlace("quote", "Quote", "QuoteSection"),
    SectionPlace("log", "Work log", "LogSection"),
    SectionPlace("closeout", "Closeout", "CloseoutSection"),
    SectionPlace("money", "Money", "MoneySection"),
    SectionPlace("outcome", "Outcome", "OutcomeSection"),
)

_FIRST_SECTION = {
    "inquiry": "survey",
    "surveyed": "quote",
    "quoted": "quote",
    "declined": "quote",
    "expired": "quote",
    "canceled": "outcome",
    "accepted": "log",
    "scheduled": "log",
    "under way": "log",
    "installed": "log",
    "tested": "money",
    "invoiced": "money",
}
"""Where a job opens when nothing else is asked: where its next step is."""

FACTS_WIDTH = 400
ROOM_BESIDE_FACTS = 1200
"""Below this width the facts take the section's place until they are closed."""
ROOM_FOR_BOTH = 1400
"""Below this width the facts make room when one turns to another section."""


class JobPage(QWidget):
    """One job; `leave()` goes back to the list."""

    def __init__(self, desk: Desk, leave: Callable[[], object]) -> None:
        super().__init__()
        self._desk, self._leave = desk, leave
        self.job_id = 0
        self.section_key = ""
        self._sections: dict[str, Section] = {}
        self._head: JobHead | None = None
        self.back = tool_button("left", "Back to the list of jobs (Alt+Left)", leave)
        self.head = PageHead("")
        self.customer = button("", self._open_customer, "link")
        self.customer.setAccessibleDescription("Opens the customer's page")
        self.about = label("", "body", "soft")
        self.state = StatePill("", "plain")
        self.deadline = StatePill("", "plain")
        self.price = label("", "strong")
        self.strip = segments([(one.key, one.title) for one in SECTIONS], self._turn_to, "Section")
        self.facts_button = button("Facts", self.toggle_facts, "quiet", "edit", "Dates, deadlines, parties (Alt+0)")
        self.facts_button.setCheckable(True)
        self._facts: FactsPanel | None = None
        self.stack = QStackedWidget()
        self._arrange()
        for number, one in enumerate(SECTIONS, 1):
            self._key(f"Alt+{number}", lambda key=one.key: self._turn_to(key, focus=True))
        self._key("Alt+0", self.toggle_facts)
        self._key("Alt+B", self.book_visit)
        self._key("Alt+Left", leave)
        self._key("Ctrl+N", lambda: desk.go(JOBS, "new"))

    def _key(self, keys: str, work: Callable[[], object]) -> None:
        shortcut = QShortcut(QKeySequence(keys), self)
        shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        shortcut.activated.connect(work)

    def _arrange(self) -> None:
        title = QHBoxLayout()
        title.setSpacing(10)
        title.addWidget(self.back, 0, Qt.AlignmentFlag.AlignVCenter)
        title.addWidget(self.head, 1)
        for widget in (self.price, self.deadline, self.state):
            title.addWidget(widget, 0, Qt.AlignmentFlag.AlignVCenter)
        about = QHBoxLayout()
        about.setSpacing(4)
        about.setContentsMargins(42, 0, 0, 0)
        about.addWidget(self.customer)
        about.addWidget(self.about, 1)
        strip = QHBoxLayout()
        strip.setContentsMargins(12, 2, 0, 0)
        strip.addWidget(self.strip)
        strip.addStretch(1)
        strip.addWidget(self.facts_button)
        top = QWidget()
        column = QVBoxLayout(top)
        column.setContentsMargins(16, 12, 24, 6)
        column.setSpacing(2)
        for line in (title, about, strip):
            column.addLayout(line)
        EyeOrder(top).apply()
        self._split = QSplitter()
        self._split.setChildrenCollapsible(False)
        self._split.addWidget(self.stack)
        self._split.setStretchFactor(0, 1)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        outer.addWidget(top)
        outer.addWidget(self._split, 1)

    # Showing.

    def show_job(self, job_id: int, section: str = "") -> bool:
        """Show a job, at a section or where its next step is; False when it is gone."""
        fresh = job_id != self.job_id
        self.job_id = job_id
        if not self._read():
            return False
        if section == "facts":
            self._open_facts()
            section = ""
        if closing := section == "closing":
            section = "outcome"
        section, _, where = section.partition(" ")  # "log 2026-11-03 1": a day of the log, whose hours
        if not section and (fresh or not self.section_key):
            section = _FIRST_SECTION.get(self._head.state if self._head else "", "outcome")
        self._choose(section or self.section_key)
        if closing:
            self._begin_closing()
        if where:
            self._sections["log"].show_refused(where)  # type: ignore[attr-defined]
        return True

    def refresh(self) -> bool:
        """Read head, facts and the section shown again; False when the job is gone."""
        if not self.job_id or not self._read():
            return False
        section = self._sections.get(self.section_key)
        if section is not None and section.job_id:  # one that is only just being turned to reads itself then
            section.refresh()
        return True

    def take_focus(self, into_section: bool = False) -> None:
        """Put the cursor on the strip of sections, or into the section; where it is already, it stays."""
        section, now = self._sections.get(self.section_key), self.window().focusWidget()
        if section is not None and now is not None and section.isAncestorOf(now) and now.isVisible():
            return
        first = first_field(section) if into_section and section is not None else None
        if first is not None:
            first.setFocus(Qt.FocusReason.TabFocusReason)
            return
        for one in self.strip.findChildren(QPushButton):
            if one.isChecked():
                one.setFocus(Qt.FocusReason.OtherFocusReason)

    def focus_facts(self) -> None:
        """Put the cursor into the facts: at the first work day when that comes next, else at the first field."""
        if self._head is not None and self._head.state == "accepted":
            self.facts.field("scheduled_on").setFocus(Qt.FocusReason.TabFocusReason)
        else:
            self.facts.take_focus()

    def _read(self) -> bool:
        try:
            with self._desk.read() as conn:
                head = job_head(conn, self.job_id, self._desk.today())
        except LookupError:
            self.job_id = 0
            return False
        self._head = head
        self._show_head(head)
        if self.facts_shown:
            self.facts.show_head(head)
        return True

    def _show_head(self, head: JobHead) -> None:
        job, closed = head.job, head.job.closed_on is not None
        self.head.set_words(f"{job.number}  {job.title or head.job_type.name}")
        self.customer.setText(head.customer.name)
        self.customer.setAccessibleName(f"Customer {head.customer.name}")
        self.about.setText(f"·  {head.house.one_line}  ·  {head.job_type.name}")
        self.state.set_words(state_word(head.state, closed), state_tone(head.state, closed))
        today, due = self._desk.today(), head.next_deadline
        words = f"{due.reason}: {deadline_words(due.due_on, today)}" if due and not closed else ""
        self.deadline.set_words(words, deadline_tone(due.due_on, today) if due else "plain")
        self.price.setText(format_money(head.price_cents) if head.price_cents is not None else "")
        set_tip(self.price, "Sent or accepted price with change orders, before tax")

    def _choose(self, key: object, focus: bool = False) -> None:
        place = next((one for one in SECTIONS if one.key == key), SECTIONS[0])
        section = self._section(place)
        self.section_key = place.key
        self.strip.set_value(place.key)
        self.stack.setCurrentWidget(section)
        if section.job_id != self.job_id:
            section.show_job(self.job_id)
            start_at_top(section)
        else:
            section.refresh()
        if focus:
            self.take_focus(into_section=True)

    def _turn_to(self, key: object, focus: bool = False) -> None:
        """The owner turns to a section: in a narrow window it gets the whole width."""
        if key != self.section_key and self.facts_shown and self.width() < ROOM_FOR_BOTH:
            self._close_facts()
        self._choose(key, focus)

    def _section(self, place: SectionPlace) -> Section:
        """One section, built when it is first asked for."""
        section = self._sections.get(place.key)
        if section is None:
            section = self._sections[place.key] = place.build(self._desk)
            self.stack.addWidget(section)
        return section

    def parts_to_ready(self) -> Mapping[str, Callable[[], QWidget]]:
        """What builds each section and the facts before they are asked for."""
        sections = {place.key: lambda place=place: self._section(place) for place in SECTIONS}
        return {**sections, "facts": lambda: self.facts}

    def _begin_closing(self) -> None:
        """The review of closing, with the whole width of a narrow window."""
        if self.facts_shown and self.width() < ROOM_FOR_BOTH:
            self._close_facts()
        self._sections["outcome"].begin_closing()  # type: ignore[attr-defined]

    # Facts and going elsewhere.

    @property
    def facts(self) -> FactsPanel:
        """The facts of the job, built when they are first asked for."""
        if self._facts is None:
            self._facts = FactsPanel(self._desk, self._close_facts)
            self._facts.hide()
            self._split.addWidget(self._facts)
            self._split.setStretchFactor(1, 0)
        return self._facts

    @property
    def facts_shown(self) -> bool:
        """True while the facts stand beside the section."""
        return self._facts is not None and not self._facts.isHidden()

    def toggle_facts(self) -> None:
        """Open or close the facts."""
        if not self.facts_shown:
            self._open_facts()
            self.facts.take_focus()
        else:
            self._close_facts()

    def book_visit(self) -> None:
        """Open the form for a visit on this job."""
        if self.job_id:
            self._open_facts()
            self.facts.visits.book()

    def _open_facts(self) -> None:
        self.facts.show()
        self._make_room()
        self.facts_button.setChecked(True)
        width = self.width() or 1200
        self._split.setSizes([max(width - FACTS_WIDTH, 300), FACTS_WIDTH])
        if self._head is not None:
            self.facts.show_head(self._head)

    def _close_facts(self) -> None:
        self.facts.hide()
        self._make_room()
        self.facts_button.setChecked(False)
        self.facts_button.setFocus()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._make_room()

    def _make_room(self) -> None:
        """In a small window the facts stand in the section's place: side by side both would be cut."""
        self.stack.setVisible(not self.facts_shown or self.width() >= ROOM_BESIDE_FACTS)

    def _open_customer(self) -> None:
        if self._head is not None:
            self._desk.go(CUSTOMERS, self._head.customer.id)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            now = self.focusWidget() or self
            if self._facts is not None and self._facts.isAncestorOf(now):
                self._close_facts()
            elif not self.stack.isAncestorOf(now):  # in a section Escape takes typing back, and never the job away
                self._leave()
        else:
            super().keyPressEvent(event)
