"""Running jobs with what is agreed, spent and billed: the start of work in progress."""

from __future__ import annotations

from sqlalchemy import Connection, exists, func, select

from db.queries.costing import figures_of_jobs
from db.queries.heading import whole_minutes
from db.queries.job_totals import job_totals
from db.tables import invoice, job, quote
from domain.costing import variance_tree
from domain.wip import JobInWork, WorkInProgress, cost_to_come, work_in_progress


def wip(conn: Connection) -> WorkInProgress:
    """Every running job as it stands today, in a number of statements that does not depend on how many there are."""
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
    figures = figures_of_jobs(conn, running)
    whole = whole_minutes(conn, figures)
    found = []
    for row in conn.execute(job_totals((), running).where(job.c.id.in_(running))):
        job_id, number, title, who, kind = row[:5]
        price, cost, order_price, order_cost, goodwill, off, _, _, spent = row[13:22]
        contract = price + order_price - goodwill - off
        done = job_id in final and billed[job_id] == contract
        found.append(
            JobInWork(
                job_id, number, who, title or kind, contract, cost + order_cost, spent,
                cost_to_come(variance_tree(figures[job_id]), whole.get(job_id)), billed.get(job_id, 0), done,
            )
        )
    return work_in_progress(found)

