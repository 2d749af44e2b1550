"""Reads a route from its shorthand; a word it does not know is reported at its place, and the rest is still read."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import lru_cache
from typing import Any

from domain.errors import NotUnderstood, as_typed
from domain.routes.route import (
    HEADINGS,
    JUNCTIONS,
    PIPE_SIZES,
    SPACES,
    STATUSES,
    SUCTION_POINTS,
    Fitting,
    Leg,
    Part,
    Route,
    Run,
    Surroundings,
)
from domain.routes.shorthand import (
    FITTING_WORDS,
    LEG_WORDS,
    SIZE_LIST,
    WordNotUnderstood,
    may_name_run,
    size_of,
)
from domain.routes.typed_words import Line, Word, lines_of
from domain.units.lengths import parse_length_ft
from domain.units.numbers import read_number, to_places

DEFAULT_SIZE = Decimal(3)
DEFAULT_SPACE = "basement"
STEEPEST_IN_PER_FT = 120
"""Ten to one: nearer to plumb than that it is an ``up`` or ``down``."""

_GLUED = re.compile(r"(along|up|down|pitched|[audp])([\d.½¼¾].*)", re.IGNORECASE)
_INCHES = re.compile(r"\d[\d./-]*(?:\"|''|″|”)")
_FEET_MARK = ("'", "′", "’")
_LONE_UNITS = {"ft", "ft.", "feet", "foot", "m"}


@dataclass(frozen=True, slots=True)
class Mistake:
    """A word that could not be used, where it stands in the text, and what to do."""

    message: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Place:
    """Where in the text a part was typed: the run and the part by number, first and last character."""

    run: int
    part: int
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Reading:
    """What was understood of a text, and what was not."""

    route: Route
    mistakes: tuple[Mistake, ...]
    places: tuple[Place, ...]

    def place_of(self, run: int, part: int) -> Place | None:
        """Where the text says this part; None for a part it does not have."""
        return next((place for place in self.places if place.run == run and place.part == part), None)


@dataclass(slots=True)
class _Run:
    name: str
    suction: str = ""  # until it is named
    kept: bool = False
    start_ft: Decimal | None = None
    parts: list[Part] = field(default_factory=list)
    spans: list[tuple[int, int]] = field(default_factory=list)
    size: Decimal = DEFAULT_SIZE
    space: str = DEFAULT_SPACE


_length_ft = lru_cache(maxsize=2048)(parse_length_ft)
"""The same words are read again with every keystroke."""


class _Problem(Exception):
    """A message for the word being read."""


def parse_route(text: str) -> Route:
    """The route typed as in `domain.routes.shorthand`. Raises WordNotUnderstood at the first word it cannot use."""
    reading = read_route(text)
    if reading.mistakes:
        first = reading.mistakes[0]
        raise WordNotUnderstood(first.message, text, first.start, first.end)
    return reading.route


def read_route(text: str) -> Reading:
    """As much of a route as a text says, while it is typed. Never raises; words not understood are left out."""
    return _Reader(text).read()


class _Reader:
    """Goes through the words once; ``next`` looks at the coming one, ``take`` consumes it."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.mistakes: list[Mistake] = []
        self.runs: list[_Run] = []
        self.lines = lines_of(text)
        self.names = {line.head for line in self.lines if line.head and line.head.casefold() not in (*STATUSES, "near")}
        self.words: list[Word] = []
        self.at = 0
        self.taken = 0
        self.name, self.status, self.near = "", "proposed", Surroundings()

    def read(self) -> Reading:
        for line in self.lines:
            head = line.head.casefold()
            self.words, self.at = line.words, 0
            if head in STATUSES:
                self.status = head
                self.name = " ".join(self.text[line.start : line.end].split())
            elif head == "near":
                self._guarded(self._read_near)
            else:
                self._open_run(line)
                self._guarded(self._read_part)
        runs = tuple(
            Run(run.name, run.suction or "pit", tuple(run.parts), run.start_ft, run.kept, bool(run.suction))
            for run in self.runs
        )
        places = tuple(
            Place(number, part, *span)
            for number, run in enumerate(self.runs)
            for part, span in enumerate(run.spans)
        )  # fmt: skip
        return Reading(Route(self.name, self.status, runs, self.near), tuple(self.mistakes), places)

    def _guarded(self, step: Any) -> None:
        """Take words with a step until the line is read; report what it refuses, and go on behind it."""
        while self.at < len(self.words):
            first = self.at
            try:
                step()
            except (_Problem, NotUnderstood) as problem:
                word = self.words[min(max(self.taken, first), len(self.words) - 1)]
                self.mistakes.append(Mistake(str(problem), word.start, word.end))
                self.at = max(self.at, first + 1)

    def _open_run(self, line: Line) -> None:
        if not line.head:
            if not self.runs and line.words:
                self.runs.append(_Run("A"))
            return
        start = self.text.rfind(line.head, 0, line.start)
        if not may_name_run(line.head):
            message = f"{as_typed(line.head)} cannot name a run. Use a letter or a short word, for example A or north."
            self.mistakes.append(Mistake(message, start, start + len(line.head)))
        elif any(run.name == line.head for run in self.runs):
            message = f"There are two runs named {line.head}. Give each its own name."
            self.mistakes.append(Mistake(message, start, start + len(line.head)))
        self.runs.append(_Run(line.head))

    # ------------------------------------------------------------------ words

    def _peek(self, ahead: int = 0) -> Word | None:
        return self.words[self.at + ahead] if self.at + ahead < len(self.words) else None

    def _take(self) -> Word:
        self.taken = self.at
        self.at += 1
        return self.words[self.taken]

    def _wanted(self, behind: str, example: str) -> Word:
        if self._peek() is None:
            raise _Problem(f"Something is missing behind “{behind}”: type for example {example}.")
        return self._take()

    def _length(self, behind: str, first: str | None = None) -> Decimal:
        """A length of one or two words (``6' 6"``, ``7 ft``), feet; ``first`` was typed in one with the leg."""
        text = self._wanted(behind, f"{behind} 6'6\"").text if first is None else first
        following = self._peek()
        if following is not None and (
            following.low in _LONE_UNITS
            or (text.endswith(_FEET_MARK) and not text.endswith("''") and _INCHES.fullmatch(following.low))
        ):
            text = f"{text} {self._take().text}"
        return _length_ft(text)

    def _height(self, behind: str) -> Decimal:
        """A height above grade; a minus in front is below it."""
        word = self._peek()
        if word is not None and word.text[:1] in ("-", "\u2212", "+"):
            self._take()
            sign = -1 if word.text[0] != "+" else 1
            return sign * self._length(behind, word.text[1:])
        return self._length(behind)

    def _size(self, behind: str) -> Decimal:
        return _known_size(self._wanted(behind, f"{behind} 4in"))

    # ------------------------------------------------------------------ parts

    def _read_part(self) -> None:
        run = self.runs[-1]
        word = self._take()
        if word.low in LEG_WORDS and len(word.low) > 1:
            self._read_leg(run, word, word.low, None)
        elif word.low in FITTING_WORDS:
            self._read_fitting(run, word)
        elif word.low in SPACES:
            run.space = word.low
        elif word.low[:1].isdigit() and size_of(word.low) is not None:
            run.size = _known_size(word)
        elif not run.parts and word.low in SUCTION_POINTS:
            run.suction = word.low
        elif not run.parts and run.suction and word.low == "kept":
            run.kept = True
        elif not run.parts and word.low == "at":
            run.start_ft = self._height("at")
        elif glued := _GLUED.fullmatch(word.text):
            self._read_leg(run, word, LEG_WORDS[glued[1].lower()], glued[2])
        else:
            self._change_last(run, word)

    def _read_leg(self, run: _Run, word: Word, direction: str, glued: str | None) -> None:
        length = self._length(word.low, glued)
        run.parts.append(Leg(direction, length, run.size, run.space))
        run.spans.append((word.start, self.words[self.at - 1].end))

    def _read_fitting(self, run: _Run, word: Word) -> None:
        kind = FITTING_WORDS[word.low]
        values: dict[str, Any] = {}
        following = self._peek()
        if kind in JUNCTIONS and following is not None and following.text in self.names:
            values["joins"] = self._take().text
        elif kind == "reducer":
            if following is not None and following.low == "to":
                self._take()
            values["to_size"] = self._size("reduce")
        run.parts.append(Fitting(kind, run.size, run.space, **values))
        run.spans.append((word.start, self.words[self.at - 1].end))
        run.size = values.get("to_size", run.size)

    def _change_last(self, run: _Run, word: Word) -> None:
        """A word that says more about the part before it."""
        last = run.parts[-1] if run.parts else None
        if last is None:
            raise _Problem(_not_known(word))
        if word.low == "kept":
            changed: Part = replace(last, kept=True)
        elif isinstance(last, Leg):
            changed = self._changed_leg(last, word)
        else:
            changed = self._changed_fitting(last, word)
            run.size = changed.size_after if changed.to_size is not None else run.size
        run.parts[-1] = changed
        run.spans[-1] = (run.spans[-1][0], self.words[self.at - 1].end)

    def _changed_leg(self, leg: Leg, word: Word) -> Leg:
        if word.low in HEADINGS:
            return replace(leg, heading=word.low)
        if word.low == "level":
            return replace(leg, rise_in_per_ft=Decimal(0))
        if word.low in ("rise", "drop"):
            return replace(leg, rise_in_per_ft=self._slope(word.low))
        if word.low == "under":
            return replace(leg, under_ft=self._height("under"))
        if word.low == "over":
            return replace(leg, over_ft=self._height("over"))
        raise _Problem(_not_known(word))

    def _slope(self, behind: str) -> Decimal:
        following = self._peek()
        if following is not None and "," in self.text[self.words[self.at - 1].end : following.start]:
            raise _Problem(f"Something is missing behind “{behind}”: type for example {behind} 1/8.")  # next is a part
        word = self._wanted(behind, f"{behind} 1/8")
        number = read_number(word.text.removesuffix('"'))
        if number is None:
            raise _Problem(f"{as_typed(word.text)} is no slope. Type inches for each foot, for example 1/8 or 0.25.")
        if number > STEEPEST_IN_PER_FT:
            raise _Problem(f"{as_typed(word.text)} inches a foot is as good as plumb. Type it as up or down instead.")
        return to_places(number if behind == "rise" else -number, 4)

    def _changed_fitting(self, fitting: Fitting, word: Word) -> Fitting:
        if word.low == "to":
            return replace(fitting, to_size=self._size("to"))
        if word.low == "side" and fitting.kind in JUNCTIONS:
            return replace(fitting, side_size=self._size("side"))
        if word.low == "turn" and fitting.kind in JUNCTIONS:
            return replace(fitting, turned=True)
        if fitting.kind in JUNCTIONS and not fitting.joins and may_name_run(word.text):
            raise _Problem(f"No run is named {word.text}. Begin a line with “{word.text}:” for what joins here.")
        raise _Problem(_not_known(word))

    def _read_near(self) -> None:
        word = self._take()
        if word.low == "opening":
            self.near = replace(self.near, opening_distance_ft=self._length("opening"))
        elif word.low == "top":
            self.near = replace(self.near, opening_top_ft=self._height("top"))
        elif word.low == "wall":
            self.near = replace(self.near, wall_distance_ft=self._length("wall"))
        else:
            raise _Problem(f"{as_typed(word.text)} is not known here. Type: near: opening 12' top 9' wall 6'.")


def _known_size(word: Word) -> Decimal:
    size = size_of(word.low)
    if size is None:
        raise _Problem(f"{as_typed(word.text)} is no pipe size. Type it like 3in.")
    if size not in PIPE_SIZES:
        raise _Problem(f"There is no {as_typed(word.text)} pipe in the tables. Sizes are {SIZE_LIST}.")
    return size


def _not_known(word: Word) -> str:
    if word.low in LEG_WORDS or word.low in HEADINGS or word.low in ("rise", "drop", "under", "over", "level"):
        return f"“{word.text}” has to follow a leg, for example along 12' {word.text}."
    return f"{as_typed(word.text)} is no word of the shorthand here. It is kept: change it or take it out."
