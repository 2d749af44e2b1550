"""Price changes: what costs something else than on a day before, and the open quotes that still stand on old prices."""

from __future__ import annotations

from datetime import date, timedelta

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout

from db.queries.buying.price_changes import price_report
from desktop.desk import COMPANY, JOBS, Desk
from desktop.pages.company.part import Part
from desktop.widgets.cards import Card, button, label, panes
from desktop.widgets.form import DateField
from desktop.widgets.half import only_asks
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.buying import OldPriceQuote, PriceChange
from domain.dates import format_day_short
from domain.money import format_money, format_unit_cost
from domain.units import format_share

SINCE_DAYS = 90
"""The report begins so many days back until another day is chosen."""


class PriceChangesPart(Part):
    """Two tables: the items, and the quotes with what today's prices would make of them."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Price changes",
            "What costs something else today than on the day chosen, and the drafts and sent quotes that still stand "
            "on old prices. A draft can be priced anew; a sent quote keeps its word, so only a new version moves.",
        )  # fmt: skip
        self.head.add_action(button("Price list", lambda: desk.go(COMPANY, "prices"), icon_name="right"))
        self.since = DateField(desk.today, required=True)
        only_asks(self.since)
        self.since.setAccessibleName("Changed since")
        self.since.setFixedWidth(190)
        self.since.set_value(desk.today() - timedelta(days=SINCE_DAYS))
        self.since.edited.connect(lambda _: self.refresh())
        self.total = label("", "body", "soft")
        self.changes = _changes_table()
        self.quotes = _quotes_table()
        self.quotes.row_activated.connect(lambda row: desk.go(JOBS, row.job_id, "quote"))
        self.open_quote = button("Open the quote", self.open_current, icon_name="right")
        self.quotes.current_changed.connect(lambda row: self.open_quote.setEnabled(row is not None))
        self.open_quote.setEnabled(False)
        line = QHBoxLayout()
        words = label("Changed since", "body", "soft")
        words.setBuddy(self.since)
        line.addWidget(words)
        line.addWidget(self.since)
        line.addSpacing(12)
        line.addWidget(self.total, 1)
        self._column.addLayout(line)
        split = panes(self._quotes_card(), self._card("Items", self.changes), (2, 3), Qt.Orientation.Vertical)
        self.add(split, 1)

    def _card(self, title: str, table: RowsTable) -> Card:
        card = Card(title)
        card.add(table, 1)
        return card

    def _quotes_card(self) -> Card:
        self.quotes_card = self._card("Quotes on old prices", self.quotes)
        self.quotes_card.add_action(self.open_quote)
        return self.quotes_card

    def refresh(self) -> None:
        today = self.desk.today()
        since: date = self.since.value() or today - timedelta(days=SINCE_DAYS)
        with self.desk.read() as conn:
            report = price_report(conn, since, today)
        self.changes.rows_model().set_rows(report.changes)
        self.quotes.rows_model().set_rows(report.quotes)
        up = sum(one.new_cost > one.old_cost for one in report.changes)
        self.total.setText(_total_words(len(report.changes), up))
        self.changes.set_empty("No price has changed", f"Every item costs what it did on {format_day_short(since)}.")
        self.quotes.set_empty("No quote stands on an old price", "Drafts and sent quotes that wait are looked through.")
        more = sum(one.cents for one in report.quotes)
        self.quotes_card.header.set_words(
            "Quotes on old prices", f"{format_money(more, signed=True)} of cost in all" if report.quotes else ""
        )

    def open_current(self) -> None:
        """Open the quote under the cursor."""
        row = self.quotes.current_row()
        if row is not None:
            self.desk.go(JOBS, row.job_id, "quote")


def _changes_table() -> RowsTable:
    model = RowsModel(
        [
            Column("code", "Code", width=84),
            Column("name", "Item", stretch=1),
            Column("old", "Was", "right", width=84),
            Column("new", "Is", "right", width=84),
            Column("percent", "Change", "right", width=84),
            Column("on", "From", width=112),
        ],
        text={
            "code": lambda one: one.item.code,
            "name": lambda one: one.item.name,
            "old": lambda one: format_unit_cost(one.old_cost),
            "new": lambda one: format_unit_cost(one.new_cost),
            "percent": lambda one: format_share(one.percent, signed=True),
            "on": lambda one: format_day_short(one.changed_on),
        },
        sort_key={
            "old": lambda one: one.old_cost,
            "new": lambda one: one.new_cost,
            "percent": lambda one: one.percent,
            "on": lambda one: one.changed_on,
        },
        tone={"percent": _tone},
        tip={"name": lambda one: one.item.name, "percent": lambda one: f"of the old price, for one {one.item.unit}"},
        row_id=lambda one: one.item.id,
    )
    return RowsTable(model, "Items whose price changed")


def _quotes_table() -> RowsTable:
    model = RowsModel(
        [
            Column("number", "Job", width=76),
            Column("customer", "Customer", stretch=1),
            Column("what", "What for", stretch=2),
            Column("state", "Quote", width=200),
            Column("lines", "Lines", "right", width=62, tooltip="How many stand at an old price"),
            Column("cents", "Costs", "right", width=96, tooltip="What today's prices add to its cost"),
        ],
        text={
            "state": _quote_words,
            "cents": lambda one: format_money(one.cents, signed=True),
        },
        sort_key={"lines": lambda one: one.lines, "cents": lambda one: one.cents},
        tone={"cents": lambda one: "over" if one.cents > 0 else "under"},
        tip={"cents": _cents_tip, "customer": lambda one: f"{one.customer}, {one.what}", "state": _quote_words},
        row_id=lambda one: one.quote_id,
    )
    return RowsTable(model, "Quotes on old prices")


def _tone(one: PriceChange) -> str:
    return "over" if one.new_cost > one.old_cost else "under"


def _quote_words(one: OldPriceQuote) -> str:
    what = f"Change order {one.version}" if one.kind == "change_order" else f"Version {one.version}"
    if one.sent_on is None:
        return f"{what}, draft"
    return f"{what}, sent {format_day_short(one.sent_on).partition(',')[0]}"


def _cents_tip(one: OldPriceQuote) -> str:
    if not one.option_cents:
        return "Before markup and tax."
    return f"Of that {format_money(one.option_cents, signed=True)} in options. Before markup and tax."


def _total_words(changed: int, dearer: int) -> str:
    if not changed:
        return ""
    items = "1 item changed" if changed == 1 else f"{changed} items changed"
    return f"{items}: {dearer} dearer, {changed - dearer} cheaper"
