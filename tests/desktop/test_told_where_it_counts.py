"""What is final says so when Ctrl+Z is pressed; a half-logged job is marked in every table in which it counts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

import pytest
from pytestqt.qtbot import QtBot

from db.commands import billing
from desktop.desk import Desk
from desktop.pages.margins.tables import GroupsTable, JobsTable, TasksTable
from desktop.pages.tonight.words import _with_first
from domain.costing import TaskSum, group_of
from domain.first_warning import FirstWarning
from tests.db.billing_company import BillingCompany
from tests.domain.test_quoting_periods import job

DAY = date(2026, 3, 21)


@pytest.fixture
def shop() -> Iterator[BillingCompany]:
    made = BillingCompany()
    with made.company:
        yield made


def test_undo_after_a_credit_note_says_why_not_and_what_to_do(qtbot: QtBot, shop: BillingCompany) -> None:
    final = shop.do(billing.draft_invoice, "final", DAY, job_id=shop.job(shop.customer()))
    shop.do(billing.issue_invoice, final, DAY)
    desk = Desk(shop.company)
    with qtbot.waitSignal(desk.spoke) as said:
        desk.undo()
    assert "final and cannot be undone" in said.args[0]
    assert "credited" in said.args[0]


def cell(table: object, row: int, key: str) -> str:
    model = table.rows_model()  # type: ignore[attr-defined]
    return str(model.index(row, model.column_of(key)).data())


def test_a_group_and_the_total_say_how_many_are_not_fully_logged(qtbot: QtBot) -> None:
    jobs = [job(1, "Sealing", DAY, 600, 500, 90_000), job(2, "Sealing", DAY, 600, 60, 10_000, unanswered=4)]
    group = group_of("Sealing", jobs)
    table = GroupsTable()
    qtbot.addWidget(table)
    table.show_groups([group], replace(group, key="", name="All closed jobs"))
    assert cell(table, 0, "name") == "Sealing (1 of 2 not fully logged)"
    assert cell(table, 1, "name") == "All closed jobs (1 of 2 not fully logged)"
    assert group_of("Sealing", jobs[:1]).partly == 0


def test_what_was_not_logged_is_no_gain(qtbot: QtBot) -> None:
    jobs, tasks = JobsTable("Jobs"), TasksTable()
    for table in (jobs, tasks):
        qtbot.addWidget(table)
    tone = jobs.rows_model()._tone["against"]
    assert tone(job(1, "Sealing", DAY, 600, 500, 90_000)) == "under"
    assert tone(job(2, "Sealing", DAY, 600, 60, 10_000, unanswered=4)) == ""
    less = TaskSum("Seal", 600, 60, 0, 5_000)
    tasks.show_tasks((less,), partly=1)
    assert tasks.rows_model()._tone["over"](less) == ""
    tasks.show_tasks((less,))
    assert tasks.rows_model()._tone["over"](less) == "under"


def test_a_margin_of_what_is_not_fully_logged_is_an_upper_bound_in_rows_and_sums(qtbot: QtBot) -> None:
    whole, partly = job(1, "Sealing", DAY, 600, 500, 90_000), job(2, "Sealing", DAY, 600, 60, 10_000, unanswered=4)
    jobs, groups = JobsTable("Jobs"), GroupsTable()
    for table in (jobs, groups):
        qtbot.addWidget(table)
    jobs.show_jobs([whole, partly])
    groups.show_groups([group_of("Sealing", [whole])], group_of("", [whole, partly]))
    for table in (jobs, groups):
        for key in ("margin", "share"):
            assert "≤" not in cell(table, 0, key)
            assert cell(table, 1, key).startswith("≤ ")
    assert cell(jobs, 1, "against").startswith("≤ ")


def test_an_open_job_stands_beside_its_quoted_cost_with_change_orders(qtbot: QtBot) -> None:
    table = JobsTable("Open jobs", running=True)
    qtbot.addWidget(table)
    table.show_jobs([job(1, "Sealing", None, 600, 60, 10_000, change_order_cost_cents=12_345)])
    model = table.rows_model()
    assert model.columns[model.column_of("quoted")].title == "Quoted cost"
    assert cell(table, 0, "quoted") == "$1,123.45"


def test_no_pace_stands_below_what_is_taken_already() -> None:
    first = FirstWarning(DAY, 480, 1_247, 1_066, used_up=False)
    assert "at this pace 20 h 47" in _with_first("26-043", "Crawl", first, 900)
    assert "pace" not in _with_first("26-043", "Crawl", first, 1_435)
