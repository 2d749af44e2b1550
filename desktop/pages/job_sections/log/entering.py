"""Saving from a cell: a refusal comes back as words for that cell instead of a word at the foot of the window."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

from db.company_file.problems import Refused
from db.edit import Edit
from desktop.desk import Desk
from domain.errors import NotUnderstood, as_typed

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
    return None if saved else "Not saved. What you typed is still here."


def pick(words: str, named: Iterable[tuple[Value, str]]) -> Value:
    """The one thing these words name: the whole name in any case, else the only one that contains them.

    Raises NotUnderstood when nothing or more than one fits.
    """
    wanted = " ".join(words.casefold().split())
    known = [(value, name.casefold()) for value, name in named]
    whole = [value for value, name in known if name == wanted]
    if whole:
        return whole[0]
    near = [value for value, name in known if wanted and wanted in name]
    if len(near) == 1:
        return near[0]
    if near:
        raise NotUnderstood(f"{as_typed(words)} fits {len(near)} of the list. Type more of it, or press Down.", words)
    raise NotUnderstood(f"{as_typed(words)} is not in the list. Press Down to see what is.", words)
