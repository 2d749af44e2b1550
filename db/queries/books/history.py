"""Who changed what: the journal, page by page, in words."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, and_, func, or_, select

from db.tables import METADATA, action, bill_line, change, invoice, quote
from domain.journal_words import changed_words

PAGE = 100
"""Actions a page shows."""

_MOST_CHANGES = 12
"""Changes of one action told in words; the others are counted."""


@dataclass(frozen=True, slots=True)
class HistoryRow:
    """One action of the journal."""

    id: int
    made_at: datetime
    label: str
    undone: bool
    final: bool
    words: str  # what it changed
    changes: int


def history(
    conn: Connection, *, words: str = "", job_id: int | None = None, before: int | None = None
) -> list[HistoryRow]:
    """A page of actions, the newest first. Three statements, and with a job a few more.

    Args:
        words: every word of it stands in the action's label.
        job_id: only what changed this job or what hangs on it now.
        before: only actions older than this one, for the next page.
    """
    query = select(action).order_by(action.c.id.desc()).limit(PAGE)
    for word in words.split():
        query = query.where(action.c.label.ilike(f"%{word}%"))
    if before is not None:
        query = query.where(action.c.id < before)
    if job_id is not None:
        query = query.where(action.c.id.in_(_of_job(conn, job_id)))
    rows = conn.execute(query).all()
    ids = [row.id for row in rows]
    counting = select(change.c.action_id, func.count()).where(change.c.action_id.in_(ids)).group_by(change.c.action_id)
    counted: dict[int, int] = {row[0]: row[1] for row in conn.execute(counting)}
    told = _told(conn, ids)
    return [
        HistoryRow(
            row.id, datetime.fromisoformat(row.made_at), row.label, row.undone, row.final,
            _words(told.get(row.id, []), counted.get(row.id, 0)), counted.get(row.id, 0),
        )
        for row in rows
    ]  # fmt: skip


def _told(conn: Connection, ids: list[int]) -> dict[int, list[str]]:
    """The first changes of each action in words."""
    place = func.row_number().over(partition_by=change.c.action_id, order_by=change.c.id)
    numbered = (
        select(change.c.action_id, change.c.table_name, change.c.before, change.c.after, place.label("place"))
        .where(change.c.action_id.in_(ids))
        .subquery("numbered")
    )
    found: dict[int, list[str]] = {}
    query = select(numbered).where(numbered.c.place <= _MOST_CHANGES).order_by(numbered.c.action_id, numbered.c.place)
    for action_id, table, before, after, _ in conn.execute(query):
        found.setdefault(action_id, []).append(changed_words(table, _row(before), _row(after)))
    return found


def _words(told: list[str], count: int) -> str:
    more = count - len(told)
    tail = [f"and {more} more"] if more > 0 else []
    return "\n".join([*told, *tail])


def _row(text: str | None) -> dict[str, Any] | None:
    return None if text is None else json.loads(text)


def _of_job(conn: Connection, job_id: int) -> Any:
    """The actions that touched a job's own row or rows that hang on it."""
    quotes = select(quote.c.id).where(quote.c.job_id == job_id)
    invoices = select(invoice.c.id).where(invoice.c.job_id == job_id)
    owners = {"quote_id": quotes, "invoice_id": invoices}
    parts = [and_(change.c.table_name == "job", change.c.row_id == job_id)]
    for table in METADATA.tables.values():
        where = [table.c.job_id == job_id] if "job_id" in table.c else []
        if not where:
            where = [table.c[name].in_(ids) for name, ids in owners.items() if name in table.c]
        if where and table is not bill_line:
            rows = conn.execute(select(table.c.id).where(or_(*where))).scalars().all()
            if rows:
                parts.append(and_(change.c.table_name == table.name, change.c.row_id.in_(rows)))
    return select(change.c.action_id).where(or_(*parts))
