"""Where a quote stands: draft, sent, expired, accepted or declined, from its dates alone."""

from __future__ import annotations

from datetime import date

from domain.dates import format_day_short
from domain.quoting.lines import Quote

DRAFT, SENT, EXPIRED, ACCEPTED, DECLINED = "draft", "sent", "expired", "accepted", "declined"


def quote_state(quote: Quote, today: date) -> str:
    """draft until it is sent; then sent, expired after its last day, accepted or declined."""
    if quote.accepted_on:
        return ACCEPTED
    if quote.declined_on:
        return DECLINED
    if quote.sent_on is None:
        return DRAFT
    return EXPIRED if quote.expires_on and quote.expires_on < today else SENT


def state_in_words(quote: Quote, today: date) -> str:
    """``draft``, ``sent Mar 3, 2026`` ..."""
    state = quote_state(quote, today)
    day = {
        SENT: quote.sent_on,
        EXPIRED: quote.expires_on,
        ACCEPTED: quote.accepted_on,
        DECLINED: quote.declined_on,
    }.get(state)
    return f"{state} {format_day_short(day)}" if day else state


def quote_name(quote: Quote) -> str:
    """``Version 2`` for a proposal, ``Change order 1`` for a change order."""
    return version_name(quote.kind, quote.version)


def version_name(kind: str, version: int) -> str:
    """The name of a quote from its kind and number."""
    return f"Change order {version}" if kind == "change_order" else f"Version {version}"
