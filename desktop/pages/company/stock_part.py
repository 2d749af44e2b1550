"""Truck stock: what lies on the truck, typed as it is counted, and when to buy again."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from db.commands import buying
from db.queries.buying.offcuts import OffcutRow, offcuts_on_truck, shortest_offcut
from db.queries.buying.truck import truck
from desktop.desk import COMPANY, Desk
from desktop.pages.company.part import Part, attempt, read_cell
from desktop.widgets.cards import SearchBox, button, label, segments
from desktop.widgets.form import DateField
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.buying import StockRow, packs_in_words, stock_cents
from domain.dates import format_day_short
from domain.job_takeoff.offcuts import SHORTEST_FT
from domain.money import format_money
from domain.units import format_quantity, parse_quantity
from domain.words import matches, search_text

if TYPE_CHECKING:
    from desktop.pages.company.offcuts_list import OffcutsList

_VIEWS = (
    ("kept", "On the truck"), ("low", "To buy again"), ("all", "Whole price list"), ("offcuts", "Pipe offcuts"),
)  # fmt: skip


class StockPart(Part):
    """One row an item. A number typed under On hand is a count; what is entered after it is added and taken off."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Truck stock",
            "What is on the truck. Type what you count: purchases ticked off afterwards add to it, and what the log "
            "takes from stock is taken off.",
        )  # fmt: skip
        self._rows: list[StockRow] = []
        self._pieces: list[OffcutRow] = []
        self._shortest = SHORTEST_FT
        self.view = segments(_VIEWS, lambda _: self._show(), "Which items")
        self.search = SearchBox("Code, name, kind or supplier")
        self.search.searched.connect(lambda _: self._show())
        self.counted_on = DateField(desk.today, required=True)
        self.counted_on.setAccessibleName("Counted on")
        self.counted_on.setFixedWidth(190)
        self.counted_on.set_value(desk.today())
        self.table = self._make_table()
        self.search.target = self.table
        self.total = label("", "small", "soft")
        self.off = button("Take off the truck", self.take_off, "quiet", "cross")
        self.offcuts: OffcutsList | None = None  # made when it is first turned to
        self.to_shopping = button("Shopping list", lambda: desk.go(COMPANY, "shopping"), icon_name="right")
        self.head.add_action(self.to_shopping)
        self._arrange()
        delete = QShortcut(QKeySequence("Delete"), self.table)
        delete.setContext(Qt.ShortcutContext.WidgetShortcut)
        delete.activated.connect(self.take_off)

    def _make_table(self) -> RowsTable:
        self.model = RowsModel(
            [
                Column("code", "Code", width=84),
                Column("name", "Item", stretch=2),
                Column("on_hand", "On hand", "right", width=84, editable=True, tooltip="Type what you count"),
                Column("unit", "", width=58),
                Column("reorder_at", "Buy again at", "right", width=84, editable=True, tooltip="The reorder point"),
                Column("fill_to", "Fill up to", "right", width=76, editable=True),
                Column("state", "", width=136, kind="state"),
                Column("counted", "Last count", gives_way=True),
            ],
            text={
                "code": lambda row: row.item.code,
                "name": lambda row: row.item.name,
                "unit": lambda row: row.item.unit,
                "on_hand": lambda row: "" if row.on_hand is None else format_quantity(row.on_hand),
                "reorder_at": lambda row: "" if row.reorder_at is None else format_quantity(row.reorder_at),
                "fill_to": lambda row: "" if row.fill_to is None else format_quantity(row.fill_to),
                "state": _state,
                "counted": _last_count,
            },
            sort_key={
                "on_hand": lambda row: row.on_hand,
                "reorder_at": lambda row: row.reorder_at,
                "fill_to": lambda row: row.fill_to,
                "counted": lambda row: row.counted_on,
            },
            tone={
                "on_hand": lambda row: "error" if _is_wrong(row) else "over" if row.is_low else None,
                "state": lambda row: "error" if _is_wrong(row) else "over",
                "counted": lambda _: "ink_soft",
            },
            tip={"counted": _since, "name": lambda row: row.item.name, "on_hand": _since},
            row_id=lambda row: row.item.id,
            setter=self._change,
        )
        table = RowsTable(self.model, "Truck stock")
        table.current_changed.connect(lambda row: self.off.setEnabled(row is not None and row.is_kept))
        return table

    def _arrange(self) -> None:
        line = QHBoxLayout()
        line.setSpacing(8)
        words = label("Counted on", "small", "soft")
        words.setBuddy(self.counted_on)
        views = QHBoxLayout()  # a line of their own: their counts need the room in a small window
        views.addWidget(self.view, 0, Qt.AlignmentFlag.AlignLeft)
        for widget, share in ((self.search, 1), (words, 0), (self.counted_on, 0)):
            line.addWidget(widget, share)
        foot = QHBoxLayout()
        foot.addWidget(self.off)
        foot.addStretch(1)
        foot.addWidget(self.total)
        self._counting = QWidget()
        counting = QVBoxLayout(self._counting)
        counting.setContentsMargins(0, 0, 0, 0)
        counting.setSpacing(8)
        counting.addWidget(self.table, 1)
        counting.addLayout(foot)
        self._not_for_offcuts = (self.search, words, self.counted_on)
        self._shown = QStackedWidget()
        self._shown.addWidget(self._counting)
        self._column.addLayout(views)
        self._column.addLayout(line)
        self.add(self._shown, 1)
        self.off.setEnabled(False)

    def refresh(self) -> None:
        with self.desk.read() as conn:
            self._rows = truck(conn, self.desk.today())
            self._pieces, self._shortest = offcuts_on_truck(conn), shortest_offcut(conn)
        self.view.set_words("offcuts", f"{_VIEWS[3][1]} ({len(self._pieces)})")
        kept = [row for row in self._rows if row.is_kept]
        counts = {"kept": len(kept), "low": sum(row.is_low for row in kept)}
        for key, title in _VIEWS[:2]:
            self.view.set_words(key, f"{title} ({counts[key]})")
        self.total.setText(_worth(kept))
        self._show()

    def _show(self) -> None:
        which = self.view.value()
        self._shown.setCurrentWidget(self._offcuts_shown() if which == "offcuts" else self._counting)
        for widget in self._not_for_offcuts:
            widget.setVisible(which != "offcuts")
        rows = [row for row in self._rows if not row.item.archived or row.is_kept]
        if which != "all":
            rows = [row for row in rows if row.is_kept and (which == "kept" or row.is_low)]
        if wanted := self.search.text().strip():
            rows = [row for row in rows if matches(wanted, _searched(row))]
        self._guide(str(which), bool(wanted))
        self.model.set_rows(rows)
        row = self.table.current_row()
        self.off.setEnabled(row is not None and row.is_kept)

    def _offcuts_shown(self) -> OffcutsList:
        if self.offcuts is None:
            from desktop.pages.company.offcuts_list import OffcutsList

            self.offcuts = OffcutsList(self.desk)
            self._shown.addWidget(self.offcuts)
        self.offcuts.show_offcuts(self._pieces, self._shortest)
        return self.offcuts

    def _guide(self, which: str, searching: bool) -> None:
        if searching:
            self.table.set_empty("Nothing found", "Another word may find it, or look through the whole price list.")
        elif which == "low":
            self.table.set_empty("Nothing to buy again", "Everything that was counted lies above its reorder point.")
        else:
            self.table.set_empty(
                "Nothing counted yet", "Take the whole price list, and type how much of an item lies on the truck and "
                "when to buy it again.", "Whole price list", self._take_all,
            )  # fmt: skip

    def _take_all(self) -> None:
        self.view.set_value("all")
        self._show()
        self.table.setFocus()

    def take_off(self) -> None:
        """No longer keep the item under the cursor on the truck."""
        row = self.table.current_row()
        if row is None or not row.is_kept:
            return
        attempt(
            self.desk, f"Take {row.item.name} off the truck",
            lambda edit: buying.take_off_truck(edit, row.item.id),
            say=f"“{row.item.name}” is no longer kept on the truck.", undo=True,
        )  # fmt: skip

    def _change(self, row: StockRow, key: str, typed: str) -> str | None:
        if key == "on_hand":
            return self._count(row, typed)
        if not typed.strip():
            return attempt(
                self.desk, f"Reorder point of {row.item.name}", lambda edit: buying.clear_reorder(edit, row.item.id)
            )
        value, message = read_cell(lambda text: parse_quantity(text, row.item.unit), typed)
        if message:
            return message
        at, to = _limits(row, key, value)
        return attempt(
            self.desk, f"Reorder point of {row.item.name}",
            lambda edit: buying.set_reorder(edit, row.item.id, at, to),
        )  # fmt: skip

    def _count(self, row: StockRow, typed: str) -> str | None:
        if not typed.strip():
            return "Type what you counted; 0 when there is none. To stop counting it, take it off the truck."
        value, message = read_cell(lambda text: parse_quantity(text, row.item.unit), typed)
        if message or not self.counted_on.commit():
            return message or "Say first on which day it was counted, above."
        day = self.counted_on.value()
        return attempt(
            self.desk, f"Count {row.item.name}",
            lambda edit: buying.count_item(edit, row.item.id, value, day, self.desk.today()),
        )  # fmt: skip


