"""Buying: what is on the truck, what tomorrow and the week need from it, what to buy where, what prices did."""

from domain.buying.needs import JobNeed, WorkJob, job_needs
from domain.buying.packs import packs_for, packs_in_words
from domain.buying.price_changes import (
    OldPriceQuote,
    OpenLine,
    PriceChange,
    price_changes,
    quotes_on_old_prices,
)
from domain.buying.pull_sheet import PullLine, PullSheet, make_pull_sheet
from domain.buying.records import Purchase, StockCount, StockRule, SupplierSheet, TruckOffcut
from domain.buying.shopping_list import ShoppingLine, ShoppingList, expected_cents, make_shopping_list
from domain.buying.stock import StockRow, count_problem, rule_problem, stock_cents

__all__ = [
    "JobNeed",
    "OldPriceQuote",
    "OpenLine",
    "PriceChange",
    "PullLine",
    "PullSheet",
    "Purchase",
    "ShoppingLine",
    "ShoppingList",
    "StockCount",
    "StockRow",
    "StockRule",
    "SupplierSheet",
    "TruckOffcut",
    "WorkJob",
    "count_problem",
    "expected_cents",
    "job_needs",
    "make_pull_sheet",
    "make_shopping_list",
    "packs_for",
    "packs_in_words",
    "price_changes",
    "quotes_on_old_prices",
    "rule_problem",
    "stock_cents",
]
