"""What a usual line of a job type stands for: the part of the takeoff that counts the same thing.

A usual line gives way to counted lines of its own part only. A line that stands alone is nothing the takeoff counts;
of a line nobody linked nothing is known, so it is kept and named.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from domain.errors import NotUnderstood, as_typed

ALONE: Final = "alone"
UNSAID: Final = ""
SLOPE: Final = "slope"
"""Old pipe that is put right where it hangs. It gives way to taking old pipe out, where none of it stays."""

WORK_PARTS: Mapping[str, str] = {
    "pipe_ft": "running pipe",
    "joint": "cementing joints",
    "support": "setting supports",
    "passage": "going through walls and floors",
    "roof_passage": "going through the roof",
    "fan": "setting the fan",
    "fan_kit": "indicator and labels",
    "remove_ft": "removing old pipe",
    "remove_fan": "removing the old fan",
    SLOPE: "slope of old pipe",
    "pit": "digging suction pits",
    "sump_lid": "sealing sump lids",
    "tile": "connecting to the drain tile",
    "conduit_ft": "wiring the fan",
    "seal_ft": "sealing cracks and joints",
    "paint_ft": "painting pipe",
    "membrane_sq_ft": "laying membrane",
    "membrane_wall_ft": "sealing membrane to walls",
    "pier": "sealing membrane round piers",
    ALONE: "not counted",
}
"""What the takeoff counts of work, by the kind of its count, in words of the trade."""

GOODS_PARTS: Mapping[str, str] = {
    "pipe": "pipe",
    "coupling": "couplings",
    "elbow": "elbows",
    "branch": "tees and wyes",
    "reducer": "reducers",
    "cap": "caps",
    "flexible_coupling": "flexible couplings",
    "valve": "valves",
    "drain": "drains",
    "roof_flashing": "roof flashings",
    "sleeve": "sleeves",
    "fire_passage": "fire-rated passages",
    "support": "hangers, straps, brackets",
    "fan": "the fan",
    "pressure_indicator": "pressure indicators",
    "indicator_tubing": "indicator tubing",
    "system_label": "the system label",
    "pipe_label": "pipe labels",
    "circuit_label": "circuit labels",
    "cement": "solvent cement",
    "primer": "primer for cement",
    "conduit": "conduit",
    "conduit_coupling": "conduit couplings",
    "conduit_connector": "conduit connectors",
    "conduit_strap": "conduit straps",
    "box": "boxes",
    "disconnect": "disconnect switches",
    "wire": "wire",
    "sealant": "sealant",
    "backer_rod": "backer rod",
    "pit_closing": "closing suction pits",
    "sump_lid": "sump lids",
    "tile_connector": "drain-tile connectors",
    "membrane": "membrane",
    "seam_tape": "seam tape",
    "membrane_sealant": "membrane sealant",
    "membrane_fastener": "membrane fasteners",
    "paint": "paint",
    "paint_primer": "primer for paint",
    SLOPE: "slope of old pipe",
    ALONE: "not counted",
}
"""What the takeoff counts of goods, in words of the trade."""

_PART_OF = {
    "elbow_90": "elbow", "elbow_90_long": "elbow", "elbow_45": "elbow", "elbow_22": "elbow",
    "wye": "branch", "tee": "branch",
    "support_hanger": "support", "support_strap": "support", "support_bracket": "support",
    "label:primary": "system_label", "label:pipe": "pipe_label", "label:circuit": "circuit_label",
}  # fmt: skip
_ALSO_SETTLED_BY = {"coupling": ("pipe",)}
"""Couplings of straight pipe follow the cut list: where pipe is counted, none listed means none is needed."""

TASK, ITEM = "task", "item"


@dataclass(frozen=True, slots=True)
class UsualPart:
    """A usual line of a job type: so many of a task or an item, and the part it stands for."""

    of: str  # task | item
    of_id: int
    quantity: Decimal
    stands_for: str


def goods_part(line_key: str) -> str:
    """The part a line of the list belongs to; "" for what the owner typed in addition."""
    parts = line_key.split(":")
    for length in (2, 1):
        head = ":".join(parts[:length])
        if head in _PART_OF:
            return _PART_OF[head]
    return parts[0] if parts[0] in GOODS_PARTS and parts[0] != ALONE else ""


def work_part(driver_kind: str) -> str:
    """The part a count belongs to."""
    return driver_kind if driver_kind in WORK_PARTS and driver_kind != ALONE else ""


def settled_by(part: str) -> tuple[str, ...]:
    """The parts whose counted lines take the place of a usual line of this part."""
    return (part, *_ALSO_SETTLED_BY.get(part, ()))


def part_words(of: str, part: str) -> str:
    """``elbows``; empty where nobody said."""
    return (WORK_PARTS if of == TASK else GOODS_PARTS).get(part, part)


def parts_offered(of: str) -> list[str]:
    """The words to choose from, what the takeoff does not count first."""
    words = list((WORK_PARTS if of == TASK else GOODS_PARTS).values())
    return [words[-1], *words[:-1]]


def part_typed(of: str, text: str) -> str:
    """The part named by its words or their beginning; UNSAID for an emptied cell. Raises NotUnderstood."""
    wanted = " ".join(text.casefold().split())
    if not wanted:
        return UNSAID
    parts = WORK_PARTS if of == TASK else GOODS_PARTS
    exact = [part for part, words in parts.items() if words == wanted]
    found = exact or [part for part, words in parts.items() if words.startswith(wanted)]
    if len(found) != 1:
        some = _few(parts[part] for part in found) if found else "Choose one from the list, or leave it empty."
        raise NotUnderstood(
            f"{as_typed(text)} {'may be ' + some if found else 'is nothing the takeoff counts. ' + some}", text
        )
    return found[0]


def _few(words: Iterable[str]) -> str:
    return ", or ".join(words) + ": type more of it."
