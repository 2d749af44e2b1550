"""All that the quote section of a job shows, read in a fixed number of statements."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import Connection, select

from db.queries.firm import day_rates, firm
from db.queries.quotes import QuoteHead, price_picks, quote_document, quotes_of_job, task_picks
from db.tables import hours_entry, job, job_type, material_use, other_cost
from domain.firm import DayRates, Firm
from domain.quoting.lines import QuoteDocument
from domain.quoting.refresh import DayFigures, Refresh, refreshes
from domain.quoting.typed import Picks


@dataclass(frozen=True, slots=True)
class QuotePage:
    """The versions of a job's quote and one of them in full."""

    job_number: str
    job_type: str
    cancelled: bool
    heads: tuple[QuoteHead, ...]
    document: QuoteDocument | None  # None: the job has no quote yet
    picks: Picks
    changes: tuple[Refresh, ...]  # what pricing a draft today would change
    unquoted: bool  # something on the job was logged without being quoted
    firm: Firm
    rates: DayRates  # of today

    @property
    def accepted(self) -> bool:
        """The customer has accepted a proposal."""
        return any(head.quote.accepted_on and head.quote.kind == "proposal" for head in self.heads)

    @property
    def has_draft(self) -> bool:
        """A proposal is being written."""
        return any(head.quote.sent_on is None and head.quote.kind == "proposal" for head in self.heads)


def quote_page(conn: Connection, job_id: int, quote_id: int | None, today: date) -> QuotePage:
    """The page with this quote, or the one that matters most when it is None or no longer there.

    Raises:
        LookupError: there is no such job.
    """
    about = conn.execute(
        select(job.c.number, job.c.cancelled_on, job_type.c.name)
        .join(job_type, job_type.c.id == job.c.job_type_id)
        .where(job.c.id == job_id)
    ).first()
    if about is None:
        raise LookupError(f"job {job_id} does not exist")
    heads = quotes_of_job(conn, job_id)
    shown = _shown(heads, quote_id)
    document = quote_document(conn, shown) if shown is not None else None
    picks = Picks(
        tuple(task_picks(conn, job_id, archived=True)), tuple(price_picks(conn, today, archived=True))
    )
    rates = day_rates(conn, today)
    changes: tuple[Refresh, ...] = ()
    if document is not None and not document.quote.frozen:
        figures = DayFigures(
            rates,
            {pick.task.id: pick for pick in picks.tasks},
            {priced.item.id: priced.unit_cost for priced in picks.items},
        )
        changes = refreshes(document, figures)
    return QuotePage(
        job_number=about.number, job_type=about.name, cancelled=about.cancelled_on is not None, heads=tuple(heads),
        document=document, picks=picks, changes=changes, unquoted=_has_unquoted(conn, job_id), firm=firm(conn),
        rates=rates,
    )  # fmt: skip


def _shown(heads: Sequence[QuoteHead], wanted: int | None) -> int | None:
    """The quote asked for, else a draft, else the accepted proposal, else the newest proposal."""
    if any(head.quote.id == wanted for head in heads):
        return wanted
    ranked = sorted(
        heads,
        key=lambda head: (
            head.quote.sent_on is None, head.quote.kind == "proposal" and head.quote.accepted_on is not None,
            head.quote.kind == "proposal", head.quote.version,
        ),
    )  # fmt: skip
    return ranked[-1].quote.id if ranked else None


def _has_unquoted(conn: Connection, job_id: int) -> bool:
    return any(
        conn.execute(select(table.c.id).where(table.c.job_id == job_id, table.c.unquoted).limit(1)).first()
        for table in (hours_entry, material_use, other_cost)
    )
