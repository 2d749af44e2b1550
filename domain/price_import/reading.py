"""The cells of one row read into values, or a sentence that says why they cannot be."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from domain.errors import NotUnderstood, as_typed
from domain.money import format_unit_cost
from domain.price_import.rows import FORMULA, MERGED, ImportRow
from domain.price_list import ITEM_CLASSES, PricedItem
from domain.units.numbers import read_signed, to_places
from domain.words import fold

LARGEST_PRICE = 100_000
LARGEST_PACK = 100_000

_UNITS = {
    "ea": "each", "each": "each", "pc": "each", "pcs": "each", "piece": "each", "pieces": "each", "st": "each",
    "ft": "ft", "foot": "ft", "feet": "ft", "lf": "ft", "'": "ft", "lin ft": "ft",
    "sq ft": "sq ft", "sqft": "sq ft", "sf": "sq ft", "ft2": "sq ft", "ft²": "sq ft", "square foot": "sq ft",
    "tb": "tube", "tubes": "tube", "cartridge": "tube", "qt": "quart", "qts": "quart", "quarts": "quart",
    "rl": "roll", "rolls": "roll", "bx": "box", "boxes": "box", "bags": "bag", "cans": "can", "pails": "pail",
}  # fmt: skip

_PACK_UNIT = re.compile(r"(?i)(?<=[0-9])\s*(sq ft|ft|feet|ea|each|pcs?|sf|/?\s*(pack|pk|case|box|roll))\.?$")

_KIND_WORDS = (
    ("fan", "fan|blower"),
    ("membrane", "membrane|sheeting|vapor barrier|vapour barrier|mil|termination bar"),
    ("electrical", "conduit|wire|cable|breaker|switch|receptacle|box|connector"),
    ("cement", "cement|primer"),
    ("sealing", "sealant|caulk|foam|backer|concrete|hydraulic"),
    ("paint", "paint"),
    ("label", "label|sticker"),
    ("indicator", "indicator|manometer|alarm|gauge|test kit"),
    ("fitting", "elbow|coupling|tee|wye|reducer|cap|flashing|bushing|valve"),
    ("pipe", "pipe|duct"),
    ("hardware", "strap|hanger|bracket|anchor|screw|clamp|bolt|lid|collar"),
)


@dataclass(frozen=True, slots=True)
class Reading:
    """The values of a row; None or empty: the file does not say."""

    name: str
    item_class: str  # as the file says, else guessed from the name; empty when neither helps
    class_is_said: bool
    unit: str
    pack_quantity: Decimal | None
    unit_cost: Decimal | None
    supplier: str
    waste_percent: Decimal | None


def read_row(row: ImportRow, decimal_comma: bool, known: PricedItem | None) -> Reading:
    """Read a row's cells. `known` gives the pack to divide by when the file has none.

    Raises:
        NotUnderstood: the first thing that cannot be used, with what to do about it.
    """
    name = _words(row.name, "name", 200)
    pack = _pack(row.pack_quantity, decimal_comma)
    pack_to_divide = pack or (known.item.pack_quantity if known else None)
    said = _said_kind(_words(row.item_class, "kind", 60))
    return Reading(
        name=name,
        item_class=said or _guessed_kind(name),
        class_is_said=bool(said),
        unit=read_unit(_words(row.unit, "unit", 20)),
        pack_quantity=pack,
        unit_cost=_cost(row, decimal_comma, pack_to_divide),
        supplier=_words(row.supplier, "supplier", 120),
        waste_percent=_waste(row.waste_percent, decimal_comma),
    )


def read_unit(text: str) -> str:
    """The program's word for a unit as a supplier writes it: EA is each, LF is ft."""
    folded = " ".join(fold(text).rstrip(".").split())
    return _UNITS.get(folded, folded)


