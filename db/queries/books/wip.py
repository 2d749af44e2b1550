"""Running jobs with what is agreed, spent and billed: the start of work in progress."""

from __future__ import annotations

from sqlalchemy import Connection, exists, func, select

from db.queries.job_totals import job_totals
from db.queries.margins import still_to_come
from db.tables import invoice, job, quote
from domain.wip import JobInWork, WorkInProgress, work_in_progress


def wip(conn: Connection) -> WorkInProgress:
    """Every running job as it stands today, in a fixed number of statements."""
    running = select(job.c.id).where(
        job.c.closed_on.is_(None),
        job.c.cancelled_on.is_(None),
        exists().where(quote.c.job_id == job.c.id, quote.c.kind == "proposal", quote.c.accepted_on.is_not(None)),
    )
    billed: dict[int, int] = {}
    final: set[int] = set()
    papers = (
        select(invoice.c.job_id, func.sum(invoice.c.net_cents), func.max(invoice.c.kind == "final"))
        .where(invoice.c.job_id.in_(running), invoice.c.issued_on.is_not(None))
        .group_by(invoice.c.job_id)
    )
    for job_id, cents, has_final in conn.execute(papers):
        billed[job_id] = cents
        if has_final:
            final.add(job_id)
    found = []
    rows = conn.execute(job_totals((), running).where(job.c.id.in_(running))).all()
    to_come = still_to_come(conn, [row.id for row in rows])
    for row in rows:
        job_id, number, title, who, kind = row[:5]
        price, cost, order_price, order_cost, goodwill, off, _, _, spent = row[13:22]
        contract = price + order_price - goodwill - off
        done = job_id in final and billed[job_id] == contract
        found.append(
            JobInWork(
                job_id, number, who, title or kind, contract, cost + order_cost, spent, to_come.get(job_id, 0),
                billed.get(job_id, 0), done,
            )
        )
    return work_in_progress(found)

