"""All that the quote section of a job shows, read in a fixed number of statements."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import Connection, select

from db.queries.firm import day_rates
from db.queries.quotes import IN_ORDER, price_picks, quote_documents, task_picks
from db.records import fetch_all, fetch_one
from db.tables import hours_entry, job, job_type, material_use, other_cost, property_, quote, radon_test
from domain.people import Property
from domain.quoting.lines import Quote, QuoteDocument
from domain.quoting.refresh import DayFigures, Refresh, refreshes
from domain.quoting.typed import Picks


@dataclass(frozen=True, slots=True)
class QuotePage:
    """The versions of a job's quote and one of them in full."""

    job_number: str
    job_type: str
    cancelled: bool
    scheduled: bool  # the first work day is set, or the work is done
    quotes: tuple[Quote, ...]  # proposals by version, then change orders by number
    document: QuoteDocument | None  # None: the job has no quote yet
    picks: Picks  # items for a draft only: nothing is picked on a frozen quote
    changes: tuple[Refresh, ...]  # what pricing a draft today would change
    unquoted: bool  # the proposal is accepted, and something was logged without being quoted
    house: Property
    tested: bool = False  # a radon test of this job is recorded

    @property
    def accepted(self) -> bool:
        """The customer has accepted a proposal."""
        return any(one.accepted_on and one.kind == "proposal" for one in self.quotes)

    @property
    def has_draft(self) -> bool:
        """A proposal is being written."""
        return any(one.sent_on is None and one.kind == "proposal" for one in self.quotes)


def quote_page(conn: Connection, job_id: int, quote_id: int | None, today: date) -> QuotePage:
    """The page with this quote, or the one that matters most when it is None or no longer there.

    Raises:
        LookupError: there is no such job.
    """
    about = conn.execute(
        select(job.c.number, job.c.cancelled_on, job.c.scheduled_on, job.c.installed_on, job_type.c.name,
               job.c.property_id)
        .join(job_type, job_type.c.id == job.c.job_type_id)
        .where(job.c.id == job_id)
    ).first()  # fmt: skip
    if about is None:
        raise LookupError(f"job {job_id} does not exist")
    quotes = fetch_all(conn, Quote, quote, quote.c.job_id == job_id, order=IN_ORDER)
    shown = _shown(quotes, quote_id)
    document = quote_documents(conn, [shown])[0] if shown is not None else None
    picks = Picks(tuple(task_picks(conn, job_id, archived=True)), ())
    changes: tuple[Refresh, ...] = ()
    if document is not None and not document.quote.frozen:
        picks, changes = _for_draft(conn, document, picks, today)
    accepted = any(one.accepted_on and one.kind == "proposal" for one in quotes)
    return QuotePage(
        job_number=about.number, job_type=about.name, cancelled=about.cancelled_on is not None,
        scheduled=(about.scheduled_on or about.installed_on) is not None, quotes=tuple(quotes), document=document,
        picks=picks, changes=changes, unquoted=accepted and _has_unquoted(conn, job_id),
        house=fetch_one(conn, Property, property_, about.property_id),
        tested=conn.execute(select(radon_test.c.id).where(radon_test.c.job_id == job_id).limit(1)).first() is not None,
    )  # fmt: skip


def _for_draft(
    conn: Connection, document: QuoteDocument, picks: Picks, today: date
) -> tuple[Picks, tuple[Refresh, ...]]:
    """The price list of the day, and what pricing the draft with it would change."""
    picks = Picks(picks.tasks, tuple(price_picks(conn, today, archived=True)))
    figures = DayFigures(
        day_rates(conn, today),
        {pick.task.id: pick for pick in picks.tasks},
        {priced.item.id: priced.unit_cost for priced in picks.items},
    )
    return picks, refreshes(document, figures)


def _shown(quotes: Sequence[Quote], wanted: int | None) -> Quote | None:
    """The quote asked for, else a draft, else the accepted proposal, else the newest proposal."""
    for one in quotes:
        if one.id == wanted:
            return one
    ranked = sorted(
        quotes,
        key=lambda one: (
            one.sent_on is None, one.kind == "proposal" and one.accepted_on is not None, one.kind == "proposal",
            one.version,
        ),
    )  # fmt: skip
    return ranked[-1] if ranked else None


def _has_unquoted(conn: Connection, job_id: int) -> bool:
    return any(
        conn.execute(select(table.c.id).where(table.c.job_id == job_id, table.c.unquoted).limit(1)).first()
        for table in (hours_entry, material_use, other_cost)
    )
