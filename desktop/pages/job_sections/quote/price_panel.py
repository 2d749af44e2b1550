"""The price, always in view: the cost ladder, margin and markup, goodwill, tax, total, deposit, the owner's hour."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QVBoxLayout, QWidget

from db.commands.quotes import set_goodwill, set_pricing
from desktop.pages.job_sections.quote.editing import QuoteEditing
from desktop.pages.job_sections.quote.option_ticks import OptionTicks
from desktop.widgets.cards import Card, label, scroll_page, set_tone
from desktop.widgets.form import ChoiceField, MoneyField, PercentField, TextField, TypedField
from domain.errors import NotUnderstood
from domain.money import format_money, margin_from_markup, markup_from_margin
from domain.quoting.lines import Quote
from domain.quoting.price import PriceBuildUp, Totals
from domain.quoting.tax import LUMP_SUM, NONE, SEPARATED
from domain.units import format_minutes, format_percent

TAX_CHOICES = [(NONE, "No sales tax"), (LUMP_SUM, "Lump sum"), (SEPARATED, "Materials separated")]
TAX_TIPS = {
    NONE: "No sales tax anywhere.",
    LUMP_SUM: "You pay tax on what you buy; it is a cost and never shown to the customer.",
    SEPARATED: "Tax is charged on the selling price of the materials and shown as a line of its own.",
}
PANEL_WIDTH = 336


class PricePanel(QWidget):
    """Fields save themselves; everything else follows while one types."""

    def __init__(self, editing: QuoteEditing) -> None:
        super().__init__()
        self.editing = editing
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(8)
        self._grid.setVerticalSpacing(5)
        self._grid.setColumnStretch(1, 1)
        self._amounts: dict[str, tuple[QLabel, QLabel, QLabel]] = {}
        self._frozen_fields: list[QWidget] = []
        self._build()
        self.options = OptionTicks(editing)
        self.options.ticked.connect(self.show_price)
        self.problem = label("", "small", "error", wrap=True)
        self.own_hour = label("", "body", wrap=True)
        self.expected = label("", "body", wrap=True)
        card = Card("Price")
        card.body.setContentsMargins(14, 10, 14, 12)
        card.add(self._grid)
        for part in (self.problem, self.options, _rule(), self.expected, self.own_hour):
            card.add(part)
        card.body.addStretch(1)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 4, 12)
        column.addWidget(card)
        column.addStretch(1)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(scroll_page(inside))
        self.setFixedWidth(PANEL_WIDTH)
        editing.previewed.connect(self.show_price)

    # Building.

    def _build(self) -> None:
        for key, words in (
            ("labour", "Labour"), ("materials", "Materials"), ("purchase_tax", "Tax on purchases"),
            ("other", "Other direct"), ("overhead", "Overhead"), ("cost", "Cost"),
        ):  # fmt: skip
            self._amount(key, words, "strong" if key == "cost" else "body")
        self._across(_rule())
        self.margin = self._field("Margin", PercentField(required=True), "of the price")
        self.markup = self._field("Markup", PercentField(required=True), "on cost")
        self.minimum = self._field("Minimum charge", MoneyField(required=True, least=0))
        self.rounding = self._field("Rounded up to", MoneyField(required=True, least=1))
        self.list_price = self._field("Price", MoneyField(required=True, least=0), "type over it to fix it")
        self._amount("options", "Options ticked", "body")
        self.goodwill = self._field("Goodwill", MoneyField(least=0), tone="goodwill")
        self.reason = TextField("why it is given")
        self.reason.setAccessibleName("Reason for the goodwill")
        self._grid.addWidget(self.reason, self._grid.rowCount(), 0, 1, 3)
        self._frozen_fields.append(self.reason)
        self._across(_rule())
        self.treatment = ChoiceField(TAX_CHOICES, required=True)
        self.treatment.setMinimumContentsLength(8)
        self.tax_percent = PercentTax()
        self._labelled("Sales tax", self.treatment, self.tax_percent)
        self._amount("tax", "Tax on materials", "body")
        self._amount("total", "Total", "figure")
        self.deposit_percent = PercentField(required=True)
        self.deposit = label("", "body")
        self._labelled("Deposit", self.deposit_percent, self.deposit)
        self.deposit.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self._bind()

    def _amount(self, key: str, words: str, role: str) -> None:
        made = (label(words, "body" if role == "body" else "strong"), label("", "small", "soft"), label("", role))
        made[2].setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        made[2].setAccessibleName(words)
        row = self._grid.rowCount()
        for column, part in enumerate(made):
            self._grid.addWidget(part, row, column)
        self._amounts[key] = made

    def _field(self, words: str, field: Any, note: str = "", tone: str = "") -> Any:
        self._labelled(words, label(note, "small", "soft"), field, tone)
        return field

    def _labelled(self, words: str, middle: QWidget, last: QWidget, tone: str = "") -> None:
        row = self._grid.rowCount()
        name = label(words, "body", tone)
        self._grid.addWidget(name, row, 0)
        self._grid.addWidget(middle, row, 1)
        self._grid.addWidget(last, row, 2)
        for part in (middle, last):
            if not isinstance(part, QLabel):
                part.setAccessibleName(words)
                if isinstance(part, TypedField):
                    part.setFixedWidth(104)
                name.setBuddy(part)
                self._frozen_fields.append(part)

    def _across(self, part: QWidget) -> None:
        self._grid.addWidget(part, self._grid.rowCount(), 0, 1, 3)

    def _bind(self) -> None:
        pairs = (
            (self.margin, "Change the margin", lambda v: {"pricing": "margin", "pricing_percent": v}),
            (self.markup, "Change the markup", lambda v: {"pricing": "markup", "pricing_percent": v}),
            (self.minimum, "Change the minimum charge", lambda v: {"minimum_charge_cents": v}),
            (self.rounding, "Change the rounding", lambda v: {"rounding_cents": v}),
            (self.list_price, "Fix the price", lambda v: {"pricing": "fixed", "fixed_price_cents": v}),
            (self.tax_percent, "Change the tax rate", lambda v: {"tax_percent": v}),
            (self.deposit_percent, "Change the deposit", lambda v: {"deposit_percent": v}),
            (self.treatment, "Change the tax treatment", lambda v: {"tax_treatment": v}),
        )
        for field, words, values in pairs:
            self.editing.saver.bind(
                field, words, lambda edit, v, values=values: set_pricing(edit, self.editing.quote.id, **values(v))
            )
            field.typed.connect(lambda v, values=values: self._typing(v, values))
        self.editing.saver.bind(
            self.goodwill, "Change goodwill",
            lambda edit, v: set_goodwill(edit, self.editing.quote.id, v or 0, self.reason.value()),
        )  # fmt: skip
        self.goodwill.typed.connect(lambda v: self.editing.preview_quote(goodwill_cents=v or 0))
        self.editing.saver.bind(
            self.reason, "Say why goodwill is given",
            lambda edit, v: set_goodwill(edit, self.editing.quote.id, self.editing.quote.goodwill_cents, v),
        )  # fmt: skip

    def _typing(self, value: Any, values: Any) -> None:
        if value is not None:
            self.editing.preview_quote(**values(value))

    # Showing.

    def show_quote(self) -> None:
        """Show the stored terms and the price that follows."""
        quote, show = self.editing.quote, self.editing.saver.show
        order = quote.kind == "change_order"
        show(self.minimum, quote.minimum_charge_cents)
        show(self.rounding, quote.rounding_cents)
        show(self.goodwill, quote.goodwill_cents or None)
        show(self.reason, quote.goodwill_reason)
        show(self.treatment, quote.tax_treatment)
        show(self.tax_percent, quote.tax_percent)
        show(self.deposit_percent, quote.deposit_percent)
        self.treatment.setToolTip(TAX_TIPS[quote.tax_treatment])
        self.tax_percent.setVisible(quote.tax_treatment != NONE)
        self.minimum.setEnabled(not order and not quote.frozen)
        for field in self._frozen_fields:
            field.setEnabled(not quote.frozen)
        self.reason.setVisible(bool(quote.goodwill_cents) or self.reason.hasFocus())
        self.options.show_options()
        self.show_price()

    def forget_typing(self) -> None:
        """Another quote is shown: what was half typed for the last one goes."""
        for field in self._frozen_fields:
            if isinstance(field, (TypedField, ChoiceField)):
                field.reset(None)

    def show_price(self) -> None:
        """Everything that is reckoned, with what is half typed."""
        try:
            price = self.editing.price()
        except NotUnderstood as problem:
            self.problem.setText(str(problem))
            self.problem.show()
            return
        self.problem.setVisible(False)
        totals = price.with_options(self.editing.ticked)
        self._show_costs(price.quote, totals)
        self._show_percents(price)
        self._show_totals(price, totals)
        self._show_owner(totals)
        self.options.show_prices(price)

    def _show_costs(self, quote: Quote, totals: Totals) -> None:
        costs = totals.costs
        self._say("labour", costs.labour_cents, format_minutes(costs.minutes))
        self._say("materials", costs.materials_cents)
        self._say("purchase_tax", costs.purchase_tax_cents, format_percent(quote.tax_percent))
        self._show_row("purchase_tax", quote.tax_treatment == LUMP_SUM)
        self._say("other", costs.other_cents)
        self._say("overhead", costs.overhead_cents, f"at {format_money(quote.overhead_rate_cents)}/h")
        self._say("cost", costs.cost_cents)

    def _show_percents(self, price: PriceBuildUp) -> None:
        """The percentage asked for stands in its field, its counterpart in the other; fixed: what comes out."""
        quote = price.quote
        margin, markup = price.alone.list_margin_percent, price.alone.markup_percent
        if quote.pricing == "margin":
            margin, markup = quote.pricing_percent, markup_from_margin(quote.pricing_percent)
        elif quote.pricing == "markup":
            margin, markup = margin_from_markup(quote.pricing_percent), quote.pricing_percent
        for field, value in (
            (self.margin, margin), (self.markup, markup), (self.list_price, price.base.price_cents)
        ):  # fmt: skip
            if not (field.hasFocus() and field.isModified()):  # the field one types in holds its own
                self.editing.saver.show(field, value)

    def _show_totals(self, price: PriceBuildUp, totals: Totals) -> None:
        quote = price.quote
        self._say("options", totals.list_price_cents - price.base.price_cents)
        self._show_row("options", bool(self.editing.ticked))
        self._say("tax", totals.tax_cents, f"on {format_money(totals.materials_price_cents)}")
        self._show_row("tax", quote.tax_treatment == SEPARATED)
        self._say("total", totals.total_cents)
        self.deposit.setText(format_money(totals.deposit_cents))

    def _show_owner(self, totals: Totals) -> None:
        margin = totals.margin_percent
        share = f"  ·  {format_percent(margin)} of the price" if margin is not None else ""
        after = " after goodwill" if totals.goodwill_cents else ""
        self.expected.setText(f"Expected margin{after}: {format_money(totals.margin_cents)}{share}")
        set_tone(self.expected, "over" if totals.margin_cents < 0 else "")
        hour = totals.owner_hour_cents
        if hour is None:
            self.own_hour.setText(f"{format_minutes(totals.costs.minutes)} of work, none of it your own")
            set_tone(self.own_hour, "soft")
            return
        burdened = self.editing.quote.owner_rate_cents
        own = format_minutes(totals.costs.owner_minutes)
        self.own_hour.setText(
            f"You earn {format_money(hour)} for each of your own hours ({own}); such an hour costs you"
            f" {format_money(burdened)}"
        )
        set_tone(self.own_hour, "over" if hour < burdened else "under")

    def _say(self, key: str, cents: int, note: str = "") -> None:
        _, beside, amount = self._amounts[key]
        beside.setText(note)
        amount.setText(format_money(cents))

    def _show_row(self, key: str, visible: bool) -> None:
        for part in self._amounts[key]:
            part.setVisible(visible)


class PercentTax(PercentField):
    """A tax rate, to three places, never below nothing."""

    def __init__(self) -> None:
        super().__init__(required=True)
        from domain.units import parse_percent

        self._parse = lambda text: parse_percent(text, 3)


def _rule() -> QFrame:
    made = QFrame()
    made.setProperty("rule", True)
    made.setFixedHeight(1)
    return made
