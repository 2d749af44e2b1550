"""Exposure of those who worked below the house: hours offered from the log, the level, the sum beside its limit."""

from __future__ import annotations

from functools import partial
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.commands.exposure import log_exposure, remove_exposure
from db.queries.closeout import CloseoutPage, OfferedHours
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from desktop.pages.drafts import Draft
from desktop.widgets.cards import Card, button, label, tool_button
from desktop.widgets.error_line import ErrorLine
from desktop.widgets.form import ChoiceField, DateField, DurationField, Form, PercentField, RadonField, TextField
from desktop.widgets.full_table import FullTable
from desktop.widgets.table import Column, RowsModel
from domain.closeout.exposure import format_wlm, formula_words, working_level_months
from domain.closeout.records import Exposure
from domain.dates import format_day_short
from domain.units import format_minutes, format_percent, format_radon
from domain.unlikely import done_on

NONE_YET = "Hours in a crawl space or basement, and the radon level there, are noted here for each who worked in it."


class ExposureCard(Card):
    """What was breathed on this job, and each person's twelve months."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("Exposure log", "hours below the house x radon level")
        self.desk, self._saver, self._job_id = desk, Autosave(desk), 0
        self._page: CloseoutPage | None = None
        self.sums = label("", "body", "", wrap=True)
        self.table = FullTable(self._model(), "Exposure on this job")
        self.none_yet = label(NONE_YET, "body", "soft", wrap=True)
        self.offers = QWidget()
        self._offered = QVBoxLayout(self.offers)
        self._offered.setContentsMargins(0, 0, 0, 0)
        self._offered.setSpacing(4)
        self.form = Form(columns=2)
        self.fields: dict[str, Any] = {
            "person_id": self.form.add("Who", ChoiceField(required=True)),
            "day": self.form.add("Day", DateField(desk.today, required=True, doubt=done_on(desk.today))),
            "minutes": self.form.add("Hours there", DurationField(required=True)),
            "level": self.form.add("Radon level", RadonField(required=True)),
            "level_from": self.form.add("Level from", TextField("measured at work, or the test before")),
            "equilibrium_percent": self.form.add("Equilibrium", PercentField(required=True)),
        }
        self.draft = Draft(desk, "exposure", self.fields, lambda: self._job_id)
        self.problem = ErrorLine()
        self.new = button("Note exposure", self.add_entry, "plain", "plus")
        self.remove = tool_button("trash", "Remove this exposure", self._remove)
        self.formula = label("", "small", "soft", wrap=True)
        line = QHBoxLayout()
        line.addWidget(self.new, 0, Qt.AlignmentFlag.AlignLeft)
        line.addStretch(1)
        line.addWidget(self.remove)
        for part in (self.sums, self.none_yet, self.table, self.offers, self.form, line, self.problem, self.formula):
            self.add(part)

    def _model(self) -> RowsModel:
        return RowsModel(
            [
                Column("day", "Day", width=110),
                Column("who", "Who", width=110, stretch=1),
                Column("minutes", "Hours", "right", width=80),
                Column("level", "Level", "right", width=100),
                Column("level_from", "From", width=100, stretch=1),
                Column("equilibrium_percent", "Equilibrium", "right", width=90),
                Column("wlm", "Exposure", "right", width=110),
            ],
            text={
                "day": lambda one: format_day_short(one.day),
                "who": self._who,
                "minutes": lambda one: format_minutes(one.minutes),
                "level": lambda one: format_radon(one.level, self._unit),
                "equilibrium_percent": lambda one: format_percent(one.equilibrium_percent),
                "wlm": self._wlm,
            },
            sort_key={"day": lambda one: one.day},
            row_id=lambda one: one.id,
        )

    @property
    def _unit(self) -> str:
        return self._page.facts.firm.radon_unit if self._page else "pCi/L"

    def _who(self, one: Exposure) -> str:
        people = self._page.people if self._page else []
        return next((person.name for person in people if person.id == one.person_id), "left the firm")

    def _wlm(self, one: Exposure) -> str:
        assert self._page is not None
        return format_wlm(
            working_level_months(one.minutes, one.level, one.equilibrium_percent, self._page.exposure_rules)
        )

    def show_page(self, page: CloseoutPage) -> None:
        """Show the exposure of a job."""
        fresh, self._page, self._job_id = page.facts.job.id != self._job_id, page, page.facts.job.id
        self.fields["person_id"].set_choices([(one.id, one.name) for one in page.people])
        self.fields["level"].set_unit(page.facts.firm.radon_unit)
        if fresh:
            self._clear()
            self.draft.turn()
        self.table.rows_model().set_rows(page.entries)
        self.table.setVisible(bool(page.entries))
        self.remove.setVisible(bool(page.entries))
        self.none_yet.setVisible(not page.entries)
        self.sums.setText("\n".join(f"{one.name}: {one.words}" for one in page.sums))
        self.sums.setVisible(bool(page.sums))
        self.formula.setText(f"{formula_words(page.exposure_rules)} Limit: {page.exposure_rules.limit.note}")
        self._show_offers(page)

    def add_entry(self) -> None:
        """Note what stands in the entry."""
        missing = [one for one in self.fields.values() if one.value() in (None,) and not one.problem()]
        if not self.form.commit_all() or missing:
            for one in missing:
                self.form.set_error(one, "This is needed.")
            return
        given = {name: field.value() for name, field in self.fields.items()}
        reason = self._saver.refusal("Note exposure", lambda edit: log_exposure(
            edit, job_id=self._job_id, today=self.desk.today(), **given
        ))  # fmt: skip
        self.problem.say(reason)
        if not reason:
            self._clear()

    def take_offer(self, offer: OfferedHours) -> None:
        """Put offered hours into the entry, with the level that is known: the owner looks and notes them."""
        page = self._page
        if page is None:
            return
        self.fields["person_id"].reset(offer.person_id)
        self.fields["day"].reset(offer.day)
        self.fields["minutes"].reset(offer.minutes)
        if page.offered_level is not None:
            self.fields["level"].reset(page.offered_level)
            self.fields["level_from"].reset("the test before the work")
        self.form.clear_errors()
        (self.new if page.offered_level is not None else self.fields["level"]).setFocus()

    def _show_offers(self, page: CloseoutPage) -> None:
        while self._offered.count():
            gone = self._offered.takeAt(0).widget()
            gone.hide()
            gone.deleteLater()
        for offer in page.offered[:6]:
            words = f"{offer.person}, {format_day_short(offer.day)}: {format_minutes(offer.minutes)} ({offer.tasks})"
            one = button(f"Use {words}", partial(self.take_offer, offer), "quiet", "plus")
            self._offered.addWidget(one, 0, Qt.AlignmentFlag.AlignLeft)
        self.offers.setVisible(bool(page.offered))

    def _remove(self) -> None:
        chosen = self.table.selected_rows()
        if chosen:
            self.desk.do("Remove exposure", lambda edit: [remove_exposure(edit, one.id) for one in chosen],
                         say="Removed", undo=True)  # fmt: skip

    def _clear(self) -> None:
        for name, field in self.fields.items():
            if name not in ("person_id", "equilibrium_percent"):
                field.reset()
        page = self._page
        if page is not None:
            self.fields["equilibrium_percent"].reset(page.exposure_rules.equilibrium.value)
            if page.people:
                self.fields["person_id"].reset(page.people[0].id)
        self.form.clear_errors()
        self.problem.say("")
