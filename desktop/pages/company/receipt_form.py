"""A receipt typed whole: who sold it, its number and day, what is on it and for whom, and its sales tax."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QWidget

from db.commands.receipts import book_receipt
from db.queries.log_offers import OfferedJob
from desktop.desk import Desk
from desktop.pages.company.entry_page import fill_entry_page
from desktop.pages.company.not_kept_asked import NotKeptAsked
from desktop.pages.company.part import attempt
from desktop.pages.draft_lines import lines_as_words, lines_in_words
from desktop.pages.drafts import Draft
from desktop.pages.job_sections.quote.lines_table import LineKeys, LinesTable
from desktop.widgets.cards import Card, Notice, button, label
from desktop.widgets.foot_model import FootModel
from desktop.widgets.form import ChoiceField, DateField, Form, MoneyField, SwitchField, TextField
from desktop.widgets.table import Column
from domain.buying.receipt import TRUCK, ReceiptLine, goods_cents, line_typed
from domain.errors import NotUnderstood
from domain.money import format_money, format_unit_cost
from domain.price_list import PricedItem, Supplier
from domain.quoting.typed import Picks
from domain.units import format_quantity
from domain.unlikely import amount_doubt, done_on, price_doubt, quantity_doubt

COLUMNS = [
    Column("item", "Item", stretch=2, editable=True, tooltip="A code, any part of a name, or words of your own"),
    Column("quantity", "How many", "right", width=96, editable=True),
    Column("unit", "Unit", width=70, editable=True),
    Column("unit_cost", "Paid for one", "right", width=106, editable=True, tooltip="Without sales tax"),
    Column("amount", "Amount", "right", width=96, editable=True, tooltip="Type the whole amount of the line instead"),
    Column("where", "For", width=150, stretch=1, editable=True, tooltip="truck, or the number of a job"),
]
INVITE = "Type what was bought"
NO_PRICE = "no price"


class ReceiptForm(QWidget):
    """Nothing is written before the receipt is booked, and then all of it as one step."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self._picks = Picks((), ())
        self._usual: Mapping[int, Decimal] = {}
        self._jobs: dict[int, str] = {}
        self._lines: list[ReceiptLine] = []
        self._keys = LineKeys()
        self._next = 1
        self.form = Form(columns=2)
        self.supplier = self.form.add("Supplier", ChoiceField(placeholder="A supplier, or a new name", allow_new=True))
        self.supplier.prefers_kept = True
        self.day = self.form.add("Bought on", DateField(desk.today, required=True, doubt=done_on(desk.today)))
        self.receipt = self.form.add("Receipt number", TextField())
        self.where = self.form.add("Bought for", ChoiceField(required=True))
        self.where.edited.connect(self._all_for)
        self.day.set_value(desk.today())
        self.table = self._make_table()
        self.tax = MoneyField(least=0)
        self.tax.setAccessibleName("Sales tax on the receipt")
        self.tax.setFixedWidth(110)
        self.tax.edited.connect(lambda _: self._show_total())
        self.used = SwitchField("Used on the job already: enter it in its log")
        self.goods, self.total = label("", "small", "soft"), label("", "strong")
        self.problem = Notice("caution")
        self._asked = NotKeptAsked(self.table, self.problem, "book it without")
        self.book = button("Book the receipt", self.book_it, "primary", "check", "Ctrl+Enter")
        self.clear = button("Clear", self.start_anew, "quiet", "cross", "Forget what was typed here")
        names = ("supplier", "day", "receipt", "where", "tax")
        self.draft = Draft(
            desk, "receipt", {one: getattr(self, one) for one in names},
            lines=(lambda: lines_as_words(self._lines), self._lines_again),
        )  # fmt: skip
        self._arrange()
        for keys in ("Ctrl+Return", "Ctrl+Enter"):
            QShortcut(QKeySequence(keys), self, self.book_it)
        self._show_lines()

    def _make_table(self) -> LinesTable:
        self.model = FootModel(
            COLUMNS,
            text={
                "item": lambda one: one.description if one.id else INVITE,
                "quantity": lambda one: format_quantity(one.quantity) if one.id else "",
                "unit": lambda one: one.unit if one.id else "",
                "unit_cost": lambda one: _cost(one) if one.id else "",
                "amount": lambda one: format_money(one.cents) if one.id and one.unit_cost is not None else "",
                "where": lambda one: self._where(one.job_id) if one.id else "",
            },
            tone={
                "item": lambda one: "" if one.id else "ink_faint",
                "unit_cost": lambda one: "over" if one.id and one.unit_cost is None else "",
            },
            row_id=lambda one: self._keys.name(one.id),
            lasting=self._keys.lasting,
            setter=self._type,
            doubt=self._doubt,
            can_edit=lambda one, key: key == "item" if not one.id else key != "unit" or one.item_id is None,
            choices={"item": lambda _: self._picks.item_labels, "where": lambda _: [TRUCK, *self._jobs.values()]},
        )
        table = LinesTable(self.model, "On the receipt", "item")
        table.removed.connect(self._remove)
        return table

    def _arrange(self) -> None:
        card = Card("Receipt", "Delete removes a line")
        card.add(self.form)
        card.add(self.table)
        foot = QHBoxLayout()
        foot.setSpacing(8)
        words = label("Sales tax on the receipt", "small", "soft")
        words.setBuddy(self.tax)
        for widget in (self.goods, words, self.tax, self.total):
            foot.addWidget(widget)
        foot.insertStretch(0, 1)
        card.add(foot)
        actions = QHBoxLayout()
        actions.addWidget(self.book)
        actions.addWidget(self.clear)
        actions.addWidget(self.used)
        actions.addStretch(1)
        fill_entry_page(self, card, self.problem, actions)

    # Showing.

    def show_choices(
        self, suppliers: Sequence[Supplier], items: Sequence[PricedItem], jobs: Sequence[OfferedJob],
        usual: Mapping[int, Decimal] | None = None,
    ) -> None:  # fmt: skip
        """Take what can be chosen; what is typed stays. ``usual``: how much of an item is bought at a time."""
        self._picks = Picks((), tuple(items))
        self._usual = usual or {}
        self._jobs = {one.id: f"{one.number}  {one.customer}" for one in jobs}
        self.supplier.set_choices([(one.id, one.name) for one in suppliers])
        kept = self.where.value()
        self.where.set_choices([(TRUCK, "the truck"), *self._jobs.items()])
        self.where.set_value(kept if kept in self._jobs else TRUCK)
        self._show_lines()
        if not self.draft.begun:
            self.draft.turn()

    def _show_lines(self) -> None:
        self.model.set_rows([*self._lines, ReceiptLine(0)])
        self._show_total()

    def _show_total(self) -> None:
        goods, tax = goods_cents(self._lines), self.tax.value() or 0
        self.goods.setText(f"Goods {format_money(goods)}" if self._lines else "")
        self.total.setText(f"Total {format_money(goods + tax)}" if self._lines else "")
        for_jobs = any(line.job_id is not None for line in self._lines)
        self.used.setVisible(for_jobs)
        self.book.setEnabled(bool(self._lines))

    def _where(self, job_id: int | None) -> str:
        return TRUCK if job_id is None else self._jobs.get(job_id, "a job that is not running")

    def _lines_again(self, words: str) -> None:
        self._lines = lines_in_words(ReceiptLine, words)
        self._next = max((line.id for line in self._lines), default=0) + 1
        self._show_lines()

    # Typing.

    def _type(self, line: ReceiptLine, key: str, text: str) -> str | None:
        try:
            typed = line_typed(line, key, text, self._picks, self._jobs)
        except NotUnderstood as problem:
            return str(problem)
        if line.id:
            self._lines = [typed if one.id == line.id else one for one in self._lines]
        else:
            where = self.where.value()
            fresh = replace(typed, id=self._next, job_id=where if isinstance(where, int) else None)
            self._lines.append(fresh)
            self._keys.became(self._next)
            self._next += 1
            self.table.just_added = True
        self._show_lines()
        self.draft.note()
        return None

    def _doubt(self, line: ReceiptLine, key: str) -> str:
        """What is odd about a figure beside the price list and what was bought before."""
        priced = self._picks.item(line.item_id)
        if key == "quantity":
            usual = self._usual.get(line.item_id or 0)
            return quantity_doubt(line.quantity, line.unit, line.description, usual=usual, unit_cost=line.unit_cost)
        if key in ("unit_cost", "amount") and line.unit_cost is not None:
            known = priced.unit_cost if priced else None
            return price_doubt(line.unit_cost, known) or (amount_doubt(line.cents) if known is None else "")
        return ""

    def _remove(self, line: Any) -> None:
        self._lines = [one for one in self._lines if one.id != line.id]
        self._show_lines()
        self.draft.note()

    def _all_for(self, where: Any) -> None:
        job_id = where if isinstance(where, int) else None
        self._lines = [replace(line, job_id=job_id) for line in self._lines]
        self._show_lines()

    # Doing.

    def book_it(self) -> None:
        """Book what is on the receipt; what is refused stays as it was typed."""
        if not self.form.commit_all() or not self.tax.commit() or not self._lines or not self._asked.goes_on():
            return
        lines, day, today = list(self._lines), self.day.value(), self.desk.today()
        number = self.receipt.text().strip()
        used = self.used.value() and any(line.job_id is not None for line in lines)
        things = "1 line" if len(lines) == 1 else f"{len(lines)} lines"
        message = attempt(
            self.desk, f"Book receipt {number}".strip(),
            lambda edit: book_receipt(
                edit, lines, day, today, supplier_id=self.supplier.value(), receipt=number,
                tax_cents=self.tax.value() or 0, used=used,
            ),
            say=f"Receipt {number} booked: {things}.".replace("  ", " "), undo=True,
        )  # fmt: skip
        self.problem.set_words("caution", message or "")
        if message is None:
            self.start_anew()

    def start_anew(self) -> None:
        """An empty receipt of the same day and supplier's list."""
        self._lines = []
        self._asked.forget()
        self.draft.drop()
        for field in (self.supplier, self.receipt, self.tax):
            field.reset()
        self.used.set_value(False)
        self.problem.set_words("caution", "")
        self._show_lines()
        self.supplier.setFocus()


def _cost(line: ReceiptLine) -> str:
    return NO_PRICE if line.unit_cost is None else format_unit_cost(line.unit_cost)
