"""Keeps the routes and their air with a proposal when it is sent, so that its paper never changes."""

from __future__ import annotations

from db.edit import Edit
from db.queries.sketches import sketch_source
from db.tables import quote_sketch
from domain.job_takeoff.sketch import write_sketch
from domain.quoting.lines import Quote


def keep_sketch(edit: Edit, kept: Quote) -> None:
    """Keep the job's routes as they stand; nothing for a change order or a job without routes."""
    if kept.kind == "proposal":
        source = sketch_source(edit.conn, kept.job_id)
        if source.routes:
            edit.add(quote_sketch, quote_id=kept.id, details=write_sketch(source))
