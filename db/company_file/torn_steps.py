"""The journal's rows that stand in the pages of a file or its log, also where no table leads to them any more."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from db.company_file.loose_rows import Pages, is_whole_number, is_words, loose_rows, pages_of

Step = tuple[int, str, str]
"""Number, moment and label."""

_MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d")


@dataclass(frozen=True, slots=True)
class TornJournal:
    """What stands in the pages.

    Attributes:
        actions: by number the moment, the label, undone and final.
        changes: by number the action, the table, the row, and the row before and after.
    """

    actions: dict[int, tuple[str, str, int, int]]
    changes: dict[int, tuple[int, str, int, str | None, str | None]]


def torn_steps(path: Path) -> set[Step]:
    """Every step not undone that stands in a page of the file, or in the last state its log gives that page."""
    return {
        (number, moment, label) for number, (moment, label, undone, _) in _actions(pages_of(path)).items() if not undone
    }


def torn_journal(path: Path) -> TornJournal:
    """Every row of the journal likewise, undone steps and what each step changed included."""
    pages = pages_of(path)
    changes = {}
    for number, values in loose_rows(pages, _is_change):
        _, action, table, row, before, after = values
        if isinstance(action, int) and isinstance(row, int) and isinstance(table, str):
            changes[number] = (action, table, row, _text(before), _text(after))
    return TornJournal(_actions(pages), changes)


def _actions(pages: Pages) -> dict[int, tuple[str, str, int, int]]:
    found = {}
    for number, values in loose_rows(pages, _is_step):
        moment, label, undone = values[1:4]
        final = values[4] if len(values) > 4 else 0
        if isinstance(moment, str) and isinstance(label, str) and _MOMENT.match(moment):
            found[number] = (moment, label, int(undone == 1), int(final == 1))
    return found


def _text(value: object) -> str | None:
    return value if isinstance(value, str) else None


def _is_step(kinds: Sequence[int]) -> bool:
    """The number is not stored twice, two texts follow, then nought or one for undone and final."""
    flags = (8, 9)
    return (
        len(kinds) in (4, 5)
        and kinds[0] == 0
        and all(is_words(kind) for kind in kinds[1:3])
        and all(kind in flags for kind in kinds[3:])
    )


def _is_change(kinds: Sequence[int]) -> bool:
    return (
        len(kinds) == 6
        and kinds[0] == 0
        and is_whole_number(kinds[1])
        and is_words(kinds[2])
        and is_whole_number(kinds[3])
        and all(kind == 0 or is_words(kind) for kind in kinds[4:])
    )
