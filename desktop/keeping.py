"""Backing up beside the firm and saving a copy, off the window's thread, told and stoppable; see `slow_work`."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from db.company_file import SUFFIX, back_up, save_copy
from desktop.desk import Desk
from desktop.slow_work import SlowWork, begin_slow

BACKED_UP = "Backed up, and the backup was checked. It is listed under Firm, Safe keeping."


def _nothing(_made: object) -> None:
    pass


def back_up_beside(desk: Desk, done: Callable[[Path], object] = _nothing,
                   failed: Callable[[str], object] = _nothing) -> SlowWork | None:  # fmt: skip
    """A whole backup beside the firm; what is saved after it began is not in it, and is not lost either."""
    company = desk.company

    def said(made: Path) -> str:
        done(made)
        return BACKED_UP

    return begin_slow(desk, "Backing up", lambda told: back_up(company, progress=told), said, failed)


def copy_to(desk: Desk, chosen: Path, done: Callable[[Path], object] = _nothing,
            failed: Callable[[str], object] = _nothing) -> SlowWork | None:  # fmt: skip
    """The whole firm under another name, over a file that is there: whoever chose the name was asked."""
    company, target = desk.company, chosen if chosen.suffix else Path(f"{chosen}{SUFFIX}")

    def said(made: Path) -> str:
        done(made)
        return f"Saved a copy: {made.name}. You go on working in the file that is open."

    def work(told: Callable[[int, int], None]) -> Path:
        return save_copy(company, target, replace=True, progress=told)

    return begin_slow(desk, "Saving a copy", work, said, failed)
