"""Which jobs show the program best: used by the tour that draws every page."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Connection, case, func, select

from db.tables import hours_entry, job, job_type, quote, route


@dataclass(frozen=True, slots=True)
class TellingJobs:
    """Job ids, 0 where the company has none of the kind."""

    rework: int  # a closed rework, with the most logged time
    running: int  # open, with the most logged time
    draft: int  # with an unsent proposal, of a rework if there is one
    takeoff: int  # with the most said about its routes
    customer_id: int


def telling_jobs(conn: Connection) -> TellingJobs:
    """Pick one job of each kind in a company."""
    rework_first = case((func.lower(job_type.c.name).like("rework%"), 0), else_=1)  # there quotes go wrong
    typed = select(job.c.id).join(job_type, job_type.c.id == job.c.job_type_id)
    logged = typed.join(hours_entry, hours_entry.c.job_id == job.c.id).group_by(job.c.id)
    busiest = func.sum(hours_entry.c.minutes).desc()
    closed = logged.where(job.c.closed_on.is_not(None)).order_by(rework_first, busiest, job.c.id)
    rework = conn.scalars(closed).first() or 0
    still_open = job.c.closed_on.is_(None) & job.c.cancelled_on.is_(None)
    running = conn.scalars(logged.where(still_open).order_by(busiest, job.c.id)).first() or 0
    unsent = quote.c.sent_on.is_(None) & (quote.c.kind == "proposal")
    drafts = typed.join(quote, quote.c.job_id == job.c.id).where(unsent)
    draft = conn.scalars(drafts.order_by(rework_first, quote.c.id.desc())).first()
    customer_id = conn.execute(select(job.c.customer_id).where(job.c.id == rework)).scalar()
    words = func.sum(func.length(route.c.words))
    takeoff = conn.execute(select(route.c.job_id).group_by(route.c.job_id).order_by(words.desc())).scalar()
    return TellingJobs(rework, running, draft or rework, takeoff or rework, customer_id or 0)
