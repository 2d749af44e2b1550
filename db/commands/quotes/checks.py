"""What every change to a quote is checked against first: it is a draft, and its figures can be meant."""

from __future__ import annotations

from dataclasses import fields
from decimal import Decimal
from functools import cache
from typing import Any

from sqlalchemy import Integer, Select, Table, bindparam, func, select

from db.company_file.problems import Refused
from db.edit import Edit
from db.frozen_quotes import sent_already
from db.records import fetch_one
from db.tables import job, quote, quote_option
from domain.jobs import Job
from domain.quoting.lines import Quote, QuoteOption
from domain.units import format_quantity

LARGEST_QUANTITY = Decimal(1_000_000)
LARGEST_UNIT_COST = Decimal(1_000_000)
LARGEST_MINUTES = 600_000  # ten thousand hours
LARGEST_CENTS = 10**11


def draft(edit: Edit, quote_id: int) -> Quote:
    """The quote, when it may still be changed.

    Raises:
        Refused: it was sent; what the customer holds never changes.
    """
    kept = fetch_one(edit.conn, Quote, quote, quote_id)
    if kept.sent_on is None:
        return kept
    raise sent_already(kept.kind, kept.version, kept.sent_on, kept.accepted_on is not None)


def live_job(edit: Edit, job_id: int) -> Job:
    """The job, when it is not canceled."""
    kept = fetch_one(edit.conn, Job, job, job_id)
    if kept.cancelled_on:
        raise Refused(f"Job {kept.number} is canceled.", "Reopen it first.")
    return kept


def own_option(edit: Edit, quote_id: int, option_id: int | None) -> None:
    """Stop a line from landing on the option of another quote."""
    if option_id is None:
        return
    if fetch_one(edit.conn, QuoteOption, quote_option, option_id).quote_id != quote_id:
        raise Refused("That option belongs to another quote.", "Choose one of the options on this quote.")


def sensible_quantity(kept: Quote, quantity: Decimal) -> Decimal:
    """The quantity, when it is one; less than nothing is a credit and belongs on a change order."""
    if quantity < 0 and kept.kind == "proposal":
        raise Refused("A proposal cannot have less than nothing of something.", "Type 0 or remove the line.")
    if abs(quantity) > LARGEST_QUANTITY:
        raise Refused(f"{format_quantity(quantity)} is more than one job can need.", "Check the number.")
    return quantity


def sensible_cost(unit_cost: Decimal) -> Decimal:
    """The unit cost, when it is one."""
    if unit_cost < 0:
        raise Refused("A cost cannot be less than nothing.", "A credit is a negative quantity on a change order.")
    if unit_cost > LARGEST_UNIT_COST:
        raise Refused("That cost is more than a million dollars for one.", "Check the number.")
    return unit_cost


def sensible_cents(cents: int, what: str) -> int:
    """An amount of money typed by the owner, not below nothing."""
    if not 0 <= cents <= LARGEST_CENTS:
        raise Refused(f"The {what} has to lie between nothing and a thousand million dollars.", "Check the number.")
    return cents


def sensible_minutes(kept: Quote, minutes: int) -> int:
    """Minutes of one line."""
    if minutes < 0 and kept.kind == "proposal":
        raise Refused("A line cannot take less than no time.", "Type 0 or remove the line.")
    if abs(minutes) > LARGEST_MINUTES:
        raise Refused("One line cannot take more than ten thousand hours.", "Check the quantity and the minutes.")
    return minutes


def next_position(edit: Edit, table: Table, quote_id: int, option_id: int | None = None) -> int:
    """The place behind the last line of the base or of an option; for options, behind the last option."""
    last = edit.conn.execute(_last_position(table), {"quote_id": quote_id, "option_id": option_id}).scalar()
    return 0 if last is None else int(last) + 1


@cache
def _last_position(table: Table) -> Select[Any]:
    """Put together once a table: lines are added by the dozen."""
    where = [table.c.quote_id == bindparam("quote_id")]
    if "option_id" in table.c:
        where.append(table.c.option_id.is_not_distinct_from(bindparam("option_id", type_=Integer)))
    return select(func.max(table.c.position)).where(*where)


def values_of(record: Any, *without: str) -> dict[str, Any]:
    """A record as column values, its id and the columns named left out."""
    return {
        field.name: getattr(record, field.name)
        for field in fields(record)
        if field.name != "id" and field.name not in without
    }
