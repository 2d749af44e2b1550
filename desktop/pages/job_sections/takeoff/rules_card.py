"""Which of the published rules a takeoff counts by, and the waste of what is not cut by list."""

from __future__ import annotations

from decimal import Decimal

from db.commands.takeoff import set_choice
from desktop.desk import COMPANY
from desktop.pages.job_sections.takeoff.editing import TakeoffEditing
from desktop.widgets.cards import Card, button, label
from desktop.widgets.form import ChoiceField, Form, PercentField, SwitchField
from domain.routes.rule_words import opening_choices, support_choices
from domain.units import format_percent

_ALL = lambda: ("rules of the firm",)  # noqa: E731
WASTES = {"sealing": "Waste of sealant", "paint": "Waste of paint", "pipe": "Waste of pipe beyond the cut list"}


class RulesCard(Card):
    """For every job of the firm, not for this one alone."""

    def __init__(self, editing: TakeoffEditing) -> None:
        super().__init__("Rules it is counted by", "for every job; the published sources disagree, so choose")
        self.editing = editing
        self.form = Form(columns=2)
        self.supports = self.form.add("Supports", ChoiceField(required=True))
        self.openings = self.form.add("Discharge near openings", ChoiceField(required=True))
        self.belled = self.form.add("Sticks of 3 and 4 in", SwitchField("have a bell: no couplings"))
        self.wastes = {
            name: self.form.add(words, PercentField(least=Decimal(0), most=Decimal(100)))
            for name, words in WASTES.items()
        }
        saver = editing.saver
        saver.bind(self.supports, "Choose the rule for supports", lambda edit, v: set_choice(edit, "supports", v), _ALL)
        saver.bind(self.openings, "Choose the rule for openings", lambda edit, v: set_choice(edit, "openings", v), _ALL)
        saver.bind(
            self.belled, "Say whether sticks have a bell", lambda edit, on: set_choice(edit, "belled", "3 4" * on), _ALL
        )
        for name, field in self.wastes.items():
            saver.bind(
                field, f"Change the {WASTES[name].lower()}",
                lambda edit, value, name=name: set_choice(edit, f"waste:{name}", format_percent(value or Decimal(0))),
                _ALL,
            )  # fmt: skip
        self.add(self.form)
        self.add_action(
            button("All figures, and your own", lambda: editing.desk.go(COMPANY, "standards"), "quiet", "right")
        )
        self.add(label("Local code and licensed practice come before all of them.", "small", "soft"))

    def show_rules(self) -> None:
        """Show what is chosen."""
        saver, kept = self.editing.saver, self.editing.kept
        choices = kept.choices
        self.supports.set_choices(support_choices(kept.day, kept.own))
        self.openings.set_choices(opening_choices(kept.day, kept.own))
        saver.show(self.supports, choices.get("supports", "newer"))
        saver.show(self.openings, choices.get("openings", "older"))
        saver.show(self.belled, bool(choices.get("belled")))
        for name, field in self.wastes.items():
            saver.show(field, self.editing.rules.waste_percent.get(name, Decimal(0)))
