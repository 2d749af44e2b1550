"""Long work on the firm's files beside the owner's own: told how far it is, stopped when asked, one at a time."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QObject, Signal

from db.company_file.how_far import PARTS, Progress
from db.company_file.problems import CompanyProblem, Refused
from domain.units import format_whole_percent

if TYPE_CHECKING:
    from desktop.desk import Desk

Result = TypeVar("Result")

NOTHING_LEFT = "Stopped. Nothing half done was left behind, and the firm is as it was."


class Stopped(Exception):
    """The owner stopped it; raised in the work, by its teller."""


class SlowWork(QObject):
    """One piece of long work that is under way.

    Signals:
        moved: how far it is, in thousandths.
        ended: however it ended.
    """

    moved = Signal(int)
    ended = Signal()

    def __init__(self, owner: QObject | None, title: str) -> None:
        super().__init__(owner)
        self.title, self.thousandths = title, 0
        self._stop, self._said = False, 0
        self.moved.connect(self._note)

    def told(self, done: int, of: int) -> None:
        """Called by the work on its own thread. Raises Stopped once the owner wants no more of it."""
        if self._stop:
            raise Stopped
        now = PARTS * done // max(of, 1)
        if now != self._said:
            self._said = now
            self.moved.emit(now)

    def stop(self) -> None:
        """End it soon; what it made so far goes."""
        self._stop = True

    def words(self) -> str:
        """``Backing up: 43%``, and what one may do meanwhile."""
        done = format_whole_percent(self.thousandths * 100 // PARTS)
        return f"{self.title}: {done}. You can go on working meanwhile."

    def _note(self, thousandths: int) -> None:
        self.thousandths = thousandths


def begin_slow(
    desk: Desk,
    title: str,
    work: Callable[[Progress], Result],
    done: Callable[[Result], str],
    failed: Callable[[str], object] = lambda _words: None,
) -> SlowWork | None:
    """Begin it off the window's thread; None when another one is still under way, which is said.

    Args:
        title: what it is, as a sentence begins: "Backing up".
        work: given what to tell (done, of) to; it lets what that raises pass.
        done: told the result in the window's thread; returns what to say of it.
        failed: told why it did not work, which is said at the foot too.
    """
    if desk.slow is not None:
        desk.say(f"Wait a moment: {desk.slow.title[:1].lower()}{desk.slow.title[1:]} is not finished yet.", "caution")
        return None
    made = desk.slow = SlowWork(desk, title)

    def end(words: str, tone: str) -> None:
        desk.slow = None
        made.ended.emit()
        made.deleteLater()
        desk.say(words, tone)

    def ended_well(result: Result) -> None:
        end(done(result), "good")

    def ended_badly(error: Exception) -> None:
        if isinstance(error, Stopped):
            end(NOTHING_LEFT, "info")
        elif isinstance(error, (CompanyProblem, Refused)):
            end(str(error), "error")
            failed(str(error))
        elif isinstance(error, OSError):
            words = f"Not written: {error.strerror or error}. Choose another folder."
            end(words, "error")
            failed(words)
        else:
            end(f"{title} did not work.", "error")
            raise error  # to the last net

    desk.slow_began.emit(made)
    desk.background(lambda: work(made.told), ended_well, ended_badly)
    return made
