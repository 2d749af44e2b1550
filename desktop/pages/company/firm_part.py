"""Name and terms: who the firm is, how its proposals start, its sales tax and its texts."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from PySide6.QtWidgets import QWidget

from db.commands.firm import change_firm
from db.queries.firm import firm
from db.queries.logo import logo
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from desktop.pages.company.logo_card import LogoCard
from desktop.pages.company.part import Part
from desktop.widgets.cards import Card, Notice, column
from desktop.widgets.form import (
    ChoiceField,
    DurationField,
    Form,
    MoneyField,
    NotesField,
    PercentField,
    QuantityField,
    TextField,
)
from domain.firm import Firm
from domain.unlikely import MOST_TAX, percent_doubt

_TREATMENTS = (
    ("none", "No sales tax on these jobs"),
    ("lump_sum", "Lump sum: tax paid when buying"),
    ("separated", "Materials separated: tax charged to the customer"),
)
_IN_WORDS = {
    "none": "No tax appears anywhere: neither in what a job costs nor on the proposal.",
    "lump_sum": "You pay sales tax on what you buy. It counts as a cost of the job, is worked out from the materials, "
    "and never appears on the proposal.",
    "separated": "You buy for resale and charge the customer tax on the selling price of the materials. It is "
    "collected on top of the price for the state and is not your revenue.",
}
_AT_NOTHING = {
    "lump_sum": "Do you pay no sales tax at all when you buy? At 0% none is counted as a cost of any new quote. Type "
    "the rate on your receipts, or choose that there is none.",
    "separated": "Is the customer charged no sales tax at all? At 0% none is added to any new quote. Type the rate of "
    "the place where you work, or choose that there is none.",
}
_ADVISER = " Which of the three applies depends on the state and on the contract: ask an adviser."


class FirmPart(Part):
    """The firm's settings, each saved as it is left."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Name and terms", "What stands on proposals, and how a new quote begins. Sent quotes keep theirs."
        )
        self._saver = Autosave(desk)
        self._fields: dict[str, tuple[Any, Callable[[Any], Any]]] = {}
        self.tax_words = Notice("info")
        self.logo = LogoCard(desk)
        cards = (
            self._firm_card(), self.logo, self._quote_card(), self._tax_card(), self._told_card(), self._texts_card(),
        )  # fmt: skip
        self.add_scrolling(column(*cards, None))

    def field(self, name: str) -> Any:
        """The field of one setting."""
        return self._fields[name][0]

    def refresh(self) -> None:
        with self.desk.read() as conn:
            stored, picture = firm(conn), logo(conn)
        for name, (field, show) in self._fields.items():
            self._saver.show(field, show(getattr(stored, name)))
        self._show_tax(stored)
        self.logo.show_logo(picture)

    def _show_tax(self, stored: Firm) -> None:
        if stored.tax_treatment != "none" and not stored.tax_percent:
            choose = ("Choose “No sales tax”", self._no_tax)
            self.tax_words.set_words("caution", _AT_NOTHING[stored.tax_treatment], choose)
        else:
            self.tax_words.set_words("info", _IN_WORDS[stored.tax_treatment] + _ADVISER)
        self._tax.set_visible(self.field("tax_percent"), stored.tax_treatment != "none")
        self._tax.set_visible(self.field("tax_place"), stored.tax_treatment != "none")

    def _no_tax(self) -> None:
        if self._saver.do("Choose no sales tax", lambda edit: change_firm(edit, tax_treatment="none")):
            self.field("tax_treatment").setFocus()  # the button is gone

    def _firm_card(self) -> QWidget:
        card, form = Card("The firm"), Form(columns=2)
        for name, title, hint in (
            ("name", "&Firm", ""),
            ("owner_name", "&Owner", ""),
            ("street", "&Street", ""),
            ("town", "&City", "With state and ZIP, on one line."),
            ("phone", "&Phone", ""),
            ("mail", "&Email", ""),
            ("licence_number", "&License or certification", "As the state asks for it on proposals and labels."),
        ):
            self._keep(form, name, title, TextField(required=name == "name"), hint)
        card.add(form)
        return card

    def _quote_card(self) -> QWidget:
        card, form = Card("A new quote begins with"), Form(columns=2)
        self._keep(
            form, "margin_percent", "Target margin", PercentField(required=True, least=Decimal(0)),
            "On the price. A job type can have its own.",
        )  # fmt: skip
        self._keep(form, "minimum_charge_cents", "Minimum charge", MoneyField(required=True, least=0))
        self._keep(
            form, "rounding_cents", "Round the price up to", MoneyField(required=True, least=1),
            "A multiple of this; $0.01 leaves it as it is.",
        )  # fmt: skip
        self._keep(
            form, "deposit_percent", "Deposit", PercentField(required=True, least=Decimal(0)),
            "Of the price, due on acceptance. State law may limit it.",
        )  # fmt: skip
        self._keep(form, "valid_days", "Valid for", _days(), "From the day it is sent.", whole=True)
        self._keep(form, "follow_up_days", "Follow up after", _days(), "Then it comes up on Tonight.", whole=True)
        self._keep(
            form, "capacity_minutes_per_day", "A working day", DurationField(required=True), "On site, for scheduling."
        )
        card.add(form)
        return card

    def _tax_card(self) -> QWidget:
        card, self._tax = Card("Sales tax"), Form(columns=1)
        self._keep(self._tax, "tax_treatment", "How it is treated", ChoiceField(_TREATMENTS, required=True))
        self._keep(self._tax, "tax_percent", "Rate", PercentField(
            required=True, least=Decimal(0), doubt=lambda percent: percent_doubt(percent, MOST_TAX)
        ))
        self._keep(self._tax, "tax_place", "Where the rate is from", TextField("State, county, city"))
        card.add(self._tax)
        card.add(self.tax_words)
        return card

    def _told_card(self) -> QWidget:
        """What papers tell besides prices; the sentences around it are under Words on papers."""
        card, form = Card("What papers tell"), Form(columns=2)
        self._keep(
            form, "standard_text", "Standard worked to", TextField(),
            "With its edition, e.g. ANSI/AARST SGM-SF 2023. On proposals and closeout packs.", wide=True,
        )  # fmt: skip
        self._keep(
            form, "invoice_due_days", "Invoices due after", _days(least=0), "From the day it is issued.", whole=True
        )
        self._keep(
            form, "electricity_rate", "Electricity", QuantityField("$/kWh", required=True, least=Decimal(0)),
            "From a local bill. With the fan's watts it gives the yearly cost.",
        )  # fmt: skip
        self._keep(
            form, "heat_loss_low_cents", "Heat lost, at least", MoneyField(required=True, least=0),
            "A year, your own estimate for houses around here.",
        )  # fmt: skip
        self._keep(
            form, "heat_loss_high_cents", "Heat lost, at most", MoneyField(required=True, least=0),
            "$0.00 for both: papers give no figure.",
        )  # fmt: skip
        card.add(form)
        return card

    def _texts_card(self) -> QWidget:
        card = Card("Texts on proposals")
        card.add(
            Notice(
                "caution",
                "These are starting texts in plain words. No lawyer has read them: have yours do so, and change them.",
            )
        )
        form = Form()
        for name, title, hint in (
            ("not_included_text", "Not included", "One thing a line."),
            ("warranty_text", "Warranty", ""),
            ("above_action_text", "When a later test is not below the action level", ""),
            ("caution_text", "Cautions for the household", ""),
            ("terms_text", "Terms", ""),
        ):
            self._keep(form, name, title, NotesField(lines=4), hint, wide=True)
            form.label_of(self.field(name)).setWordWrap(True)
            form.label_of(self.field(name)).setFixedWidth(150)
        card.add(form)
        return card

    def _keep(
        self, form: Form, name: str, title: str, field: Any, hint: str = "", *, wide: bool = False, whole: bool = False
    ) -> None:
        form.add(title, field, hint, wide)
        as_stored = (lambda value: int(value)) if whole else (lambda value: value)
        as_shown = Decimal if whole else (lambda value: value)
        words = title.replace("&", "").lower()
        self._saver.bind(
            field, f"Change {words}", lambda edit, value: change_firm(edit, **{name: as_stored(value)}),
            lambda: ("firm",), name,
        )
        self._fields[name] = (field, as_shown)


def _days(least: int = 1) -> QuantityField:
    return QuantityField("days", required=True, least=Decimal(least))