def _words(text: str, what: str, longest: int) -> str:
    if text == MERGED:
        return ""
    if text == FORMULA:
        raise NotUnderstood(_no_value(what))
    if len(text) > longest:
        raise NotUnderstood(f"Its {what} is longer than {longest} letters. Check that the column is the right one.")
    return " ".join(text.split())


def _no_value(what: str) -> str:
    return f"Its {what} is a formula without a saved value. Open the file in a spreadsheet program and save it there."


def _number(text: str, what: str, decimal_comma: bool) -> Fraction | None:
    if text == FORMULA:
        raise NotUnderstood(_no_value(what))
    if text == MERGED:
        raise NotUnderstood(f"Its {what} is merged with another cell. Unmerge the cells and fill in each row.")
    if not text:
        return None
    digits = re.sub(r"(?i)us\$|usd|\$|dollars?|%", "", text).replace("\u00a0", " ").strip()
    bracketed = digits.startswith("(") and digits.endswith(")")
    digits = digits[1:-1].strip() if bracketed else digits
    if decimal_comma:
        digits = _with_point(digits)
    number = read_signed(digits)
    if number is None:
        raise NotUnderstood(f"Its {what} {as_typed(text)} is not a number.")
    return -number if bracketed else number


def _with_point(digits: str) -> str:
    """1.234,50 as 1234.50. A point that parts no thousands is left, so that 2.68 is never read as 268."""
    bare = digits.replace(" ", "")
    if re.fullmatch(r"[+-]?(?:[0-9]{1,3}(?:\.[0-9]{3})+|[0-9]+)(?:,[0-9]+)?", bare):
        return bare.replace(".", "").replace(",", ".")
    return "" if "." in bare else digits


def _cost(row: ImportRow, decimal_comma: bool, pack: Decimal | None) -> Decimal | None:
    cost = _number(row.unit_cost, "price", decimal_comma)
    if cost is None:
        pack_cost = _number(row.pack_cost, "price", decimal_comma)
        if pack_cost is None:
            return None
        if pack is None:
            raise NotUnderstood("It has a price for the pack and does not say how many units are in one.")
        cost = pack_cost / Fraction(pack)
    if cost < 0:
        raise NotUnderstood("Its price is below nothing.")
    if cost > LARGEST_PRICE:
        raise NotUnderstood(f"Its price is above {format_unit_cost(Decimal(LARGEST_PRICE))}. Check the column.")
    rounded = to_places(cost, 4)
    if rounded == 0:
        raise NotUnderstood("Its price is nothing. Leave the row out, or type what one unit costs.")
    return rounded


def _pack(text: str, decimal_comma: bool) -> Decimal | None:
    if text == MERGED:
        return None
    bare = _PACK_UNIT.sub("", text.strip())
    number = _number(bare, "pack", decimal_comma)
    if number is None:
        return None
    if not 0 < number <= LARGEST_PACK:
        raise NotUnderstood(f"Its pack {as_typed(text)} cannot be. A pack holds more than nothing.")
    quantity = to_places(number, 3)
    if not quantity:
        raise NotUnderstood(f"Its pack {as_typed(text)} is less than a thousandth.")
    return quantity


def _waste(text: str, decimal_comma: bool) -> Decimal | None:
    if text == MERGED:
        return None
    number = _number(text, "waste", decimal_comma)
    if number is None:
        return None
    if not 0 <= number <= 100:
        raise NotUnderstood(f"Its waste {as_typed(text)} does not lie between 0 and 100%.")
    return to_places(number, 2)


def _said_kind(text: str) -> str:
    wanted = fold(text)
    return next((kind for kind in ITEM_CLASSES if wanted in (kind, f"{kind}s")), "")


def _guessed_kind(name: str) -> str:
    words = f" {' '.join(re.split(r'[^a-z]+', fold(name)))} "
    for kind, listed in _KIND_WORDS:
        if any(f" {word} " in words or f" {word}s " in words for word in listed.split("|")):
            return kind
    return ""