def _limits(row: StockRow, key: str, value: Decimal) -> tuple[Decimal, Decimal]:
    """Reorder point and level; the one that is missing yet begins a pack away from the one typed."""
    if key == "fill_to":
        return row.reorder_at if row.reorder_at is not None else Decimal(0), value
    return value, row.fill_to if row.fill_to is not None else value + row.item.pack_quantity


def _is_wrong(row: StockRow) -> bool:
    return row.on_hand is not None and row.on_hand < 0


def _state(row: StockRow) -> str:
    if _is_wrong(row):
        return "count again"
    if row.is_low:
        return f"buy {packs_in_words(row.refill_packs, row.item.pack_quantity, row.item.unit)}"
    return "not counted" if row.counted is None and row.is_kept else ""


def _last_count(row: StockRow) -> str:
    if row.counted is None or row.counted_on is None:
        return ""
    moves = "".join(
        f", {sign}{format_quantity(moved)}" for sign, moved in (("+", row.bought), ("−", row.used)) if moved
    )
    return f"{format_quantity(row.counted)} on {format_day_short(row.counted_on).partition(',')[0]}{moves}"


def _since(row: StockRow) -> str:
    if row.counted is None or row.counted_on is None:
        return "Never counted."
    unit = row.item.unit
    words = (
        f"Counted {format_quantity(row.counted, unit)} on {format_day_short(row.counted_on)}; since then bought "
        f"{format_quantity(row.bought, unit)}, taken by the log {format_quantity(row.used, unit)}."
    )
    if row.odd_entries:
        entries = "1 log entry" if row.odd_entries == 1 else f"{row.odd_entries} log entries"
        words += f" {entries} in another unit could not be taken off."
    if _is_wrong(row):
        words += " Less than nothing cannot be: count it again."
    return words


def _worth(kept: list[StockRow]) -> str:
    things = "1 item kept" if len(kept) == 1 else f"{len(kept)} items kept"
    return f"{things}, worth {format_money(stock_cents(kept))} at today's prices" if kept else ""


def _searched(row: StockRow) -> str:
    return search_text(row.item.code, row.item.name, row.item.item_class, row.supplier)
