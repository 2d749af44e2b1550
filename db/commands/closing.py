"""The answers of the review at closing: what became of quoted lines without a log."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from db.commands.log_hours import log_time
from db.commands.log_materials import log_material
from db.commands.log_others import log_other_cost
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.closing import open_lines
from db.queries.log import job_log, prices_in_force
from db.records import fetch_all, fetch_one
from db.tables import closing_answer, job
from domain.closing import (
    ANSWERS,
    MATERIAL,
    TASK,
    WITHIN,
    ClosingAnswer,
    LineKey,
    OpenLine,
    groundless,
    of_kind,
    unanswered,
)
from domain.errors import NotUnderstood
from domain.jobs import Job
from domain.log_entry import ALL_WORDS, TypedUse, parse_hours, parse_typed_use
from domain.money import parse_money
from domain.units import format_minutes, parse_quantity

TRAVEL = "travel"
NOTE = "logged at closing"


def settle_answers(edit: Edit, job_id: int) -> int:
    """Let go of answers whose line was logged after all, or whose other line is not logged any more.

    Return how many lines have neither a log nor an answer.
    """
    lines = open_lines(edit.conn, job_id)
    still_open = {line.key for line in lines if line.answer}
    for one in _answers(edit, job_id):
        if one.key not in still_open:
            edit.remove(closing_answer, one.id)
    return unanswered(lines)


def recount_unanswered(edit: Edit, job_id: int) -> None:
    """A closed job's log was corrected: whether it is fully logged is asked of the log as it stands now."""
    kept = fetch_one(edit.conn, Job, job, job_id)
    if kept.closed_on and (now := unanswered(open_lines(edit.conn, job_id))) != kept.unanswered:
        edit.change(job, job_id, unanswered=now)


def answer_line(edit: Edit, job_id: int, key: LineKey, answer: str, within_task_id: int | None = None) -> None:
    """Say what became of a quoted line of which nothing is logged, while the job is open or later.

    Args:
        answer: one of `domain.closing.ANSWERS`; "" takes the answer back.
        within_task_id: the task in whose time it was done, when that is known.

    Raises:
        Refused: nothing of the kind was quoted, or something is logged on it.
    """
    answer_lines(edit, job_id, [key], answer, within_task_id)


def answer_lines(
    edit: Edit, job_id: int, keys: Iterable[LineKey], answer: str, within_task_id: int | None = None
) -> None:
    """The same for several lines at once."""
    if answer and answer not in ANSWERS:
        raise Refused(f"“{answer}” is no answer.", f"Say one of {', '.join(ANSWERS)}.")
    wanted = list(dict.fromkeys(keys))
    lines = {line.key: line for line in open_lines(edit.conn, job_id)}
    log = job_log(edit.conn, job_id)
    for key in wanted:
        if key not in lines:
            raise Refused("That line is logged, or was never quoted; it needs no answer.")
        if within_task_id is not None and key == LineKey(TASK, within_task_id):
            raise Refused("A task cannot be done in its own time.", "Choose another task, or log its hours.")
        if why := groundless(key.kind, answer, within_task_id, log):
            raise Refused(why, "Type what was forgotten, or that it was not done or not used.")
    there = {one.key: one.id for one in _answers(edit, job_id)}
    new = []
    for key in wanted:
        values = {"answer": answer, "within_task_id": within_task_id if answer == WITHIN and key.kind == TASK else None}
        if key in there and not answer:
            edit.remove(closing_answer, there[key])
        elif key in there:
            edit.change(closing_answer, there[key], **values)
        elif answer:
            new.append({"job_id": job_id, **_columns(key), **values})
    edit.add_many(closing_answer, new)
    recount_unanswered(edit, job_id)


