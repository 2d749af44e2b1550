"""A quote from its first line to the customer's answer: start, revise, send, accept, decline, delete."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from datetime import date, timedelta

from sqlalchemy import func, select

from db.commands.checks import needed
from db.commands.quotes.checks import draft, live_job, values_of
from db.commands.quotes.lines import LINE_TABLES
from db.commands.quotes.sketch import keep_sketch
from db.commands.quotes.usual import add_usual_lines
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.quotes import quote_document
from db.records import fetch_all, fetch_one
from db.tables import (
    company,
    defect,
    hours_entry,
    job_type,
    labour_line,
    labour_task,
    material_line,
    material_use,
    other_cost,
    other_line,
    quote,
    quote_expectation,
    quote_option,
)
from domain.dates import format_day_short
from domain.firm import DayRates, Firm
from domain.library import JobType, LabourTask
from domain.money import format_money
from domain.quoting.lines import Quote, QuoteDocument
from domain.quoting.price import build_price
from domain.quoting.scope import listed_work
from domain.quoting.state import quote_name


def start_quote(
    edit: Edit, job_id: int, on: date, rates: DayRates, firm: Firm, *, title: str = "", usual_lines: bool = True
) -> int:
    """Begin the next version of a job's proposal and return its id.

    Margin and scope come from the job type, the rest of the terms and texts from the firm, hours and miles from
    `rates`. With `usual_lines` it starts with what a job of this type usually needs.

    Raises:
        Refused: the job is cancelled, has a draft already, or an accepted proposal (then: a change order).
    """
    on_job = live_job(edit, job_id)
    _refuse_second_draft(edit, job_id)
    _refuse_after_acceptance(edit, job_id, "Write a change order for what is different now.")
    kind_of_job = fetch_one(edit.conn, JobType, job_type, on_job.job_type_id)
    margin = firm.margin_percent if kind_of_job.margin_percent is None else kind_of_job.margin_percent
    quote_id = edit.add(
        quote, job_id=job_id, kind="proposal", version=next_version(edit, job_id, "proposal"), title=title.strip(),
        created_on=on, pricing="margin", pricing_percent=margin,
        minimum_charge_cents=firm.minimum_charge_cents, rounding_cents=max(1, firm.rounding_cents),
        tax_treatment=firm.tax_treatment, tax_percent=firm.tax_percent, deposit_percent=firm.deposit_percent,
        owner_rate_cents=rates.owner_cents, helper_rate_cents=rates.helper_cents,
        overhead_rate_cents=rates.overhead_cents, mile_cost=rates.mile_cost,
        scope_text=kind_of_job.scope_text, not_included_text=firm.not_included_text,
        warranty_text=firm.warranty_text, above_action_text=firm.above_action_text,
        caution_text=firm.caution_text, terms_text=firm.terms_text, lists_work=True,
    )  # fmt: skip
    if usual_lines:
        add_usual_lines(edit, quote_id, on=on)
    return quote_id


def revise_quote(edit: Edit, quote_id: int, on: date) -> int:
    """Begin the next version as a copy of a sent one, with its rates and prices; return its id.

    Raises:
        Refused: the quote was never sent, the job has a draft already, or the proposal was accepted.
    """
    source = quote_document(edit.conn, quote_id)
    kept = source.quote
    live_job(edit, kept.job_id)
    if kept.sent_on is None:
        raise Refused(f"{quote_name(kept)} was not sent yet.", "Change it as it is; there is nothing to revise.")
    if kept.kind == "change_order":
        raise Refused("A change order is not revised.", "Start another one for what is different.")
    _refuse_second_draft(edit, kept.job_id)
    _refuse_after_acceptance(edit, kept.job_id, "Write a change order for what is different now.")
    fresh = replace(
        kept, version=next_version(edit, kept.job_id, "proposal"), created_on=on, sent_on=None, expires_on=None,
        accepted_on=None, declined_on=None, declined_reason="", price_cents=None, tax_cents=None, deposit_cents=None,
        work_listed="",
    )  # fmt: skip
    new_id = edit.add(quote, **values_of(fresh))
    _copy_parts(edit, source, new_id)
    return new_id


def send_quote(edit: Edit, quote_id: int, on: date, *, valid_days: int | None = None) -> None:
    """Send a quote: from here on it never changes. What the customer is told is written down with it.

    Told are the base price, the price of each option, and tax and deposit of the base alone; it stands for
    `valid_days` days (the firm's own number when not given).

    Raises:
        Refused: nothing is on it, it gives more away than it asks, or it was sent already.
    """
    kept = draft(edit, quote_id)
    live_job(edit, kept.job_id)
    if on < kept.created_on:
        raise Refused(f"It was begun on {format_day_short(kept.created_on)} and cannot have been sent before that.")
    document = quote_document(edit.conn, quote_id)
    price = build_price(document)
    _refuse_unpriced(document, price.alone.net_price_cents)
    days = edit.conn.execute(select(company.c.valid_days)).scalar() if valid_days is None else valid_days
    for part in price.options:
        if part.option is not None:
            edit.change(quote_option, part.option.id, price_cents=part.price_cents, chosen=False)
    keep_sketch(edit, kept)
    edit.change(
        quote, quote_id, sent_on=on, expires_on=on + timedelta(days=days or 0),
        price_cents=price.alone.list_price_cents, tax_cents=price.alone.tax_cents,
        deposit_cents=price.alone.deposit_cents, work_listed=_listed(edit, document),
    )  # fmt: skip


def _listed(edit: Edit, document: QuoteDocument) -> str:
    """The work as the customer gets it: a task that is called otherwise later changes nothing of it."""
    if not document.quote.lists_work:
        return ""
    return listed_work(document, {task.id: task for task in fetch_all(edit.conn, LabourTask, labour_task)})


def accept_quote(edit: Edit, quote_id: int, on: date, option_ids: Collection[int] = ()) -> None:
    """Note that the customer accepted a sent quote with these options; price, tax and deposit are told anew.

    The agreed price is the told base price with the told prices of the options. An accepted change order takes
    the unquoted mark off the entries it was written for.

    Raises:
        Refused: it was not sent, was answered already, or the job has an accepted proposal.
    """
    kept = fetch_one(edit.conn, Quote, quote, quote_id)
    live_job(edit, kept.job_id)
    _refuse_unanswerable(kept, on, "accepted")
    if kept.kind == "proposal":
        _refuse_after_acceptance(edit, kept.job_id, "Only one can count. Write a change order for what is different.")
    document = quote_document(edit.conn, quote_id)
    wanted = set(option_ids)
    if unknown := wanted - {option.id for option in document.options}:
        raise LookupError(f"options {sorted(unknown)} are not on quote {quote_id}")
    totals = build_price(document).with_options(wanted)
    for option in document.options:
        edit.change(quote_option, option.id, chosen=option.id in wanted)
    edit.change(
        quote, quote_id, accepted_on=on, price_cents=totals.list_price_cents, tax_cents=totals.tax_cents,
        deposit_cents=totals.deposit_cents,
    )  # fmt: skip
    if kept.kind == "change_order":
        _clear_unquoted(edit, kept)


def decline_quote(edit: Edit, quote_id: int, on: date, reason: str) -> None:
    """Note that the customer said no, with the reason as far as known.

    Raises:
        Refused: it was not sent, was answered already, or no reason is given.
    """
    kept = fetch_one(edit.conn, Quote, quote, quote_id)
    _refuse_unanswerable(kept, on, "declined")
    reason = needed(reason, "Say in a few words why, or “not said”; it helps to see what loses quotes.")
    edit.change(quote, quote_id, declined_on=on, declined_reason=reason)


def delete_draft(edit: Edit, quote_id: int) -> None:
    """Delete a draft with everything on it. Undo brings it back."""
    for table in (*LINE_TABLES.values(), quote_option, quote_expectation):
        edit.remove_where(table, table.c.quote_id == quote_id)
    for row in edit.conn.execute(select(defect.c.id).where(defect.c.quote_id == quote_id)).scalars().all():
        edit.change(defect, row, quote_id=None)  # it is offered by nothing again
    edit.remove(quote, quote_id)


def next_version(edit: Edit, job_id: int, kind: str) -> int:
    """The next number of this kind on this job."""
    last = edit.conn.execute(
        select(func.max(quote.c.version)).where(quote.c.job_id == job_id, quote.c.kind == kind)
    ).scalar()
    return int(last or 0) + 1


def _copy_parts(edit: Edit, source: QuoteDocument, new_id: int) -> None:
    option_ids: dict[int | None, int | None] = {None: None}
    for option in source.options:
        copy = replace(option, quote_id=new_id, chosen=False, price_cents=None)
        option_ids[option.id] = edit.add(quote_option, **values_of(copy))
    for table, lines in (
        (labour_line, source.labour), (material_line, source.materials), (other_line, source.others)
    ):  # fmt: skip
        copies = [values_of(line) | {"quote_id": new_id, "option_id": option_ids[line.option_id]} for line in lines]
        edit.add_many(table, copies)


def _clear_unquoted(edit: Edit, kept: Quote) -> None:
    """Entries up to the day the change order was begun, on its own tasks, items and kinds of cost, are quoted now."""
    pairs = (
        (hours_entry, hours_entry.c.task_id, labour_line.c.task_id, labour_line),
        (material_use, material_use.c.item_id, material_line.c.item_id, material_line),
        (material_use, material_use.c.description, material_line.c.description, material_line),
        (other_cost, other_cost.c.kind, other_line.c.kind, other_line),
    )
    for table, entry_column, line_column, line_table in pairs:
        on_order = select(line_column).where(line_table.c.quote_id == kept.id, line_column.is_not(None))
        rows = edit.conn.execute(
            select(table.c.id).where(
                table.c.job_id == kept.job_id, table.c.unquoted, table.c.day <= kept.created_on,
                entry_column.in_(on_order),
            )
        ).scalars()  # fmt: skip
        for row_id in rows.all():
            edit.change(table, row_id, unquoted=False)


def _refuse_second_draft(edit: Edit, job_id: int) -> None:
    found = edit.conn.execute(
        select(quote.c.version).where(
            quote.c.job_id == job_id, quote.c.kind == "proposal", quote.c.sent_on.is_(None)
        )
    ).scalar()
    if found is not None:
        raise Refused(f"Version {found} is still a draft.", "Finish it or remove it first.")


def _refuse_after_acceptance(edit: Edit, job_id: int, advice: str) -> None:
    accepted = (quote.c.job_id == job_id, quote.c.kind == "proposal", quote.c.accepted_on.is_not(None))
    version = edit.conn.execute(select(quote.c.version).where(*accepted)).scalar()
    if version is not None:
        raise Refused(f"The customer has accepted version {version} of this job's proposal.", advice)


def _refuse_unanswerable(kept: Quote, on: date, word: str) -> None:
    name = quote_name(kept)
    if kept.sent_on is None:
        raise Refused(f"{name} was not sent yet, so it cannot be {word}.", "Send it first.")
    if kept.accepted_on:
        said = f"{name} was accepted on {format_day_short(kept.accepted_on)}."
        raise Refused(said, "Take the acceptance back if it is wrong.")
    if kept.declined_on:
        raise Refused(f"{name} was declined on {format_day_short(kept.declined_on)}.", "Revise it to make a new offer.")
    if on < kept.sent_on:
        raise Refused(f"{name} was sent on {format_day_short(kept.sent_on)} and cannot be {word} before that.")


def _refuse_unpriced(document: QuoteDocument, net_price_cents: int) -> None:
    quoted = document.quote
    empty = not (document.labour or document.materials or document.others)
    if empty and not (quoted.pricing == "fixed" and quoted.fixed_price_cents):
        raise Refused("There is nothing on this quote yet.", "Add work or material, then send it.")
    if net_price_cents < 0 and quoted.kind == "proposal":
        raise Refused(
            f"Goodwill of {format_money(quoted.goodwill_cents)} is more than the price.", "Lower it, then send."
        )
