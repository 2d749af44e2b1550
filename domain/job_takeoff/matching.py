"""Which item of the price list a line of the takeoff buys, and how many of it.

What the owner chose for a line is remembered and wins. Otherwise the line's class, its words and its sizes are looked
for in the names of the items; when nothing fits, the line buys nothing until the owner chooses.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal

from domain.job_takeoff.stands_for import goods_part
from domain.money import line_cents
from domain.price_list import COSTED_BY, CUT, WHOLE, PricedItem
from domain.takeoff import TakeoffLine
from domain.units import format_percent
from domain.units.numbers import format_quantity, plain, read_number, to_places

CHOSEN, FAN, USUAL, FOUND, NONE, OPEN = "chosen", "fan", "usual", "found", "none", "open"
"""How a line came to its item: chosen by the owner, the fan of the air plan, usual on jobs of this type, found by its
words; NONE: the owner said it is not bought from the list; OPEN: nothing fits, so the owner has to choose."""


@dataclass(frozen=True, slots=True)
class Bought:
    """A line of the takeoff with what it buys.

    ``quantity`` is what the job is costed by, as the item's rule says, ``to_buy`` what the shop sells for it; both and
    ``unit`` are those of the item where there is one, ``unit_cost`` dollars for one; ``cost_cents`` is None where no
    price is known. ``note`` says why the quantity differs from the line's.
    """

    line: TakeoffLine
    item: PricedItem | None
    how: str
    quantity: Decimal
    unit: str
    unit_cost: Decimal | None
    cost_cents: int | None
    note: str = ""
    to_buy: Decimal = Decimal(0)

    @property
    def rule(self) -> str:
        """By what the job is costed: whole | used | cut."""
        return WHOLE if self.item is None else self.item.item.costed_by

    @property
    def sticks_to_buy(self) -> Decimal | None:
        """What a shop has to give, where whole sticks are opened for what the cut list uses; None: the quantity."""
        return self.to_buy if self.rule == CUT and self.to_buy != self.quantity else None

    @property
    def shop_cents(self) -> int | None:
        """What a shop is paid for all that has to be bought; None where no price is known."""
        if self.unit_cost is None or self.cost_cents is None:
            return self.cost_cents
        return line_cents(self.to_buy, self.unit_cost)

    @property
    def rule_words(self) -> str:
        """``costed by what is used: 0.152 of 1 quart``."""
        packs = format_quantity(self.to_buy, self.unit)
        of = f": {plain(self.quantity)} of {packs}" if self.quantity != self.to_buy else ""
        return f"costed by {COSTED_BY.get(self.rule, self.rule)}{of}"

    @property
    def reason(self) -> str:
        """Why so much of it: the line's reason, the owner's override and the other package, in words."""
        line = self.line
        typed = ""
        if line.override is not None and line.override != line.computed:
            typed = f"; {plain(line.override)} {line.unit} typed instead of {plain(line.computed)}"
        rule = f"; {self.rule_words}" if self.item is not None else ""
        waste = f"; {format_percent(line.waste_percent)} more for waste" if line.waste_percent else ""
        return line.reason + waste + typed + (f"; {self.note}" if self.note else "") + rule


@dataclass(frozen=True, slots=True)
class _Rule:
    """How to know an item: class, words that must stand in its name, words that must not, what is preferred."""

    item_class: str
    words: tuple[str, ...]
    without: tuple[str, ...] = ()
    rather: str = ""
    sized: bool = True


_NO_CONDUIT = ("flexible", "coupling", "connector", "strap", "elbow", "box")
_NOT_METAL = ("pvc", "liquid-tight", "flexible")
_RULES: Mapping[str, _Rule] = {
    "pipe": _Rule("pipe", ("pipe", "schedule 40")),
    "coupling": _Rule("fitting", ("coupling",), ("flexible",)),
    "elbow_90": _Rule("fitting", ("elbow", "90"), ("long",)),
    "elbow_90_long": _Rule("fitting", ("elbow", "90", "long")),
    "elbow_45": _Rule("fitting", ("elbow", "45")),
    "elbow_22": _Rule("fitting", ("elbow", "22")),
    "wye": _Rule("fitting", ("wye",)),
    "tee": _Rule("fitting", ("tee",)),
    "reducer": _Rule("fitting", ("reducer",)),
    "cap": _Rule("fitting", ("cap",)),
    "flexible_coupling": _Rule("fitting", ("flexible", "coupling")),
    "valve": _Rule("fitting", ("valve",)),
    "drain": _Rule("fitting", ("drain",)),
    "roof_flashing": _Rule("fitting", ("flashing",)),
    "sleeve": _Rule("hardware", ("sleeve",), ("insulation",)),
    "fire_passage": _Rule("hardware", ("fire",)),
    "support_hanger": _Rule("hardware", ("hanger",)),
    "support_strap": _Rule("hardware", ("pipe", "strap")),
    "support_bracket": _Rule("hardware", ("bracket",)),
    "fan": _Rule("fan", ("fan",), ("cover",), "medium"),
    "pressure_indicator": _Rule("indicator", ("pressure", "indicator"), sized=False),
    "indicator_tubing": _Rule("indicator", ("tubing",), sized=False),
    "label:circuit": _Rule("label", ("label", "circuit"), sized=False),
    "label:primary": _Rule("label", ("label", "system"), ("pipe label",), sized=False),
    "label:pipe": _Rule("label", ("label",), ("circuit",), "pipe label", sized=False),
    "cement": _Rule("cement", ("cement",), sized=False),
    "primer": _Rule("cement", ("primer",), sized=False),
    "conduit:emt": _Rule("electrical", ("metal", "conduit"), _NO_CONDUIT),
    "conduit:pvc": _Rule("electrical", ("pvc", "conduit"), _NO_CONDUIT),
    "conduit_coupling:emt": _Rule("electrical", ("conduit", "coupling"), _NOT_METAL),
    "conduit_connector:emt": _Rule("electrical", ("conduit", "connector"), _NOT_METAL),
    "conduit_strap:emt": _Rule("electrical", ("conduit", "strap"), _NOT_METAL),
    "conduit_coupling:pvc": _Rule("electrical", ("pvc", "conduit", "coupling")),
    "conduit_connector:pvc": _Rule("electrical", ("pvc", "conduit", "connector")),
    "conduit_strap:pvc": _Rule("electrical", ("pvc", "conduit", "strap")),
    "box": _Rule("electrical", ("box", "cover"), rather="weatherproof", sized=False),
    "disconnect": _Rule("electrical", ("disconnect",), rather="weatherproof", sized=False),
    "sealant": _Rule("sealing", ("sealant", "cartridge"), ("membrane", "level"), sized=False),
    "membrane_sealant": _Rule("sealing", ("sealant", "membrane"), sized=False),
    "backer_rod": _Rule("sealing", ("backer",)),
    "pit_closing": _Rule("sealing", ("concrete",), sized=False),
    "sump_lid": _Rule("hardware", ("sump", "lid"), sized=False),
    "tile_connector": _Rule("hardware", ("tile", "connector"), sized=False),
    "membrane": _Rule("membrane", ("membrane",), ("tape", "bar"), "12 mil", sized=False),
    "seam_tape": _Rule("membrane", ("tape",), sized=False),
    "membrane_fastener": _Rule("hardware", ("anchor",), sized=False),
    "paint:quart": _Rule("paint", ("paint", "quart"), sized=False),
    "paint:can": _Rule("paint", ("paint", "can"), sized=False),
    "paint_primer": _Rule("paint", ("primer",), sized=False),
}

_SIZE = re.compile(r"\d+-\d+/\d+|\d+/\d+|\d+(?:\.\d+)?")
_SIZE_WORDS = re.compile(
    r"(?P<sizes>(?:\d+-\d+/\d+|\d+/\d+|\d+(?:\.\d+)?)(?:\s*(?:or|,)\s*(?:\d+-\d+/\d+|\d+/\d+|\d+(?:\.\d+)?))*)\s*in\b",
    re.IGNORECASE,
)
_OUNCES = re.compile(r"(\d+(?:\.\d+)?)\s*oz\b", re.IGNORECASE)


Known = dict[tuple[str, str, str], PricedItem | None]
"""What was found for a line, by its key, unit and description."""


def buy(
    lines: Iterable[TakeoffLine], items: Sequence[PricedItem], chosen: Mapping[str, int | None],
    fan_item_id: int | None = None, known: Known | None = None, usual: Mapping[str, Sequence[int]] | None = None,
) -> tuple[Bought, ...]:  # fmt: skip
    """What each line buys. ``chosen`` has the owner's item by the key of the line, None for "not from the list".

    ``usual`` has the items usual on jobs of this type by the part they stand for: the first that fits goes before any
    other. ``known`` keeps what was found for a line between two calls with the same items.
    """
    by_id = {priced.item.id: priced for priced in items}
    offered = [priced for priced in items if not priced.item.archived]
    known = {} if known is None else known
    first = {
        part: [by_id[one] for one in ids if one in by_id and not by_id[one].item.archived]
        for part, ids in (usual or {}).items()
    }
    return tuple(_bought(line, by_id, offered, chosen, fan_item_id, known, first) for line in lines)


def _bought(
    line: TakeoffLine, by_id: Mapping[int, PricedItem], offered: Sequence[PricedItem],
    chosen: Mapping[str, int | None], fan_item_id: int | None, known: Known,
    usual: Mapping[str, Sequence[PricedItem]],
) -> Bought:  # fmt: skip
    if line.key.startswith("fan:") and fan_item_id is not None and fan_item_id in by_id:
        return priced_line(line, by_id[fan_item_id], FAN)
    if line.key in chosen:
        item_id = chosen[line.key]
        return priced_line(line, None if item_id is None else by_id.get(item_id), NONE if item_id is None else CHOSEN)
    if (own := _usual(line, usual.get(goods_part(line.key), ()))) is not None:
        return own
    told = (line.key, line.unit, line.description)
    if told not in known:
        known[told] = match(line, offered)
    found = known[told]
    if found is None:
        missing = f"the price list has no “{line.description}”: choose an item"
        return replace(priced_line(line, None, OPEN), note=missing)
    return priced_line(line, found, FOUND)


def _usual(line: TakeoffLine, items: Sequence[PricedItem]) -> Bought | None:
    """The item usual on such jobs, where it fits. A fan fits whatever the pipe: its collars take what the couplings do.
    """
    rule, sizes = _rule_of(line.key)
    if rule is None:
        return None
    for priced in items:
        if _fits(line, rule, sizes, priced):
            return priced_line(line, priced, USUAL)
        if rule.item_class == "fan" and _fits(line, rule, frozenset(), priced):
            made = priced_line(line, priced, USUAL)
            return replace(made, note="the usual fan is of another size than the pipe: check the couplings")
    return None


def priced_line(line: TakeoffLine, priced: PricedItem | None, how: str) -> Bought:
    """The line as so many of an item; as it stands where its unit cannot be turned into the item's."""
    factor = None if priced is None else unit_factor(line, priced)
    if priced is None or factor is None:
        note = "" if priced is None else f"“{priced.item.name}” is sold by the {priced.item.unit}, not by {line.unit}"
        return Bought(
            line, None, OPEN if note else how, line.quantity, line.unit, None, None, note, to_buy=line.quantity
        )
    to_buy, note = line.quantity, ""
    quantity = to_places(line.costed(priced.item.costed_by) * factor, 3)
    if factor != 1:
        to_buy = (line.quantity * factor).to_integral_value(ROUND_CEILING)
        quantity = to_buy if priced.item.costed_by == WHOLE or line.override is not None else min(quantity, to_buy)
        note = f"{plain(to_buy)} of the larger or smaller package in place of {plain(line.quantity)}"
    cost = None if priced.unit_cost is None else line_cents(quantity, priced.unit_cost)
    return Bought(line, priced, how, quantity, priced.item.unit, priced.unit_cost, cost, note, to_buy)


