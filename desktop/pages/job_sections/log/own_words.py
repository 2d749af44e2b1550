"""What is typed into the last row of the hours: a task of the list, or other work in one's own words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from difflib import get_close_matches

from desktop.pages.job_sections.log.entering import pick
from domain.choosing import NameList
from domain.errors import NotUnderstood, as_typed
from domain.log_day import HoursRow
from domain.log_entry import TypedHours, parse_hours

OTHER_WORK = "Other work"
"""The task of the starting list under which work with no task of its own is logged."""
LONGEST = 200
_WORD = re.compile(r"[^\W\d_]{3}")
_PLAINLY_TIME = re.compile(r"\d\s*(h|m|:|-|–|\.\d)|\d\s+\d/\d", re.IGNORECASE)
"""In a line with words a bare 2 may belong to the words; 2h, 8-10 and 2.5 do not."""
_LIKE = 0.8
"""So much alike a slip of the keyboard is to the name that was meant (ours, no source)."""


def begun_task(words: str, names: Mapping[int, str], again: bool) -> tuple[int, str]:
    """(task, "") for a task of the list, (task of other work, the words) for work that has none.

    Several words that fit nothing and look like no name of the list become other work at once; one word alone, or
    words that may be a slip, once they are entered `again`, or after the name of other work and a colon.

    Raises NotUnderstood: with what to do.
    """
    other = other_work(names)
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
        own = " ".join(words.split())
        known = [name.casefold() for name in names.values()]
        like = get_close_matches(own.casefold(), known, 1, _LIKE)
        if again or (" " in own and not like):
            return other, own
        if like:
            meant = next(name for name in names.values() if name.casefold() == like[0])
            raise NotUnderstood(
                f"{as_typed(words)} is not in the list; {meant} is. Correct it, or Enter on it once more: "
                f"{OTHER_WORK.lower()} in these words.", words,
            ) from None  # fmt: skip
    raise NotUnderstood(
        f"{as_typed(words)} is not in the list. Enter on it once more: {OTHER_WORK.lower()} in these words.", words
    )


def words_and_time(line: str, names: Mapping[int, str]) -> tuple[str, TypedHours | None]:
    """``Haul out old insulation 1h40`` apart: what was done, and how long; a line without both stays words.

    The time stands at the end or the beginning, and is plainly one: a number alone may belong to the words.
    """
    tokens = line.split()
    if any(" ".join(tokens).casefold() == name.casefold() for name in names.values()):
        return line, None
    for cut in range(1, len(tokens)):  # the longest time first: 8-12 and 12:30-4
        for words, time in ((tokens[:cut], tokens[cut:]), (tokens[-cut:], tokens[:-cut])):
            said, typed = " ".join(words), _plain_time(" ".join(time))
            if typed is not None and _says(said) and not is_amount(said):
                return said, typed
    return line, None


def _plain_time(text: str) -> TypedHours | None:
    if not _PLAINLY_TIME.search(text):
        return None
    try:
        return parse_hours(text)
    except NotUnderstood:
        return None


def is_amount(words: str) -> bool:
    """True for 45, 20m, 8:15-10, $40: something that belongs beside a name, and is none."""
    if not any(letter.isalpha() for letter in words):
        return True
    try:
        return parse_hours(words.strip().lstrip("+")) is not None
    except NotUnderstood:
        return False


def other_work(names: Mapping[int, str]) -> int | None:
    """The id of the task of other work, None where the firm has none."""
    return next((key for key, name in names.items() if name.casefold() == OTHER_WORK.casefold()), None)


def row_name(task: str, row: HoursRow) -> str:
    """The task; for other work with the words for it."""
    return f"{task}: {as_typed(row.own)}" if row.own else task


def _says(words: str) -> bool:
    return len(words) <= LONGEST and bool(_WORD.search(words))
