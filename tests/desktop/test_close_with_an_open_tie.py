"""A month whose ties do not come out is closed only by a second word, and what is open stays on top."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import pytest
from pytestqt.qtbot import QtBot

from db.commands import billing
from db.commands.jobs import close_job
from desktop.pages.company.close_part import IN_SPITE
from tests.db.billing_company import BillingCompany
from tests.desktop.test_books_parts import shown

DAY = date(2026, 3, 21)


@pytest.fixture
def shop() -> Iterator[BillingCompany]:
    made = BillingCompany()
    with made.company:
        job_id = made.job(made.customer())
        final = made.do(billing.draft_invoice, "final", DAY, job_id=job_id)
        made.do(billing.issue_invoice, final, DAY)
        made.do(billing.credit_invoice, final, DAY, "Wrong", gives_up=False, amount_cents=20_000)
        made.do(close_job, job_id, DAY)
        yield made


def closed_months(shop: BillingCompany) -> int:
    with shop.company.read() as conn:
        return int(conn.exec_driver_sql("SELECT count(*) FROM closed_month").scalar() or 0)


def test_it_wants_a_second_word(qtbot: QtBot, shop: BillingCompany) -> None:
    part = shown(qtbot, shop, "close")
    first = part.looked.rows_model().rows[0]
    assert (first.key, first.count, first.what) == ("ties", 1, "tie of the books that does not come out")
    assert "1 tie of the books does not come out" in part.state.text()
    part.ask_close()
    assert "for good" in part.asking.words.text()
    part.asking.go.click()
    assert closed_months(shop) == 0
    part.asking._fields[1].set_value("yes")
    part.asking.go.click()
    assert closed_months(shop) == 0
    assert IN_SPITE in part.asking.problem.text()
    part.asking._fields[1].set_value(IN_SPITE)
    part.asking.go.click()
    assert closed_months(shop) > 0


def test_the_ties_name_the_job_where_it_is_read_whole(qtbot: QtBot, shop: BillingCompany) -> None:
    part = shown(qtbot, shop, "ties")
    assert "26-001" in part.state.text()
    assert "1 of " in part.state.text()
    assert "does not come out" in part.state.text()
