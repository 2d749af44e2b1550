"""How the columns of a table share a window that is too narrow for all they ask for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from desktop.look.fonts import face
from desktop.widgets.rows_model import Column

BESIDE_TEXT = 22
LEAST = 48
LEAST_WORDS = 90
"""A column of words is not made so narrow that each stands in a line of its own."""
MOST_LINES_WANTED = 3
MOST_OF_WORDS = 160
_SAMPLE_ROWS = 80


def least_width(table: Any, number: int) -> int:
    """Pixels below which a heading, a figure, a state or a word would be cut; words go on in a second line."""
    model, column = table.rows_model(), table.rows_model().columns[number]
    arrow = number == table.horizontalHeader().sortIndicatorSection()
    head = face("small_strong")[1].horizontalAdvance(column.title) + (26 if arrow else 16) if column.title else 0
    texts = [] if column.kind == "bar" else [model.text(row, column.key) for row in model.rows[:_SAMPLE_ROWS]]
    return least_for(column, head, texts, model.has_strong)


def least_for(column: Column, head: int, texts: Sequence[str], strong: bool) -> int:
    """The same from what stands in the column; head: the room its heading needs."""
    body, small = face("strong" if strong else "body")[1], face("small")[1]
    if column.kind == "bar":
        return max(head, LEAST)
    if column.kind == "state":
        return max(head, LEAST, max((small.horizontalAdvance(text) + 38 for text in texts), default=0))
    if not column.wraps:
        return max(head, LEAST, max((body.horizontalAdvance(text) + BESIDE_TEXT for text in texts), default=0))
    words, whole = 0, 0
    for text in texts:
        wide = body.horizontalAdvance(text)
        whole = max(whole, wide)
        if wide + BESIDE_TEXT > LEAST_WORDS:
            words = max(words, max(body.horizontalAdvance(word) for word in text.split() or [""]))
    some = max(words, min(whole // MOST_LINES_WANTED, MOST_OF_WORDS))
    return max(head, LEAST, min(whole + BESIDE_TEXT, LEAST_WORDS), some + BESIDE_TEXT)


def giving_way(columns: Sequence[Column], least: Sequence[int], room: int) -> set[int]:
    """Numbers of the columns that are away, from the right, so that the others keep their least; hidden ones have 0."""
    away: set[int] = set()
    for number in reversed(range(len(columns))):
        if sum(width for n, width in enumerate(least) if n not in away) <= room:
            break
        if columns[number].gives_way and least[number]:
            away.add(number)
    return away


def squeezed(widths: Sequence[int], least: Sequence[int], missing: int) -> list[int]:
    """Take what is missing from the widest column first, then from those as wide, none below its least.

    What still is missing then is scrolled to.
    """
    made = list(widths)
    while missing > 0:
        room = [n for n, width in enumerate(made) if width > least[n]]
        if not room:
            break
        widest = max(room, key=lambda n: made[n])
        taken = min(missing, made[widest] - least[widest], 4)
        made[widest] -= taken
        missing -= taken
    return made
