"""The strip of versions and change orders, what can be done with the one shown, and the customer's answer."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from db.commands.quotes import (
    accept_quote,
    decline_quote,
    delete_draft,
    revise_quote,
    send_quote,
    take_back_acceptance,
)
from db.edit import Edit
from db.queries.acceptance import accepted_quote
from db.queries.calendar import last_start_day, next_deadline
from db.queries.firm import firm
from db.queries.since_taken import since_taken, twice_on
from desktop.pages.drafts import half_of_job
from desktop.pages.job_sections.outcome.not_kept import not_kept_in_tables, told
from desktop.pages.job_sections.quote.editing import QuoteEditing
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import FlowLayout, Notice, button, label
from desktop.widgets.form import DateField, TextField
from desktop.widgets.young import YoungMoment
from domain.dates import format_day_short
from domain.quoting.doubts import doubts_before_sending, valid_beyond
from domain.quoting.state import ACCEPTED, DECLINED, DRAFT, quote_name, quote_state, state_in_words
from domain.unlikely import far_from


class VersionStrip(QWidget):
    """One button a version, newest last.

    Signals:
        chosen: the id of a quote.
    """

    chosen = Signal(int)

    def __init__(self, editing: QuoteEditing) -> None:
        super().__init__()
        self.editing = editing
        self._flow = FlowLayout(self, spacing=6)
        self.buttons: dict[int, QPushButton] = {}

    def show_versions(self) -> None:
        """The versions of the page, the one shown pressed in."""
        page = self.editing.page
        assert page is not None
        wanted = [one.id for one in page.quotes]
        if wanted != list(self.buttons):
            self._rebuild(wanted)
        today = self.editing.desk.today()
        for one in page.quotes:
            made = self.buttons[one.id]
            made.setText(f"{quote_name(one)}  ·  {state_in_words(one, today)}")
            set_tip(made, one.title or one.declined_reason)
            made.setChecked(page.document is not None and one.id == page.document.quote.id)

    def _rebuild(self, wanted: list[int]) -> None:
        for made in self.buttons.values():
            self._flow.removeWidget(made)
            made.hide()
            made.deleteLater()
        self.buttons = {}
        for quote_id in wanted:
            made = button("", lambda quote_id=quote_id: self.chosen.emit(quote_id), "segment")
            made.setCheckable(True)
            self._flow.addWidget(made)
            self.buttons[quote_id] = made
        self._flow.invalidate()
        self.updateGeometry()


class Actions(QWidget):
    """What can be done with the quote shown, and the customer's answer to a sent one.

    Signals:
        made: the id of a quote that was begun and should be shown.
        sent: a quote was marked as sent.
    """

    made = Signal(int)
    sent = Signal()

    def __init__(self, editing: QuoteEditing, start_change_order: Callable[[], object]) -> None:
        super().__init__()
        self.editing = editing
        self._asked, self._sent = YoungMoment(), YoungMoment()  # a stray second press answers nothing
        self.send = button("Mark as sent", self._send, "primary", "check", "Freezes it as it is; the paper is yours to "
                           "mail or to hand over")  # fmt: skip
        # Shown where the firm's rule runs past the last day to begin; a press turns to the other day.
        self.until = button("", self._turn_until, "plain")
        self.until_words = label("", "small", "soft", wrap=True)
        self.until_words.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.until_words.setMinimumWidth(230)
        self._until: list[tuple[int, str, str]] = []  # days, what counts and why, what a press does; the first counts
        self.revise = button("Revise", self._revise, "plain", "copy", "Begin the next version as a copy of this one")
        self.order = button("Change order", start_change_order, "plain", "plus", "For what is different from what was "
                            "accepted; begins with work that was logged as not quoted")  # fmt: skip
        self.take_back = button("Take back acceptance", self._say_what_follows, "quiet", "undo",
                                "Says what follows first")  # fmt: skip
        self.follows = Notice("caution")
        self.delete = button("Remove draft", self._delete, "quiet", "trash")
        self.day = DateField(editing.desk.today, required=True, doubt=far_from(editing.desk.today))
        self.day.setAccessibleName("Day of the answer")
        self.day.setFixedWidth(200)
        self.accept = button("Accepted", self._accept, "primary", "check")
        self.reason = TextField("reason for a no, as far as known")
        self.reason.setAccessibleName("Reason for declining")
        self.reason.setMinimumWidth(150)
        self.decline = button("Declined", self._decline, "plain", "cross")
        self.answer = QWidget()
        answer = QHBoxLayout(self.answer)
        answer.setContentsMargins(0, 0, 0, 0)
        for part in (label("The customer said, on", "body", "soft"), self.day, self.accept, self.reason, self.decline):
            answer.addWidget(part, 1 if part is self.reason else 0)
        buttons = QHBoxLayout()
        buttons.setContentsMargins(0, 0, 0, 0)
        buttons.addWidget(self.until_words, 1)
        for part in (self.delete, self.take_back, self.order, self.revise, self.until, self.send):
            buttons.addWidget(part)
        self.buttons = buttons
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addLayout(buttons)

    def show_actions(self) -> None:
        """Only what makes sense for the quote shown."""
        page, quote = self.editing.page, self.editing.quote
        assert page is not None
        state = quote_state(quote, self.editing.desk.today())
        proposal = quote.kind == "proposal"
        self.send.setVisible(state == DRAFT)
        self.delete.setVisible(state == DRAFT)
        self._offer_until(draft=state == DRAFT)
        self.take_back.setVisible(state == ACCEPTED)
        self.follows.set_words("caution", "")
        self.revise.setVisible(proposal and state not in (DRAFT, ACCEPTED) and not page.accepted and not page.has_draft)
        self.order.setVisible(page.accepted and state != DRAFT)
        self.answer.setVisible(state not in (DRAFT, ACCEPTED, DECLINED) and not (proposal and page.accepted))
        if not self.day.isModified():
            self.day.set_value(self.editing.desk.today())

    def _offer_until(self, *, draft: bool) -> None:
        """A paper that outlives the last day the work can begin, or that it is needed by, promises what cannot be
        kept: offer that day."""
        choices: list[tuple[int, str, str]] = []
        if draft:
            today, job_id = self.editing.desk.today(), self.editing.quote.job_id
            with self.editing.desk.read() as conn:
                last, what = last_start_day(conn, job_id, today), "the last day the work can begin"
                if self.editing.quote.kind != "proposal":  # the work is under way
                    due = next_deadline(conn, job_id, today)
                    last = due.due_on if due and due.due_on > today else None
                    what = due.reason or "the deadline" if due else ""
                days = firm(conn).valid_days if last is not None else 0
            if last is not None and today + timedelta(days=days) > last:
                usual = format_day_short(today + timedelta(days=days))
                choices = [
                    (
                        (last - today).days,
                        f"Valid until {format_day_short(last)}, {what}.",
                        f"Until {what.removeprefix('the ')}: {format_day_short(last)}",
                    ),
                    (
                        days, f"Valid until {usual}, {days} days as usual; {what} is "
                        f"{format_day_short(last)}.", f"{days} days as usual: {usual}",
                    ),
                ]
        if sorted(choices) != sorted(self._until):
            self._until = choices
        self._show_until()

    def _turn_until(self) -> None:
        """Turn to the other day."""
        self._until = self._until[::-1]
        self._show_until()

    def _show_until(self) -> None:
        self.until.setVisible(bool(self._until))
        self.until_words.setVisible(bool(self._until))
        if self._until:
            self.until_words.setText(self._until[0][1])
            self.until.setText(self._until[1][2])
            set_tip(self.until, f"Makes it: {self._until[1][1]}")
            self.until.setAccessibleDescription(self._until[0][1])

    def _name(self) -> str:
        return quote_name(self.editing.quote)

    def _send(self) -> None:
        """Send, or first ask about what may have been overlooked."""
        page = self.editing.page
        assert page is not None
        names = {pick.task.id: pick.task.name for pick in page.picks.tasks}
        tasks = {pick.task.id: pick.task for pick in page.picks.tasks}
        doubts = doubts_before_sending(self.editing.document, tested=page.tested, tasks=tasks)
        doubts += half_of_job(self, self.editing.desk, self.editing.quote.job_id)
        twice = twice_on(self.editing.document, names)
        with self.editing.desk.read() as conn:
            since = since_taken(conn, self.editing.document, self.editing.desk.today())
        red = told(not_kept_in_tables(self.editing.desk, self.editing.quote.job_id, self))
        doubts = [*(words for words in (red, since, twice) if words), *doubts, *self._beyond_the_closing()]
        if doubts:  # asked again with every press: only the question's own button, elsewhere, goes on
            if self.follows.text() != " ".join(doubts):
                self._asked.restart()
            self.follows.set_words("caution", " ".join(doubts), ("Send it all the same", self._send_asked))
        else:
            self._send_now()

    def _beyond_the_closing(self) -> list[str]:
        """The sale of the house closes before the proposal that is about to be sent ends."""
        job_id, today = self.editing.quote.job_id, self.editing.desk.today()
        if self.editing.quote.kind != "proposal":
            return []
        with self.editing.desk.read() as conn:
            closing = next_deadline(conn, job_id, today)
            days = self._until[0][0] if self._until else firm(conn).valid_days
        return valid_beyond(today + timedelta(days=days), closing)

    def _send_asked(self) -> None:
        """Send after the question: the cursor goes back to the button, for the question goes away with its own."""
        if self._asked.is_young():
            return  # the second press of a double click has read nothing
        self.send.setFocus()
        self._send_now()

    def _send_now(self) -> None:
        self.editing.before_sending()
        quote_id, day, name = self.editing.quote.id, self.editing.desk.today(), self._name()
        said = f"{name} is marked as sent and stays as it is now"
        valid_days = self._until[0][0] if self._until else None

        def send(edit: Edit) -> None:
            self.editing.sending(edit, quote_id, day)
            send_quote(edit, quote_id, day, valid_days=valid_days)
            from desktop.papers.keeping import keep_sent_quote

            keep_sent_quote(edit, quote_id, day)

        if not self.editing.save(f"Send {name.lower()}", send, say=said, undo=True):
            self._sent.restart()
            self.sent.emit()

    def _accept(self) -> None:
        if not self.day.commit():
            return
        quote_id, day, options = self.editing.quote.id, self.day.value(), set(self.editing.ticked)
        with_options = f" with {len(options)} option{'s' if len(options) > 1 else ''}" if options else ""
        self.editing.save(
            f"Accept {self._name().lower()}", lambda edit: accept_quote(edit, quote_id, day, options),
            say=f"{self._name()} was accepted{with_options}", undo=True,
        )  # fmt: skip

    def _say_what_follows(self) -> None:
        with self.editing.desk.read() as conn:
            standing = accepted_quote(conn, self.editing.quote.id)
        why, first = standing.hindrance()
        if why:
            self.follows.set_words("caution", f"{why} {first}")
        else:
            self.follows.set_words("caution", " ".join(standing.words()), ("Take it back", self._take_back))

    def _take_back(self) -> None:
        quote_id, name = self.editing.quote.id, self._name()
        problem = self.editing.save(
            f"Take back the acceptance of {name.lower()}", lambda edit: take_back_acceptance(edit, quote_id),
            say=f"{name} counts as sent again", undo=True,
        )  # fmt: skip
        self.follows.set_words("caution", problem or "")

    def _decline(self) -> None:
        if not (self.day.commit() and self.reason.commit()):
            return
        quote_id, day, reason = self.editing.quote.id, self.day.value(), self.reason.value()
        problem = self.editing.save(
            f"Decline {self._name().lower()}", lambda edit: decline_quote(edit, quote_id, day, reason),
            say=f"{self._name()} was declined", undo=True,
        )  # fmt: skip
        if problem:
            self.reason.set_problem(problem)
            self.reason.setFocus()
        else:
            self.reason.reset("")

    def _revise(self) -> None:
        if self._sent.is_young():
            return  # it stands where the quote was just sent
        quote_id, day = self.editing.quote.id, self.editing.desk.today()
        self._make("Revise the proposal", lambda edit: revise_quote(edit, quote_id, day))

    def _delete(self) -> None:
        quote_id, name = self.editing.quote.id, self._name()
        self.editing.save(
            f"Remove {name.lower()}", lambda edit: delete_draft(edit, quote_id), say=f"{name} was removed", undo=True
        )

    def _make(self, words: str, work: Callable[[Edit], int]) -> None:
        made: list[int] = []
        if not self.editing.save(words, lambda edit: made.append(work(edit))):
            self.made.emit(made[0])
