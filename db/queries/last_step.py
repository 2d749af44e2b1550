"""On which day the last step of a firm was saved, by the clock of the computer it was saved on."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import Connection, select

from db.tables.journal import action


def last_step_day(conn: Connection) -> date | None:
    """The day of the newest entry of the journal; None where there is none."""
    made_at = conn.execute(select(action.c.made_at).order_by(action.c.id.desc()).limit(1)).scalar_one_or_none()
    return datetime.fromisoformat(made_at).date() if made_at else None