def unit_factor(line: TakeoffLine, priced: PricedItem) -> Decimal | None:
    """How many of the item stand for one of the line: 1 in the same unit; by ounces; None when they do not compare."""
    own, other = _OUNCES.search(line.description), _OUNCES.search(priced.item.name)
    if own and other and line.item_class == priced.item.item_class:
        return Decimal(own[1]) / Decimal(other[1])
    return Decimal(1) if line.unit == priced.item.unit else None


def match(line: TakeoffLine, items: Iterable[PricedItem]) -> PricedItem | None:
    """The item that fits a line by class, words and sizes; None when none does."""
    if line.key.startswith("extra:"):
        return _by_name(line, items)
    rule, sizes = _rule_of(line.key)
    if rule is None:
        return None
    fitting = [priced for priced in items if _fits(line, rule, sizes, priced)]

    def least(priced: PricedItem) -> tuple[bool, int, str]:
        return _unlike(rule, priced), len(priced.item.name), priced.item.code

    return min(fitting, key=least, default=None)


def _rule_of(key: str) -> tuple[_Rule | None, frozenset[Decimal]]:
    parts = key.split(":")
    for length in (2, 1):
        rule = _RULES.get(":".join(parts[:length]))
        if rule is not None:
            sizes = [_number(part) for part in parts[length:] if _SIZE.fullmatch(part)] if rule.sized else []
            return rule, frozenset(sizes)
    if parts[0] == "wire" and len(parts) > 1:
        return _Rule("electrical", ("wire", f"{parts[1]} gauge"), sized=False), frozenset()
    return None, frozenset()


