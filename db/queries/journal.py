"""What was done, from the journal."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import Connection, select

from db.tables import action, company

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


def first_work_on(conn: Connection) -> date | None:
    """The day of the owner's first own step, after the one the firm began with; None when there is none yet.

    None for a made-up firm as well, which nobody would miss.
    """
    made_up = select(company.c.id).where(company.c.pinned_today.is_not(None)).exists()
    first = conn.execute(
        select(action.c.made_at).where(~made_up).order_by(action.c.id).offset(1).limit(1)
    ).scalar()
    if first is None:
        return None
    try:
        return datetime.fromisoformat(first).date()
    except ValueError:
        return None
