"""Which jobs show the program best: used by the tour that draws every page."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Connection, func, select

from db.tables import hours_entry, job, quote, route


@dataclass(frozen=True, slots=True)
class TellingJobs:
    """Job ids, 0 where the company has none of the kind."""

    rework: int  # closed, with the most logged time
    running: int  # open, with the most logged time
    draft: int  # with an unsent proposal
    takeoff: int  # with the most said about its routes
    customer_id: int


def telling_jobs(conn: Connection) -> TellingJobs:
    """Pick one job of each kind in a company."""
    busiest = (
        select(job.c.id)
        .join(hours_entry, hours_entry.c.job_id == job.c.id)
        .group_by(job.c.id)
        .order_by(func.sum(hours_entry.c.minutes).desc(), job.c.id)
    )
    rework = conn.execute(busiest.where(job.c.closed_on.is_not(None))).scalar() or 0
    running = conn.execute(busiest.where(job.c.closed_on.is_(None), job.c.cancelled_on.is_(None))).scalar() or 0
    draft = conn.execute(
        select(quote.c.job_id).where(quote.c.sent_on.is_(None), quote.c.kind == "proposal").order_by(quote.c.id.desc())
    ).scalar()
    customer_id = conn.execute(select(job.c.customer_id).where(job.c.id == rework)).scalar()
    words = func.sum(func.length(route.c.words))
    takeoff = conn.execute(select(route.c.job_id).group_by(route.c.job_id).order_by(words.desc())).scalar()
    return TellingJobs(rework, running, draft or rework, takeoff or rework, customer_id or 0)
