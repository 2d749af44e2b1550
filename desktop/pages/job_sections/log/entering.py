"""Saving from a cell: a refusal comes back as words for that cell instead of a word at the foot of the window."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

from db.company_file.problems import Refused
from db.edit import Edit
from desktop.desk import Desk
from domain.choosing import NameList
from domain.errors import NotUnderstood

Value = TypeVar("Value")


def enter(desk: Desk, label: str, work: Callable[[Edit], object], *, say: str = "", undo: bool = False) -> str | None:
    """Run one action; None when it was saved, else why not."""

    def run(edit: Edit) -> bool:
        try:
            work(edit)
        except Refused as refusal:
            raise NotUnderstood(str(refusal)) from refusal
        return True

    try:
        saved = desk.do(label, run, say=say, undo=undo)
    except NotUnderstood as error:
        return str(error)
    return None if saved else desk.why_not()


def pick(words: str, named: Iterable[tuple[Value, str]]) -> Value:
    """The one thing these words name; raises NotUnderstood when nothing, or more than one, fits best."""
    known = list(named)
    return known[NameList([name for _, name in known]).choose(words, within=False)][0]
