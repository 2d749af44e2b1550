"""Closeout: what a finished system was tested, checked and handed over with."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QGridLayout, QScrollArea, QVBoxLayout, QWidget
from shiboken6 import isValid

from db.photo_folder import photo_folder
from db.queries.closeout import CloseoutPage, closeout_page
from db.queries.jobs import job_head
from db.queries.papers import latest_paper_of, paper_pdf
from desktop.desk import COMPANY, JOBS, Desk
from desktop.pages.company.paper_stack import PaperStack
from desktop.pages.drafts import half_of_job
from desktop.pages.job_sections.closeout.checklist_card import ChecklistCard
from desktop.pages.job_sections.closeout.defects_card import DefectsCard
from desktop.pages.job_sections.closeout.exposure_card import ExposureCard
from desktop.pages.job_sections.closeout.handover_card import HandoverCard
from desktop.pages.job_sections.closeout.system_card import SystemCard
from desktop.pages.job_sections.money.asking import AskCard
from desktop.pages.job_sections.survey_tests import RadonTests
from desktop.pages.page import Section
from desktop.pages.tab_order import EyeOrder, first_field
from desktop.widgets.cards import Card, Notice, button, label, scroll_page
from desktop.widgets.form import ChoiceField, TextField
from domain.cautions import CLOSING_WORDS
from domain.closeout.handover import LABEL_SIZES, Missing
from domain.dates import format_day_short
from domain.units import count_of

_ANYBODY = 0

WIDE = 1400
"""From this width on tests and system stand side by side."""

PHOTOS_AT_ONCE = 3
"""With more photos the pack is drawn while the window goes on."""


class CloseoutSection(Section):
    """Tests, readings, checklist, defects, exposure and papers of one job; each field saves itself."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._page: CloseoutPage | None = None
        self.asking = AskCard(desk, lambda: self.job_id)
        self.handover = HandoverCard(desk, self._go_to, self.look, self._ask_to_issue, self.show_label,
                                     self._ask_for_letter, self._ask_to_keep_label)  # fmt: skip
        self.tests = RadonTests(desk)
        self.reduction = label("", "strong", "", wrap=True)
        self.system = SystemCard(desk)
        self.checklist = ChecklistCard(desk)
        self.defects = DefectsCard(desk)
        self.exposure = ExposureCard(desk)
        self.cautions = Notice("caution")
        self._tests_card = Card("Radon tests", "what the timing meets is said; what a level means is not judged")
        self._tests_card.add(self.reduction)
        self._tests_card.add(self.tests)
        self._photos_card = Card("Photos", "the pack shows those of the survey and of the work")
        self.photos = label("", "body", "soft", wrap=True)
        self._photos_card.add(self.photos)
        self._photos_card.add_action(
            button("Photos in the survey", lambda: desk.go(JOBS, self.job_id, "survey"), "plain", "camera")
        )
        self._arrange()
        shortcut = QShortcut(QKeySequence("Ctrl+P"), self)
        shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        shortcut.activated.connect(self.look)

    def _arrange(self) -> None:
        inside = QWidget()
        inside.setObjectName("page")
        self._columns = QGridLayout()
        self._columns.setSpacing(12)
        self._left, self._right = QVBoxLayout(), QVBoxLayout()
        for place, one in enumerate((self._left, self._right)):
            one.setSpacing(12)
            self._columns.addLayout(one, 0, place)
        self._left.addWidget(self._tests_card)
        self._left.addWidget(self._photos_card)
        for one in (self._left, self._right):
            one.addStretch(1)
        caution = Card("Before anyone works here")
        caution.add(self.cautions)
        caution.add(label(CLOSING_WORDS, "small", "soft", wrap=True))
        column = QVBoxLayout(inside)
        column.setContentsMargins(24, 10, 24, 24)
        column.setSpacing(12)
        for part in (self.asking, self.handover, self._columns, self.checklist, self.defects, self.exposure,
                     caution):  # fmt: skip
            if isinstance(part, QWidget):
                column.addWidget(part)
            else:
                column.addLayout(part)
        column.addStretch(1)
        self._wide: bool | None = None
        self._set_wide(False)
        self._scroll = scroll_page(inside)
        self.stack = PaperStack(self.desk, self._scroll, "Back to the closeout")
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(self.stack)
        self._order = EyeOrder(inside)

    def resizeEvent(self, event: Any) -> None:
        super().resizeEvent(event)
        self._set_wide(self.width() >= WIDE)

    def _set_wide(self, wide: bool) -> None:
        if wide == self._wide:
            return
        self._wide = wide
        for column in (self._left, self._right):
            column.removeWidget(self.system)  # not takeAt: the item must go, or the next one keeps an old height
        (self._right if wide else self._left).insertWidget(0 if wide else 1, self.system)
        self._columns.setColumnStretch(0, 1)
        self._columns.setColumnStretch(1, 1 if wide else 0)

    # Showing.

    def show_job(self, job_id: int) -> None:
        self.asking.hide()
        if self.stack.shows_paper:
            self.stack.setCurrentIndex(0)
        super().show_job(job_id)

    def refresh(self) -> None:
        with self.desk.read() as conn:
            page = self._page = closeout_page(conn, self.job_id, self.desk.today())
            kept = latest_paper_of(conn, "closeout", job_id=self.job_id)
            issued = paper_pdf(conn, kept)[0] if kept is not None else None
        to = f" to {issued.sent_to}" if issued and issued.sent_to else ""
        words = f"Handed over{to} on {format_day_short(issued.issued_on)}; kept as it was." if issued else ""
        facts = page.facts
        self.handover.show_page(page, words)
        timings = {seen.record.id: seen.timing for seen in facts.tests}
        unit = facts.firm.radon_unit
        self.tests.show_tests(self.job_id, [seen.record for seen in facts.tests], unit, timings)
        self.reduction.setText(facts.reduction.words(unit) if facts.reduction else "")
        self.reduction.setVisible(facts.reduction is not None)
        self.system.show_page(page)
        self.checklist.show_page(page)
        self.defects.show_page(page)
        self.exposure.show_page(page)
        number = len(facts.photos)
        self.photos.setText(
            f"{number} {'photo' if number == 1 else 'photos'} will stand in the pack." if number
            else "No photo yet: the riser, the fan, the discharge and the indicator say more than words."
        )  # fmt: skip
        self.cautions.set_words("caution", "\n".join(f"• {one}" for one in facts.cautions))
        self._order.apply()

    def _go_to(self, missing: Missing) -> None:
        """Put the cursor where a missing part is entered."""
        if missing.where == "facts":
            self._show_card(self.system)
            self.system.installed.setFocus()
            return
        if missing.where == "company":
            self.desk.go(COMPANY, None, "firm")
            return
        cards = {
            "tests": self._tests_card, "system": self.system, "warranty": self.system.promised,
            "checklist": self.checklist, "defects": self.defects, "photos": self._photos_card,
        }  # fmt: skip
        card = cards[missing.where]
        self._show_card(card)
        if missing.where == "checklist":
            self.checklist.table.setFocus()
        elif (field := first_field(card)) is not None:
            field.setFocus(Qt.FocusReason.TabFocusReason)

    def _show_card(self, card: QWidget) -> None:
        area = self._scroll if isinstance(self._scroll, QScrollArea) else None
        if area is not None:
            top = card.mapTo(area.widget(), card.rect().topLeft()).y()
            area.verticalScrollBar().setValue(max(top - 10, 0))

    # Papers.

    def look(self) -> None:
        """Show the pack as it would be handed over now."""
        from desktop.papers.closeout_keeping import draw_pack, pack_source

        folder, today, job_id = photo_folder(self.desk.company.path), self.desk.today(), self.job_id
        with self.desk.read() as conn:
            source = pack_source(conn, job_id, today)
        if len(source.facts.photos) <= PHOTOS_AT_ONCE:
            self._show_pack(job_id, draw_pack(source, today, folder))
            return
        self.desk.say(f"Drawing the pack with {count_of(len(source.facts.photos), 'photo')} …")
        self.desk.background(
            lambda: draw_pack(source, today, folder),
            lambda pdf: self._show_pack(job_id, pdf) if isValid(self) else None,
        )

    def _show_pack(self, job_id: int, pdf: bytes) -> None:
        if job_id == self.job_id:  # another job may have been opened meanwhile
            self.stack.show_paper(pdf, f"Closeout pack {self._number}.pdf")

    def show_label(self, size: int) -> None:
        """Show the system label at its real size."""
        from desktop.papers.closeout_keeping import label_pdf

        with self.desk.read() as conn:
            pdf = label_pdf(conn, self.job_id, self.desk.today(), size)
        self.stack.show_paper(pdf, f"Label {self._number} {LABEL_SIZES[size][0]}.pdf")

    def _ask_to_issue(self) -> None:
        customer = self._page.facts.customer.name if self._page else ""
        self.asking.ask(
            "Hand over the pack",
            " ".join((
                "The pack is kept for good exactly as it is now. What changes later goes into another one.",
                *half_of_job(self.tests, self.desk, self.job_id),
            )),
            [("Given to", TextField(), customer)], "Hand over", lambda values: self.issue(str(values[0])),
        )
        self._show_card(self.asking)

    def issue(self, to: str) -> str:
        """Hand the pack over and show it; why not, when it was refused."""
        from desktop.papers.closeout_keeping import keep_pack

        folder, today = photo_folder(self.desk.company.path), self.desk.today()
        paper_id = self.desk.do(
            "Hand over the closeout pack", lambda edit: keep_pack(edit, self.job_id, today, folder, to),
            say="The pack is kept as it was handed over",
        )  # fmt: skip
        if paper_id is None:
            return "It was not handed over."
        with self.desk.read() as conn:
            record, pdf = paper_pdf(conn, paper_id)
        self.stack.show_paper(pdf, f"{record.title}.pdf")
        return ""

    def _ask_for_letter(self) -> None:
        with self.desk.read() as conn:
            parties = job_head(conn, self.job_id, self.desk.today()).parties
        choices = [(_ANYBODY, "Whom it may concern"), *((one.id, f"{one.name}, {one.role}") for one in parties)]
        buyer = next((one.id for one in parties if one.role == "buyer"), _ANYBODY)
        self.asking.ask(
            "A letter about the system",
            "It tells what was built and which tests there are, as noted now, and is kept as it is sent. "
            "Another person is added among the facts of the job (Alt+0).",
            [("For", ChoiceField(choices, required=True), buyer)], "Write the letter",
            lambda values: self.write_letter(values[0] or None),
        )  # fmt: skip
        self._show_card(self.asking)

    def write_letter(self, party_id: int | None) -> str:
        """Write the letter for a party (None: for anybody), keep and show it; why not, when it was refused."""
        from desktop.papers.keeping import keep_letter

        today = self.desk.today()
        paper_id = self.desk.do(
            "Write a letter about the system", lambda edit: keep_letter(edit, self.job_id, party_id, today),
            say="The letter is kept among the papers", undo=True,
        )  # fmt: skip
        if paper_id is None:
            return "It was not written."
        with self.desk.read() as conn:
            record, pdf = paper_pdf(conn, paper_id)
        self.stack.show_paper(pdf, f"{record.title}.pdf")
        return ""

    def _ask_to_keep_label(self) -> None:
        self.asking.ask(
            "The label that was put up", "It is kept for good as it reads now; look at it and print it first.",
            [("Size", ChoiceField(list(enumerate(words for words, _, _ in LABEL_SIZES)), required=True), 0)],
            "Keep it", lambda values: self.keep_label(values[0]),
        )  # fmt: skip
        self._show_card(self.asking)

    def keep_label(self, size: int) -> str:
        """Keep the label of a size as it was put up; why not, when it was refused."""
        from desktop.papers.closeout_keeping import keep_label

        today = self.desk.today()
        paper_id = self.desk.do(
            "Keep the system label", lambda edit: keep_label(edit, self.job_id, today, size),
            say="The label is kept among the papers",
        )  # fmt: skip
        return "" if paper_id is not None else "It was not kept."

    @property
    def _number(self) -> str:
        return self._page.facts.job.number if self._page else ""
