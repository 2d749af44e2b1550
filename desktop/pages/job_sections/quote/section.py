"""Quote: the evening's work on one job, from the first line to the paper in the customer's hand."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from db.commands.quotes import (
    add_usual_lines,
    refresh_rates_and_prices,
    start_change_order,
    start_quote,
)
from db.queries.firm import day_rates, firm
from db.queries.quote_page import QuotePage, quote_page
from db.queries.since_taken import since_taken, twice_on
from desktop.desk import JOBS, Desk
from desktop.pages.job_sections.quote.editing import QuoteEditing
from desktop.pages.job_sections.quote.lines_tab import LinesTab
from desktop.pages.job_sections.quote.lines_table import soon
from desktop.pages.job_sections.quote.preview import PreviewTab
from desktop.pages.job_sections.quote.price_panel import PricePanel
from desktop.pages.job_sections.quote.record import (
    OPEN_KEY,
    PACE_KEY,
    CarryLines,
    LastTimeRow,
    QuoteOutlook,
    RecordStrip,
    RecordTab,
    lines_seen,
)
from desktop.pages.job_sections.quote.texts import TextsTab
from desktop.pages.job_sections.quote.versions import Actions, VersionStrip
from desktop.pages.page import Section
from desktop.widgets.cards import EmptyPage, Notice, button, segments
from domain.dates import format_day_short
from domain.job_price import warning_sentence
from domain.quoting.state import quote_name
from domain.quoting.tax import LUMP_SUM

LINES, RECORD, TEXTS, PREVIEW = "lines", "record", "texts", "preview"


HELD_AFTER_MS = 600
"""So long after the last change a draft is held to its takeoff."""


class QuoteSection(Section):
    """The quote of a job. `show_quote(id)` turns to one version.

    Keys: Ctrl+U usual lines, Ctrl+L lines, Ctrl+R track record, Ctrl+T texts, Ctrl+P preview, Ctrl+J the last such
    job of the line, Ctrl+Shift+J its pace.
    """

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.editing = QuoteEditing(desk)
        self._wanted: int | None = None
        self._shown: int | None = None
        self._since = ""  # what the takeoff counts otherwise, as last seen
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(HELD_AFTER_MS)
        self._later.timeout.connect(self._hold_to_takeoff)
        self._known: set[int] = set()  # versions seen so far: one begun elsewhere is turned to
        self.versions = VersionStrip(self.editing)
        self.versions.chosen.connect(self.show_quote)
        self.actions = Actions(self.editing, self.begin_change_order)
        self.actions.made.connect(self.show_quote)
        self.actions.sent.connect(lambda: self.show_view(PREVIEW))
        self.notice, self.warning, self.carries = Notice("info"), Notice("caution"), Notice("caution")
        self.seen = QuoteOutlook(self.editing)
        self.seen.changed.connect(self._show_outlook)
        self.views = segments(
            [(LINES, "Lines"), (RECORD, "Track record"), (TEXTS, "Texts"), (PREVIEW, "Preview")],
            self.show_view,
            "View of the quote",
        )
        self.usual = button(
            "Usual lines", self.add_usual, "quiet", "plus", "Add what a job of this type usually needs (Ctrl+U)"
        )
        self.lines = LinesTab(self.editing)
        self.lines.parts.chosen.connect(self._show_part)
        self.last_time = LastTimeRow(self.seen, self.lines.work)
        self.lines.work.add(self.last_time)
        self.texts = TextsTab(self.editing)
        self.preview = PreviewTab(self.editing)
        self.record, self.strip = RecordTab(self.seen), RecordStrip(self.seen, lambda: self.show_view(RECORD))
        self.panel = PricePanel(self.editing, CarryLines(self.seen))
        self.stack = QStackedWidget()
        self._arrange()
        for keys, work in (
            ("Ctrl+U", self.add_usual), ("Ctrl+L", lambda: self.show_view(LINES)),
            ("Ctrl+R", lambda: self.show_view(RECORD)),
            ("Ctrl+T", lambda: self.show_view(TEXTS)), ("Ctrl+P", lambda: self.show_view(PREVIEW)),
            (OPEN_KEY, self.last_time.open_job), (PACE_KEY, self.last_time.take),
        ):  # fmt: skip
            shortcut = QShortcut(QKeySequence(keys), self)
            shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            shortcut.activated.connect(work)

    def _arrange(self) -> None:
        for view in (self.lines, self.record, self.texts, self.preview):
            self.stack.addWidget(view)
        top = QHBoxLayout()
        top.addWidget(self.versions, 1)
        top.addWidget(self.actions, 2, Qt.AlignmentFlag.AlignTop)
        tools = QHBoxLayout()
        tools.addWidget(self.views)
        tools.addStretch(1)
        tools.addWidget(self.lines.parts.add)
        tools.addWidget(self.usual)
        left = QVBoxLayout()
        left.setSpacing(8)
        left.addLayout(tools)
        left.addWidget(self.notice)
        left.addWidget(self.strip)
        left.addWidget(self.stack, 1)
        for said in (self.warning, self.carries):  # they come and go with what is typed above: nothing moves
            left.addWidget(said)
        body = QHBoxLayout()
        body.setSpacing(12)
        body.addLayout(left, 1)
        body.addWidget(self.panel)
        self._page = QWidget()
        column = QVBoxLayout(self._page)
        column.setContentsMargins(28, 6, 16, 0)
        column.setSpacing(8)
        column.addLayout(top)
        column.addWidget(self.actions.answer)
        column.addWidget(self.actions.follows)
        column.addLayout(body, 1)
        self._empty = self._empty_page()
        self._pages = QStackedWidget()
        self._pages.addWidget(self._empty)
        self._pages.addWidget(self._page)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(self._pages)

    def _empty_page(self) -> QWidget:
        self.start = EmptyPage(
            "No quote yet",
            "A quote is work, materials and other costs, priced by margin or markup, with the words of the proposal. "
            "It can begin with what a job of this type usually needs.",
            "Begin with the usual lines", self.begin, icon_name="paper",
        )  # fmt: skip
        self.start_bare = button("Begin empty", lambda: self.begin(usual=False), "link")
        column = self.start.layout()
        if isinstance(column, QVBoxLayout) and self.start.action is not None:
            under = column.indexOf(self.start.action) + 1
            column.insertWidget(under, self.start_bare, 0, Qt.AlignmentFlag.AlignHCenter)
        return self.start

    # Showing.

    def show_job(self, job_id: int) -> None:
        if job_id != self.job_id:
            self._wanted, self._known, self._since = None, set(), ""
            self.editing.option_id = None
            self.show_view(LINES)
        super().show_job(job_id)

    def refresh(self) -> None:
        if not self.job_id:
            return
        try:
            with self.desk.read() as conn:
                page = quote_page(conn, self.job_id, self._wanted, self.desk.today())
                begun = [one.id for one in page.quotes if not one.frozen and one.id not in self._known]
                if self._known and begun and self._wanted not in begun:
                    page = quote_page(conn, self.job_id, begun[-1], self.desk.today())
        except LookupError:
            return
        self._known = {one.id for one in page.quotes}
        self.editing.show(page)
        if page.document is None:
            self._shown = None
            self._pages.setCurrentWidget(self._empty)
            for part in (self.start.action, self.start_bare):
                if part is not None:
                    part.setEnabled(not page.cancelled)
            return
        fresh, self._shown = page.document.quote.id != self._shown, page.document.quote.id
        self._wanted = self._shown
        self._pages.setCurrentWidget(self._page)
        self.versions.show_versions()
        self.actions.show_actions()
        self._show_notices(page)
        self._show_usual()
        if fresh:
            self.panel.forget_typing()
            self.lines.go_to_top()
        self.lines.show_lines()
        self.texts.show_texts(fresh)
        self.panel.show_quote()
        self.seen.show()
        self._show_strip()
        self.preview.show_paper(self.stack.currentWidget() is self.preview)

    def show_quote(self, quote_id: int) -> None:
        """Turn to one version or change order."""
        self._wanted = quote_id
        self.refresh()

    def show_view(self, key: Any) -> None:
        """Lines, texts or the preview of the paper."""
        self.views.set_value(key)
        views = {LINES: self.lines, RECORD: self.record, TEXTS: self.texts, PREVIEW: self.preview}
        self.stack.setCurrentWidget(views[key])
        if self.editing.page is not None and self.editing.page.document is not None:
            self._show_usual()
            self._show_strip()
            self.preview.show_paper(key == PREVIEW)

    def _show_usual(self) -> None:
        here = self.stack.currentWidget() is self.lines
        self.usual.setVisible(here and not self.editing.frozen and self.editing.quote.kind == "proposal")
        self.lines.parts.add.setVisible(here and not self.editing.frozen)

    def _show_strip(self) -> None:
        """The strip stands above the lines; the whole record has a view of its own."""
        shown = self.stack.currentWidget()
        room = self.strip.sizePolicy()
        room.setRetainSizeWhenHidden(shown is self.lines and not self.editing.frozen)  # it comes while lines are typed
        self.strip.setSizePolicy(room)
        self.strip.wanted = shown is self.lines
        self.strip.show_outlook()
        if shown is self.record:
            self.record.show_record()

    def _show_outlook(self) -> None:
        """The bars of the lines, and, before it is sent: this price would probably lose money."""
        outlook = self.seen.outlook
        words = warning_sentence(outlook) if outlook is not None else ""
        self.lines.work.show_seen(lines_seen(outlook) if outlook is not None else [])
        self.carries.set_words("caution", words, ("See why", lambda: self.show_view(RECORD)) if words else None)

    def _show_part(self) -> None:
        self.lines.show_lines()

    def _show_notices(self, page: QuotePage) -> None:
        quote = self.editing.quote
        action = None
        if quote.frozen and quote.sent_on:
            kind, words = "info", f"{quote_name(quote)} was sent on {format_day_short(quote.sent_on)}."
            words += " It stays as the customer has it: hours, prices and texts no longer move."
            if quote.declined_on:
                words += f" Declined: {quote.declined_reason}"
            if quote.accepted_on and not page.scheduled and not page.cancelled:
                action = ("Set the first work day", lambda: self.desk.go(JOBS, self.job_id, "facts"))
        elif page.changes:
            kind, words = "caution", _changes_in_words(page)
            action = ("Price it as of today", self.refresh_prices)
        else:
            kind, words = "info", ""
        self.notice.set_words(kind, words, action)
        self._show_warning(page)

    def _show_warning(self, page: QuotePage) -> None:
        ordering = any(one.kind == "change_order" and not one.frozen for one in page.quotes)
        if page.accepted and page.unquoted and not ordering and self.editing.frozen:
            words = "Some work or material on this job was logged without being quoted."
            self.warning.set_words("caution", words, ("Write a change order", self.begin_change_order))
        else:
            self._show_doubts(page, self._since)
            self._later.start()

    def _hold_to_takeoff(self) -> None:
        """Once nobody types: the whole takeoff is counted for it, which no keystroke should wait for."""
        page = self.editing.page
        if page is None or page.document is None or not self.desk.company.is_open:
            return
        with self.desk.read() as conn:
            since = since_taken(conn, page.document, self.desk.today())
        if since != self._since:
            self._since = since
            self._show_warning(page)
            self._later.stop()

    def _show_doubts(self, page: QuotePage, since: str) -> None:
        frozen = self.editing.frozen
        names = {pick.task.id: pick.task.name for pick in page.picks.tasks}
        twice = "" if frozen else twice_on(self.editing.document, names)
        said = [part for part in ("" if frozen else since, twice, "" if frozen else self._missing()) if part]
        see = ("See the takeoff", lambda: self.desk.go(JOBS, self.job_id, "takeoff"))
        self.warning.set_words("caution", " ".join(said), see if (since or twice) and not frozen else None)

    def _missing(self) -> str:
        """What would make the price wrong without anyone seeing it."""
        document = self.editing.document
        unpriced = [line.description for line in document.materials if not line.unit_cost]
        words = []
        if document.quote.kind == "change_order" and document.quote.scope_text.strip():
            words.append(
                "The customer reads the text under “What we will do”. Where it was begun from notes of your log, put it"
                " into the customer's words before you send it."
            )
        if not document.quote.owner_rate_cents:
            words.append("No cost of an hour is recorded for this day, so labor counts as nothing. Add it in Firm.")
        if document.quote.tax_treatment == LUMP_SUM and not document.quote.tax_percent:
            words.append(
                "The tax on purchases is reckoned at 0%. Type the rate you pay at the counter, or choose no tax."
            )
        if unpriced:
            more = f" and {len(unpriced) - 2} more" if len(unpriced) > 2 else ""
            words.append(f"No price yet: {', '.join(unpriced[:2])}{more}.")
        return " ".join(words)

    # Doing.

    def begin(self, usual: bool = True) -> None:
        """Begin the proposal."""
        if self._begun("Begin a quote", start_quote, usual_lines=usual):
            soon(self.lines.work.focus_top)  # once the page has its place

    def begin_change_order(self) -> None:
        """Begin a change order from what was logged without being quoted."""
        self._begun("Begin a change order", start_change_order)

    def _begun(self, label: str, start: Callable[..., int], **more: Any) -> bool:
        today = self.desk.today()
        with self.desk.read() as conn:
            rates, this_firm = day_rates(conn, today), firm(conn)
        made: list[int] = []
        problem = self.editing.save(
            label, lambda edit: made.append(start(edit, self.job_id, today, rates, this_firm, **more))
        )
        if not problem:
            self.show_quote(made[0])
        return not problem

    def add_usual(self) -> None:
        """Add the usual lines of the job type that are not there yet."""
        if self.editing.page is None or self.editing.page.document is None:
            self.begin()
            return
        if self.editing.frozen:
            return
        quote_id, today = self.editing.quote.id, self.desk.today()
        came: list[int] = []
        problem = self.editing.save(
            "Add the usual lines", lambda edit: came.append(add_usual_lines(edit, quote_id, on=today))
        )
        if came and not came[0] and not problem:
            self.desk.say(f"All the usual lines of {self.editing.page.job_type} are there already, or counted.")

    def refresh_prices(self) -> None:
        """Price the draft as of today."""
        quote_id, today = self.editing.quote.id, self.desk.today()
        self.editing.save(
            "Price the draft as of today", lambda edit: refresh_rates_and_prices(edit, quote_id, today),
            say="Hours and prices are those of today; what you typed over is kept", undo=True,
        )  # fmt: skip


def _changes_in_words(page: QuotePage) -> str:
    first, others = page.changes[0], len(page.changes) - 1
    more = f", and {others} more" if others else ""
    return f"Changed since this draft was priced: {first.label} {first.before} → {first.after}{more}."
