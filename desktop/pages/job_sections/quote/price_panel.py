"""The price, always in view: the cost ladder, margin and markup, goodwill, tax, total, deposit, the owner's hour."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QVBoxLayout, QWidget

from db.commands.quotes import set_goodwill, set_pricing
from desktop.look.fonts import Role
from desktop.pages.job_sections.quote.editing import QuoteEditing
from desktop.pages.job_sections.quote.option_ticks import OptionTicks
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import Card, label, scroll_page, set_tone
from desktop.widgets.error_line import ErrorLine, FloatingError
from desktop.widgets.form import ChoiceField, MoneyField, PercentField, TextField, TypedField
from domain.errors import NotUnderstood
from domain.money import format_money, margin_from_markup, markup_from_margin
from domain.quoting.lines import Quote
from domain.quoting.price import PriceBuildUp, Totals, build_price
from domain.quoting.tax import LUMP_SUM, NONE, SEPARATED
from domain.units import format_minutes, format_percent, format_share, parse_percent
from domain.unlikely import quote_price_doubt

TAX_CHOICES = [(NONE, "No sales tax"), (LUMP_SUM, "Lump sum"), (SEPARATED, "Separated")]
TAX_TIPS = {
    NONE: "No sales tax anywhere.",
    LUMP_SUM: "You pay tax on what you buy; it is a cost and never shown to the customer.",
    SEPARATED: "Tax is charged on the selling price of the materials and shown as a line of its own.",
}
PANEL_WIDTH = 330


class PricePanel(QWidget):
    """Fields save themselves; everything else follows while one types."""

    def __init__(self, editing: QuoteEditing, carries: QWidget | None = None) -> None:
        super().__init__()
        self.editing = editing
        self._carries = carries  # whether finished jobs say the price holds
        self._amounts: dict[str, tuple[QLabel, QLabel, QLabel]] = {}
        self._fields: list[QWidget] = []
        self.options = OptionTicks(editing)
        self.options.ticked.connect(self.show_price)
        self.problem = ErrorLine()
        self.own_hour = label("", "small", wrap=True)
        self.expected = label("", "small", wrap=True)
        for words in (self.own_hour, self.expected):  # room for two lines: no field below moves while one types
            words.setMinimumHeight(2 * words.fontMetrics().lineSpacing() + 6)
            words.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        self.total = label("", "figure")
        self.total.setAccessibleName("Total")
        card = Card("Price")
        self._head = card.header
        card.body.setContentsMargins(14, 8, 14, 10)
        card.body.setSpacing(6)
        card.add_action(self.total)
        self._build(card)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 12)
        column.addWidget(card)
        column.addStretch(1)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        area = scroll_page(inside)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        outer.addWidget(area)
        self.setFixedWidth(PANEL_WIDTH)
        self._bind()
        editing.previewed.connect(self.show_price)

    # Building.

    def _build(self, card: Card) -> None:
        self.margin, self.markup = PercentField(required=True), PercentField(required=True)
        self.minimum, self.rounding = MoneyField(required=True, least=0), MoneyField(required=True, least=1)
        self.list_price, self.goodwill = MoneyField(required=True, least=0, doubt=self._odd), MoneyField(least=0)
        self.reason = TextField("")
        self.treatment, self.tax_percent = ChoiceField(TAX_CHOICES, required=True), PercentTax()
        self.treatment.setMinimumContentsLength(6)
        self.deposit_percent = PercentField(required=True)
        set_tip(self.list_price, "Type over it to fix the price; change margin or markup to let it follow again")
        set_tip(self.minimum, "The base never costs less than this")
        # What is typed stands above what follows from it: whatever comes or goes below moves no field.
        for part in (
            self.expected, self.own_hour,
            self._side_by_side(("Margin", "of the price", self.margin), ("Markup", "on cost", self.markup)),
            self._side_by_side(
                ("Price", "", self.list_price), ("Goodwill", "", self.goodwill), ("Why given", "", self.reason),
                shares=(5, 4, 5),
            ),
            self._side_by_side(("Sales tax", "", self.treatment), ("Rate", "", self.tax_percent), shares=(9, 4)),
            self.problem, self._ladder(), _rule(), self._carries, self.options,
            self._side_by_side(
                ("Minimum", "", self.minimum), ("Rounded up to", "", self.rounding),
                ("Deposit", "", self.deposit_percent), shares=(1, 1, 1),
            ),
            self._rows(("deposit", "Deposit", "body"), ("tax", "Tax on materials", "body")),
        ):  # fmt: skip
            if part is not None:
                card.add(part)
        beneath = FloatingError(card, self.list_price)  # asked where it is typed; nothing moves
        self.list_price.problem_changed.connect(beneath.say)

    def _ladder(self) -> QWidget:
        return self._rows(
            ("labour", "Labor", "body"), ("materials", "Materials", "body"),
            ("purchase_tax", "Tax on purchases", "body"), ("other", "Other costs", "body"),
            ("overhead", "Overhead", "body"), ("cost", "Cost", "strong"),
        )  # fmt: skip

    def _rows(self, *rows: tuple[str, str, Role]) -> QWidget:
        """Label, note, amount; one below the other."""
        box = QWidget()
        grid = QGridLayout(box)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setVerticalSpacing(2)
        grid.setColumnStretch(1, 1)
        for number, (key, words, role) in enumerate(rows):
            made = (label(words, role), label("", "small", "soft"), label("", role))
            made[2].setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            for column, part in enumerate(made):
                grid.addWidget(part, number, column)
            self._amounts[key] = made
        return box

    def _side_by_side(self, *fields: tuple[str, str, QWidget], shares: tuple[int, ...] = (1, 1)) -> QWidget:
        """Fields in a row, each with its name above."""
        box = QWidget()
        grid = QGridLayout(box)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(1)
        for column, (words, note, field) in enumerate(fields):
            grid.setColumnStretch(column, shares[column])
            name = label(f"{words} {note}".strip(), "small", "goodwill" if words == "Goodwill" else "soft")
            grid.addWidget(name, 0, column)
            grid.addWidget(field, 1, column)
            if not isinstance(field, QLabel):
                field.setAccessibleName(words)
                field.setMinimumWidth(60)
                name.setBuddy(field)
                self._fields.append(field)
        return box

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
                field, words, lambda edit, v, values=values: set_pricing(edit, self.editing.quote.id, **values(v)),
                self.editing.record,
            )
            field.typed.connect(lambda v, values=values: self._typing(v, values))
        self.editing.saver.bind(
            self.goodwill, "Change goodwill",
            lambda edit, v: set_goodwill(edit, self.editing.quote.id, v or 0, self.reason.value()), self.editing.record,
        )  # fmt: skip
        self.goodwill.typed.connect(self._typing_goodwill)
        self.editing.saver.bind(
            self.reason, "Say why goodwill is given",
            lambda edit, v: set_goodwill(edit, self.editing.quote.id, self.editing.quote.goodwill_cents, v),
            self.editing.record,
        )  # fmt: skip

    def _typing_goodwill(self, cents: int | None) -> None:
        """The price follows, and Tab finds the place for the reason."""
        self.editing.preview_quote(goodwill_cents=cents or 0)
        self.reason.setEnabled(bool(cents) or bool(self.editing.quote.goodwill_cents))

    def _typing(self, value: Any, values: Any) -> None:
        if value is not None:
            self.editing.preview_quote(**values(value))

    def _odd(self, cents: int) -> str:
        """What is odd about a price just typed, beside the cost and the price as it is stored."""
        try:
            base = build_price(self.editing.document).base
        except NotUnderstood:
            return ""
        return quote_price_doubt(cents, base.costs.cost_cents, base.price_cents)

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
        set_tip(self.treatment, TAX_TIPS[quote.tax_treatment])
        for field in self._fields:
            field.setEnabled(not quote.frozen)
        self.tax_percent.setEnabled(quote.tax_treatment != NONE and not quote.frozen)
        self.minimum.setEnabled(not order and not quote.frozen)
        self.reason.setEnabled((bool(quote.goodwill_cents) or self.reason.hasFocus()) and not quote.frozen)
        self.options.show_options()
        self.show_price()

    def forget_typing(self) -> None:
        """Another quote is shown: what was half typed for the last one goes."""
        for field in self._fields:
            if isinstance(field, (TypedField, ChoiceField)):
                field.reset(None)

    def show_price(self) -> None:
        """Everything that is reckoned, with what is half typed."""
        try:
            price = self.editing.price()
        except NotUnderstood as problem:
            self.problem.say(str(problem))
            return
        self.problem.say("")
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
        bought = format_percent(quote.tax_percent) if quote.tax_treatment == LUMP_SUM else "none"
        self._say("purchase_tax", costs.purchase_tax_cents, bought)  # always there: a choice of tax moves nothing
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
        self._say("tax", totals.tax_cents, f"on {format_money(totals.materials_price_cents)}")
        self._show_row("tax", quote.tax_treatment == SEPARATED)
        self.total.setText(format_money(totals.total_cents))
        count = len(self.editing.ticked)
        options = f"{count} option{'s' if count > 1 else ''}" if count else ""
        tax = "tax" if totals.tax_cents else ""
        words = " and ".join(part for part in (options, tax) if part)
        self._head.set_words("Price", f"with {words}" if words else "")
        self._say("deposit", totals.deposit_cents, format_percent(quote.deposit_percent))

    def _show_owner(self, totals: Totals) -> None:
        margin = totals.margin_percent
        share = f", {format_share(margin)} of the price" if margin is not None else ""
        after = " after goodwill" if totals.goodwill_cents else ""
        self.expected.setText(f"Margin{after} {format_money(totals.margin_cents)}{share}")
        set_tone(self.expected, "over" if totals.margin_cents < 0 else "")
        hour, own = totals.owner_hour_cents, format_minutes(totals.costs.owner_minutes)
        if hour is None:
            self.own_hour.setText(f"{format_minutes(totals.costs.minutes)} of work, none of it your own")
            set_tone(self.own_hour, "soft")
            return
        burdened = self.editing.quote.owner_rate_cents
        self.own_hour.setText(f"{format_money(hour)} an own hour ({own}), cost {format_money(burdened)}")
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
        self._parse = lambda text: parse_percent(text, 3)


def _rule() -> QFrame:
    made = QFrame()
    made.setProperty("rule", True)
    made.setFixedHeight(1)
    return made
