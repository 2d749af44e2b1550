"""What the quote section, the proposal and the costing read: documents, versions, what can be picked, what changed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any, cast

from sqlalchemy import Connection, Select, Table, bindparam, func, select

from db.queries.firm import day_rates as rates_on
from db.records import columns_of, fetch, fetch_all, fetch_one
from db.tables import (
    access_condition,
    item,
    item_price,
    job_condition,
    labour_line,
    labour_task,
    material_line,
    other_line,
    quote,
    quote_option,
    supplier,
    task_factor,
)
from domain.library import LabourTask
from domain.price_list import Item, PricedItem
from domain.quoting.lines import LabourLine, MaterialLine, OtherLine, Quote, QuoteDocument, QuoteOption
from domain.quoting.quantities import combined_factor
from domain.quoting.refresh import DayFigures, Refresh, TaskPick, refreshes

__all__ = [
    "QuoteHead",
    "changes_since",
    "day_figures",
    "price_picks",
    "quote_document",
    "quote_documents",
    "quotes_of_job",
    "rates_on",
    "task_picks",
]


IN_ORDER = (quote.c.kind.desc(), quote.c.version, quote.c.id)
"""Proposals by version, then change orders by number."""


@dataclass(frozen=True, slots=True)
class QuoteHead:
    """A version or change order as the strip of versions shows it."""

    quote: Quote
    lines: int  # how many lines of any kind it has


def quote_document(conn: Connection, quote_id: int) -> QuoteDocument:
    """One quote with its options and lines. Raises LookupError when there is no such quote."""
    header = fetch_one(conn, Quote, quote, quote_id)
    return quote_documents(conn, [header])[0]


def quote_documents(conn: Connection, headers: Sequence[Quote]) -> list[QuoteDocument]:
    """The whole documents of these quotes, in their order, in four statements however many there are."""
    ids = [header.id for header in headers]
    options = _by_quote(conn, QuoteOption, quote_option, ids)
    labour = _by_quote(conn, LabourLine, labour_line, ids)
    materials = _by_quote(conn, MaterialLine, material_line, ids)
    others = _by_quote(conn, OtherLine, other_line, ids)
    return [
        QuoteDocument(
            header,
            tuple(options.get(header.id, ())),
            tuple(labour.get(header.id, ())),
            tuple(materials.get(header.id, ())),
            tuple(others.get(header.id, ())),
        )
        for header in headers
    ]


def quotes_of_job(conn: Connection, job_id: int) -> list[QuoteHead]:
    """Proposals by version, then change orders by number."""
    headers = fetch_all(conn, Quote, quote, quote.c.job_id == job_id, order=IN_ORDER)
    ids = [header.id for header in headers]
    counts: dict[int, int] = dict.fromkeys(ids, 0)
    for table in (labour_line, material_line, other_line):
        counted = select(table.c.quote_id, func.count()).where(table.c.quote_id.in_(ids)).group_by(table.c.quote_id)
        for quote_id, lines in conn.execute(counted):
            counts[quote_id] += lines
    return [QuoteHead(header, counts[header.id]) for header in headers]


def task_picks(conn: Connection, job_id: int, archived: bool = False) -> list[TaskPick]:
    """The labour tasks with the factor they have under the job's access conditions, in the owner's order."""
    on_job = (
        select(task_factor.c.task_id, task_factor.c.factor_percent, access_condition.c.name)
        .join(access_condition, access_condition.c.id == task_factor.c.condition_id)
        .join(job_condition, job_condition.c.condition_id == task_factor.c.condition_id)
        .where(job_condition.c.job_id == job_id)
        .order_by(access_condition.c.position, access_condition.c.id)
    )
    factors: dict[int, list[Any]] = {}
    for row in conn.execute(on_job):
        factors.setdefault(row.task_id, []).append(row)
    where = () if archived else (~labour_task.c.archived,)
    tasks = fetch_all(conn, LabourTask, labour_task, *where, order=(labour_task.c.position, labour_task.c.id))
    return [
        TaskPick(
            task,
            combined_factor(row.factor_percent for row in factors.get(task.id, ())),
            tuple(row.name for row in factors.get(task.id, ()) if row.factor_percent != 100),
            tuple((row.name, row.factor_percent) for row in factors.get(task.id, ())),
        )
        for task in tasks
    ]


def price_picks(conn: Connection, on: date, archived: bool = False) -> list[PricedItem]:
    """The price list with the price in force on a day, by code."""
    newest = (
        select(item_price.c.item_id, func.max(item_price.c.starts_on).label("starts_on"))
        .where(item_price.c.starts_on <= on)
        .group_by(item_price.c.item_id)
        .subquery()
    )
    query = (
        select(*columns_of(item, Item), item_price.c.unit_cost, item_price.c.starts_on, supplier.c.name)
        .outerjoin(newest, newest.c.item_id == item.c.id)
        .outerjoin(
            item_price, (item_price.c.item_id == item.c.id) & (item_price.c.starts_on == newest.c.starts_on)
        )
        .outerjoin(supplier, supplier.c.id == item.c.supplier_id)
        .order_by(item.c.code)
    )
    if not archived:
        query = query.where(~item.c.archived)
    return [PricedItem(Item(*row[:-3]), row[-3], row[-2], row[-1] or "") for row in conn.execute(query)]


def day_figures(conn: Connection, job_id: int, on: date) -> DayFigures:
    """Rates, standards and prices as a quote of this job would take them on a day."""
    return DayFigures(
        rates_on(conn, on),
        {pick.task.id: pick for pick in task_picks(conn, job_id, archived=True)},
        {priced.item.id: priced.unit_cost for priced in price_picks(conn, on, archived=True)},
    )


def changes_since(conn: Connection, document: QuoteDocument, on: date) -> tuple[Refresh, ...]:
    """What pricing a draft anew on this day would change; nothing for a frozen quote."""
    if document.quote.frozen:
        return ()
    return refreshes(document, day_figures(conn, document.quote.job_id, on))


def _by_quote(conn: Connection, record: type[Any], table: Table, ids: Sequence[int]) -> dict[int, list[Any]]:
    found: dict[int, list[Any]] = {}
    one = len(ids) == 1
    rows = _rows_of_quotes(cast(Any, record), table, one)
    for row in fetch(conn, record, rows, {"id": ids[0]} if one else {"ids": list(ids)}):
        found.setdefault(row.quote_id, []).append(row)
    return found


@cache
def _rows_of_quotes(record: Any, table: Table, one: bool) -> Select[Any]:
    """Put together once a table: a quote is read at every keystroke, and building takes longer than reading.

    A list of ids is written out anew each time, which takes longer than the rest: so ``one`` is asked for by itself.
    """
    rows = select(*columns_of(table, record)).order_by(table.c.position, table.c.id)
    if one:
        return rows.where(table.c.quote_id == bindparam("id"))
    return rows.where(table.c.quote_id.in_(bindparam("ids", expanding=True)))


def made_from_takeoff(conn: Connection, quote_id: int) -> bool:
    """Whether a quote has a line that the takeoff made: only then is it of the route that was drawn."""
    return any(
        conn.execute(select(table.c.id).where(table.c.quote_id == quote_id, table.c.takeoff_key != "").limit(1)).first()
        for table in (labour_line, material_line)
    )
