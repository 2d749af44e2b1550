"""What every page is given: the open company, today's date, and ways to act, to go elsewhere and to speak."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date, datetime
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QObject, Signal
from sqlalchemy import Connection
from sqlalchemy.exc import IntegrityError, OperationalError

from db.company_file.company import Company
from db.company_file.problems import CompanyProblem, Refused
from db.edit import Edit
from desktop import clock, log_file
from desktop.draft_shelf import DraftShelf
from desktop.errands import Errand
from desktop.slow_work import SlowWork
from desktop.step_guard import StepGuard

if TYPE_CHECKING:
    from desktop.kept_words import KeptWords

Result = TypeVar("Result")

PUT_RIGHT = "What was wrong is credited, refunded or corrected on a paper or day of its own."
"""What to do instead of undoing what is issued or closed for good."""

TONIGHT, CUSTOMERS, JOBS, MARGINS, COMPANY = "tonight", "customers", "jobs", "margins", "company"
NOT_SAVED = "Not saved"
"""How the reason begins of what can be tried again as it stands."""
PLACES = (TONIGHT, CUSTOMERS, JOBS, MARGINS, COMPANY)


class Desk(QObject):
    """The page's only way to the company and to the rest of the window.

    Signals:
        changed: something was saved, undone or redone; the page that is shown refreshes itself.
        asked_for: (place, key, section): show that place, e.g. ("jobs", 17, "quote").
        new_day: (the day before): midnight has passed while the window was open.
        slow_began: (SlowWork): long work on the firm's files began beside the owner's own.
        spoke: (text, tone, offers_undo): a short word to the owner; tone is info, good, caution or error.
    """

    changed = Signal()
    asked_for = Signal(str, object, str)
    spoke = Signal(str, str, bool)
    new_day = Signal(object)
    slow_began = Signal(object)

    def __init__(self, company: Company, today: Callable[[], date] = clock.today) -> None:
        super().__init__()
        self.company = company
        self.drafts = DraftShelf()  # the window puts the one of this computer here
        self._today = today
        self.slow: SlowWork | None = None
        self.not_saved = ""
        """What the file or the disk said to the last action; "" when it was saved, or refused for what it asked."""
        self._kept: KeptWords | None = None
        self._unasked = 0
        self.seen: Callable[[], tuple[str, int]] = lambda: ("", -1)
        """The place that is shown and the job in it, 0 for none; the window says so, without one it is not known."""
        self.guard = StepGuard(lambda: self.seen() if self.seen()[1] >= 0 else None)

    @property
    def kept(self) -> KeptWords:
        """What stands in fields that save by themselves and is not saved."""
        if self._kept is None:
            from desktop.kept_words import KeptWords

            self._kept = KeptWords(self)
        return self._kept

    def today(self) -> date:
        """The day the program believes it is; tests and the sample company set it."""
        return self._today()

    def now(self) -> datetime:
        """This moment in local time with its offset, on the day the program believes it is."""
        moment, day = clock.now(), self.today()
        if day != moment.date() and day == (again := clock.now()).date():
            moment = again  # midnight passed between the two questions
        return moment if day == moment.date() else datetime.combine(day, moment.timetz())

    @contextmanager
    def read(self) -> Iterator[Connection]:
        """A connection for questions to `db.queries`; what the file has wrong is told at the foot, in words."""
        try:
            with self.company.read() as conn:
                yield conn
        except CompanyProblem as problem:
            if not self._unasked:
                self.spoke.emit(str(problem), "error", False)
            raise

    @contextmanager
    def unasked(self) -> Iterator[None]:
        """While the block lasts nothing is told of the file: the program reads ahead, the owner asked for nothing."""
        self._unasked += 1
        try:
            yield
        finally:
            self._unasked -= 1

    def do(self, label: str, work: Callable[[Edit], Result], *, say: str = "", undo: bool = False) -> Result | None:
        """Run one user action as one transaction; `changed` follows.

        Args:
            label: the action as Undo will name it.
            work: writes through the Edit it is given, usually one function of `db.commands`.
            say: a word to the owner when it is saved.
            undo: offer Undo beside that word.

        Returns:
            What work returned, or None when it was refused (the owner has been told why).
        """
        self.not_saved = ""
        try:
            with log_file.timed("step", work), self.company.action(label) as edit:
                result = work(edit)
        except Refused as refusal:
            log_file.note_refused(refusal, work)
            self.spoke.emit(str(refusal), "caution", False)
            return None
        except CompanyProblem as problem:
            log_file.note_refused(problem, work)
            self._tell_not_saved(str(problem), problem.message)
            return None
        except LookupError as gone:
            if type(gone) is not LookupError:  # a key or a place in a list: a bug of ours, not a row that went
                raise
            self.spoke.emit("That is not there any more: it was removed or taken back meanwhile.", "caution", False)
            self.changed.emit()
            return None
        except OperationalError as error:
            log_file.note_refused(error, work)
            why = plain_reason(error)
            self._tell_not_saved(f"Not saved: {why} What you typed is still on the screen.", why)
            return None
        except IntegrityError as error:  # a command let something through that the file does not take: told each time
            from desktop.fault_report import write_report

            write_report(error, self.company.path)
            self.spoke.emit(
                "Not saved: something that is needed is missing or does not fit the rest. What you typed is still on "
                "the screen.", "error", False,
            )  # fmt: skip
            return None
        self.guard.note(self.company.done_id, told=bool(say) and undo)
        self.changed.emit()
        if say:
            self.spoke.emit(say, "good", undo)
        return result

    def _tell_not_saved(self, words: str, reason: str) -> None:
        """The file or the disk would not take it; the same can be tried again as it stands."""
        reason = reason if reason.startswith(NOT_SAVED) else f"{NOT_SAVED}: {reason}"
        self.not_saved = f"{reason} Ctrl+S tries again."
        self.spoke.emit(words, "error", False)

    def why_not(self) -> str:
        """Why the last action was not saved, for the place where it was typed."""
        return self.not_saved or f"{NOT_SAVED}. What you typed is still here."

    def undo(self, told: bool = False) -> None:
        """Take back the last action; of another job it is asked about first, unless it was told just now, with Undo."""
        if self.company.undo_label is None and (label := self.company.final_label):
            self.say(f"“{label}” is final and cannot be undone. {PUT_RIGHT}", "caution")
            return
        step_id = self.company.done_id
        if not (told and step_id == self.guard.told) and self._asks(step_id, self.company.undo_label or "", redo=False):
            return
        self._step(self.company.undo, "Undone", lambda: self.company.undone_id)

    def redo(self) -> None:
        """Do the last undone action again; asked about first where it was made on another page."""
        if self._asks(self.company.undone_id, self.company.redo_label or "", redo=True):
            return
        self._step(self.company.redo, "Done again", lambda: self.company.done_id)

    def _asks(self, step_id: int, label: str, *, redo: bool) -> bool:
        if self.seen()[1] < 0:
            return False
        with self.read() as conn:
            question = self.guard.question(conn, step_id, label, redo=redo)
        if question:
            self.say(question, "caution")
        return bool(question)

    def _step(self, step: Callable[[], str | None], word: str, step_id: Callable[[], int]) -> None:
        try:
            with log_file.timed("step", step):
                label = step()
        except LookupError:
            self.spoke.emit("That step can no longer be taken back: the record has changed since.", "caution", False)
            return
        except Refused as refusal:
            self.spoke.emit(str(refusal), "caution", False)
            return
        except CompanyProblem as problem:
            self.spoke.emit(str(problem), "error", False)
            return
        if label:
            self.changed.emit()
            self.spoke.emit(f"{word}{self._elsewhere(step_id())}: {label}", "info", False)

    def _elsewhere(self, step_id: int) -> str:
        """On which job a step was taken back, where that is another than the one that is seen."""
        from db.queries.step_job import job_of_step

        if (seen := self.seen()[1]) < 0:
            return ""
        with self.read() as conn:
            at = job_of_step(conn, step_id)
        return f" on job {at[1]}" if at is not None and at[0] != seen else ""

    def go(self, place: str, key: object = None, section: str = "") -> None:
        """Show a place, or one customer or job in it, or one section of that job."""
        self.asked_for.emit(place, key, section)

    def say(self, text: str, tone: str = "info") -> None:
        """A short word at the foot of the window."""
        self.spoke.emit(text, tone, False)

    def background(
        self,
        work: Callable[[], Result],
        done: Callable[[Result], None],
        failed: Callable[[Exception], None] | None = None,
    ) -> None:
        """Run slow work off the window's thread; done or failed is called back on it."""

        def give_up(error: Exception) -> None:
            if not self.company.is_open:
                return
            if failed is not None:
                failed(error)
            elif isinstance(error, (CompanyProblem, Refused)):
                log_file.note_refused(error, work)
                self.spoke.emit(f"That did not work: {error}", "error", False)
            else:
                raise error  # to the last net

        def finish(result: Result) -> None:
            if self.company.is_open:  # else whoever asked is gone with its page
                done(result)

        Errand(self, work, finish, give_up).begin()


def plain_reason(error: OperationalError) -> str:
    """The database's complaint as the owner would say it."""
    reason = str(error.orig).lower()
    if "disk is full" in reason or "disk i/o" in reason:
        return "the disk is full or not answering. Free some space, then try again."
    if "readonly" in reason:
        return "the firm's file cannot be written. Check that its folder is not read-only."
    if "locked" in reason:
        return "another program is holding the firm's file. Close it and try again."
    return "the firm's file did not accept it. Make a backup from the Firm page and start the program again."
