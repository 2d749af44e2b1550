"""The price list: search, change in place, prices with the day they count from, and reading a price file."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from db.commands import price_list as commands
from db.queries.price_list import PriceRow, item_prices, price_list, suppliers
from desktop.desk import Desk
from desktop.pages.company.import_panel import ImportPanel
from desktop.pages.company.list_table import AddRow, ListTable, ListVerbs
from desktop.pages.company.part import Part, attempt, read_cell
from desktop.pages.company.price_history import PriceHistory
from desktop.widgets.cards import SearchBox, button, label, scroll_page
from desktop.widgets.form import DateField, TextField, TypedField
from desktop.widgets.table import Column
from domain.dates import format_day_short
from domain.money import format_unit_cost, parse_unit_cost
from domain.price_list import COSTED_BY, ITEM_CLASSES, costing_typed
from domain.units import format_percent, format_quantity, parse_percent, parse_quantity
from domain.unlikely import percent_doubt, price_doubt
from domain.words import fold

COSTING_TIP = (
    "Whole pieces; what is used, the rest of the pack being the next job's; or the cut list, its offcuts kept. "
    "Whole packs are for the shopping list."
)


class PricesPart(Part):
    """The list, or in its place the panel that reads a file."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Price list", "What you buy and what one unit costs. A price changed here counts from the day named; "
            "quotes sent and jobs logged keep theirs.",
        )  # fmt: skip
        self._supplier_ids: dict[str, int] = {}
        self._supplier_names: list[str] = []
        self._reading = False
        self.read_file = button("Read a price file", self.begin_import, icon_name="import")
        self.head.add_action(self.read_file)
        self.search = SearchBox("Code, name, kind or supplier")
        self.search.searched.connect(lambda _: self.refresh())
        self.from_day = DateField(desk.today, required=True)
        self.from_day.setAccessibleName("A changed price counts from")
        self.from_day.setFixedWidth(190)
        self.from_day.set_value(desk.today())
        self.list = self._make_list()
        self.search.target = self.list.table
        self.history = PriceHistory(desk)
        self.importing = ImportPanel(desk)
        self.importing.left.connect(self.end_import)
        self.stack = QStackedWidget()
        self.stack.addWidget(self._list_page())
        self.stack.addWidget(scroll_page(self.importing))
        self.add(self.stack, 1)

    def _make_list(self) -> ListTable:
        self.new_name, self.new_code, self.new_unit = TextField("Another item"), TextField("Code"), TextField("Unit")
        self.new_cost = TypedField(parse_unit_cost, format_unit_cost, placeholder="$ for one", right=True)
        made = ListTable(
            self.desk,
            ListVerbs(
                "item", self._change, commands.archive_item, commands.restore_item, commands.delete_item,
                name_of=lambda row: row.item.name, id_of=lambda row: row.item.id,
                is_archived=lambda row: row.item.archived,
            ),
            [
                Column("code", "Code", width=92, editable=True),
                Column("name", "Item", stretch=3, editable=True),
                Column("item_class", "Kind", width=98, editable=True),
                Column("unit", "Unit", width=62, editable=True),
                Column("pack_quantity", "Pack", "right", width=62, editable=True, tooltip="Units in what one buys"),
                Column("waste_percent", "Waste", "right", width=66, editable=True),
                Column("costed_by", "Job costed by", width=108, editable=True, tooltip=COSTING_TIP,
                       gives_way=True),
                Column("supplier", "Supplier", width=160, stretch=1, editable=True),
                Column("unit_cost", "One costs", "right", width=92, editable=True),
                Column("change", "Before", "right", width=84, tooltip="The price before this one", gives_way=True),
            ],
            "Price list",
            add_row=AddRow(
                [self.new_code, self.new_name, self.new_unit, self.new_cost], "Add", self._add, wide=1,
                draft=(self.desk, "item of the price list"),
            ),
            text={
                "code": lambda row: row.item.code,
                "name": lambda row: row.item.name,
                "item_class": lambda row: row.item.item_class,
                "unit": lambda row: row.item.unit,
                "pack_quantity": lambda row: format_quantity(row.item.pack_quantity),
                "waste_percent": lambda row: format_percent(row.item.waste_percent),
                "costed_by": lambda row: COSTED_BY.get(row.item.costed_by, row.item.costed_by),
                "unit_cost": lambda row: format_unit_cost(row.unit_cost) if row.unit_cost is not None else "no price",
                "change": lambda row: format_unit_cost(row.previous_cost) if row.previous_cost is not None else "",
            },
            sort_key={
                "pack_quantity": lambda row: row.item.pack_quantity,
                "waste_percent": lambda row: row.item.waste_percent,
                "unit_cost": lambda row: row.unit_cost,
                "change": lambda row: row.previous_cost,
            },
            tone={"change": _tone_of_change, "unit_cost": lambda row: "error" if row.unit_cost is None else None},
            doubt=_doubt,
            tip={"unit_cost": _since, "change": _since, "name": lambda row: row.item.name},
            choices={
                "item_class": lambda _: list(ITEM_CLASSES),
                "costed_by": lambda _: list(COSTED_BY.values()),
                "unit": lambda _: sorted({row.item.unit for row in self.list.model.rows}),
                "supplier": lambda _: self._supplier_names,
            },
        )  # fmt: skip
        made.table.set_empty(
            "No item found", "Type the first one above, or read your supplier's price file.", "Read a price file",
            self.begin_import,
        )  # fmt: skip
        made.current_changed.connect(self._show_history)
        made.archived_wanted.connect(lambda _: self.refresh())
        return made

    def _list_page(self) -> QWidget:
        line = QHBoxLayout()
        line.setSpacing(8)
        line.addWidget(self.search, 1)
        line.addSpacing(16)
        words = label("A changed price counts from", "small", "soft")
        words.setBuddy(self.from_day)
        line.addWidget(words)
        line.addWidget(self.from_day)
        page = QWidget()
        box = QVBoxLayout(page)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(8)
        box.addLayout(line)
        box.addWidget(self.list, 1)
        box.addWidget(self.history)
        return page

    def refresh(self) -> None:
        if self.stack.currentIndex() == 1:
            self.importing.refresh()
            return
        with self.desk.read() as conn:
            rows = price_list(conn, self.desk.today(), self.search.text(), self.list.shows_archived())
            known = suppliers(conn)
        self._supplier_names = [one.name for one in known]
        self._supplier_ids = {fold(one.name): one.id for one in known}
        self._reading = True
        self.list.set_rows(rows, f"{len(rows)} item{'' if len(rows) == 1 else 's'}")
        if self.list.table.current_row() is None and rows and not self.search.text():
            self.list.select(self.list.model.rows[0].item.id)
        self._reading = False
        self._show_history(self.list.table.current_row())

    def begin_import(self) -> None:
        """Show the panel that reads a price file."""
        self.stack.setCurrentIndex(1)
        self.read_file.hide()
        self.importing.begin()

    def end_import(self) -> None:
        """Back to the list."""
        self.stack.setCurrentIndex(0)
        self.read_file.show()
        self.refresh()
        self.list.table.setFocus()

    def _show_history(self, row: PriceRow | None) -> None:
        if self._reading:
            return
        if row is None:
            self.history.show_prices(None, [])
            return
        with self.desk.read() as conn:
            prices = item_prices(conn, row.item.id)
        self.history.show_prices(row, prices)

    def _change(self, row: PriceRow, key: str, typed: str) -> str | None:
        if key == "unit_cost":
            return self._set_price(row, typed)
        value: Any = typed.strip()
        message: str | None = None
        if key == "pack_quantity":
            value, message = read_cell(lambda text: parse_quantity(text, row.item.unit), typed)
        elif key == "waste_percent":
            value, message = read_cell(parse_percent, typed)
        elif key == "costed_by":
            value, message = read_cell(costing_typed, typed)
        elif key == "supplier":
            key, value = "supplier_id", None
            if typed.strip():
                value = self._supplier_ids.get(fold(typed.strip()))
                if value is None:
                    message = f"“{typed.strip()}” is not among the suppliers. Add it there first."
        return message or attempt(
            self.desk, f"Change {row.item.name}",
            lambda edit: commands.change_item(edit, row.item.id, **{key: value}),
        )  # fmt: skip

    def _set_price(self, row: PriceRow, typed: str) -> str | None:
        cost, message = read_cell(parse_unit_cost, typed)
        if message or not self.from_day.commit():
            return message or "Say first from which day the price counts, above."
        day = self.from_day.value()
        return attempt(
            self.desk, f"Price of {row.item.name} from {format_day_short(day)}",
            lambda edit: commands.set_price(edit, row.item.id, day, cost),
            say=f"{row.item.name}: {format_unit_cost(cost)} from {format_day_short(day)}.", undo=True,
        )  # fmt: skip

    def _add(self) -> str | tuple[str, QWidget] | None:
        name, code, unit = self.new_name.value(), self.new_code.value(), self.new_unit.value() or "each"
        cost: Decimal | None = self.new_cost.value()
        if cost is None:
            return "Say what one costs.", self.new_cost
        made: list[int] = []
        day = self.from_day.value() or self.desk.today()
        message = attempt(
            self.desk, f"Add {name}", lambda edit: made.append(commands.add_item(edit, code, name, unit, cost, day))
        )
        if made and not message:
            self.list.select(made[0])
        return message


def _tone_of_change(row: PriceRow) -> str | None:
    if row.item.archived or not row.cost_change:
        return "ink_faint"
    return "over" if row.cost_change > 0 else "under"


def _doubt(row: PriceRow, key: str) -> str:
    if key == "unit_cost" and row.unit_cost is not None:
        return price_doubt(row.unit_cost, row.previous_cost, "before it was")
    return percent_doubt(row.item.waste_percent, Decimal(50)) if key == "waste_percent" else ""


def _since(row: PriceRow) -> str:
    words = []
    if row.priced_on and row.unit_cost is not None:
        words.append(f"{format_unit_cost(row.unit_cost)} from {format_day_short(row.priced_on)}")
    if row.previous_on and row.previous_cost is not None:
        words.append(f"before that {format_unit_cost(row.previous_cost)} from {format_day_short(row.previous_on)}")
    if row.next_on:
        words.append(f"another price is entered from {format_day_short(row.next_on)}")
    return "; ".join(words)
