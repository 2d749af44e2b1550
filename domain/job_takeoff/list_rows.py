"""The list in the order of the shop: by class, the class named once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from domain.job_takeoff.matching import Bought
from domain.price_list import ITEM_CLASSES


@dataclass(frozen=True, slots=True)
class ListRow:
    """A line with its class named where it begins."""

    bought: Bought
    class_words: str


def list_rows(bought: Iterable[Bought]) -> list[ListRow]:
    """Every line, grouped by class in the order of the price list."""
    ordered = sorted(bought, key=lambda one: _place(one.line.item_class))
    rows: list[ListRow] = []
    before = ""
    for one in ordered:
        own = one.line.item_class
        rows.append(ListRow(one, own if own != before else ""))
        before = own
    return rows


def buys_words(bought: Bought) -> str:
    """What a line is bought as: ``4 × E90-3  Elbow, 90 degrees, 3 in`` where the number differs from the line's."""
    if bought.item is not None:
        item = bought.item.item
        count = f"{bought.to_buy.normalize():f} × " if bought.to_buy != bought.line.quantity else ""
        return f"{count}{item.code}  {item.name}"
    return "not from the list" if bought.how == "none" else bought.note or "choose an item"


def _place(item_class: str) -> int:
    return ITEM_CLASSES.index(item_class) if item_class in ITEM_CLASSES else len(ITEM_CLASSES)
