"""The log of a job: all it shows in a number of statements that does not grow with the job or the company."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from sqlalchemy import event

from db.commands.log import log_hours, log_material, log_other_cost
from db.queries.log import log_day
from db.queries.log_page import log_page
from tests.desktop.evening import TODAY, evening_company


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    company, ids = evening_company(tmp_path_factory.mktemp("evening"))
    yield company, ids
    company.close()


def test_the_page_has_what_the_head_of_the_log_needs(made):
    company, ids = made
    with company.read() as conn:
        page = log_page(conn, ids.over, TODAY)
    assert (page.customer, page.place, page.job_type) == (
        "Osei Tannery", "207 Quarry Road, Weller", "Rework of an existing system",
    )  # fmt: skip
    assert page.so_far.quoted_minutes == 750
    assert page.so_far.minutes == 900
    assert page.first is not None, "the log says when it was first seen to go over, as the outcome does"
    assert [one.name for one in page.lists.people] == ["Wren Osei", "Tam Birch"]
    assert not page.open_change_order
    assert not page.is_closed


def test_its_statements_do_not_grow_with_the_log(made):
    company, ids = made

    def counted() -> int:
        seen: list[str] = []
        listener = lambda *a: seen.append(a[2])  # noqa: E731
        event.listen(company.engine, "before_cursor_execute", listener)
        with company.read() as conn:
            log_page(conn, ids.today, TODAY)
        event.remove(company.engine, "before_cursor_execute", listener)
        return sum(1 for text in seen if text.lstrip().upper().startswith("SELECT"))

    before = counted()
    with company.action("A long job") as edit:
        for days in range(20):
            day = TODAY - timedelta(days=days)
            log_hours(edit, ids.today, day, ids.task["Set the fan"], ids.owner, 30)
            log_material(edit, ids.today, day, ids.item["P3-40"], "", Decimal(2))
            log_other_cost(edit, ids.today, day, "travel", "", Decimal(9))
    assert counted() == before
    with company.read() as conn:
        one_day = log_day(conn, ids.today, TODAY - timedelta(days=3))
    assert (len(one_day.hours), len(one_day.materials), len(one_day.others)) == (1, 1, 1)


def test_a_job_that_is_gone_is_told_apart(made):
    company, _ = made
    with company.read() as conn, pytest.raises(LookupError):
        log_page(conn, 9999, TODAY)
