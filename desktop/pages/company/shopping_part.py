"""The shopping list: what to buy for the next days and to fill the truck up, ticked off with the price paid."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from db.queries.buying.needs import DaysWork, days_work
from db.queries.buying.purchases import PurchaseRow, purchases_since, usual_quantities
from db.queries.firm import firm
from db.queries.log_offers import jobs_to_offer
from db.queries.price_list import priced_items, suppliers
from desktop.desk import COMPANY, Desk
from desktop.pages.company.paper_stack import PaperStack, save_csv
from desktop.pages.company.part import Part
from desktop.pages.company.to_buy_list import ToBuyList
from desktop.widgets.cards import button, segments
from domain.buying import ShoppingList

if TYPE_CHECKING:
    from desktop.pages.company.bought_list import BoughtList
    from desktop.pages.company.receipt_form import ReceiptForm

VIEWS = (("buy", "To buy"), ("receipt", "Book a receipt"), ("bought", "Bought lately"))
BOUGHT_DAYS = 30
"""How far back purchases are shown."""
JOBS_OFFERED = 60


class ShoppingPart(Part):
    """To buy, and beside it what was bought lately."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Shopping list",
            "What the jobs of the next days need beyond the truck, and what fills it up, in whole packs. Enter ticks a "
            "thing off at the price shown; type the price first if you paid another.",
        )  # fmt: skip
        self._work: DaysWork | None = None
        self.shopping: ShoppingList | None = None
        self.to_pull = button("Pull sheet", lambda: desk.go(COMPANY, "pull"), icon_name="right")
        self.as_csv = button("Save as CSV…", self.save_csv, icon_name="table")
        self.show_paper = button("Paper", self.make_paper, "primary", "paper")
        for one in (self.as_csv, self.to_pull, self.show_paper):
            self.head.add_action(one)
        self.view = segments(VIEWS, lambda _: self._turn(), "What is shown")
        self.to_buy = ToBuyList(desk)
        self._bought: BoughtList | None = None  # this and the next are made when they are first turned to
        self._purchases: list[PurchaseRow] = []
        self.receipt: ReceiptForm | None = None
        self.to_buy.days_chosen.connect(self.refresh)
        self.pages = QStackedWidget()
        self.pages.addWidget(self.to_buy)
        body = QWidget()
        box = QVBoxLayout(body)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(8)
        box.addWidget(self.view)
        box.addWidget(self.pages, 1)
        self.stack = PaperStack(desk, body, "Back to the shopping list")
        self.add(self.stack, 1)

    def refresh(self) -> None:
        today = self.desk.today()
        last = today + timedelta(days=self.to_buy.days())
        with self.desk.read() as conn:
            self._work = days_work(conn, today, last, today)
            self._purchases = purchases_since(conn, today - timedelta(days=BOUGHT_DAYS))
        self.shopping = self._work.shopping_list()
        self.to_buy.show_list(self.shopping)
        self._show_bought()
        if self.view.value() != "buy":
            self._offer()
        self.view.set_words("buy", f"To buy ({len(self.shopping.lines)})")
        self.view.set_words("bought", f"Bought lately ({len(self._purchases)})")
        for one in (self.show_paper, self.as_csv):
            one.setEnabled(bool(self.shopping.lines))

    @property
    def bought(self) -> BoughtList:
        """What was bought lately."""
        if self._bought is None:
            from desktop.pages.company.bought_list import BoughtList

            self._bought = BoughtList(self.desk)
            self.pages.addWidget(self._bought)
            self._show_bought()
        return self._bought

    def _show_bought(self) -> None:
        if self._bought is not None and self._work is not None:
            self._bought.show_purchases(self._purchases, self._work.truck)

    def _turn(self) -> None:
        which = self.view.value()
        if which == "receipt" and self.receipt is None:
            from desktop.pages.company.receipt_form import ReceiptForm

            self.receipt = ReceiptForm(self.desk)
            self.pages.addWidget(self.receipt)
        shown = self.to_buy if which == "buy" else self.bought if which == "bought" else self.receipt
        if shown is not None:
            self.pages.setCurrentWidget(shown)
        if which != "buy":
            self._offer()
        if which == "receipt" and self.receipt is not None:
            self.receipt.supplier.setFocus()

    def _offer(self) -> None:
        """Read what can be chosen where purchases are typed; the list to buy does not need it."""
        today = self.desk.today()
        with self.desk.read() as conn:
            sellers, running = suppliers(conn), jobs_to_offer(conn, today, JOBS_OFFERED)
            priced = priced_items(conn, today) if self.receipt is not None else []
            usual = usual_quantities(conn)
        if self._bought is not None:
            self._bought.offer(sellers, running, usual)
        if self.receipt is not None:
            self.receipt.show_choices(sellers, priced, running, usual)

    def make_paper(self) -> None:
        """Show the list as it prints."""
        if self.shopping is None or not self.shopping.lines:
            return
        from desktop.papers import shopping_list_pdf

        with self.desk.read() as conn:
            settings = firm(conn)
        day = self.shopping.first.isoformat()
        self.stack.show_paper(shopping_list_pdf(self.shopping, settings), f"Shopping list {day}.pdf")

    def save_csv(self) -> None:
        """Ask where, and write the list as csv."""
        shopping = self.shopping
        if shopping is None:
            return

        def write(path: Path) -> Path:
            from desktop.books.buying_csv import write_shopping_list_csv

            return write_shopping_list_csv(shopping, path)

        save_csv(self.desk, self, f"Shopping list {shopping.first.isoformat()}.csv", write)
