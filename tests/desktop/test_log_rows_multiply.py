"""What a row of the log shows can be worked out by hand: hours times the rate beside them is the cost beside that."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from db.commands.log import log_hours
from domain.money import parse_money
from domain.units import parse_minutes
from tests.desktop.evening import TODAY, evening_company
from tests.desktop.test_log_section import Evening


@pytest.fixture
def evening(qtbot: QtBot, tmp_path: Path) -> Iterator[Evening]:
    company, ids = evening_company(tmp_path)
    yield Evening(qtbot, company, ids, ids.today)
    company.close()


def half_up_cents(minutes: int, cents_per_hour: int) -> int:
    """Minutes at so much an hour, to the nearest cent, half up: by whole numbers, not by the program's own rule."""
    return (2 * minutes * cents_per_hour + 60) // 120


def test_hours_times_rate_is_the_cost_shown_and_overhead_stands_beside_the_total(evening: Evening) -> None:
    task = evening.ids.task["Assess what is there"]
    for minutes in (7, 20, 61, 135, 419):
        evening.desk.do(
            "Log", lambda edit, m=minutes: log_hours(edit, evening.job_id, TODAY, task, evening.ids.owner, m)  # type: ignore[misc]
        )
    card = evening.section.entries
    model, total = card.table.rows_model(), 0
    assert len(model.rows) >= 5
    for row in model.rows:
        minutes, rate = parse_minutes(model.text(row, "amount")), model.text(row, "each")
        assert rate.endswith("/h")
        shown = parse_money(model.text(row, "cost"))
        assert shown == half_up_cents(minutes, parse_money(rate.removesuffix("/h")))
        assert row.entry.overhead_rate_cents > 0  # there is some, and it is in no row
        total += shown
    words = card.header._note.text()
    assert f"${total / 100:,.2f}, and $" in words
    assert words.endswith("of overhead on the hours")
