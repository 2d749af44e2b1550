"""What somebody in a hurry would have overlooked: asked once before a quote is sent, never in the way of sending it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date

from domain.dates import format_day_short
from domain.errors import NotUnderstood
from domain.jobs import Deadline
from domain.library import LabourTask
from domain.money import labour_cents, line_cents
from domain.quoting.lines import LabourLine, MaterialLine, OtherLine, Quote, QuoteDocument
from domain.quoting.price import build_price
from domain.quoting.scope import not_quoted, not_quoted_words
from domain.unlikely import quote_price_doubt

NAMED = 3
"""So many lines are named, the rest is a count."""


Line = LabourLine | MaterialLine | OtherLine


def costs_nothing(line: Line) -> bool:
    """True for a line that was begun and counts as $0.00; a line of no quantity at all was meant so."""
    if not line.quantity:
        return False
    if isinstance(line, LabourLine):
        return not labour_cents(line.minutes, line.rate_cents)
    return not line_cents(line.quantity, line.unit_cost)


def doubts_before_sending(document: QuoteDocument, *, tested: bool, tasks: Mapping[int, LabourTask]) -> list[str]:
    """Sentences about lines and options at $0.00, a missing radon result, and work that is promised and not quoted;
    empty when nothing is doubtful.

    `tested`: a radon test of this job is recorded. Only a proposal answers to a result. `tasks`: of the library.
    """
    task_names = {task.id: task.name for task in tasks.values()}
    lines: tuple[Line, ...] = (*document.labour, *document.materials, *document.others)
    free = [_name(line, task_names) for line in lines if costs_nothing(line)]
    empty = [
        option.name for option in document.options
        if not any(line.option_id == option.id and not costs_nothing(line) for line in lines)
    ]  # fmt: skip
    said = []
    if document.quote.kind == "proposal" and not tested:
        said.append("No radon result is recorded for this job, so the proposal answers to none.")
    if document.quote.kind == "proposal":
        promised = not_quoted(document.quote.scope_text, document, tasks.values())
        said += [not_quoted_words(promised)] if promised else []
    if slip := _price_slip(document):
        said.append(f"The price: {slip}")
    if free:
        more = f" and {len(free) - NAMED} more" if len(free) > NAMED else ""
        said.append(f"At $0.00: {', '.join(free[:NAMED])}{more}.")
    if speaks_of_deposit(document.quote):
        said.append("The terms speak of a deposit, and 0% is asked for: change the terms under Texts, or the deposit.")
    if empty:
        said.append(f"Nothing is priced in the option {' and '.join(empty[:NAMED])}.")
    return said


def _price_slip(document: QuoteDocument) -> str:
    """A price far from what the work costs; the minimum charge is meant to be."""
    try:
        base = build_price(document).base
    except NotUnderstood:
        return ""  # sending says so itself
    if base.minimum_added_cents:
        return ""
    return quote_price_doubt(base.price_cents, base.costs.cost_cents)


def speaks_of_deposit(quote: Quote) -> bool:
    """The terms promise or ask for a deposit that is not asked for."""
    return not quote.deposit_percent and without_deposit(quote.terms_text) != quote.terms_text


def without_deposit(terms: str) -> str:
    """The terms without the sentences that speak of a deposit, for a paper that asks for none."""
    kept = []
    for line in terms.splitlines():
        sentences = re.findall(r"[^.!?]+[.!?]*\s*", line)
        said = "".join(one for one in sentences if "deposit" not in one.casefold()).strip()
        if said or not line.strip():
            kept.append(line if "deposit" not in line.casefold() else said)
    return "\n".join(kept).strip() if "deposit" in terms.casefold() else terms


def valid_beyond(valid_until: date, deadline: Deadline | None) -> list[str]:
    """The sentence about a proposal that would stay valid after the day the job must meet; empty when it does not."""
    if deadline is None or valid_until <= deadline.due_on:
        return []
    return [
        f"It would stay valid until {format_day_short(valid_until)}, after {deadline.reason or 'the deadline'} on "
        f"{format_day_short(deadline.due_on)}."
    ]


def _name(line: Line, task_names: dict[int, str]) -> str:
    if isinstance(line, LabourLine):
        return task_names.get(line.task_id, "a line of work")
    return line.description or ("a cost" if isinstance(line, OtherLine) else "a material")
