"""What is typed into the last row of the hours: a task of the list, or other work in one's own words."""

from __future__ import annotations

import re
from collections.abc import Mapping

from desktop.pages.job_sections.log.entering import pick
from domain.choosing import NameList
from domain.errors import NotUnderstood, as_typed
from domain.log_day import HoursRow
from domain.log_entry import parse_hours

OTHER_WORK = "Other work"
"""The task of the starting list under which work with no task of its own is logged."""
LONGEST = 200
_WORD = re.compile(r"[^\W\d_]{3}")


def begun_task(words: str, names: Mapping[int, str], again: bool) -> tuple[int, str]:
    """(task, "") for a task of the list, (task of other work, the words) for work that has none.

    Words that fit nothing become other work once they are entered `again`, or after its name and a colon.

    Raises NotUnderstood: with what to do.
    """
    other = next((key for key, name in names.items() if name.casefold() == OTHER_WORK.casefold()), None)
    before, colon, own = words.partition(":")
    if other is not None and colon and _says(own) and before.strip().casefold() == names[other].casefold():
        return other, " ".join(own.split())
    try:
        return pick(words, names.items()), ""
    except NotUnderstood:
        if is_amount(words):
            raise NotUnderstood(f"{as_typed(words)}: on which task? Type it in the row of the task.", words) from None
        if other is None or not _says(words) or NameList(list(names.values())).best(words):
            raise
        if again:
            return other, " ".join(words.split())
    raise NotUnderstood(
        f"{as_typed(words)} is not in the list. Enter on it once more: {OTHER_WORK.lower()} in these words.", words
    )


def is_amount(words: str) -> bool:
    """True for 45, 20m, 8:15-10, $40: something that belongs beside a name, and is none."""
    if not any(letter.isalpha() for letter in words):
        return True
    try:
        return parse_hours(words.strip().lstrip("+")) is not None
    except NotUnderstood:
        return False


def row_name(task: str, row: HoursRow, begun: str) -> str:
    """The task; for other work with the words of its entries of the day, and those just begun."""
    if task.casefold() != OTHER_WORK.casefold():
        return task
    said = dict.fromkeys([*(one.note for one in row.entries if one.note), *([begun] if begun else [])])
    return f"{task}: {'; '.join(map(as_typed, said))}" if said else task


def _says(words: str) -> bool:
    return len(words) <= LONGEST and bool(_WORD.search(words))
