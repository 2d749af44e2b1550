"""What is to buy, a supplier at a time if one likes; Enter ticks, and another price paid is offered as the new one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from PySide6.QtCore import Signal
from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.commands import buying
from db.commands.price_list import set_price
from db.edit import Edit
from desktop.desk import Desk
from desktop.pages.company.part import attempt, read_cell
from desktop.pages.company.tick_table import TickTable
from desktop.widgets.cards import Notice, button, flowing, label, row, segments
from desktop.widgets.form import ChoiceField, DateField, TextField
from desktop.widgets.half import only_asks
from desktop.widgets.table import Column, RowsModel
from domain.buying import ShoppingLine, ShoppingList, expected_cents, packs_in_words
from domain.dates import format_day_short
from domain.errors import NotUnderstood
from domain.log_so_far import MaterialKey
from domain.money import format_money, format_unit_cost, parse_unit_cost
from domain.units import format_quantity, parse_quantity
from domain.unlikely import quantity_doubt

_NO_SUPPLIER = "no supplier named"


@dataclass(frozen=True, slots=True)
class _Paid:
    """A price paid that is not the price list's."""

    code: str
    unit: str
    listed: Decimal
    paid: Decimal
    day: date


class ToBuyList(QWidget):
    """The list with its controls; knows what packs were typed over, writes nothing before a tick.

    Signals:
        days_chosen: jobs of another number of days are wanted.
    """

    days_chosen = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self.shopping: ShoppingList | None = None
        self._packs: dict[MaterialKey, int] = {}
        self._paid: dict[int, _Paid] = {}
        self.horizon = segments(
            ((3, "3 days"), (7, "7 days"), (14, "14 days")), lambda _: self.days_chosen.emit(), "Jobs of the next"
        )
        self.horizon.set_value(7)
        self.supplier = ChoiceField(placeholder="all suppliers")
        only_asks(self.supplier)
        self.supplier.setAccessibleName("Supplier")
        self.supplier.edited.connect(lambda _: self._fill())
        self.day = DateField(desk.today, required=True)
        self.day.setAccessibleName("Bought on")
        self.day.setFixedWidth(190)
        self.day.set_value(desk.today())
        self.receipt = TextField("Receipt")
        self.receipt.setAccessibleName("Receipt")
        self.receipt.setFixedWidth(110)
        self.said = Notice("error")
        self.differs = Notice("caution")
        self.table = self._make_table()
        self.tick_button = button("Tick off (Enter)", self.tick_current, icon_name="check")
        self.total = label("", "strong")
        self._arrange()

    def _make_table(self) -> TickTable:
        self.model = RowsModel(
            [
                Column("supplier", "Supplier", width=142),
                Column("code", "Code", width=80),
                Column("description", "Item", stretch=2),
                Column("why", "Why", width=226, stretch=1),
                Column("packs", "Buy", "right", width=52, editable=True, tooltip="How many packs"),
                Column("pack", "", width=78),
                Column("paid", "Paid for one", "right", width=102, editable=True, tooltip="For one pack"),
                Column("cost", "Expected", "right", width=88),
            ],
            text={
                "supplier": lambda line: line.supplier or _NO_SUPPLIER,
                "why": self._why,
                "packs": lambda line: format_quantity(line.needed) if not line.for_truck else str(self._packs_of(line)),
                "pack": lambda line: _pack_words(self._packs_of(line), line),
                "paid": lambda line: "" if line.pack_cost is None else format_unit_cost(line.pack_cost),
                "cost": lambda line: "no price" if line.cost_cents is None else format_money(line.cost_cents),
            },
            sort_key={
                "packs": lambda line: line.packs,
                "paid": lambda line: line.pack_cost,
                "cost": lambda line: line.cost_cents,
            },
            tone={
                "why": lambda _: "ink_soft",
                "pack": lambda _: "ink_soft",
                "cost": lambda line: "over" if line.cost_cents is None else None,
                "supplier": lambda line: None if line.supplier else "ink_faint",
            },
            tip={"why": self._why, "description": lambda line: line.description},
            row_id=lambda line: line.key,
            setter=self._typed,
            doubt=self._doubt,
            can_edit=lambda line, key: key == "paid" or line.for_truck,
        )
        table = TickTable(self.model, "What is to buy", "paid")
        table.set_empty(
            "Nothing to buy", "The truck holds what the jobs of these days need, and nothing counted on it is low."
        )
        table.ticked.connect(self.tick)
        table.current_changed.connect(lambda row: self.tick_button.setEnabled(row is not None))
        return table

    def _doubt(self, line: ShoppingLine, key: str) -> str:
        if key != "packs":
            return ""
        return quantity_doubt(Decimal(self._packs_of(line)), "each", usual=Decimal(max(line.packs, 1)))

    def _arrange(self) -> None:
        parts = []
        for title, widget in (
            ("Jobs of the next", self.horizon), ("At", self.supplier), ("Bought on", self.day), ("", self.receipt),
        ):  # fmt: skip
            words = label(title, "small", "soft")
            words.setBuddy(widget)
            parts.append(row(words, widget) if title else widget)
        line = flowing(*parts)
        foot = QHBoxLayout()
        foot.addWidget(self.tick_button)
        foot.addStretch(1)
        foot.addWidget(self.total)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(8)
        box.addWidget(line)
        box.addWidget(self.said)
        box.addWidget(self.differs)
        box.addWidget(self.table, 1)
        box.addLayout(foot)
        self.tick_button.setEnabled(False)

    def days(self) -> int:
        """Of how many days from today the jobs count."""
        return int(str(self.horizon.value()))

    def show_list(self, shopping: ShoppingList) -> None:
        """Show this list; packs typed for lines that are still there stay."""
        self.shopping = shopping
        self._packs = {line.key: self._packs[line.key] for line in shopping.lines if line.key in self._packs}
        choices = []
        for name, lines in shopping.by_supplier():
            choices.append((name, f"{name or _NO_SUPPLIER}: {len(lines)}, {format_money(expected_cents(lines))}"))
        if self.supplier.value() not in dict(choices):
            self.supplier.reset(None)
        self.supplier.set_choices(choices)
        self._fill()

    def _fill(self) -> None:
        if self.shopping is None:
            return
        at = self.supplier.value()
        lines = [line for line in self.shopping.lines if at is None or line.supplier == at]
        self.model.set_rows(lines)
        unpriced = sum(line.cost_cents is None for line in lines)
        words = f"{len(lines)} to buy, {format_money(expected_cents(lines))} expected" if lines else ""
        self.total.setText(words + (f", {unpriced} without a price" if unpriced else ""))
        self.tick_button.setEnabled(self.table.current_row() is not None)

    def tick_current(self) -> None:
        """Tick the line under the cursor off at the price shown."""
        row = self.table.current_row()
        if row is not None:
            self.tick(row)
        self.table.setFocus()

    def tick(self, line: ShoppingLine) -> None:
        """Note that this was bought at the price expected."""
        problem = self._buy(line, None)
        self.said.set_words("error", f"{line.description}: {problem}" if problem else "")

    def _typed(self, line: ShoppingLine, key: str, text: str) -> str | None:
        if key == "packs":
            return self._type_packs(line, text)
        paid, message = read_cell(parse_unit_cost, text)
        return message or self._buy(line, paid)

    def _type_packs(self, line: ShoppingLine, text: str) -> str | None:
        try:
            packs = parse_quantity(text)
        except NotUnderstood as error:
            return str(error)
        if packs != int(packs) or packs < 1:
            return "Packs are bought whole: 1, 2, 3 …"
        if packs * line.pack > 1_000_000:
            return "That is more than a truck holds. Check the number."
        self._packs[line.key] = int(packs)
        return None

    def _buy(self, line: ShoppingLine, paid: Decimal | None) -> str | None:
        if not self.day.commit():
            return "Say first on which day it was bought, above."
        day, today, receipt = self.day.value(), self.desk.today(), self.receipt.text().strip()
        unit_cost = None if paid is None else line.unit_cost_from(paid)
        packs = self._packs_of(line) if line.for_truck else None
        if unit_cost is not None and unit_cost <= 0:
            return "A price of nothing cannot be right. Type what was paid for one, from the receipt."

        def run(edit: Edit) -> None:
            buying.tick_off(edit, line, day, today, unit_cost=unit_cost, packs=packs, receipt=receipt)

        self._note_price(line, unit_cost, day)
        message = attempt(self.desk, f"Buy {line.description}", run, say=_bought_words(line, unit_cost), undo=True)
        if message and line.item_id is not None:
            self._paid.pop(line.item_id, None)
        self._show_differing()
        return message

    def _note_price(self, line: ShoppingLine, unit_cost: Decimal | None, day: date) -> None:
        known = line.item_id is not None and line.for_truck and line.unit_cost is not None
        if known and unit_cost is not None and unit_cost != line.unit_cost:
            self._paid[line.item_id] = _Paid(line.code, line.unit, line.unit_cost, unit_cost, day)  # type: ignore[index, arg-type]

    def _show_differing(self) -> None:
        if not self._paid:
            self.differs.set_words("caution", "")
            return
        told = [
            f"{one.code} {format_unit_cost(one.paid)} (list {format_unit_cost(one.listed)})"
            for one in self._paid.values()
        ]
        many = len(told)
        words = f"Another price than the price list's: {', '.join(told[-3:])}"
        words += f" and {many - 3} more." if many > 3 else "."
        self.differs.set_words("caution", words, (f"Take {'it' if many == 1 else 'them'} as new", self.take_prices))

    def take_prices(self) -> None:
        """Put the prices paid on the price list, each from the day it was paid."""
        paid = dict(self._paid)

        def run(edit: Edit) -> None:
            for item_id, one in paid.items():
                set_price(edit, item_id, one.day, one.paid)

        days = sorted({one.day for one in paid.values()})
        said = f"{len(paid)} price{'' if len(paid) == 1 else 's'} on the list from {format_day_short(days[0])}."
        if attempt(self.desk, "Take prices paid as new", run, say=said, undo=True) is None:
            self._paid.clear()
            self._show_differing()
        self.table.setFocus()

    def hideEvent(self, event: QHideEvent) -> None:
        """What was not taken up is forgotten once the list is left; the purchases keep their prices."""
        super().hideEvent(event)
        if not event.spontaneous():
            self._paid.clear()
            self._show_differing()
            self.said.set_words("error", "")

    def _packs_of(self, line: ShoppingLine) -> int:
        return self._packs.get(line.key, line.packs)

    def _why(self, line: ShoppingLine) -> str:
        return self.shopping.why(line) if self.shopping else ""


def _pack_words(packs: int, line: ShoppingLine) -> str:
    """What stands behind the number of packs: ``× 10 ft``, ``tubes``."""
    shown = packs_in_words(packs, line.pack, line.unit) if line.for_truck else line.buy
    return shown.partition(" ")[2]


def _bought_words(line: ShoppingLine, unit_cost: Decimal | None) -> str:
    paid = line.unit_cost if unit_cost is None else unit_cost
    price = f" at {format_unit_cost(paid)} {'each' if line.unit == 'each' else f'a {line.unit}'}" if paid else ""
    return f"Bought: {line.description}{price}."
