"""What the outcome section of a job shows: its figures, and what was given up on the price."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from sqlalchemy import Connection, select

from db.queries.costing import job_figures, owner_wage_cents
from db.queries.so_far import job_so_far
from db.queries.sold import sold_quotes
from db.records import fetch_all
from db.tables import job, price_adjustment, quote
from domain.actuals import PriceAdjustment
from domain.costing import JobFigures
from domain.costing.groups import still_running
from domain.so_far import SoFar


@dataclass(frozen=True, slots=True)
class GoodwillGiven:
    """Goodwill on an accepted proposal or change order."""

    amount_cents: int
    reason: str


@dataclass(frozen=True, slots=True)
class JobOutcome:
    """Everything the outcome section needs.

    Attributes:
        unanswered: quoted lines with neither a log nor an answer when it was closed.
        wage_cents: the owner's wage an hour from company costs, None when it is not known.
    """

    job_id: int
    closed_on: date | None
    cancelled_on: date | None
    figures: JobFigures
    write_offs: tuple[PriceAdjustment, ...]
    goodwill: tuple[GoodwillGiven, ...]
    wage_cents: int | None
    so_far: SoFar = field(default_factory=SoFar)
    unanswered: int = 0
    installed_on: date | None = None

    @property
    def settled(self) -> bool:
        """It is closed and fully logged: what was not used up is saved, not only unwritten."""
        return not self.running and not self.unanswered

    @property
    def running(self) -> bool:
        """Something may still be logged."""
        return still_running(self.closed_on, self.cancelled_on)


def job_outcome(conn: Connection, job_id: int) -> JobOutcome:
    """Read it all in nineteen statements. Raises LookupError when there is no such job."""
    figures = job_figures(conn, job_id)
    closed_on, cancelled_on, installed_on, unanswered = conn.execute(
        select(job.c.closed_on, job.c.cancelled_on, job.c.installed_on, job.c.unanswered).where(job.c.id == job_id)
    ).one()
    standing = sold_quotes(conn, select(job.c.id).where(job.c.id == job_id))
    given = conn.execute(
        select(quote.c.goodwill_cents, quote.c.goodwill_reason)
        .where(quote.c.id.in_(standing), quote.c.goodwill_cents != 0)
        .order_by(quote.c.kind.desc(), quote.c.version)
    ).all()
    return JobOutcome(
        job_id=job_id,
        closed_on=closed_on,
        cancelled_on=cancelled_on,
        figures=figures,
        write_offs=tuple(
            fetch_all(
                conn,
                PriceAdjustment,
                price_adjustment,
                price_adjustment.c.job_id == job_id,
                price_adjustment.c.kind == "write_off",
                order=(price_adjustment.c.day, price_adjustment.c.id),
            )
        ),
        goodwill=tuple(GoodwillGiven(*row) for row in given),
        wage_cents=owner_wage_cents(conn, job_id),
        so_far=job_so_far(conn, job_id),
        unanswered=unanswered,
        installed_on=installed_on,
    )
