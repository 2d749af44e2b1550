"""What was bought lately: ticked off or typed, corrected in place, taken back, or taken as the new price."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.commands import buying
from db.commands.price_list import set_price
from db.queries.buying.purchases import PurchaseRow, paid_cents
from db.queries.log_offers import OfferedJob
from desktop.desk import Desk
from desktop.pages.company.list_table import AddRow
from desktop.pages.company.part import attempt, read_cell
from desktop.widgets.cards import button, label
from desktop.widgets.form import ChoiceField, TextField, TypedField
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.buying import StockRow
from domain.buying.receipt import TRUCK, where_typed
from domain.dates import format_day_short, parse_day
from domain.errors import NotUnderstood, as_typed
from domain.jobs import far_words
from domain.money import format_money, format_unit_cost, parse_unit_cost
from domain.price_list import Supplier
from domain.units import format_quantity, parse_quantity
from domain.units.numbers import plural_of
from domain.unlikely import price_doubt, quantity_doubt


class BoughtList(QWidget):
    """A row a purchase, the newest first; a line above adds one that was on no list."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self._sellers: dict[str, int] = {}
        self._jobs: dict[int, str] = {}
        self._usual: Mapping[int, Decimal] = {}
        self._listed: dict[int, StockRow] = {}
        self.item = ChoiceField(placeholder="Item, or words for something else", allow_new=True)
        self.item.setAccessibleName("What was bought")
        self.quantity = TypedField(
            parse_quantity, format_quantity, placeholder="How many", right=True, doubt=self._much
        )
        self.cost = TypedField(parse_unit_cost, format_unit_cost, placeholder="$ for one", right=True)
        self.receipt = TextField("Receipt")
        self.add_row = AddRow(
            [self.item, self.quantity, self.cost, self.receipt], "Add", self._add, draft=(self.desk, "purchase")
        )
        self.table = self._make_table()
        self.back = button("Take back", self.take_back, "quiet", "undo")
        self.as_price = button("Take as new price", self.take_price, "quiet", "money")
        self.total = label("", "small", "soft")
        foot = QHBoxLayout()
        foot.addWidget(self.back)
        foot.addWidget(self.as_price)
        foot.addStretch(1)
        foot.addWidget(self.total)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(8)
        box.addWidget(self.add_row)
        box.addWidget(self.table, 1)
        box.addLayout(foot)
        delete = QShortcut(QKeySequence("Delete"), self.table)
        delete.setContext(Qt.ShortcutContext.WidgetShortcut)
        delete.activated.connect(self.take_back)
        self._chosen(None)

    def _make_table(self) -> RowsTable:
        self.model = RowsModel(
            [
                Column("day", "Day", width=76, editable=True),
                Column("supplier", "Supplier", stretch=1, editable=True),
                Column("code", "Code", width=80, gives_way=True),
                Column("description", "Item", stretch=3),
                Column("quantity", "Bought", "right", width=84, editable=True),
                Column("unit_cost", "Paid for one", "right", width=100, editable=True),
                Column("listed", "On the list", "right", width=84, gives_way=True,
                       tooltip="The price list's price of that day"),
                Column("paid", "Paid", "right", width=84),
                Column("receipt", "Receipt", width=72, editable=True),
                Column("where", "For", width=76, editable=True, tooltip="truck, or the number of a job"),
            ],
            text={
                "day": lambda row: format_day_short(row.purchase.day).partition(",")[0],
                "description": lambda row: row.purchase.description,
                "quantity": lambda row: format_quantity(row.purchase.quantity, row.purchase.unit),
                "unit_cost": lambda row: format_unit_cost(row.purchase.unit_cost),
                "listed": lambda row: "" if row.list_cost is None else format_unit_cost(row.list_cost),
                "paid": lambda row: format_money(row.cents),
                "receipt": lambda row: row.purchase.receipt,
                "where": lambda row: row.job_number or (TRUCK if row.purchase.onto_truck else ""),
            },
            sort_key={
                "day": lambda row: row.purchase.day,
                "quantity": lambda row: row.purchase.quantity,
                "unit_cost": lambda row: row.purchase.unit_cost,
                "listed": lambda row: row.list_cost,
                "paid": lambda row: row.cents,
            },
            tone={"listed": lambda row: _tone(row) if row.differs else "ink_faint"},
            tip={"paid": _with_tax},
            choices={"supplier": lambda _: list(self._sellers), "where": lambda _: [TRUCK, *self._jobs.values()]},
            row_id=lambda row: row.purchase.id,
            setter=self._change,
            doubt=self._doubt,
        )  # fmt: skip
        table = RowsTable(self.model, "Bought lately")
        table.set_empty(
            "Nothing bought lately", "What is ticked off the list stands here, to be corrected or taken back."
        )
        table.current_changed.connect(self._chosen)
        return table

    def offer(
        self, sellers: Sequence[Supplier], jobs: Sequence[OfferedJob], usual: Mapping[int, Decimal] | None = None
    ) -> None:
        """Take the suppliers and jobs that a cell offers."""
        self._usual = usual or {}
        self._sellers = {one.name: one.id for one in sellers}
        self._jobs = {one.id: f"{one.number}  {one.customer}" for one in jobs}

    def show_purchases(self, rows: Sequence[PurchaseRow], truck: Mapping[int, StockRow]) -> None:
        """Show these purchases; the truck's rows are what can be chosen above."""
        self._listed = dict(truck)
        self.item.set_choices(
            [(item_id, f"{row.item.code}  {row.item.name}") for item_id, row in truck.items() if not row.item.archived]
        )
        self.model.set_rows(rows)
        self.total.setText(f"{len(rows)} bought, {format_money(paid_cents(rows))} in the last 30 days" if rows else "")
        self._chosen(self.table.current_row())

    def _chosen(self, row: PurchaseRow | None) -> None:
        self.back.setEnabled(row is not None)
        self.as_price.setEnabled(row is not None and row.differs)

    def take_back(self) -> None:
        """The purchase under the cursor was not made."""
        row = self.table.current_row()
        if row is not None:
            attempt(
                self.desk, f"Take back {row.purchase.description}",
                lambda edit: buying.remove_purchase(edit, row.purchase.id),
                say=f"“{row.purchase.description}” is no longer among what was bought.", undo=True,
            )  # fmt: skip

    def take_price(self) -> None:
        """The price paid becomes the price list's, from the day of the purchase."""
        row = self.table.current_row()
        if row is None or not row.differs:
            return
        one = row.purchase
        attempt(
            self.desk, f"Price of {one.description} from {format_day_short(one.day)}",
            lambda edit: set_price(edit, one.item_id or 0, one.day, one.unit_cost),
            say=f"{one.description}: {format_unit_cost(one.unit_cost)} from {format_day_short(one.day)}.", undo=True,
        )  # fmt: skip

    def _much(self, quantity: Decimal) -> str:
        row = self._listed.get(chosen) if isinstance(chosen := self.item.value(), int) else None
        item = row.item if row else None
        return quantity_doubt(
            quantity, item.unit if item else "each", item.name if item else "", usual=self._usual.get(chosen or 0)
        )

    def _doubt(self, row: PurchaseRow, key: str) -> str:
        one = row.purchase
        if key == "quantity":
            usual = self._usual.get(one.item_id or 0)
            return quantity_doubt(one.quantity, one.unit, one.description, usual=usual, unit_cost=one.unit_cost)
        if key == "unit_cost":
            return price_doubt(one.unit_cost, row.list_cost)
        return far_words(one.day, self.desk.today()) if key == "day" else ""

    def _change(self, row: PurchaseRow, key: str, typed: str) -> str | None:
        one, today = row.purchase, self.desk.today()
        value: Any = typed.strip()
        message: str | None = None
        if key == "where":
            return self._send(row, typed)
        if key == "supplier":
            key, (value, message) = "supplier_id", read_cell(self._seller, typed)
        if key == "quantity":
            value, message = read_cell(lambda text: parse_quantity(_bare(text, one.unit)), typed)
        elif key == "unit_cost":
            value, message = read_cell(parse_unit_cost, typed)
        elif key == "day":
            value, message = read_cell(lambda text: parse_day(text, today), typed)
        return message or attempt(
            self.desk, f"Correct {one.description}",
            lambda edit: buying.change_purchase(edit, one.id, today, **{key: value}),
        )  # fmt: skip

    def _seller(self, typed: str) -> int | None:
        wanted = " ".join(typed.casefold().split())
        found = [name for name in self._sellers if name.casefold() == wanted]
        found = found or [name for name in self._sellers if wanted in name.casefold()]
        if not wanted:
            return None
        if len(found) != 1:
            many = f"fits {len(found)} suppliers. Type more of it." if found else "is no supplier on the list."
            raise NotUnderstood(f"{as_typed(typed)} {many}", typed)
        return self._sellers[found[0]]

    def _send(self, row: PurchaseRow, typed: str) -> str | None:
        if typed.strip() == row.job_number and typed.strip():
            return None
        job_id, message = read_cell(lambda text: where_typed(text, self._jobs), typed)
        return message or attempt(
            self.desk, f"Where {row.purchase.description} belongs",
            lambda edit: buying.send_purchase(edit, row.purchase.id, job_id, self.desk.today()),
        )  # fmt: skip

    def _add(self) -> str | tuple[str, QWidget] | None:
        chosen, quantity, cost = self.item.value(), self.quantity.value(), self.cost.value()
        if chosen is None:
            return "Say what was bought.", self.item
        if quantity is None:
            return "Say how many.", self.quantity
        if cost is None:
            return "Say what one cost.", self.cost
        listed = isinstance(chosen, int)
        today = self.desk.today()
        message = attempt(
            self.desk, "Add a purchase",
            lambda edit: buying.buy(
                edit, today, chosen if listed else None, quantity, cost, today,
                description="" if listed else str(chosen), unit="" if listed else "each",
                receipt=self.receipt.value(),
            ),
        )  # fmt: skip
        return (message, self.cost) if message and "price" in message else message


def _with_tax(row: PurchaseRow) -> str:
    tax = row.purchase.tax_cents
    return f"and {format_money(tax)} sales tax" if tax else ""


def _tone(row: PurchaseRow) -> str:
    assert row.list_cost is not None
    return "over" if row.purchase.unit_cost > row.list_cost else "under"


def _bare(text: str, unit: str) -> str:
    """The number without the unit it is shown with, in one or many."""
    shown = text.strip().casefold()
    for ending in (plural_of(unit), unit):
        if unit and shown.endswith(ending.casefold()):
            return shown.removesuffix(ending.casefold()).strip()
    return text
