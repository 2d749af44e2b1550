"""Defects of a system somebody else put in: found, priced, offered, and answered for."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import select

from db.commands.checks import needed, only, tidied
from db.commands.quotes.change_orders import start_change_order
from db.commands.quotes.life import start_quote
from db.commands.quotes.lines import add_other
from db.commands.quotes.terms import set_texts
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.firm import day_rates, firm
from db.records import fetch_all, fetch_one
from db.tables import defect, job, photo, quote
from domain.closeout.defects import defect_words, line_cost, line_reason, scope_line
from domain.closeout.records import OPEN, OUTCOMES, PUT_RIGHT, Defect
from domain.dates import format_day_short
from domain.jobs import Job
from domain.quoting.lines import Quote

_FIELDS = frozenset(("found_on", "place", "description", "rule", "price_cents", "photo_id"))


def note_defect(
    edit: Edit, job_id: int, description: str, found_on: date, *, place: str = "", rule: str = "",
    price_cents: int | None = None, photo_id: int | None = None, today: date | None = None,
) -> int:  # fmt: skip
    """Note what is wrong with what was found and return its id.

    Args:
        rule: what it does not meet, in words.
        price_cents: what putting it right is offered at; None: not priced.
        today: refuses days after it.

    Raises:
        Refused: no words, a price below nothing, a day to come, a photo of another job.
    """
    description = needed(description, "Say what is wrong, for example water stands in the run under the kitchen.")
    _check(edit, job_id, {"found_on": found_on, "price_cents": price_cents, "photo_id": photo_id}, today)
    return edit.add(
        defect, job_id=job_id, found_on=found_on, place=place.strip(), description=description, rule=rule.strip(),
        price_cents=price_cents, photo_id=photo_id,
    )  # fmt: skip


def change_defect(edit: Edit, defect_id: int, *, today: date | None = None, **values: Any) -> None:
    """Change found_on, place, description, rule, price_cents or photo_id."""
    only(values, _FIELDS)
    kept = fetch_one(edit.conn, Defect, defect, defect_id)
    if "description" in values:
        needed(values["description"], "Say what is wrong, or remove the line.")
    _check(edit, kept.job_id, values, today)
    edit.change(defect, defect_id, **tidied(values))


def answer_defect(edit: Edit, defect_id: int, outcome: str, on: date, answer: str = "") -> None:
    """Say what became of a defect: open, put_right, left_by_customer or not_ours.

    Raises:
        Refused: another outcome, a day before it was found, or no word on why it was left.
    """
    kept = fetch_one(edit.conn, Defect, defect, defect_id)
    if outcome not in OUTCOMES:
        raise Refused("A defect is open, put right, left by the customer, or for another trade.")
    if outcome == OPEN:
        edit.change(defect, defect_id, outcome=OPEN, answered_on=None, answer="")
        return
    if on < kept.found_on:
        raise Refused(
            f"It was found on {format_day_short(kept.found_on)} and cannot be answered for before that day."
        )
    if outcome != PUT_RIGHT:
        answer = needed(answer, "Say in a few words why it stays as it is; the pack names it with that reason.")
    edit.change(defect, defect_id, outcome=outcome, answered_on=on, answer=answer.strip())


def forget_offer(edit: Edit, defect_id: int) -> None:
    """Say that a defect stands in no quote any more, after its line was taken off there."""
    edit.change(defect, defect_id, quote_id=None)


def remove_defect(edit: Edit, defect_id: int) -> None:
    """Take a defect off the list."""
    edit.remove(defect, defect_id)


def offer_defects(edit: Edit, job_id: int, defect_ids: Collection[int], on: date) -> int:
    """Put priced defects into the job's draft, each as a line of its own and a sentence of the scope; return its id.

    The draft is the proposal's or, once one was accepted, a change order's; it is begun when there is none. A line
    carries the cost at which the quote's own margin or markup gives the price; the quote then rounds as it does.

    Raises:
        Refused: nothing chosen, not priced, offered or answered for already, or the job is cancelled.
    """
    chosen = [one for one in fetch_all(edit.conn, Defect, defect, defect.c.job_id == job_id) if one.id in defect_ids]
    if not chosen:
        raise Refused("No defect is chosen.", "Choose one that has a price.")
    declined = set(edit.conn.execute(
        select(quote.c.id).where(quote.c.job_id == job_id, quote.c.declined_on.is_not(None))
    ).scalars())  # fmt: skip
    for one in chosen:
        if one.price_cents is None:
            raise Refused(f"“{one.description}” has no price yet.", "Type what putting it right costs the customer.")
        if one.outcome != OPEN:
            raise Refused(f"“{one.description}” is answered for already.", "Open it again first.")
        if one.quote_id is not None and one.quote_id not in declined:
            raise Refused(f"“{one.description}” stands in a quote already.", "Change the line there.")
    kept = _draft(edit, job_id, on)
    for one in chosen:
        cost = line_cost(one.price_cents or 0, kept.pricing, kept.pricing_percent)
        add_other(
            edit, kept.id, "other", Decimal(1), cost, description=f"Put right: {defect_words(one)}",
            reason=line_reason(one),
        )
        edit.change(defect, one.id, quote_id=kept.id)
    lines = [scope_line(one) for one in chosen]
    set_texts(edit, kept.id, scope_text="\n".join(part for part in (kept.scope_text.rstrip(), *lines) if part))
    return kept.id


def _draft(edit: Edit, job_id: int, on: date) -> Quote:
    """The open draft defects go into, begun when there is none."""
    quotes = fetch_all(edit.conn, Quote, quote, quote.c.job_id == job_id, order=(quote.c.id.desc(),))
    accepted = any(one.kind == "proposal" and one.accepted_on for one in quotes)
    kind = "change_order" if accepted else "proposal"
    for one in quotes:
        if one.kind == kind and one.sent_on is None:
            return one
    rates, settings = day_rates(edit.conn, on), firm(edit.conn)
    if accepted:
        quote_id = start_change_order(
            edit, job_id, on, rates, settings, title="Defects put right", from_unquoted=False
        )
    else:
        quote_id = start_quote(edit, job_id, on, rates, settings)
    return fetch_one(edit.conn, Quote, quote, quote_id)


def _check(edit: Edit, job_id: int, values: dict[str, Any], today: date | None) -> None:
    kept = fetch_one(edit.conn, Job, job, job_id)
    found_on, price, photo_id = values.get("found_on"), values.get("price_cents"), values.get("photo_id")
    if found_on is not None and today is not None and found_on > today:
        raise Refused("A defect cannot be found on a day to come.", "Change the day.")
    if found_on is not None and found_on < kept.opened_on:
        raise Refused(f"The job was opened on {format_day_short(kept.opened_on)}; the day lies before it.")
    if price is not None and price < 0:
        raise Refused("A price below nothing cannot be right.", "Type what putting it right costs the customer.")
    if photo_id is not None:
        owner = edit.conn.execute(select(photo.c.job_id).where(photo.c.id == photo_id)).scalar()
        if owner != job_id:
            raise Refused("That photo does not belong to this job.")
