"""What is taken off beside the routes: kept as JSON, shown and typed cell by cell.

Each kind of part has cells. ``cells(value)`` shows them, ``with_cell(value, key, text)`` reads one that was typed and
gives the changed part, or raises NotUnderstood with a word of advice; what was typed is then kept by the screen.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, replace
from decimal import Decimal
from typing import Any

from domain.choosing import one_beginning
from domain.errors import NotUnderstood, as_typed
from domain.routes.route import PIPE_SIZES, SPACES, size_words
from domain.routes.shorthand import SIZE_LIST, size_of
from domain.takeoff import Circuit, CrawlFloor, PaintWish, SealJoint, SuctionPit, TakeoffRules
from domain.takeoff.conduit import circuit_fill
from domain.takeoff.conduit_fill import GAUGES, TRADE_SIZES
from domain.takeoff.membrane import lay_strips
from domain.takeoff.sealing import SECTIONS, cartridges, feet_per_cartridge, pit_cubic_feet, pit_pails
from domain.units.lengths import format_length, parse_length_ft
from domain.units.numbers import format_quantity, plain, read_number, to_places

LONGEST_FT = Decimal(1000)


@dataclass(frozen=True, slots=True)
class Offcuts:
    """Pieces of pipe of one size at hand beside those kept on the truck, in feet; used before a new stick."""

    size: Decimal
    feet: tuple[Decimal, ...]


PartValue = Circuit | SealJoint | SuctionPit | CrawlFloor | PaintWish | Offcuts

CLASSES: Mapping[str, type[Any]] = {
    "joint": SealJoint, "pit": SuctionPit, "circuit": Circuit, "floor": CrawlFloor, "paint": PaintWish,
    "offcuts": Offcuts,
}  # fmt: skip

TITLES = {
    "joint": "Joints to seal",
    "pit": "Suction pits",
    "circuit": "Circuits",
    "floor": "Crawl floors",
    "paint": "Paint",
    "offcuts": "Other offcuts at hand",
}

FIRST_CELL = {"joint": "label", "pit": "label", "circuit": "label", "floor": "label", "paint": "spaces",
              "offcuts": "size"}  # fmt: skip
"""The cell that begins a new part."""




# ---------------------------------------------------------------------- kept as JSON


def write_part(value: PartValue) -> str:
    """The part as it is stored."""
    return json.dumps({field.name: _plain_json(getattr(value, field.name)) for field in fields(value)})


def read_part(kind: str, details: str) -> PartValue:
    """The part as it was stored. Raises NotUnderstood when the text is not one that `write_part` made."""
    made = CLASSES[kind]
    try:
        stored = json.loads(details)
        given = {field.name: _value(field.name, stored[field.name]) for field in fields(made) if field.name in stored}
        value: PartValue = made(**given)
    except (ValueError, TypeError, AttributeError, ArithmeticError):
        raise NotUnderstood("This part of the takeoff cannot be read. Remove it and type it again.", details) from None
    return value


_DECIMALS = frozenset({
    "width_in", "depth_in", "across_in", "deep_in", "length_ft", "width_ft", "roll_width_ft", "roll_ft",
    "pier_round_ft", "size",
})  # fmt: skip


def _plain_json(value: Any) -> Any:
    if isinstance(value, Decimal):
        return str(value)
    return [_plain_json(one) for one in value] if isinstance(value, tuple) else value


def _value(name: str, stored: Any) -> Any:
    if isinstance(stored, list):
        return tuple(Decimal(one) if name in ("sections_ft", "feet") else one for one in stored)
    if isinstance(stored, str) and (name in _DECIMALS or name == "feet"):
        return Decimal(stored)
    return stored


def blank_part(kind: str) -> PartValue:
    """What the empty row at the foot becomes when its first cell is typed."""
    blanks: dict[str, Callable[[], PartValue]] = {
        "joint": lambda: SealJoint("", Decimal(10)),
        "pit": lambda: SuctionPit("", Decimal(12), Decimal(12)),
        "circuit": lambda: Circuit("", (Decimal(20),)),
        "floor": lambda: CrawlFloor("", Decimal(20), Decimal(20)),
        "paint": PaintWish,
        "offcuts": lambda: Offcuts(Decimal(3), (Decimal(4),)),
    }
    return blanks[kind]()


# ---------------------------------------------------------------------- shown


def cells(value: PartValue) -> dict[str, str]:
    """Every cell of a part as it is read."""
    if isinstance(value, Circuit):
        return {
            "label": value.label, "sections": ", ".join(_feet(feet) for feet in value.sections_ft),
            "kind": "metal" if value.kind == "emt" else "PVC", "trade_size": f"{value.trade_size} in",
            "wires": _wires(value.gauges), "disconnect": _yes(value.disconnect),
        }  # fmt: skip
    if isinstance(value, SealJoint):
        deep = "" if value.section == "round" else _inches(value.depth_in)
        return {
            "label": value.label, "feet": _feet(value.feet), "section": value.section,
            "width_in": _inches(value.width_in), "depth_in": deep, "backer": _yes(value.backer),
        }  # fmt: skip
    if isinstance(value, SuctionPit):
        return {
            "label": value.label, "across_in": _inches(value.across_in), "deep_in": _inches(value.deep_in),
            "hollow": value.hollow,
        }  # fmt: skip
    if isinstance(value, CrawlFloor):
        return {
            "label": value.label, "length_ft": _feet(value.length_ft), "width_ft": _feet(value.width_ft),
            "roll_width_ft": _feet(value.roll_width_ft), "roll_ft": _feet(value.roll_ft) if value.roll_ft else "",
            "piers": str(value.piers) if value.piers else "",
            "pier_round_ft": _feet(value.pier_round_ft) if value.piers else "",
        }  # fmt: skip
    if isinstance(value, PaintWish):
        primer = "by the rule" if value.primer is None else _yes(value.primer)
        return {
            "spaces": ", ".join(value.spaces), "coats": str(value.coats), "container": value.container,
            "colour": value.colour, "primer": primer,
        }  # fmt: skip
    return {"size": size_words(value.size), "feet": ", ".join(_feet(feet) for feet in value.feet)}


def name_of(kind: str, value: PartValue) -> str:
    """The part in a few words, for the name of an action."""
    label = getattr(value, "label", "")
    return label or {"paint": "paint", "offcuts": "offcuts"}.get(kind, kind)


def _feet(feet: Decimal) -> str:
    return format_length(feet, "ft-in")


def _inches(inches: Decimal) -> str:
    if inches < 12 and inches * 16 == int(inches * 16):
        return format_length(inches / 12, "ft-in")
    return f"{plain(inches)} in"


def _yes(on: bool) -> str:
    return "yes" if on else "no"


def _wires(gauges: tuple[str, ...]) -> str:
    counted = {gauge: gauges.count(gauge) for gauge in dict.fromkeys(gauges)}
    return ", ".join(f"{count} × {gauge}" for gauge, count in counted.items())


# ---------------------------------------------------------------------- typed


def with_cell(value: PartValue, key: str, text: str) -> PartValue:
    """The part with one cell typed anew. Raises NotUnderstood in words for the screen."""
    reader = _READERS.get((type(value).__name__, key)) or _COMMON.get(key)
    if reader is None:
        raise KeyError(key)
    column, read = reader
    changed: PartValue = replace(value, **{column: read(text)})
    return changed


def _label(text: str) -> str:
    words = " ".join(text.split())
    if not words:
        raise NotUnderstood("Give it a name, for example where it is.", text)
    return words[:60]


def _length(text: str) -> Decimal:
    feet = parse_length_ft(text)
    if not 0 < feet <= LONGEST_FT:
        raise NotUnderstood(f"{as_typed(text)} is no length here. Type feet, for example 24 or 12'6\".", text)
    return feet


def _inch(text: str) -> Decimal:
    inches = to_places(parse_length_ft(text, "in") * 12, 3)
    if not 0 < inches <= 120:
        raise NotUnderstood(f"{as_typed(text)} is no measure here. Type inches, for example 3/8 or 12.", text)
    return inches


def _lengths(text: str) -> tuple[Decimal, ...]:
    pieces = [piece for piece in text.replace("+", ",").replace(";", ",").split(",") if piece.strip()]
    if not pieces:
        raise NotUnderstood("Type the feet, one after the other: 12', 8'6\".", text)
    return tuple(_length(piece) for piece in pieces)


def _count(text: str) -> int:
    if not text.strip():
        return 0
    number = read_number(text)
    if number is None or number != int(number) or not 0 <= number <= 500:
        raise NotUnderstood(f"{as_typed(text)} is no count. Type a whole number, for example 6.", text)
    return int(number)


def _yes_no(text: str) -> bool:
    word = text.strip().casefold()
    if word in ("y", "yes", "1", "x", "on"):
        return True
    if word in ("", "n", "no", "0", "off"):
        return False
    raise NotUnderstood(f"{as_typed(text)}: type yes or no.", text)


def _primer(text: str) -> bool | None:
    return None if text.strip().casefold() in ("", "by the rule", "rule", "auto") else _yes_no(text)


def _one_of(words: Mapping[str, str], what: str) -> Callable[[str], str]:
    """Reads the beginning of one of a few words."""

    def read(text: str) -> str:
        missing = f"{as_typed(text)} is no {what}. Choose {' or '.join(words)}."
        return words[one_beginning({word: word for word in words}, text, missing)]

    return read


def _trade(text: str) -> str:
    word = text.strip().casefold().removesuffix('"').removesuffix("in").strip()
    if word not in TRADE_SIZES:
        raise NotUnderstood(f"{as_typed(text)} is no conduit here. Sizes are {', '.join(TRADE_SIZES)} in.", text)
    return word


def _gauges(text: str) -> tuple[str, ...]:
    """``3 x 12``, ``3 × 12, 1 x 14`` or the gauges one by one: ``12 12 12``."""
    found: list[str] = []
    for piece in text.replace("×", "x").replace(";", ",").split(","):
        many, _, gauge = piece.casefold().partition("x")
        names = [gauge.strip()] * _count(many) if gauge.strip() else many.split()
        unknown = [name for name in names if name not in GAUGES]
        if unknown or not names:
            raise NotUnderstood(f"{as_typed(text)}: type how many of which gauge, ground counted: 3 x 12.", text)
        found += names
    if not 0 < len(found) <= 40:
        raise NotUnderstood("That is more wire than goes into one conduit.", text)
    return tuple(found)


def _spaces(text: str) -> tuple[str, ...]:
    words = [word.casefold() for word in text.replace(",", " ").split()]
    by_word = {**{key: key for key in SPACES}, **{name.split()[0]: key for key, name in SPACES.items()}}
    unknown = [word for word in words if word not in SPACES and word not in by_word]
    if unknown or not words:
        raise NotUnderstood(f"{as_typed(text)}: name where the pipe shows, for example outside, garage.", text)
    return tuple(dict.fromkeys(by_word.get(word, word) for word in words))


def _coats(text: str) -> int:
    coats = _count(text)
    if not 1 <= coats <= 5:
        raise NotUnderstood("Type how many coats, from 1 to 5.", text)
    return coats


def _pipe_size(text: str) -> Decimal:
    word = "".join(text.split())
    size = size_of(word) or size_of(f"{word}in")
    if size not in PIPE_SIZES:
        raise NotUnderstood(f"{as_typed(text)} is no pipe size. Sizes are {SIZE_LIST}.", text)
    return size


Reader = tuple[str, Callable[[str], Any]]

_COMMON: Mapping[str, Reader] = {"label": ("label", _label), "feet": ("feet", _length)}
_READERS: Mapping[tuple[str, str], Reader] = {
    ("Circuit", "sections"): ("sections_ft", _lengths),
    ("Circuit", "kind"): ("kind", _one_of({"metal": "emt", "emt": "emt", "pvc": "pvc"}, "kind of conduit")),
    ("Circuit", "trade_size"): ("trade_size", _trade),
    ("Circuit", "wires"): ("gauges", _gauges),
    ("Circuit", "disconnect"): ("disconnect", _yes_no),
    ("SealJoint", "section"): ("section", _one_of({word: word for word in SECTIONS}, "bead")),
    ("SealJoint", "width_in"): ("width_in", _inch),
    ("SealJoint", "depth_in"): ("depth_in", _inch),
    ("SealJoint", "backer"): ("backer", _yes_no),
    ("SuctionPit", "across_in"): ("across_in", _inch),
    ("SuctionPit", "deep_in"): ("deep_in", _inch),
    ("SuctionPit", "hollow"): ("hollow", _one_of({"bowl": "bowl", "straight": "straight"}, "hollow")),
    ("CrawlFloor", "length_ft"): ("length_ft", _length),
    ("CrawlFloor", "width_ft"): ("width_ft", _length),
    ("CrawlFloor", "roll_width_ft"): ("roll_width_ft", _length),
    ("CrawlFloor", "roll_ft"): ("roll_ft", lambda text: _length(text) if text.strip() else None),
    ("CrawlFloor", "piers"): ("piers", _count),
    ("CrawlFloor", "pier_round_ft"): ("pier_round_ft", lambda text: _length(text) if text.strip() else Decimal(0)),
    ("PaintWish", "spaces"): ("spaces", _spaces),
    ("PaintWish", "coats"): ("coats", _coats),
    ("PaintWish", "container"): ("container", _one_of({"quart": "quart", "can": "can"}, "container")),
    ("PaintWish", "colour"): ("colour", lambda text: " ".join(text.split())[:40]),
    ("PaintWish", "primer"): ("primer", _primer),
    ("Offcuts", "size"): ("size", _pipe_size),
    ("Offcuts", "feet"): ("feet", _lengths),
}

CHOICES: Mapping[tuple[str, str], tuple[str, ...]] = {
    ("circuit", "kind"): ("metal", "PVC"),
    ("circuit", "trade_size"): TRADE_SIZES,
    ("joint", "section"): tuple(SECTIONS),
    ("pit", "hollow"): ("bowl", "straight"),
    ("paint", "container"): ("quart", "can"),
    ("paint", "primer"): ("by the rule", "yes", "no"),
}
"""Words to offer while a cell is typed."""


# ---------------------------------------------------------------------- what it comes to


def result_of(value: PartValue, rules: TakeoffRules) -> str:
    """What a part comes to, in a few words; a word of advice where it cannot be counted."""
    try:
        return _result(value, rules)
    except NotUnderstood as problem:
        return str(problem)


def _result(value: PartValue, rules: TakeoffRules) -> str:
    if isinstance(value, SealJoint):
        each = feet_per_cartridge(value, rules)
        return f"{plain(to_places(cartridges(value, rules), 1))} cartridges, {plain(to_places(each, 1))} ft each"
    if isinstance(value, SuctionPit):
        pails = pit_pails(value)
        return f"{plain(to_places(pit_cubic_feet(value), 1))} cu ft of soil, {format_quantity(pails, 'pail')}"
    if isinstance(value, Circuit):
        return circuit_fill(value, rules.conduit).words
    if isinstance(value, CrawlFloor):
        strips = lay_strips(value, rules)
        return f"{strips.count} strips of {plain(to_places(strips.strip_ft, 1))} ft, {plain(strips.sq_ft)} sq ft"
    if isinstance(value, PaintWish):
        return "primer first" if value.wants_primer else "no primer"
    return f"{plain(sum(value.feet, Decimal(0)))} ft, used before a new stick"
