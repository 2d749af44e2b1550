"""Accepted jobs with materials, and short ways to act, for the tests of the truck and the lists."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from sqlalchemy import select

from db.commands.jobs import schedule_job
from db.commands.quotes import accept_quote, send_quote
from db.commands.quotes.lines import add_material, add_other
from db.company_file.company import Company
from db.queries.buying.truck import truck
from db.tables import item
from domain.buying import StockRow
from tests.small_company import TODAY, add_one_job, add_proposal

TOMORROW = TODAY + timedelta(days=1)
YESTERDAY = TODAY - timedelta(days=1)


def item_id(company: Company, code: str) -> int:
    """The id of an item by its code."""
    with company.read() as conn:
        return int(conn.execute(select(item.c.id).where(item.c.code == code)).scalar_one())


def do(company: Company, command: Any, *args: Any, **named: Any) -> Any:
    """Run one command as one action."""
    with company.action(command.__name__) as edit:
        return command(edit, *args, **named)


def on_truck(company: Company, code: str, on: date = TODAY) -> StockRow:
    """What the truck has of an item."""
    with company.read() as conn:
        return next(row for row in truck(conn, on) if row.item.code == code)


def accepted_job(
    company: Company, quantities: dict[str, str], on: date | None = TOMORROW, name: str = "Wren Halloway"
) -> int:
    """A job with an accepted proposal of these materials, scheduled on a day."""
    job_id = add_one_job(company, name, f"26-{sum(map(ord, name)) % 1000:03}").job_id
    wanted = {item_id(company, code): Decimal(quantity) for code, quantity in quantities.items()}
    with company.action("Quote") as edit:
        quote_id = add_proposal(edit, job_id)
        add_other(edit, quote_id, "permit", Decimal(1), Decimal(60))
        for one, quantity in wanted.items():
            add_material(edit, quote_id, one, quantity)
        send_quote(edit, quote_id, TODAY)
        accept_quote(edit, quote_id, TODAY)
        if on:
            schedule_job(edit, job_id, on)
    return job_id
