"""What is said above a takeoff: what was taken, what differs since, what is charged twice; all read from the file."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from sqlalchemy import Connection

from db.commands.takeoff import Taken
from db.queries.firm import day_rates
from db.queries.quotes import quote_document
from db.queries.takeoff import reconciled
from desktop.pages.job_sections.takeoff.editing import TakeoffEditing
from desktop.widgets.cards import Notice
from domain.job_takeoff.reconciliation import LinesOfQuote
from domain.job_takeoff.since_taken import doubles_of, doubles_words, since_words
from domain.quoting.lines import LabourLine, MaterialLine
from domain.quoting.state import quote_name

Lines = tuple[tuple[LabourLine, ...], tuple[MaterialLine, ...]]


@dataclass(frozen=True, slots=True)
class Steps:
    """What the buttons of the banner do."""

    open_quote: Callable[[], object]
    open_rows: Callable[[], object]
    count_once: Callable[[], object]
    count_anew: Callable[[], object]


class TakenBanner:
    """The notice above a takeoff. What was just taken is told only while the quote holds exactly that."""

    def __init__(self, editing: TakeoffEditing, steps: Steps) -> None:
        self.editing, self.steps = editing, steps
        self.notice = Notice("info")
        self._taken: tuple[Taken, str, Lines] | None = None

    def forget(self) -> None:
        """Another job is shown."""
        self._taken = None

    def refuse(self, words: str) -> None:
        """Say why nothing was taken."""
        self._taken = None
        self.notice.set_words("caution", words)

    def took(self, taken: Taken, into: str) -> str:
        """Tell what was taken; the words for a toast."""
        with self.editing.desk.read() as conn:
            lines = _lines(conn, taken.quote_id)
        self._taken = None if lines is None else (taken, into, lines)
        self.show()
        words = taken_words(taken, into)
        return f"{words} {doubles_words(taken.doubles)}".rstrip()

    def show(self) -> None:
        """Show what holds now."""
        facts = self.editing.facts
        if facts is None:
            return
        sold = facts.accepted and facts.draft_id is None
        said, since, twice = "", "", ""
        with self.editing.desk.read() as conn:
            if self._taken is not None and _lines(conn, self._taken[0].quote_id) == self._taken[2]:
                said = taken_words(self._taken[0], self._taken[1])
            if facts.base_id is not None and not sold:
                document = quote_document(conn, facts.base_id)
                names = {pick.task.id: pick.task.name for pick in facts.picks.tasks}
                if not self.editing.counted.in_the_way:  # what has to be put right first stands in the list
                    made = reconciled(conn, facts, self.editing.counted, day_rates(conn, facts.day).owner_cents)
                    since = since_words(made, quote_name(document.quote).lower())
                if facts.draft_id is not None:
                    twice = doubles_words(doubles_of(document, names))
        into = self._taken[1] if self._taken is not None else "quote"
        if since or twice:
            words = " ".join(part for part in (said if not since else "", since, twice) if part)
            action = ("Count each once", self.steps.count_once) if twice else ("See the rows", self.steps.open_rows)
            self.notice.set_words("caution", words, action)
        elif said and self._taken is not None and self._taken[0].kept:
            words = f"{said} Changed by hand, so left as they are: {', '.join(self._taken[0].kept)}."
            self.notice.set_words("caution", words, ("Count them anew", self.steps.count_anew))
        elif said:
            self.notice.set_words("good", said, (f"Open the {into}", self.steps.open_quote))
        else:
            self.notice.set_words("info", "")


def _lines(conn: Connection, quote_id: int) -> Lines | None:
    try:
        document = quote_document(conn, quote_id)
    except LookupError:
        return None
    return tuple(document.labour), tuple(document.materials)


def taken_words(taken: Taken, into: str) -> str:
    """What taking the list changed."""
    revised = f"Version {taken.revised} was sent, so the next version begins as a copy of it. " if taken.revised else ""
    if not (taken.added or taken.changed or taken.removed):
        return f"{revised}The {into} has all of it already; nothing changed."
    lines = LinesOfQuote(taken.added, taken.changed, taken.removed, taken.usual)
    kept = f"{taken.usual} usual {'line' if taken.usual == 1 else 'lines'} of this job type"
    usual = f" with {kept} that the takeoff does not count" if taken.usual else ""
    begun = revised or (f"A {into} was begun{usual}. " if taken.begun else "")
    return f"{begun}Taken into the {into}: {lines.words}."
