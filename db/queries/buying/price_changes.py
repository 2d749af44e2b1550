"""Prices that changed since a day, and the drafts and sent quotes that still stand on old ones."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any

from sqlalchemy import Connection, Date, Select, and_, bindparam, case, exists, not_, or_, select

from db.records import columns_of, fetch_all
from db.tables import customer, item, item_price, job, job_type, material_line, quote, supplier
from domain.buying import OldPriceQuote, OpenLine, PriceChange, price_changes, quotes_on_old_prices
from domain.price_list import Item, ItemPrice


@dataclass(frozen=True, slots=True)
class PriceReport:
    """What the report shows."""

    since: date
    changes: tuple[PriceChange, ...]
    quotes: tuple[OldPriceQuote, ...]


def price_report(conn: Connection, since: date, today: date) -> PriceReport:
    """Items whose price today is another than on `since`, and the open quotes on earlier prices; three statements.

    Open is a draft, or a sent quote that waits: not answered, not replaced by a later version, not run out, and its
    job neither closed nor cancelled.
    """
    items = [(Item(*row[:-1]), row[-1] or "") for row in conn.execute(_items())]
    changes = price_changes(items, fetch_all(conn, ItemPrice, item_price), since, today)
    changed = {change.item.id: change for change in changes}
    lines = [OpenLine(*row) for row in conn.execute(_open_lines(), {"today": today, "items": list(changed)})]
    quotes = quotes_on_old_prices(lines, changed)
    return PriceReport(since, tuple(changes), tuple(quotes))


@cache
def _items() -> Select[Any]:
    return (
        select(*columns_of(item, Item), supplier.c.name)
        .outerjoin(supplier, supplier.c.id == item.c.supplier_id)
        .where(~item.c.archived)
        .order_by(item.c.code)
    )


@cache
def _open_lines() -> Select[Any]:
    newer = quote.alias("newer")
    replaced = and_(
        quote.c.kind == "proposal",
        exists().where(
            newer.c.job_id == quote.c.job_id, newer.c.kind == "proposal", newer.c.version > quote.c.version
        ),
    )
    today = bindparam("today", type_=Date)
    waits = or_(quote.c.sent_on.is_(None), quote.c.expires_on.is_(None), quote.c.expires_on >= today)
    in_option = case((material_line.c.option_id.is_(None), False), else_=True)
    return (
        select(
            quote.c.id, job.c.id, job.c.number, customer.c.name,
            case((job.c.title != "", job.c.title), else_=job_type.c.name), quote.c.kind, quote.c.version,
            quote.c.sent_on, quote.c.expires_on, in_option, material_line.c.item_id, material_line.c.quantity,
            material_line.c.unit_cost,
        )
        .select_from(quote)
        .join(job, job.c.id == quote.c.job_id)
        .join(customer, customer.c.id == job.c.customer_id)
        .join(job_type, job_type.c.id == job.c.job_type_id)
        .join(material_line, material_line.c.quote_id == quote.c.id)
        .where(
            quote.c.accepted_on.is_(None), quote.c.declined_on.is_(None), waits, not_(replaced),
            job.c.closed_on.is_(None), job.c.cancelled_on.is_(None),
            material_line.c.item_id.in_(bindparam("items", expanding=True)),
        )
        .order_by(quote.c.id, material_line.c.position, material_line.c.id)
    )  # fmt: skip