def _fits(line: TakeoffLine, rule: _Rule, sizes: frozenset[Decimal], priced: PricedItem) -> bool:
    name = priced.item.name.casefold()
    if priced.item.item_class != rule.item_class or unit_factor(line, priced) is None:
        return False
    if not all(word in name for word in rule.words) or any(word in name for word in rule.without):
        return False
    if not sizes:
        return True
    stated, several = _sizes_in(priced.item.name)
    return sizes <= stated if several else sizes == stated


def _sizes_in(name: str) -> tuple[frozenset[Decimal], bool]:
    """The sizes an item's name states, and whether it serves several: ``3 or 4 in``."""
    found = [_SIZE.findall(match["sizes"]) for match in _SIZE_WORDS.finditer(name)]
    return frozenset(_number(size) for sizes in found for size in sizes), any(len(sizes) > 1 for sizes in found)


def _number(text: str) -> Decimal:
    value = read_number(text)
    return Decimal(0) if value is None else Decimal(value.numerator) / Decimal(value.denominator)


def _unlike(rule: _Rule, priced: PricedItem) -> bool:
    return bool(rule.rather) and rule.rather not in priced.item.name.casefold()


def _by_name(line: TakeoffLine, items: Iterable[PricedItem]) -> PricedItem | None:
    wanted = " ".join(line.description.casefold().split())
    found = (p for p in items if wanted in (p.item.name.casefold(), p.item.code.casefold()))
    return next((priced for priced in found if unit_factor(line, priced) is not None), None)
