"""The words a route is typed in: one line a run, one word a part, in the order of the air.

    proposed: Two suction points
    A: pit at -7', basement 3in up 6'6", 90, along 31' rise 1/4 under -0'3", wye B, outside up 2', flex to 4in, fan,
       flex, up 16', out
    B: pit at -7', basement 3in up 6', 90, along 10'
    near: opening 12' top 9' wall 6'

A line may begin with ``found:`` or ``proposed:`` (what follows names the route), with ``near:`` (what the discharge
is near) or with the name of a run, letters only, and a colon. Any other line goes on where the line before ended.
Commas are for the eye only. Capitals do not matter, but in the names of runs.

suction point   pit  sump  tile  membrane  block       then  at HEIGHT  above grade, so  at -7'  for a low basement
                kept  behind it: it is there already and is used again; where none is named, none is dug or fitted
leg             up 7'   down 2'   along 31'   pitched 5'    or in one piece:  u7  d2  a31  p5
  slope         rise 1/8  (inches for each foot, toward the discharge)   drop 1/4   level   nothing: the minimum
  obstacles     under 6'8"   over 2'     heights above grade that the pipe must stay under or over
  heading       left  right  near  far   in the side drawing; else on as before
space           slab basement crawl garage room attic outside roof     holds until the next one
size            2in  3in  4in  1-1/2in                                 holds until the next one
fitting         90  90L (long sweep)  45  22  wye B  tee B  coupling  flex  flex to 4in  reduce 4in  sleeve  fire
                flashing  fan  valve  drain  out (the discharge)
  side 2in      the side of a wye or tee is of another size;  turn: the run itself turns in the wye or tee
kept            behind any part: it is already there and stays

Lengths: 31  31'  31ft  6'6"  6' 6"  6'6-1/2"  6.5  2m. Behind feet with a mark, 4" is inches; a size is best typed 4in.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from domain.errors import NotUnderstood
from domain.routes.route import HEADINGS, PIPE_SIZES, SPACES, SUCTION_POINTS, size_words

LEG_WORDS: Mapping[str, str] = {
    "along": "along", "up": "up", "down": "down", "pitched": "pitched",
    "a": "along", "u": "up", "d": "down", "p": "pitched",
}  # fmt: skip
"""Words of a leg; the single letters count only with the length right behind them."""

FITTING_WORDS: Mapping[str, str] = {
    "90": "elbow_90",
    "90l": "elbow_90_long",
    "45": "elbow_45",
    "22": "elbow_22",
    "22.5": "elbow_22",
    "wye": "wye",
    "tee": "tee",
    "coupling": "coupling",
    "flex": "flexible_coupling",
    "reduce": "reducer",
    "sleeve": "sleeve",
    "fire": "fire_passage",
    "flashing": "roof_flashing",
    "fan": "fan",
    "valve": "valve",
    "drain": "drain",
    "out": "discharge",
}
FITTING_TYPED = {
    kind: ("90L" if word == "90l" else word) for word, kind in reversed(list(FITTING_WORDS.items())) if word != "22.5"
}
"""The word to print for each kind."""

MODIFIERS = ("rise", "drop", "level", "under", "over", "kept", "to", "side", "turn", "at", "opening", "top", "wall")
HEADS = ("found", "proposed", "near")

RESERVED = frozenset(
    {*(word for word in LEG_WORDS if len(word) > 1), *FITTING_WORDS, *SPACES, *SUCTION_POINTS, *HEADINGS, *MODIFIERS}
    | {*HEADS, "ft", "feet", "foot", "in", "m"}
)
"""Words that cannot name a run."""

LONGEST_NAME = 12
SIZE_LIST = ", ".join(size_words(size) for size in PIPE_SIZES)


class WordNotUnderstood(NotUnderstood):
    """A word of the shorthand that cannot be used: ``typed[start:end]`` is the word, ``typed`` the whole text."""

    def __init__(self, message: str, typed: str, start: int, end: int) -> None:
        super().__init__(message, typed)
        self.start = start
        self.end = end


def may_name_run(name: str) -> bool:
    """Whether a run may be called so: one to twelve letters that are no word of the shorthand."""
    return name.isalpha() and len(name) <= LONGEST_NAME and name.casefold() not in RESERVED


def size_of(word: str) -> Decimal | None:
    """The nominal size a word like ``3in``, ``4"`` or ``1-1/2in`` says; None when it is no size at all."""
    for ending in ("in", '"', "''", "”", "″"):
        if word.casefold().endswith(ending):
            number = word[: -len(ending)].rstrip("-")
            break
    else:
        return None
    if number in ("1-1/2", "1½"):
        return Decimal("1.5")
    plain = number.replace(".", "", 1)
    return Decimal(number) if plain.isascii() and plain.isdigit() and len(plain) < 8 else None
