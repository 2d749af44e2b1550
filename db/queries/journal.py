"""What was done, from the journal."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, select

from db.tables import action

_LOOKED_AT = 5_000


@dataclass(frozen=True, slots=True)
class DoneSince:
    """Steps saved after a moment and not undone.

    Attributes:
        count: how many, up to 5,000.
        newest: the labels of the last few, newest first.
    """

    count: int
    newest: tuple[str, ...]


def done_since(conn: Connection, moment: datetime) -> DoneSince:
    """What was done after a moment (with its time zone), in one statement."""
    steps = conn.execute(
        select(action.c.made_at, action.c.label, action.c.undone).order_by(action.c.id.desc()).limit(_LOOKED_AT)
    )
    labels = []
    for made_at, label, undone in steps:
        if datetime.fromisoformat(made_at) < moment:  # both to the second: rather one too many
            break
        if not undone:
            labels.append(label)
    return DoneSince(len(labels), tuple(labels[:3]))
