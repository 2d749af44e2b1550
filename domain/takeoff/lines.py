"""A line of the takeoff: what is needed and why, with waste, rounded up to packs, and the owner's override."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal

from domain.price_list import CUT, WHOLE
from domain.routes.route import size_words
from domain.units.numbers import to_places

ONE = Decimal(1)
COUNTED = frozenset({"each", "tube", "can", "quart", "roll", "pail", "bag"})
"""Units that are bought whole."""


@dataclass(frozen=True, slots=True)
class Need:
    """So much of something for one reason, before waste. Needs with the same key become one line."""

    key: str
    item_class: str
    description: str
    quantity: Decimal
    unit: str
    reason: str
    pack: Decimal = Decimal(0)  # bought in multiples of it; 0: as the unit is bought
    caution: str = ""
    used: Decimal | None = None  # what the job uses of it, where that is less than what is bought; None: all of it
    cut: Decimal | None = None  # what the cut list opens less the offcuts worth keeping; None: it is not cut by list

    @property
    def in_use(self) -> Decimal:
        """What the job uses, before waste."""
        return self.quantity if self.used is None else self.used


@dataclass(frozen=True, slots=True)
class TakeoffLine:
    """One thing to buy.

    ``net`` is what the reasons add up to, ``computed`` the same with waste and rounded up to packs, ``override`` what
    the owner typed instead; the computed value stays beside it. ``used`` is the part of it the job uses up, with waste,
    ``cut`` the same by the cut list. Quantities have three places.
    """

    key: str
    item_class: str
    description: str
    unit: str
    net: Decimal
    waste_percent: Decimal
    pack: Decimal
    computed: Decimal
    override: Decimal | None
    reason: str
    caution: str = ""
    used: Decimal | None = None  # None: as computed
    cut: Decimal | None = None  # None: not cut by list

    def costed(self, rule: str) -> Decimal:
        """How many a job is costed by, see `domain.price_list.COSTED_BY`; the override counts as it was typed."""
        if self.override is not None or rule == WHOLE:
            return self.quantity
        used = self.computed if self.used is None else self.used
        return self.cut if rule == CUT and self.cut is not None else used

    @property
    def quantity(self) -> Decimal:
        """What is bought: the override where there is one."""
        return self.computed if self.override is None else self.override


def sized(kind: str, *sizes: Decimal) -> str:
    """The key of something that comes in sizes: ``elbow_90:3``, ``reducer:3:4``."""
    return ":".join((kind, *(f"{size.normalize():f}" for size in sizes)))


def sized_words(words: str, *sizes: Decimal) -> str:
    """Its description: ``90° elbow, 3 in``, ``reducer, 3 in to 4 in``."""
    return f"{words}, {' to '.join(size_words(size) for size in sizes)}"


def counted(number: int | Decimal, one: str, many: str = "") -> str:
    """``1 joint``, ``9 joints``."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def round_up(net: Decimal, waste_percent: Decimal, pack: Decimal, unit: str) -> Decimal:
    """Net x (1 + waste), rounded up to packs, or to a whole number of what is bought whole; else to three places up."""
    with_waste = net * (100 + waste_percent) / 100
    step = pack if pack > 0 else ONE if unit in COUNTED else Decimal("0.001")
    return to_places((with_waste / step).to_integral_value(ROUND_CEILING) * step, 3)


def merged(needs: Iterable[Need]) -> list[Need]:
    """Needs with one key put together in the order they first came: quantities add up, reasons follow each other."""
    found: dict[str, list[Need]] = {}
    for need in needs:
        found.setdefault(need.key, []).append(need)
    return [alike[0] if len(alike) == 1 else _together(alike) for alike in found.values()]


def _together(needs: Sequence[Need]) -> Need:
    cut = [need.cut for need in needs if need.cut is not None]
    return replace(
        needs[0], quantity=sum((need.quantity for need in needs), Decimal(0)),
        used=sum((need.in_use for need in needs), Decimal(0)), cut=sum(cut, Decimal(0)) if cut else None,
        reason=reasons_together(need.reason for need in needs),
    )  # fmt: skip


def reasons_together(reasons: Iterable[str]) -> str:
    """Reasons that add up, one after the other; the same one several times as ``2 × 1 for the fan``."""
    times = Counter(reasons)
    return "; ".join(reason if count == 1 else f"{count} × {reason}" for reason, count in times.items())


def line_of(
    need: Need,
    waste: Mapping[str, Decimal],
    overrides: Mapping[str, Decimal],
    packs: Mapping[str, Decimal] | None = None,
) -> TakeoffLine:
    """The line for a need. ``waste`` (percent) goes by the key of the line or else by item class; ``packs`` by key."""
    percent = waste.get(need.key, waste.get(need.item_class, Decimal(0)))
    pack = need.pack if packs is None else packs.get(need.key, need.pack)
    net = to_places(need.quantity, 3)
    return TakeoffLine(
        key=need.key,
        item_class=need.item_class,
        description=need.description,
        unit=need.unit,
        net=net,
        waste_percent=percent,
        pack=pack,
        computed=round_up(net, percent, pack, need.unit),
        override=overrides.get(need.key),
        reason=need.reason,
        caution=need.caution,
        used=to_places(need.in_use * (100 + percent) / 100, 3),
        cut=None if need.cut is None else to_places(need.cut * (100 + percent) / 100, 3),
    )
