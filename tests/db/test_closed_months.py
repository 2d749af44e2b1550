"""A closed month cannot change, by a command, an undo or a redo; what is final is never undone."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from db.closed_months import BOOKED_TABLES
from db.company_file import Company, open_company
from db.company_file.problems import Refused
from db.tables import METADATA, closed_month, trip
from tests.db.company_files import company_file


@pytest.fixture
def company(tmp_path: Path) -> Iterator[Company]:
    with open_company(company_file(tmp_path), backup=False) as opened:
        yield opened


def _close(company: Company, month: str) -> None:
    with company.action("Close the month") as edit:
        edit.add(closed_month, month=month, closed_on=date(2026, 12, 1))
        edit.make_final()


def test_nothing_dated_in_a_closed_month_is_added_changed_or_removed(company: Company) -> None:
    with company.action("Miles") as edit:
        inside = edit.add(trip, day=date(2026, 10, 31), miles=12, purpose="bank")
        outside = edit.add(trip, day=date(2026, 11, 1), miles=12, purpose="bank")
    _close(company, "2026-10")
    for work in (
        lambda edit: edit.add(trip, day=date(2026, 10, 1), miles=1, purpose="late"),
        lambda edit: edit.add_many(trip, [{"day": date(2026, 10, 1), "miles": 1, "purpose": "late"}]),
        lambda edit: edit.change(trip, inside, miles=13),
        lambda edit: edit.change(trip, inside, day=date(2026, 11, 3)),
        lambda edit: edit.change(trip, outside, day=date(2026, 10, 3)),
        lambda edit: edit.remove(trip, inside),
    ):
        with pytest.raises(Refused, match="October 2026"), company.action("Late") as edit:
            work(edit)
    with company.action("In time") as edit:
        edit.change(trip, outside, miles=14)
        edit.remove(trip, outside)


def test_a_step_made_before_the_close_is_not_undone_into_it(company: Company) -> None:
    with company.action("Miles") as edit:
        edit.add(trip, day=date(2026, 10, 31), miles=12, purpose="bank")
    with company.action("Close") as edit:  # by other means than the command, which is final
        edit.add(closed_month, month="2026-10", closed_on=date(2026, 12, 1))
    company._done.pop()
    with pytest.raises(Refused, match="October 2026"):
        company.undo()
    assert company.undo_label is None


def test_what_is_final_cannot_be_undone_nor_what_lies_before_it(company: Company) -> None:
    with company.action("Miles") as edit:
        edit.add(trip, day=date(2026, 9, 1), miles=12, purpose="bank")
    _close(company, "2026-08")
    assert company.undo_label is None
    assert company.undo() is None


def test_every_booked_table_has_its_day() -> None:
    assert set(METADATA.tables) >= BOOKED_TABLES
