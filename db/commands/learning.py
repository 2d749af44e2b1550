"""What the owner does with the record: take a correction, change a standard by its evidence, note work done so far."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from sqlalchemy import select

from db.commands.library import change_labour_task, set_task_factor
from db.commands.quotes import add_labour
from db.commands.quotes.checks import draft, sensible_minutes, values_of
from db.company_file.problems import Refused
from db.edit import Edit
from db.records import fetch_all, fetch_one
from db.tables import (
    labour_line,
    labour_task,
    library_proposal,
    quote_expectation,
    task_factor,
    task_progress,
)
from domain.dates import format_day_short
from domain.learning import LibraryProposal
from domain.quoting.lines import LabourLine
from domain.quoting.recount import recount_labour

MARK = "finished jobs: "
"""How the reason of a corrected line begins where the record speaks."""


@dataclass(frozen=True, slots=True)
class Expected:
    """What the record says of a whole quote; the fields of `domain.learning.QuoteExpectation`."""

    own_minutes: int
    quoted_minutes: int
    expected_minutes: int
    low_minutes: int
    high_minutes: int
    expected_cost_cents: int
    net_price_cents: int
    loss_percent: Decimal
    jobs_behind: int
    sure: bool


def take_correction(
    edit: Edit, quote_id: int, on: date, expected_lines: Mapping[int, int], share_percent: Decimal, expected: Expected,
    why: str,
) -> None:  # fmt: skip
    """Take all (100), part or none (0) of what the record expects of each line of a draft.

    A line's minutes become own + share x (expected - own), half up, as the owner's own time with the reason; none
    puts every line back as the owner had it. The choice is kept, to be judged when the job is done.

    Args:
        expected_lines: minutes expected by id of a labour line.
        why: the reason in words, without its mark.

    Raises:
        Refused: the quote was sent, or the share is not between 0 and 100.
    """
    kept = draft(edit, quote_id)
    if not 0 <= share_percent <= 100:
        raise Refused("The part taken lies between 0 and 100%.", "Type 50 for half of the correction.")
    for line in fetch_all(edit.conn, LabourLine, labour_line, labour_line.c.quote_id == quote_id):
        if line.id not in expected_lines:
            continue
        changed = _corrected(line, expected_lines[line.id], share_percent, why)
        if changed != line:
            sensible_minutes(kept, changed.minutes)
            edit.change(labour_line, line.id, **values_of(changed, "quote_id", "position"))
    _keep(edit, quote_id, noted_on=on, share_percent=share_percent, **_fields(expected))


def take_pace(edit: Edit, line_id: int, minutes: int, why: str) -> None:
    """Put the time a line would take at the pace of one finished job in place of the owner's, with the reason.

    What he meant himself is kept beside it, as when a correction is taken: a forecast still starts from that.

    Raises:
        Refused: the quote was sent.
    """
    line = fetch_one(edit.conn, LabourLine, labour_line, line_id)
    kept = draft(edit, line.quote_id)
    changed = _corrected(line, minutes, Decimal(100), why)
    sensible_minutes(kept, changed.minutes)
    edit.change(labour_line, line_id, **values_of(changed, "quote_id", "position"))


def add_forgotten(edit: Edit, quote_id: int, task_id: int, minutes: int, reason: str) -> int:
    """Add work that such quotes tend to forget, and return the line's id.

    The owner had nothing for it: what finished jobs expect of the whole holds it already, so it is no part of what
    a forecast starts from.
    """
    line_id = add_labour(
        edit, quote_id, task_id, Decimal(1), override_minutes=minutes, reason=f"{MARK}{reason}"
    )
    edit.change(labour_line, line_id, own_minutes=0)
    return line_id


def note_expectation(edit: Edit, quote_id: int, on: date, expected: Expected) -> None:
    """Keep what the record said of a quote on the day it is sent; the part taken stays as it was chosen."""
    _keep(edit, quote_id, noted_on=on, **_fields(expected))


def accept_proposal(
    edit: Edit, task_id: int, condition_id: int | None, new_value: Decimal, on: date, jobs: int, evidence: str
) -> int:
    """Change a task's standard minutes, or a condition's factor on it, and keep the evidence; return the row's id.

    Quotes already written keep theirs.

    Raises:
        Refused: the value is not sensible.
    """
    old = _value(edit, task_id, condition_id)
    _set_value(edit, task_id, condition_id, new_value)
    return edit.add(
        library_proposal, task_id=task_id, condition_id=condition_id, made_on=on, old_value=old, new_value=new_value,
        jobs=jobs, evidence=evidence, accepted_on=on,
    )  # fmt: skip


def decline_proposal(
    edit: Edit, task_id: int, condition_id: int | None, new_value: Decimal, on: date, jobs: int, evidence: str
) -> int:
    """Leave things as they are and remember it, so that the same is not proposed again soon; return the row's id."""
    old = _value(edit, task_id, condition_id)
    return edit.add(
        library_proposal, task_id=task_id, condition_id=condition_id, made_on=on, old_value=old, new_value=new_value,
        jobs=jobs, evidence=evidence, declined_on=on,
    )  # fmt: skip


