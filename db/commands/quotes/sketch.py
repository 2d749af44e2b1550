"""Keeps the routes and their air with a proposal when it is sent, so that its paper never changes."""

from __future__ import annotations

from db.commands.checks import count_where
from db.edit import Edit
from db.queries.quotes import made_from_takeoff
from db.tables import quote_sketch, route
from domain.quoting.lines import Quote


def keep_sketch(edit: Edit, kept: Quote) -> None:
    """Keep the job's routes as they stand; nothing for a change order or a quote that was not made from a route."""
    if kept.kind != "proposal" or not count_where(edit.conn, route, route.c.job_id == kept.job_id):
        return
    if not (kept.shows_route or made_from_takeoff(edit.conn, kept.id)):
        return
    from db.queries.sketches import sketch_source  # with all that reckons routes: loaded where there is one
    from db.queries.sold_fans import sold_fans
    from domain.job_takeoff.sketch import write_sketch

    source = sketch_source(edit.conn, kept.job_id, sold_fans(edit.conn, [kept.id]))
    edit.add(quote_sketch, quote_id=kept.id, details=write_sketch(source))
