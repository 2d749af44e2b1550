"""What of a draft is no longer what its takeoff counts; asked by the quote, and once more before it is sent."""

from __future__ import annotations

from datetime import date

from sqlalchemy import Connection

from db.queries.takeoff import reconciled, takeoff_facts
from domain.job_takeoff.reckoning import reckon, route_sheet, rules_of
from domain.job_takeoff.since_taken import doubles_of, doubles_words, since_words
from domain.quoting.lines import QuoteDocument
from domain.takeoff import THOROUGH


def twice_on(document: QuoteDocument, task_names: dict[int, str]) -> str:
    """What the quote charges twice, typed and counted; empty where nothing is."""
    return doubles_words(doubles_of(document, task_names))


def since_taken(conn: Connection, document: QuoteDocument, today: date) -> str:
    """What the takeoff counts otherwise than the draft has it, with lines, minutes and money.

    Empty where nothing differs, for a quote that is no draft of a proposal, and where nothing was ever taken into it.
    """
    kept = document.quote
    if kept.frozen or kept.kind != "proposal":
        return ""
    keys = {*(line.takeoff_key for line in document.labour), *(line.takeoff_key for line in document.materials)}
    if not any(keys):
        return ""
    facts = takeoff_facts(conn, kept.job_id, today)
    rules = rules_of(facts)
    counted = reckon(facts, [route_sheet(row, rules) for row in facts.routes], rules, THOROUGH)
    if counted.in_the_way:
        return f"The takeoff has to be put right before this quote can be held to it: {counted.in_the_way[0]}"
    return since_words(reconciled(conn, facts, counted, kept.owner_rate_cents))
