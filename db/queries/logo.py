"""The firm's picture for the head of its papers."""

from __future__ import annotations

from sqlalchemy import Connection, select

from db.tables import company, logo_file


def logo(conn: Connection) -> bytes | None:
    """The picture as PNG; None when the firm has none."""
    query = select(logo_file.c.picture).join(company, company.c.logo_sha256 == logo_file.c.sha256)
    picture = conn.execute(query).scalar()
    return None if picture is None else bytes(picture)