def take_back_proposal(edit: Edit, proposal_id: int, on: date) -> None:
    """Put back the value from before an accepted change.

    Raises:
        Refused: it is not in force, or the value was changed by hand since.
    """
    kept = fetch_one(edit.conn, LibraryProposal, library_proposal, proposal_id)
    if not kept.in_force:
        raise Refused("This change is not in force.", "There is nothing to put back.")
    if _value(edit, kept.task_id, kept.condition_id) != kept.new_value:
        raise Refused(
            f"The value was changed since {format_day_short(kept.made_on)}.",
            "Set it by hand under Firm, Tasks: then nothing newer is lost.",
        )
    _set_value(edit, kept.task_id, kept.condition_id, kept.old_value)
    edit.change(library_proposal, proposal_id, taken_back_on=on)


def note_progress(edit: Edit, job_id: int, task_id: int, done_percent: Decimal | None, on: date) -> None:
    """Note how much of a task is done by a day; None takes all that was noted of it away.

    What was noted on an earlier day stays: it tells when a job was first seen to go over.

    Raises:
        Refused: it is not between 0 and 100.
    """
    notes = edit.conn.execute(
        select(task_progress.c.noted_on, task_progress.c.id).where(
            task_progress.c.job_id == job_id, task_progress.c.task_id == task_id
        )
    ).all()
    if done_percent is None:
        for note in notes:
            edit.remove(task_progress, note.id)
        return
    known = next((note.id for note in notes if note.noted_on == on), None)
    if not 0 <= done_percent <= 100:
        raise Refused("Done lies between 0 and 100%.", "Type 40 when two fifths of the task are done.")
    if known is None:
        edit.add(task_progress, job_id=job_id, task_id=task_id, done_percent=done_percent, noted_on=on)
    else:
        edit.change(task_progress, known, done_percent=done_percent)


def _corrected(line: LabourLine, expected: int, share_percent: Decimal, why: str) -> LabourLine:
    own = line.minutes if line.own_minutes is None else line.own_minutes
    own_reason = line.reason.partition(MARK)[0].rstrip("; ")
    step = int((Decimal(expected - own) * share_percent / 100).quantize(Decimal(1), ROUND_HALF_UP))
    if not step:
        back = None if own == line.standard_minutes else own
        if line.own_minutes is None:
            return line
        return recount_labour(line, override_minutes=back, reason=own_reason, own_minutes=None)
    reason = "; ".join(part for part in (own_reason, MARK + why) if part)
    return recount_labour(line, override_minutes=own + step, reason=reason, own_minutes=own)


def _fields(expected: Expected) -> dict[str, Any]:
    return {name: getattr(expected, name) for name in expected.__dataclass_fields__}


def _keep(edit: Edit, quote_id: int, **values: Any) -> None:
    known = edit.conn.execute(
        select(quote_expectation.c.id).where(quote_expectation.c.quote_id == quote_id)
    ).scalar()
    if known is None:
        edit.add(quote_expectation, quote_id=quote_id, **values)
    else:
        edit.change(quote_expectation, known, **values)


def _value(edit: Edit, task_id: int, condition_id: int | None) -> Decimal:
    if condition_id is None:
        standard = select(labour_task.c.standard_minutes).where(labour_task.c.id == task_id)
        return Decimal(edit.conn.execute(standard).scalar_one())
    factor = select(task_factor.c.factor_percent).where(
        task_factor.c.task_id == task_id, task_factor.c.condition_id == condition_id
    )
    return edit.conn.execute(factor).scalar() or Decimal(100)


def _set_value(edit: Edit, task_id: int, condition_id: int | None, value: Decimal) -> None:
    if condition_id is None:
        change_labour_task(edit, task_id, standard_minutes=value)
    else:
        set_task_factor(edit, task_id, condition_id, value)
