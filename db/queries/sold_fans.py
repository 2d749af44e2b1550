"""Which items of the kind fan stand in quotes: what a paper says of the air has to be about one of them."""

from __future__ import annotations

from collections.abc import Collection

from sqlalchemy import Connection, select

from db.tables import item, material_line, quote


def sold_fans(conn: Connection, quote_ids: Collection[int]) -> frozenset[int]:
    """The fans among the materials of these quotes."""
    asked = (
        select(item.c.id)
        .join(material_line, material_line.c.item_id == item.c.id)
        .where(material_line.c.quote_id.in_(quote_ids), item.c.item_class == "fan")
    )
    return frozenset(conn.execute(asked).scalars())


def accepted_fans(conn: Connection, job_id: int) -> frozenset[int] | None:
    """The fans the customer of a job bought; None before anything was accepted."""
    taken = select(quote.c.id).where(quote.c.job_id == job_id, quote.c.accepted_on.is_not(None))
    ids = list(conn.execute(taken).scalars())
    return sold_fans(conn, ids) if ids else None
