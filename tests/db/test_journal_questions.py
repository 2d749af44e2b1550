"""What a restore would take away is counted from the journal."""

from __future__ import annotations

from datetime import datetime, timedelta

from db.commands.library import add_cause
from db.queries.journal import done_since
from tests.small_company import empty_company


def test_steps_after_a_moment_are_counted_without_undone_ones() -> None:
    company = empty_company()
    now = datetime.now().astimezone()
    for name in ("Rain", "Snow", "Hail"):
        with company.action(f"Add {name}") as edit:
            add_cause(edit, name)
    company.undo()
    with company.read() as conn:
        found = done_since(conn, now - timedelta(seconds=2))
        later = done_since(conn, now + timedelta(days=1))
    assert found.newest[:2] == ("Add Snow", "Add Rain")
    assert found.count >= 2
    assert (later.count, later.newest) == (0, ())
    company.close()
