"""The whole of what finished jobs say: line by line, the jobs behind it, what is often forgotten, prices, what if."""

from __future__ import annotations

from decimal import Decimal

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.queries.track_record import PastJob, past_jobs
from desktop.desk import JOBS
from desktop.pages.job_sections.quote.record.line_seen import lines_seen
from desktop.pages.job_sections.quote.record.outlook import QuoteOutlook
from desktop.pages.job_sections.quote.record.price_card import PriceCard
from desktop.pages.job_sections.quote.record.strip import Choices
from desktop.pages.job_sections.quote.record.words import choice_words, kept_words
from desktop.widgets.cards import Card, button, label, scroll_page, set_tone
from desktop.widgets.form import PercentField
from desktop.widgets.full_table import FullTable
from desktop.widgets.half import only_asks
from desktop.widgets.quoted_actual_bar import QuotedActualBar, common_scale
from desktop.widgets.table import Column, RowsModel
from domain.costing.over import clearly_over
from domain.dates import format_day_short
from domain.job_price import (
    Outlook,
    WhatIf,
    chance_words,
    expected_sentence,
    left_words,
    starter_range_sentence,
    what_ifs,
)
from domain.money import format_money
from domain.track_record import ForgottenTask, Why
from domain.units import format_minutes

JOBS_SHOWN = 12


