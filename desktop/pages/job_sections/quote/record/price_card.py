"""The price this job can carry: what the price asked does, the floor, and prices by how sure the owner wants to be."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from PySide6.QtWidgets import QHBoxLayout, QWidget

from db.commands.quotes import set_pricing
from desktop.pages.job_sections.quote.record.outlook import QuoteOutlook
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import Card, button, label, set_tone
from desktop.widgets.form import PercentField
from desktop.widgets.full_table import FullTable
from desktop.widgets.half import only_asks
from desktop.widgets.table import Column, RowsModel
from domain.job_price import (
    Outlook,
    asked_words,
    capital,
    carries_sentence,
    chance_words,
    floor_sentence,
    goodwill_sentence,
)
from domain.money import format_money
from domain.units import format_percent

CHANCES = (0.5, 0.7, 0.8, 0.9)
LEAST_SURE, MOST_SURE = Decimal(1), Decimal(99)


@dataclass(frozen=True, slots=True)
class PriceRow:
    """A price and what it is good for."""

    words: str
    price_cents: int
    more_cents: int  # against the price asked


class PriceCard(Card):
    """Enter on a price fixes it."""

    def __init__(self, seen: QuoteOutlook) -> None:
        super().__init__("The price this job can carry")
        self.seen, self.editing = seen, seen.editing
        self.outlook: Outlook | None = None
        self.loss, self.target = label("", "body", wrap=True), label("", "body", wrap=True)
        self.floor, self.goodwill = label("", "body", wrap=True), label("", "body", "goodwill", wrap=True)
        self.prices = FullTable(
            RowsModel(
                [
                    Column("sure", "To cover the cost in", stretch=1),
                    Column("price", "Price", "right", width=120),
                    Column("more", "Against the price asked", "right", width=190),
                ],
                text={
                    "sure": lambda row: row.words, "price": lambda row: format_money(row.price_cents),
                    "more": lambda row: format_money(row.more_cents, signed=True),
                },
                row_id=lambda row: row.words,
            ),
            "Prices by how sure you want to be",
        )  # fmt: skip
        self.prices.row_activated.connect(lambda row: self._use(row.price_cents))
        self.use = button("Use this price", self._use_current, "plain", "check",
                          "Fix the price at the row the cursor is on (Enter)")  # fmt: skip
        self.add_action(self.use)
        for part in (self.loss, self.target, self.floor, self.goodwill, self._asking(), self.prices):
            self.add(part)

    def _asking(self) -> QWidget:
        """How sure, in any percent: the price follows while one types."""
        self.sure = PercentField(least=LEAST_SURE, most=MOST_SURE)
        only_asks(self.sure)
        self.sure.setFixedWidth(90)
        self.sure.setAccessibleName("How sure you want to be that the price covers the cost")
        set_tip(self.sure, "Any part of 100 jobs like it, from 1 to 99%: the price that covers so many")
        self.sure.setPlaceholderText("85%")
        name = label("Cover the cost in", "body", "soft")
        name.setBuddy(self.sure)
        self.answer = label("", "body")
        self.use_sure = button("Use it", self._use_sure, "plain", "check", "Fix the price at this one")
        self.sure.typed.connect(self._show_sure)
        self.sure.edited.connect(self._show_sure)
        self.sure.misread.connect(self._say_unread)
        row = QWidget()
        line = QHBoxLayout(row)
        line.setContentsMargins(0, 0, 0, 0)
        for part in (name, self.sure, self.answer, self.use_sure):
            line.addWidget(part)
        line.addStretch(1)
        return row

    def show_outlook(self, outlook: Outlook) -> None:
        """What the price asked does to jobs like it, and the prices that hold."""
        self.outlook = outlook
        asked = outlook.totals.list_price_cents
        self.loss.setText(
            f"At {asked_words(outlook)}, {chance_words(outlook.loss_chance)} jobs like it would lose money. "
            f"{carries_sentence(outlook)}"
        )
        set_tone(self.loss, "over" if outlook.loss_chance >= 0.5 else "")
        self.target.setText(
            f"{capital(chance_words(outlook.target_chance))} would reach the "
            f"{format_percent(outlook.target_percent)} you want; in the middle case that takes "
            f"{format_money(outlook.price_for_target)}."
        )
        self.floor.setText(floor_sentence(outlook))
        self.floor.setVisible(bool(self.floor.text()))
        given = goodwill_sentence(outlook)
        self.goodwill.setText(given)
        self.goodwill.setVisible(bool(given))
        rows = [(f"{chance_words(one)} jobs like it", outlook.price_without_loss(one)) for one in CHANCES]
        rows.append(("the middle case, with the margin wanted", outlook.price_for_target))
        self.prices.rows_model().set_rows([PriceRow(words, price, price - asked) for words, price in rows])
        if self.sure.problem() or not self.sure.isModified():
            self._show_sure(None if self.sure.problem() else self.sure.value())
            if self.sure.problem():
                self.answer.setText(self.sure.problem())

    def _show_sure(self, percent: Decimal | None) -> None:
        price = self._sure_price(percent)
        self.use_sure.setEnabled(price is not None)
        if price is None or self.outlook is None:
            self.answer.setText("of jobs like it, as sure as you type")
            return
        more = format_money(price - self.outlook.totals.list_price_cents, signed=True)
        self.answer.setText(f"of jobs like it: {format_money(price)}, {more} against the price asked")

    def _say_unread(self, reason: str) -> None:
        """What stands typed cannot be used: no price is answered for it, and none can be taken."""
        self.use_sure.setEnabled(False)
        self.sure.set_problem(reason)
        self.answer.setText(reason)

    def _sure_price(self, percent: Decimal | None) -> int | None:
        if percent is None or self.outlook is None or not LEAST_SURE <= percent <= MOST_SURE:
            return None
        return self.outlook.price_without_loss(float(percent / 100))

    def _use_sure(self) -> None:
        if self.sure.commit() and (price := self._sure_price(self.sure.value())) is not None:
            self._use(price)

    def _use_current(self) -> None:
        row = self.prices.current_row()
        if row is None:
            self.editing.desk.say("Put the cursor on a price first.")
            return
        self._use(row.price_cents)

    def _use(self, cents: int) -> None:
        quote_id, outlook = self.editing.quote.id, self.outlook
        if outlook is None:
            return
        base = cents - (outlook.totals.list_price_cents - self.editing.price().base.price_cents)  # options keep theirs
        self.editing.save(
            "Fix the price", lambda edit: set_pricing(edit, quote_id, pricing="fixed", fixed_price_cents=base),
            say=f"The price is {format_money(base)}", undo=True,
        )  # fmt: skip
