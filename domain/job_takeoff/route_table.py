"""A route as a table of parts, and the words changed by what is typed into a cell of it.

The words stay the owner's: a new length, slope or fitting replaces the words of that part alone. A new size or space
holds for that part only, so the whole route is written anew, which needs every word to be understood.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from domain.choosing import one_beginning
from domain.errors import NotUnderstood, as_typed
from domain.job_takeoff.reckoning import RouteSheet, without_head
from domain.routes import Leg, Part, Route, print_route, read_route
from domain.routes.printing import print_part
from domain.routes.route import DIRECTIONS, PIPE_SIZES, SPACES, size_words
from domain.routes.shorthand import SIZE_LIST, size_of
from domain.routes.slope import LegSlope
from domain.units.lengths import format_inches, format_length, parse_length_ft
from domain.units.numbers import plain, read_number, to_places


@dataclass(frozen=True, slots=True)
class PartLine:
    """A part with its place in the route and its fall; ``run`` -1 is the empty line at the foot."""

    run: int
    index: int
    part: Part | None
    run_name: str = ""
    slope: LegSlope | None = None
    wet: bool = False  # water would stand behind it

    @property
    def is_leg(self) -> bool:
        """A straight length."""
        return isinstance(self.part, Leg)


EMPTY_LINE = PartLine(-1, 0, None)


def part_lines(sheet: RouteSheet) -> list[PartLine]:
    """Every part in the order of the air, run after run."""
    slopes = {(slope.run, slope.part): slope for slope in sheet.study.slopes.legs}
    wet = {(spot.run, spot.part) for spot in sheet.study.slopes.low_spots}
    route = sheet.study.route
    several = len(route.runs) > 1
    return [
        PartLine(
            number, index, part, run.name if several else "", slopes.get((number, index)), (number, index) in wet
        )
        for number, run in enumerate(route.runs)
        for index, part in enumerate(run.parts)
    ]  # fmt: skip


def line_cells(line: PartLine, unit: str) -> dict[str, str]:
    """What each cell of the table says."""
    part = line.part
    if part is None:
        return {"part": "Add a part: along 12', 90, fan", "length": "", "size": "", "space": "", "slope": "",
                "fall": "", "kept": ""}  # fmt: skip
    leg = part if isinstance(part, Leg) else None
    words = (leg.direction if leg else print_part(replace(part, kept=False)))
    return {
        "part": f"{line.run_name}  {words}" if line.run_name and not line.index else words,
        "length": format_length(leg.length_ft, unit) if leg else "",
        "size": size_words(part.size),
        "space": part.space,
        "slope": _slope_words(leg) if leg and leg.is_level else "",
        "fall": _fall_words(line),
        "kept": "stays" if part.kept else "",
    }


def _slope_words(leg: Leg) -> str:
    rise = leg.rise_in_per_ft
    if rise is None:
        return "least"
    return "level" if not rise else f"{'rise' if rise > 0 else 'drop'} {plain(abs(rise).normalize())}"


def _fall_words(line: PartLine) -> str:
    """``5" of 2 1/2"``: what it has of what it needs; what is short and where water lies is said behind it."""
    slope = line.slope
    wet = "water lies here" if line.wet else ""
    if slope is None:
        return wet
    has = f"{format_inches(slope.has_in)} of {format_inches(slope.needs_in)}"
    short = "" if slope.falls_enough else "short"
    tight = "" if slope.fits else "too high for its obstacle"
    return ", ".join(part for part in (has, short, tight, wet) if part)


# ---------------------------------------------------------------------- typed into a cell


def with_line(sheet: RouteSheet, line: PartLine, key: str, text: str) -> str:
    """The words of the route with one cell typed anew. Raises NotUnderstood with a word of advice."""
    if line.part is None:
        return _appended(sheet, text)
    if key == "part":
        return _in_place(sheet, line, _part_typed(line.part, " ".join(text.split())))
    if key in ("size", "space"):
        changed = replace(line.part, **({"size": _size(text)} if key == "size" else {"space": _space(text)}))
        return _written_anew(sheet, line, changed)
    if key == "kept":
        return _in_place(sheet, line, print_part(replace(line.part, kept=_kept(text))))
    if not isinstance(line.part, Leg):
        raise NotUnderstood("A fitting has no length and no slope of its own.", text)
    if key == "length":
        return _in_place(sheet, line, print_part(replace(line.part, length_ft=parse_length_ft(text))))
    return _in_place(sheet, line, print_part(replace(line.part, rise_in_per_ft=_slope(text))))


def _part_typed(part: Part, typed: str) -> str:
    """A bare direction keeps the length of the leg; anything else is typed as in the words."""
    word = typed.casefold()
    if isinstance(part, Leg) and word in DIRECTIONS:
        slope = part.rise_in_per_ft if word in ("along", "pitched") else None
        return print_part(replace(part, direction=word, rise_in_per_ft=slope))
    return typed


def without_line(sheet: RouteSheet, line: PartLine) -> str:
    """The words without one part and the comma before it."""
    place = sheet.reading.place_of(line.run, line.index)
    words = sheet.row.words
    if place is None:
        return words
    before, after = words[: place.start], words[place.end :]
    head = before.rstrip()
    if head.endswith(","):
        return head[:-1] + after
    return before + after.lstrip(" ,") if after.lstrip().startswith(",") else before.rstrip() + after


def moved_line(sheet: RouteSheet, line: PartLine, steps: int) -> str:
    """The words with one part moved among those of its run. Raises NotUnderstood while a word is not understood."""
    runs = list(sheet.study.route.runs)
    run = runs[line.run]
    parts = list(run.parts)
    target = max(0, min(len(parts) - 1, line.index + steps))
    parts.insert(target, parts.pop(line.index))
    runs[line.run] = replace(run, parts=tuple(parts))
    return _printed(sheet, replace(sheet.study.route, runs=tuple(runs)))


def _appended(sheet: RouteSheet, text: str) -> str:
    typed = " ".join(text.split()).strip(",")
    words, places = sheet.row.words, sheet.reading.places
    if not typed:
        raise NotUnderstood("Type a part as in the words: along 12', 90, fan, out.", text)
    if not places:
        start = words.rstrip() or "A: pit"
        return _checked(sheet, f"{start}, {typed}", text)
    end = max(place.end for place in places)
    return _checked(sheet, f"{words[:end]}, {typed}{words[end:]}", text)


def _in_place(sheet: RouteSheet, line: PartLine, words: str) -> str:
    place = sheet.reading.place_of(line.run, line.index)
    if place is None:
        raise NotUnderstood("This part is no longer where it was. Change it in the words.", words)
    kept = sheet.row.words
    if not words:
        raise NotUnderstood("Press Delete to remove the part, or type what is there.", words)
    return _checked(sheet, kept[: place.start] + words + kept[place.end :], words)


def _written_anew(sheet: RouteSheet, line: PartLine, part: Part) -> str:
    runs = list(sheet.study.route.runs)
    run = runs[line.run]
    runs[line.run] = replace(run, parts=(*run.parts[: line.index], part, *run.parts[line.index + 1 :]))
    return _printed(sheet, replace(sheet.study.route, runs=tuple(runs)))


def _printed(sheet: RouteSheet, route: Route) -> str:
    if sheet.reading.mistakes:
        raise NotUnderstood("Put the marked words right first; then this can be changed in the table.")
    printed = print_route(route)
    return printed if without_head(sheet.row.words) != sheet.row.words.strip("\n") else without_head(printed)


def _checked(sheet: RouteSheet, words: str, typed: str) -> str:
    """The new words, when they hold no more mistakes than before."""
    mistakes = read_route(words).mistakes
    if len(mistakes) > len(sheet.reading.mistakes):
        known = {mistake.message for mistake in sheet.reading.mistakes}
        fresh = next((one for one in mistakes if one.message not in known), mistakes[-1])
        raise NotUnderstood(fresh.message, typed)
    return words


def _size(text: str) -> Decimal:
    word = "".join(text.split())
    size = size_of(word) or size_of(f"{word}in")
    if size not in PIPE_SIZES:
        raise NotUnderstood(f"{as_typed(text)} is no pipe size. Sizes are {SIZE_LIST}.", text)
    return size


def _space(text: str) -> str:
    wanted = text.strip().casefold()
    if named := [space for space, name in SPACES.items() if wanted == name]:
        return named[0]
    missing = f"{as_typed(text)} is no space. Choose {', '.join(SPACES)}."
    return one_beginning({space: space for space in SPACES}, text, missing)


def _kept(text: str) -> bool:
    word = text.strip().casefold()
    if word in ("", "no", "n", "new"):
        return False
    if word in ("stays", "kept", "yes", "y", "x"):
        return True
    raise NotUnderstood(f"{as_typed(text)}: type stays, or leave it empty for a new part.", text)


def _slope(text: str) -> Decimal | None:
    words = text.casefold().replace('"', "").split()
    if not words or words == ["least"]:
        return None
    if words == ["level"]:
        return Decimal(0)
    sign = -1 if words[0] == "drop" else 1
    number = read_number(" ".join(words[1:] if words[0] in ("rise", "drop") else words))
    if number is None:
        raise NotUnderstood(f"{as_typed(text)} is no slope. Type 1/8, drop 1/4, level, or leave it empty.", text)
    if not number and words[0] == "drop":
        raise NotUnderstood("A drop of nothing is level. Type how much, drop 1/8, or level.", text)
    return to_places(sign * number, 4)


CHOICES: Mapping[str, Callable[[], Any]] = {
    "size": lambda: [size_words(size) for size in PIPE_SIZES],
    "space": lambda: list(SPACES),
}
"""Words to offer while a cell is typed."""
