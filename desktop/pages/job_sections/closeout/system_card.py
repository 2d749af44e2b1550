"""The system as it stands: fan, suction, indicator, standard, warranty and the next test; each field saves itself."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtWidgets import QWidget

from db.commands.closeout import note_closeout
from db.commands.jobs import mark_installed
from db.queries.closeout import CloseoutPage
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from desktop.pages.job_sections.survey_tests import time_field
from desktop.widgets.cards import Card, label
from desktop.widgets.form import ChoiceField, DateField, Form, NotesField, QuantityField, RadonField, TextField
from domain.closeout.handover import promise_words
from domain.closeout.service_range import reading_words
from domain.closeout.timing import earliest_start, latest_start, moment_words
from domain.dates import format_day_short
from domain.units import format_radon
from domain.unlikely import done_on

INDICATORS = ("U-tube gauge", "dial gauge", "electronic alarm", "audible alarm")


class SystemCard(Card):
    """Readings at the start, and what was promised."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("The system", "as it was handed over")
        self.desk, self._saver, self._job_id = desk, Autosave(desk), 0
        self.installed = DateField(desk.today, placeholder="day the fan was on", doubt=done_on(desk.today))
        self._saver.bind(self.installed, "Set the day the fan was on",
                         lambda edit, on: mark_installed(edit, self._job_id, on), self._record)  # fmt: skip
        form = self.form = Form(columns=2)
        form.add("Fan on", self.installed)
        self.fields: dict[str, Any] = {
            "fan_on_minute": form.add("At", time_field()),
            "fan": form.add("Fan", TextField("make and model, as on its plate")),
            "fan_watts": form.add("Fan's power", QuantityField("W")),
            "suction": form.add("Suction at start", QuantityField("in. w.c.")),
            "read_on": form.add("Read on", DateField(desk.today, doubt=done_on(desk.today))),
            "indicator": form.add("Indicator", ChoiceField([(one, one) for one in INDICATORS], allow_new=True)),
            "indicator_place": form.add("Where it hangs", TextField("by the furnace")),
            "standard": form.add("Standard", TextField("standard worked to, with its edition"), wide=True),
        }
        self.words = label("", "small", "soft", wrap=True)
        self.promised = Form(columns=2)
        self.fields |= {
            "warranty_until": self.promised.add("Warranty until", DateField(desk.today)),
            "level_promised": self.promised.add("Level promised", RadonField(), hint="empty: none is promised"),
            "retest_on": self.promised.add("Next test", DateField(desk.today, placeholder="two years after the test")),
        }
        self.texts = {
            "description": NotesField("suction points, pipe, where the fan is, where it leaves the house", lines=3),
            "warranty_text": NotesField("the accepted proposal's words, unless others are typed here", lines=2),
        }
        self._arrange()
        for name, field in {**self.fields, **self.texts}.items():
            self._saver.bind(field, f"Note {_TITLES[name]}", self._writer(name), self._record)

    def _record(self) -> object:
        return self._job_id and ("closeout", self._job_id)

    def _arrange(self) -> None:
        self.add(self._labelled("What was built", "description"))
        self.add(self.form)
        self.add(self.words)
        self.add(self.promised)
        self.add(self._labelled("Warranty in words", "warranty_text"))
        self.promise = label("", "small", "soft", wrap=True)
        self.cost = label("", "small", "soft", wrap=True)
        self.add(self.promise)
        self.add(self.cost)

    def _labelled(self, title: str, name: str) -> QWidget:
        field = self.texts[name]
        field.setAccessibleName(title)
        words = label(title, "body", "soft")
        words.setBuddy(field)
        self.add(words)
        return field

    def _writer(self, name: str) -> Callable[[Any, Any], object]:
        def write(edit: Any, value: Any) -> object:
            given = "" if value is None and name in ("indicator",) else value
            return note_closeout(edit, self._job_id, today=self.desk.today(), **{name: given})

        return write

    def show_page(self, page: CloseoutPage) -> None:
        """Show what was noted."""
        facts, kept = page.facts, page.facts.kept
        fresh, self._job_id = facts.job.id != self._job_id, facts.job.id
        if fresh:
            for field in (self.installed, *self.fields.values(), *self.texts.values()):
                field.reset()
        self.fields["level_promised"].set_unit(facts.firm.radon_unit)
        self._saver.show(self.installed, facts.job.installed_on)
        for name, field in {**self.fields, **self.texts}.items():
            self._saver.show(field, getattr(kept, name))
        self.words.setText(_start_words(page))
        unit = facts.firm.radon_unit
        level = format_radon(kept.level_promised, unit) if kept.level_promised is not None else ""
        due = f" Next test by {format_day_short(facts.retest_on)}." if facts.retest_on else ""
        self.promise.setText(promise_words(kept, level) + due)
        self.cost.setText(" ".join(facts.cost.words))
        if facts.standard and not kept.standard:
            self.fields["standard"].setPlaceholderText(facts.standard)


def _start_words(page: CloseoutPage) -> str:
    parts = []
    if page.fan_on is not None:
        first = moment_words(*earliest_start(page.fan_on, page.rules))
        last = format_day_short(latest_start(page.fan_on, page.rules))
        parts.append(f"A test after the work can begin on {first} and should by {last}.")
    if page.facts.kept.suction:
        parts.append(reading_words(page.facts.kept.suction, page.facts.change_percent))
    return " ".join(parts)


_TITLES = {
    "fan_on_minute": "the time the fan was on", "fan": "the fan", "fan_watts": "the fan's watts",
    "suction": "the suction", "read_on": "the day of the reading", "indicator": "the indicator",
    "indicator_place": "where the indicator hangs", "standard": "the standard", "warranty_until": "the warranty's end",
    "level_promised": "the level promised", "retest_on": "the next test", "description": "what was built",
    "warranty_text": "the warranty",
}  # fmt: skip
