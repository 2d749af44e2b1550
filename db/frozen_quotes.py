"""A quote that was sent never changes: every write is looked at here, whichever command makes it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, select, type_coerce
from sqlalchemy.types import NullType

from db.tables import labour_line, material_line, other_line, quote, quote_option, quote_sketch
from domain.dates import format_day_short
from domain.quoting.state import version_name

if TYPE_CHECKING:
    from db.company_file.problems import Refused

Stored = Mapping[str, Any]

_PARTS = (labour_line, material_line, other_line, quote_option, quote_sketch)
QUOTE_TABLES = frozenset(table.name for table in (quote, *_PARTS))
"""Tables whose rows the customer holds once a quote is sent."""

# What the customer's answer writes: the options chosen, with price, tax and deposit told anew.
_ANSWERED = {
    quote.name: frozenset(
        ("accepted_on", "declined_on", "declined_reason", "price_cents", "tax_cents", "deposit_cents")
    ),
    quote_option.name: frozenset(("chosen",)),
}


class FrozenQuotes:
    """Refuses the steps of one action that would change a sent quote.

    A quote is sent from the step on that writes its day: the same action may have written its lines just before.
    """

    def __init__(self, conn: Connection) -> None:
        self._conn = conn
        self._sent: dict[int, Stored | None] = {}

    def check(self, table: str, steps: Iterable[tuple[Stored | None, Stored | None]]) -> None:
        """Look at rows as they were and as they are now (None: not there) of one of `QUOTE_TABLES`.

        Raises:
            Refused: a row is part of a quote that was sent, and the change is not the customer's answer.
        """
        for before, after in steps:
            if table == quote.name:
                self._sent.pop(int((after or before or {})["id"]), None)
                sent = [before] if before is not None and before["sent_on"] is not None else []
            else:
                sent = [one for row in (before, after) if row is not None and (one := self._sent_quote(row))]
            if sent and not _is_answer(table, before, after):
                kept = sent[0]
                raise sent_already(
                    kept["kind"], kept["version"], date.fromisoformat(kept["sent_on"]), kept["accepted_on"] is not None
                )

    def _sent_quote(self, row: Stored) -> Stored | None:
        """The quote a line or an option stands on, as stored, where it was sent."""
        quote_id = int(row["quote_id"])
        if quote_id not in self._sent:
            wanted = select(*(type_coerce(quote.c[name], NullType()).label(name) for name in _NAMED))
            found = self._conn.execute(wanted.where(quote.c.id == quote_id, quote.c.sent_on.is_not(None)))
            one = found.mappings().one_or_none()
            self._sent[quote_id] = None if one is None else dict(one)
        return self._sent[quote_id]


_NAMED = ("kind", "version", "sent_on", "accepted_on")


def _is_answer(table: str, before: Stored | None, after: Stored | None) -> bool:
    if before is None or after is None:
        return False
    return {name for name, value in after.items() if before[name] != value} <= _ANSWERED.get(table, frozenset())


def sent_already(kind: str, version: int, sent_on: date, accepted: bool) -> Refused:
    """Why a sent quote stays as it is, and what to do instead."""
    from db.company_file.problems import Refused  # here, as the firm's file itself is built on the edit

    if accepted:
        advice = "Write a change order for what is different now."
    elif kind == "change_order":
        advice = "Start another change order for what is different."
    else:
        advice = "Revise it: the next version starts as a copy, and this one stays as the customer has it."
    return Refused(f"{version_name(kind, version)} was sent on {format_day_short(sent_on)} and stays as it is.", advice)