class RecordTab(QWidget):
    """The view "Track record" of the quote."""

    def __init__(self, seen: QuoteOutlook) -> None:
        super().__init__()
        self.seen = seen
        self.editing = seen.editing
        self.outlook: Outlook | None = None
        self._cards: list[Card] = []
        inside = QWidget()
        self._column = QVBoxLayout(inside)
        self._column.setContentsMargins(0, 0, 8, 16)
        self._column.setSpacing(10)
        self._head()
        self._cases_of_type()
        self.price = PriceCard(seen)
        self._cards.append(self.price)
        self._column.addWidget(self.price)
        self._forgotten()
        self._lines()
        self._why()
        self._what_if()
        self._column.addStretch(1)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(scroll_page(inside))
        seen.changed.connect(self._if_shown)

    def _say_chosen(self) -> None:
        """The part that is taken; while the field cannot be used, why."""
        self.chosen.setText(self.part.problem() or choice_words(self.seen.kept))
        set_tone(self.chosen, "error" if self.part.problem() else "soft")

    # Building.

    def _card(self, title: str, note: str = "") -> Card:
        card = Card(title, note)
        self._cards.append(card)
        self._column.addWidget(card)
        return card

    def _head(self) -> None:
        self.head = Card("What finished jobs expect")
        self._column.addWidget(self.head)
        self.sentence, self.note = label("", "body", wrap=True), label("", "small", "soft", wrap=True)
        self.bar = QuotedActualBar(lambda minutes: format_minutes(int(minutes)))
        self.choices = Choices(self.seen)
        self.part = PercentField(least=Decimal(0), most=Decimal(100))
        only_asks(self.part)
        self.part.setAccessibleName("Part of the correction to take")
        self.part.setPlaceholderText("other part")
        self.part.setFixedWidth(110)
        self.part.edited.connect(self._take_part)
        self.part.problem_changed.connect(lambda _: self._say_chosen())
        self.part.misread.connect(lambda reason: self.chosen.setText(reason))
        self._choosing = QWidget()
        row = QHBoxLayout(self._choosing)
        row.setContentsMargins(0, 0, 0, 0)
        for part in (self.choices, self.part):
            row.addWidget(part)
        self.chosen = label("", "small", "soft")
        row.addWidget(self.chosen)
        row.addStretch(1)
        for part in (self.sentence, self.bar, self.note, self._choosing):
            self.head.add(part)

    def _cases_of_type(self) -> None:
        self._cases_card = Card("The finished jobs of this type", "cases to look at; Enter opens one")
        self._column.addWidget(self._cases_card)
        self.cases = FullTable(
            RowsModel(
                [
                    Column("number", "Job", stretch=1), Column("quoted", "Quoted", "right", width=120),
                    Column("actual", "Took", "right", width=120),
                ],
                text={
                    "quoted": lambda row: format_minutes(row.quoted), "actual": lambda row: format_minutes(row.actual),
                },
                tone={"actual": lambda row: "over" if clearly_over(row.actual, row.quoted) else ""},
                row_id=lambda row: row.job_id,
            ),
            "Finished jobs of this type",
        )  # fmt: skip
        self.cases.row_activated.connect(lambda row: self.editing.desk.go(JOBS, row.job_id, "outcome"))
        self._cases_card.add(self.cases)

    def _forgotten(self) -> None:
        self._forgotten_card = self._card("Often forgotten", "Enter adds the line")
        self.add_all = button("Add all", self._add_all, "plain", "plus", "Add every line of this list")
        self._forgotten_card.add_action(self.add_all)
        self.forgotten_words = label("", "small", "soft", wrap=True)
        self.forgotten = FullTable(
            RowsModel(
                [
                    Column("task", "Work that was not quoted", stretch=1),
                    Column("jobs", "Jobs", "right", width=110),
                    Column("minutes", "Usual time", "right", width=110),
                ],
                text={
                    "jobs": lambda row: str(len(row.jobs)), "minutes": lambda row: format_minutes(row.median_minutes),
                },
                row_id=lambda row: row.task,
            ),
            "Work that such quotes forget",
        )  # fmt: skip
        self.forgotten.row_activated.connect(lambda row: self.seen.add_forgotten([row.task]))
        self._forgotten_card.add(self.forgotten_words)
        self._forgotten_card.add(self.forgotten)

    def _lines(self) -> None:
        card = self._card("Line by line", "unquoted work is in the total, not in the lines")
        self._scale = 1.0
        self.lines = FullTable(
            RowsModel(
                [
                    Column("task", "Task", stretch=1),
                    Column("own", "You think", "right", width=96),
                    Column("expected", "Finished jobs", "right", width=120),
                    Column("bar", "", kind="bar", width=190, tooltip="Your time, what is expected, and where 8 of 10 "
                           "such lines end"),
                    Column("quoted", "Quoted now", "right", width=110),
                ],
                text={
                    "own": lambda row: format_minutes(row.own), "expected": lambda row: format_minutes(row.expected),
                    "quoted": lambda row: format_minutes(row.quoted),
                },
                tone={"expected": lambda row: "over" if clearly_over(row.expected, row.own) else ""},
                bar={"bar": lambda row: (row.own, row.expected, self._scale, row.low, row.high)},
                tip={"bar": lambda row: row.words},
                row_id=lambda row: row.id,
            ),
            "Line by line",
        )  # fmt: skip
        card.add(self.lines)

    def _why(self) -> None:
        card = self._card("Why", "the jobs behind a sentence stand beneath it; Enter opens one")
        self.why = FullTable(
            RowsModel(
                [Column("text", "What finished jobs say", stretch=1), Column("jobs", "Jobs", "right", width=70)],
                text={"jobs": lambda row: str(len(row.jobs)) if row.jobs else ""},
                row_id=lambda row: row.text,
            ),
            "Why",
        )
        self.why.current_changed.connect(self._show_behind)
        self.behind = FullTable(
            RowsModel(
                [
                    Column("number", "Job", width=90), Column("customer", "Customer", stretch=1),
                    Column("title", "What", stretch=2), Column("closed_on", "Closed", width=130),
                ],
                text={"closed_on": lambda row: format_day_short(row.closed_on)},
                row_id=lambda row: row.job_id,
            ),
            "Jobs behind it",
        )  # fmt: skip
        self.behind.row_activated.connect(lambda row: self.editing.desk.go(JOBS, row.job_id, "outcome"))
        card.add(self.why)
        card.add(self.behind)

    def _what_if(self) -> None:
        card = self._card("What if", "in the middle case of jobs like it")
        self.what_if = FullTable(
            RowsModel(
                [
                    Column("name", "", stretch=1),
                    Column("minutes", "Hours", "right", width=72),
                    Column("own_minutes", "Your own", "right", width=78),
                    Column("price", "Price", "right", width=88),
                    Column("cost", "Cost", "right", width=88),
                    Column("left", "Left", "right", width=84),
                    Column("loss", "Loses money", "right", width=106),
                    Column("hour", "Per own hour", "right", width=106),
                ],
                text={
                    "minutes": lambda row: format_minutes(row.minutes),
                    "own_minutes": lambda row: format_minutes(row.own_minutes),
                    "price": lambda row: format_money(row.price_cents),
                    "cost": lambda row: format_money(row.cost_cents),
                    "left": lambda row: format_money(row.left_cents), "loss": lambda row: chance_words(row.loss_chance),
                    "hour": lambda row: format_money(row.own_hour_cents) if row.own_hour_cents is not None else "",
                },
                tone={
                    "left": lambda row: "over" if row.left_cents < 0 else "",
                    "loss": lambda row: "over" if row.loss_chance >= 0.5 else "",
                },
                tip={"name": lambda row: row.note},
                row_id=lambda row: row.name,
            ),
            "What if",
        )  # fmt: skip
        self.what_if_note = label("", "small", "soft", wrap=True)
        self.what_if.current_changed.connect(self._show_note)
        card.add(self.what_if)
        card.add(self.what_if_note)

    # Showing.

    def _if_shown(self) -> None:
        if self.isVisible():
            self.show_record()

    def show_record(self) -> None:
        """Everything, as the quote stands."""
        outlook = self.outlook = self.seen.outlook
        there = outlook is not None and bool(outlook.hours.quoted_minutes)
        odds = outlook is not None and there and outlook.tells_odds
        for card in self._cards:
            card.setVisible(odds)
        self._cases_card.setVisible(there and not odds and bool(self.seen.cases.jobs))
        for part in (self.bar, self._choosing):
            part.setVisible(odds)
        if outlook is None or not there:
            self.sentence.setText(self._nothing())
            self.note.setText("")
            return
        if not odds:
            self._show_cases(outlook)
            return
        self._show_head(outlook)
        self.price.show_outlook(outlook)
        self._show_forgotten()
        self._show_lines(outlook)
        self.why.rows_model().set_rows(list(outlook.hours.why))
        self._show_behind(self.why.current_row())
        self._show_what_if(outlook)

    def _nothing(self) -> str:
        if not self.seen.speaks:
            if self.editing.quote.kind != "proposal":
                return "A change order is priced by itself: what finished jobs say is about whole proposals."
            return kept_words(self.seen.kept)
        if self.seen.shelf.busy and self.seen.learned is None:
            return "Reading the finished jobs…"
        return "Add work first: then finished jobs can speak."

    def _show_head(self, outlook: Outlook) -> None:
        hours = outlook.hours
        low, high = hours.band(0.8)
        quoted = outlook.totals.costs.minutes
        self.sentence.setText(expected_sentence(outlook))
        self.bar.set_values(quoted, hours.median_minutes, max(high, quoted) * 1.05, low, high)
        self.note.setText(" ".join(part for part in (left_words(outlook), hours.note) if part))
        self.note.setVisible(bool(self.note.text()))
        self.choices.show_choice()
        self._say_chosen()

    def _show_cases(self, outlook: Outlook) -> None:
        """No odds: that first, in the place of the odds, then the jobs there are."""
        self.sentence.setText(expected_sentence(outlook, self.seen.cases.jobs))
        self.note.setText(starter_range_sentence(outlook))
        self.note.setVisible(bool(self.note.text()))
        self.cases.rows_model().set_rows(list(self.seen.cases.jobs))

    def _show_forgotten(self) -> None:
        found = self.seen.forgotten()
        quoted = {self._name(line.task_id) for line in self.editing.document.labour}
        rows: list[ForgottenTask] = [task for task in found.tasks if task.task not in quoted] if found else []
        self._forgotten_card.setVisible(bool(rows))
        if found is None:
            return
        covered = len(found.tasks) - len(rows)
        kinds = "kind" if covered == 1 else "kinds"
        here = f" {covered} {kinds} of it this quote has already: not listed here." if covered else ""
        self.forgotten_words.setText(
            f"{len(found.jobs)} of {found.seen} finished jobs of this type had work nobody had quoted, "
            f"{format_minutes(found.median_minutes)} of it in the middle case. What finished jobs expect of the whole "
            f"holds it already; as a line it is priced, too.{here}"
        )
        self.forgotten.rows_model().set_rows(rows)
        self.add_all.setVisible(len(rows) > 1)

    def _name(self, task_id: int) -> str:
        page = self.editing.page
        pick = page.picks.task(task_id) if page else None
        return pick.task.name if pick else ""

    def _show_lines(self, outlook: Outlook) -> None:
        rows = lines_seen(outlook)
        self._scale = common_scale([(row.own, row.high) for row in rows])
        self.lines.rows_model().set_rows(rows)

    def _show_behind(self, row: Why | None) -> None:
        jobs: list[PastJob] = []
        if row is not None and row.jobs:
            with self.editing.desk.read() as conn:
                found = past_jobs(conn, row.jobs[:JOBS_SHOWN])
            jobs = [found[key] for key in row.jobs[:JOBS_SHOWN] if key in found]  # type: ignore[index]
        self.behind.rows_model().set_rows(jobs)
        self.behind.setVisible(bool(jobs))

    def _show_what_if(self, outlook: Outlook) -> None:
        page = self.editing.page
        travel = 0
        for line in outlook.lines:
            pick = page.picks.task(line.task_id) if page else None
            if pick is not None and pick.task.role == "travel":
                travel += line.minutes
        costs, overhead = outlook.totals.costs, self.editing.quote.overhead_rate_cents
        self.what_if.rows_model().set_rows(what_ifs(outlook, costs, overhead, travel_minutes=travel))
        self._show_note(self.what_if.current_row())

    def _show_note(self, row: WhatIf | None) -> None:
        self.what_if_note.setText(f"{row.name}: {row.note}." if row else "")
        self.what_if_note.setVisible(row is not None)

    # Doing.

    def _take_part(self, share: Decimal | None) -> None:
        if share is not None:
            self.part.reset(None)
            self.seen.take(share)

    def _add_all(self) -> None:
        rows = self.forgotten.rows_model().rows
        if rows:
            self.seen.add_forgotten([row.task for row in rows])


