"""Proposals to change a standard or a factor, each with its evidence: accept, leave, or put back. Never silent."""

from __future__ import annotations

from collections.abc import Mapping, Set
from dataclasses import dataclass
from typing import Any

from db.commands.learning import accept_proposal, decline_proposal, take_back_proposal
from db.edit import Edit
from db.queries.track_record import library_names, proposals, standards
from desktop.desk import Desk
from desktop.record_shelf import Learned, shelf_of
from desktop.widgets.cards import Card, button, label
from desktop.widgets.full_table import FullTable
from desktop.widgets.late import once_nobody_types
from desktop.widgets.table import Column, RowsModel
from domain.dates import format_day_short
from domain.learning import LibraryProposal
from domain.learning_rules import Standards, Suggestion, suggestions
from domain.units import format_count, format_unit_minutes

ACCEPT, LEAVE, PUT_BACK = "Accept", "Leave as it is", "Put back"


AT_ONCE = 2_000
"""So many finished lines of work are gone through while one waits; more in the background."""


@dataclass(frozen=True, slots=True, eq=False)
class _Basis:
    """What suggestions rest on."""

    learned: Learned | None
    known: Standards
    answered: list[LibraryProposal]

    def __eq__(self, other: object) -> bool:  # the record is large, and another object whenever it is another record
        return (
            isinstance(other, _Basis) and self.learned is other.learned
            and (self.known, self.answered) == (other.known, other.answered)
        )  # fmt: skip

    __hash__ = None  # type: ignore[assignment]


@dataclass(frozen=True, slots=True)
class _Reckoned:
    """Suggestions, and the tasks of each finished job."""

    based_on: _Basis
    rows: list[Suggestion]
    tasks: Mapping[int, Set[str]]


def _reckoned(based_on: _Basis) -> _Reckoned:
    outcomes = list(based_on.learned.hours.outcomes()) if based_on.learned else []
    tasks: dict[int, set[str]] = {}
    for line in outcomes:
        tasks.setdefault(line.job, set()).add(line.task)
    return _Reckoned(based_on, suggestions(outcomes, based_on.known, based_on.answered), tasks)