def tasks_left_within(edit: Edit, job_id: int) -> int:
    """All tasks without an answer were done in other tasks' time; return how many. Materials and costs stay asked.

    Raises:
        Refused: no time is logged on the job.
    """
    rest = [line.key for line in of_kind(open_lines(edit.conn, job_id), TASK)]
    answer_lines(edit, job_id, rest, WITHIN)
    return len(rest)


def log_as_quoted(
    edit: Edit, job_id: int, keys: Iterable[LineKey], day: date, *, today: date | None = None
) -> int:  # fmt: skip
    """These materials and costs came as they were quoted: each is logged so; return how many."""
    wanted = list(dict.fromkeys(keys))
    for key in wanted:
        if key.kind == TASK:
            raise Refused("How long a task took is typed, or it is answered.")
        log_forgotten(edit, job_id, key, "all", day, 0, today=today)
    return len(wanted)


def materials_left_as_quoted(edit: Edit, job_id: int, day: date, *, today: date | None = None) -> int:
    """All materials without an answer were used as quoted: they are logged so; return how many."""
    rest = [line.key for line in of_kind(open_lines(edit.conn, job_id), MATERIAL)]
    return log_as_quoted(edit, job_id, rest, day, today=today)


def _answers(edit: Edit, job_id: int) -> list[ClosingAnswer]:
    return fetch_all(edit.conn, ClosingAnswer, closing_answer, closing_answer.c.job_id == job_id)


def _columns(key: LineKey) -> dict[str, object]:
    return {
        "kind": key.kind,
        "task_id": key.ref if key.kind == TASK else None,
        "item_id": key.ref or None if key.kind == MATERIAL else None,
        "words": key.words,
    }


def log_forgotten(
    edit: Edit, job_id: int, key: LineKey, text: str, day: date, person_id: int, *, today: date | None = None
) -> None:
    """Log what was forgotten on a quoted line as it is typed: a time, a quantity (``all``: as quoted), an amount.

    Raises:
        NotUnderstood: the text says no time, quantity or amount above nothing.
        Refused: the line is logged already, or the job is closed.
    """
    line = next((one for one in open_lines(edit.conn, job_id) if one.key == key), None)
    if line is None:
        raise Refused("That line is logged already.")
    if key.kind == TASK:
        typed = parse_hours(format_minutes(line.minutes) if text.strip().casefold() in ALL_WORDS else text)
        if typed is None:
            raise NotUnderstood("Type how long it took, for example 1h30.", text)
        log_time(edit, job_id, day, key.ref, person_id, typed, note=NOTE, today=today)
    elif key.kind == MATERIAL:
        _log_use(edit, job_id, line, parse_typed_use(text, line.quantity, line.unit), day, today)
    elif key.words == TRAVEL:
        as_quoted = text.strip().casefold() in ALL_WORDS
        miles = line.quantity if as_quoted else parse_quantity(text.removesuffix("mi"))
        log_other_cost(edit, job_id, day, TRAVEL, "", miles, note=NOTE, today=today)
    else:
        cents = line.cents if text.strip().casefold() in ALL_WORDS else parse_money(text)
        log_other_cost(
            edit, job_id, day, key.words, line.name, Decimal(1), unit_cost=Decimal(cents) / 100, note=NOTE, today=today
        )
    settle_answers(edit, job_id)


def _log_use(edit: Edit, job_id: int, line: OpenLine, typed: TypedUse, day: date, today: date | None) -> None:
    item_id = line.key.ref or None
    unit_cost = typed.unit_cost
    if unit_cost is None:
        known = prices_in_force(edit.conn, day, [item_id] if item_id else [])
        quoted = (Decimal(line.cents) / 100 / line.quantity).quantize(Decimal("0.0001"), ROUND_HALF_UP)
        unit_cost = known.get(item_id or 0, quoted)
    log_material(
        edit, job_id, day, item_id, line.name, typed.quantity, line.unit, unit_cost,
        "stock" if typed.unit_cost is None else "receipt", typed.receipt, note=NOTE, today=today,
    )  # fmt: skip
