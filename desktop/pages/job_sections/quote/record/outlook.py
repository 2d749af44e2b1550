"""The outlook of the quote as it is typed, and what the owner does with it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from PySide6.QtCore import QObject, QTimer, Signal

from db.commands.learning import Expected, add_forgotten, note_expectation, take_correction
from db.edit import Edit
from db.queries.cases import Cases, cases_of
from db.queries.track_record import JobSetting, expectation_of, job_setting
from desktop.pages.job_sections.quote.editing import QuoteEditing
from desktop.record_shelf import Learned, shelf_of
from domain.errors import NotUnderstood
from domain.job_price import Outlook, own_lines, priced_outlook, reason_words
from domain.learning import QuoteExpectation
from domain.track_record import CostForecast, Forecast, Unquoted
from domain.units import format_percent

PAUSE_MS = 90
"""Reckoned anew when the typing pauses so long: a key never waits for it."""


class QuoteOutlook(QObject):
    """Shared by the parts that show it.

    Signals:
        changed: there is another outlook, or none.
    """

    changed = Signal()

    def __init__(self, editing: QuoteEditing) -> None:
        super().__init__()
        self.editing = editing
        self.shelf = shelf_of(editing.desk)
        self.setting: JobSetting | None = None
        self.kept: QuoteExpectation | None = None
        self.outlook: Outlook | None = None
        self.cases = Cases()
        self._cases_of: object = None
        self._forecast: tuple[object, Forecast] | None = None
        self._cost: tuple[object, CostForecast] | None = None
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(PAUSE_MS)
        self._pause.timeout.connect(self.reckon)
        editing.previewed.connect(self._pause.start)
        editing.sending = self.note
        editing.before_sending = self.wait
        self.shelf.changed.connect(self._relearned)

    @property
    def learned(self) -> Learned | None:
        """The record, None while it is learned for the first time."""
        return self.shelf.learned

    def show(self) -> None:
        """Another quote, or the same one saved: read what it is forecast by."""
        page = self.editing.page
        if page is None or page.document is None:
            return
        quote = page.document.quote
        self.shelf.look()
        with self.editing.desk.read() as conn:
            self.setting = job_setting(conn, quote.job_id)
            self.kept = expectation_of(conn, quote.id)
        self._read_cases()
        self.reckon()

    def _read_cases(self) -> None:
        """The last such jobs; read once for a record and a job type."""
        learned, setting = self.learned, self.setting
        if learned is None or setting is None or not self.speaks:
            self.cases, self._cases_of = Cases(), None
            return
        key = (id(learned), setting.job_type)
        if key != self._cases_of:
            with self.editing.desk.read() as conn:
                self.cases, self._cases_of = cases_of(conn, learned.hours, setting.job_type), key

    def reckon(self) -> None:
        """Work it out from what is typed now."""
        self._pause.stop()
        try:
            self.outlook = self._reckoned()
        except NotUnderstood:
            return  # the price says what was not understood; the last outlook stands
        self.changed.emit()

    def _relearned(self) -> None:
        self._forecast = None
        if self.editing.page is not None and self.editing.page.document is not None and self.setting is not None:
            self._read_cases()
            self.reckon()

    @property
    def speaks(self) -> bool:
        """A draft of a proposal: on anything else there is nothing to decide any more."""
        return not self.editing.frozen and self.editing.quote.kind == "proposal"

    def _reckoned(self) -> Outlook | None:
        learned, setting = self.learned, self.setting
        if learned is None or setting is None or not self.speaks:
            return None
        document, totals = self.editing.typed_document(), self.editing.price().with_options(self.editing.ticked)
        lines, tasks = own_lines(
            document, self.editing.ticked, self.task_names(), setting.job_type, setting.conditions
        )
        key = (id(learned), tuple((task.task, task.quoted_minutes) for task in tasks), setting)
        if self._forecast is None or self._forecast[0] != key:
            self._forecast = (key, learned.hours.forecast(tasks))
        costed = (key, totals.costs, document.quote.overhead_rate_cents)
        cost = self._cost[1] if self._cost is not None and self._cost[0] == costed else None
        made = priced_outlook(
            document, totals, self._forecast[1], lines, learned.materials, setting.target_percent, cost
        )
        self._cost = (costed, made.cost)
        return made

    def task_names(self) -> dict[int, str]:
        """The name of every task that can be quoted, by id."""
        page = self.editing.page
        return {pick.task.id: pick.task.name for pick in page.picks.tasks} if page else {}

    # What the owner does.

    def take(self, share: Decimal) -> str:
        """Take so much of the correction; why it was refused, "" when it was saved."""
        outlook = self.outlook
        if outlook is None:
            return ""
        quote_id, day, kept = self.editing.quote.id, self.editing.desk.today(), self._expected()
        why = reason_words(outlook)
        words = {Decimal(0): "Take none of the correction", Decimal(100): "Take the correction"}
        return self.editing.save(
            words.get(share, f"Take {format_percent(share)} of the correction"),
            lambda edit: take_correction(edit, quote_id, day, outlook.expected_of(), share, kept, why),
            undo=True, say="Your own hours stand" if not share else "The hours follow finished jobs now",
        )  # fmt: skip

    def add_forgotten(self, names: list[str]) -> str:
        """Add lines for work that such quotes tend to forget."""
        found = self.forgotten()
        ids = {name: task_id for task_id, name in self.task_names().items()}
        if found is None:
            return ""
        wanted = [task for task in found.tasks if task.task in names and task.task in ids]
        quote_id = self.editing.quote.id
        return self.editing.save(
            "Add what was often forgotten" if len(wanted) > 1 else f"Add {names[0].lower()}",
            lambda edit: [
                add_forgotten(
                    edit, quote_id, ids[task.task], task.median_minutes,
                    f"not quoted, but needed on {len(task.jobs)} of {found.seen} such jobs",
                )
                for task in wanted
            ],
            say="Added" if len(wanted) == 1 else f"Added {len(wanted)} lines", undo=True,
        )  # fmt: skip

    def forgotten(self) -> Unquoted | None:
        """What quotes of this type tend to forget; None without a record."""
        if self.learned is None or self.setting is None:
            return None
        return self.learned.hours.unquoted(self.setting.job_type)

    def wait(self) -> None:
        """A quote is not sent before finished jobs were asked: later it is judged by what they said."""
        if self.speaks:
            self.shelf.wait()

    def note(self, edit: Edit, quote_id: int, day: date) -> None:
        """Keep what was said with a quote that is sent; where there were no odds, nothing was."""
        self.reckon()
        if self.outlook is not None and self.outlook.hours.quoted_minutes and self.outlook.tells_odds:
            note_expectation(edit, quote_id, day, self._expected())

    def _expected(self) -> Expected:
        outlook = self.outlook
        assert outlook is not None
        low, high = outlook.hours.band(0.8)
        return Expected(
            own_minutes=outlook.own_minutes, quoted_minutes=outlook.totals.costs.minutes,
            expected_minutes=outlook.hours.median_minutes, low_minutes=low, high_minutes=high,
            expected_cost_cents=outlook.cost.median_cents, net_price_cents=outlook.totals.net_price_cents,
            loss_percent=Decimal(round(outlook.loss_chance * 1000)) / 10, jobs_behind=outlook.hours.type_jobs,
            sure=outlook.tells_odds,
        )  # fmt: skip