class SuggestionsCard(Card):
    """For every job, or for the tasks of one."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("Standards to think about", "accepted ones are dated and can be put back")
        self.desk = desk
        self.shelf = shelf_of(desk)
        self._job: object = None
        self._reckoned: _Reckoned | None = None
        self._asked: _Basis | None = None
        self.words = label("", "small", "soft", wrap=True)
        self.table = FullTable(
            RowsModel(
                [Column("words", "Proposal", stretch=2), Column("evidence", "Because", stretch=3)],
                row_id=lambda row: row.key,
            ),
            "Proposed standards",
        )
        self.accept = button(ACCEPT, self._accept, "plain", "check", "New quotes take the new value (Enter)")
        self.leave = button(LEAVE, self._leave, "quiet", None, "It is proposed again only after five more jobs")
        self.table.row_activated.connect(lambda _: self._accept())
        self.taken = FullTable(
            RowsModel(
                [
                    Column("what", "Changed", stretch=2), Column("evidence", "Because", stretch=3),
                    Column("on", "On", width=120),
                ],
                text={"what": self._what, "on": _on},
                row_id=lambda row: row.id,
            ),
            "Changes made",
        )  # fmt: skip
        self.back = button(PUT_BACK, self._put_back, "quiet", "undo", "Back to the value before")
        self._names: dict[int, str] = {}
        self._conditions: dict[int, str] = {}
        for part in (self.leave, self.accept, self.back):
            self.add_action(part)
        for part in (self.words, self.table, self.taken):
            self.add(part)
        self.shelf.changed.connect(self._again)

    def show_suggestions(self, job_id: int | None = None) -> None:
        """Those of every task, or of the tasks of one job."""
        self._job = job_id
        learned = self.shelf.look()
        with self.desk.read() as conn:
            answered, known = proposals(conn), standards(conn)
            self._names, self._conditions = library_names(conn)
        reckoned = self._reckon(_Basis(learned, known, answered))
        tasks: Set[str] = reckoned.tasks.get(job_id, set()) if reckoned and job_id is not None else set()
        found = reckoned.rows if reckoned else []
        rows = [one for one in found if job_id is None or (one.task in tasks and job_id in one.jobs)]
        made = [one for one in answered if one.in_force and (job_id is None or self._names.get(one.task_id) in tasks)]
        self.table.rows_model().set_rows(rows)
        self.taken.rows_model().set_rows(made)
        if rows:
            self.words.setText("Finished jobs say this value is off. Quotes already written keep theirs.")
        elif learned is None or reckoned is None:
            self.words.setText("Reading the finished jobs…")
        else:
            self.words.setText("No standard is far enough off, in enough jobs, to be worth a change.")
        for part, wanted in (
            (self.table, rows), (self.accept, rows), (self.leave, rows), (self.taken, made), (self.back, made)
        ):  # fmt: skip
            part.setVisible(bool(wanted))

    def _reckon(self, based_on: _Basis) -> _Reckoned | None:
        """All suggestions, kept until something they rest on is another; None while many jobs are gone through."""
        if self._reckoned is not None and self._reckoned.based_on == based_on:
            return self._reckoned
        if based_on.learned is None or based_on.learned.hours.lines <= AT_ONCE:
            self._reckoned = _reckoned(based_on)
            return self._reckoned
        if self._asked != based_on:
            self._asked = based_on
            self.desk.background(lambda: _reckoned(based_on), self._take)
        return None

    def _take(self, reckoned: _Reckoned) -> None:
        if reckoned.based_on == self._asked:
            self._asked = None
            self._reckoned = reckoned
            self._again()

    def _again(self) -> None:
        if self.isVisible():
            once_nobody_types(
                self, lambda: self.show_suggestions(self._job if isinstance(self._job, int) else None)
            )

    def _what(self, row: LibraryProposal) -> str:
        task, (old, new) = self._names.get(row.task_id, ""), (row.old_value, row.new_value)
        if row.condition_id is None:
            return f"{task}: {format_unit_minutes(old)} → {format_unit_minutes(new)}"
        condition = self._conditions.get(row.condition_id, "")
        return f"{task} in “{condition}”: {format_count(old / 100, 2)} → {format_count(new / 100, 2)} times"

    def _chosen(self) -> Suggestion | None:
        row: Suggestion | None = self.table.current_row()
        rows: list[Any] = self.table.rows_model().rows
        if row is None and len(rows) == 1:
            row = rows[0]
        if row is None:
            self.desk.say("Put the cursor on a proposal first.")
        return row

    def _accept(self) -> None:
        row, day = self._chosen(), self.desk.today()
        if row is None:
            return

        def work(edit: Edit) -> int:
            return accept_proposal(
                edit, row.task_id, row.condition_id, row.new_value, day, len(row.jobs), row.evidence
            )

        self.desk.do(f"Change the standard of {row.task.lower()}", work, say=row.words, undo=True)

    def _leave(self) -> None:
        row, day = self._chosen(), self.desk.today()
        if row is None:
            return

        def work(edit: Edit) -> int:
            return decline_proposal(
                edit, row.task_id, row.condition_id, row.new_value, day, len(row.jobs), row.evidence
            )

        self.desk.do(f"Leave the standard of {row.task.lower()}", work, say="It stays as it is", undo=True)

    def _put_back(self) -> None:
        row: LibraryProposal | None = self.taken.current_row()
        rows: list[Any] = self.taken.rows_model().rows
        if row is None and len(rows) == 1:
            row = rows[0]
        if row is None:
            self.desk.say("Put the cursor on a change first.")
            return
        wanted, day = row.id, self.desk.today()
        self.desk.do(
            "Put a standard back", lambda edit: take_back_proposal(edit, wanted, day), say="The old value is back",
            undo=True,
        )  # fmt: skip


def _on(row: LibraryProposal) -> str:
    return format_day_short(row.accepted_on) if row.accepted_on else ""
