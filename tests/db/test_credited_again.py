"""Money credited as invoiced wrongly is still to be asked for: closing, Tonight and the ties name the job."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

import pytest

from db.commands import billing
from db.commands.jobs import close_job
from db.queries.billing.tonight_money import money_tonight
from db.queries.books.ledger import trial
from db.queries.books.subcontractors import subcontractor_year
from db.queries.books.ties import ties
from db.queries.closing import closing_review
from db.queries.money_papers import invoice_said
from db.tables import job, supplier
from tests.db.billing_company import BillingCompany

DAY = date(2026, 3, 21)
LATER = DAY + timedelta(days=3)


@pytest.fixture
def firm() -> Iterator[BillingCompany]:
    made = BillingCompany()
    with made.company:
        yield made


def test_it_is_owed_named_tonight_and_in_the_ties(firm: BillingCompany) -> None:
    job_id = firm.job(firm.customer())
    final = firm.do(billing.draft_invoice, "final", DAY, job_id=job_id)
    firm.do(billing.issue_invoice, final, DAY)
    whole = firm.invoice(final).total_cents
    assert firm.ask(money_tonight, LATER).finished.total == 0
    credit = firm.do(billing.credit_invoice, final, LATER, "Wrong", gives_up=False, amount_cents=20_000)
    firm.do(close_job, job_id, LATER)
    left = -firm.invoice(credit).net_cents
    owed = [one.words for one in closing_review_of(firm, job_id).owed]
    assert f"Credited and still to be invoiced: ${left / 100:.2f} before tax" in owed
    (row,) = firm.ask(money_tonight, LATER).finished.rows
    assert (row.name.job_id, row.cents, row.credited) == (job_id, left, True)
    (tie,) = [one for one in firm.ask(ties, LATER) if not one.holds]
    assert firm.kept_job(job_id).number in tie.advice
    assert f"${left / 100:.2f}" in tie.advice
    assert "Money section" in tie.advice
    assert ("Takes back", f"$200.00 of the ${whole / 100:,.2f} of invoice {firm.invoice(final).number}") in said(
        firm, credit
    ).facts
    firm.do(billing.issue_invoice, firm.do(billing.draft_invoice, "final", LATER, job_id=job_id), LATER)
    assert all(one.holds for one in firm.ask(ties, LATER))
    assert firm.ask(money_tonight, LATER).finished.total == 0


def test_what_is_given_up_is_not_asked_for_again(firm: BillingCompany) -> None:
    job_id = firm.job(firm.customer())
    final = firm.do(billing.draft_invoice, "final", DAY, job_id=job_id)
    firm.do(billing.issue_invoice, final, DAY)
    firm.do(billing.credit_invoice, final, LATER, "A scratch", gives_up=True, amount_cents=20_000)
    assert firm.ask(money_tonight, LATER).finished.total == 0
    assert not [one for one in closing_review_of(firm, job_id).owed if one.words.startswith("Credited")]


def test_a_paper_names_the_kind_of_work_and_never_what_the_owner_calls_the_job(firm: BillingCompany) -> None:
    job_id = firm.job(firm.customer())
    final = firm.do(billing.draft_invoice, "final", DAY, job_id=job_id)
    firm.do(lambda edit: edit.change(job, job_id, title="The leaky one"))
    paper = said(firm, final)
    assert "The leaky one" not in repr(paper)
    with firm.company.read() as conn:
        kind = conn.exec_driver_sql("SELECT name FROM job_type JOIN job ON job.job_type_id = job_type.id").scalar()
    assert kind in paper.about_lines


def test_income_begins_anew_with_the_year_and_what_is_owed_goes_on(firm: BillingCompany) -> None:
    job_id = firm.job(firm.customer())
    firm.do(billing.issue_invoice, firm.do(billing.draft_invoice, "final", DAY, job_id=job_id), DAY)
    rows = {
        row.account.role.key: row for row in firm.ask(trial, date(2027, 1, 1), date(2027, 12, 31)).rows
    }
    assert (rows["sales"].opening_cents, rows["sales"].closing_cents) == (0, 0)
    assert rows["receivable"].opening_cents > 0
    within = {row.account.role.key: row for row in firm.ask(trial, date(2026, 6, 1), date(2026, 6, 30)).rows}
    assert within["sales"].opening_cents < 0


def test_a_year_before_the_table_has_no_threshold(firm: BillingCompany) -> None:
    firm.do(lambda edit: edit.add(supplier, name="Reed Electric", subcontractor=True))
    (year,) = firm.ask(subcontractor_year, 1999)
    assert (year.threshold_cents, year.to_report) == (None, False)
    assert "not known" in year.words


def closing_review_of(firm: BillingCompany, job_id: int):  # type: ignore[no-untyped-def]
    return firm.ask(closing_review, job_id, LATER)


def said(firm: BillingCompany, invoice_id: int):  # type: ignore[no-untyped-def]
    return firm.ask(invoice_said, invoice_id)
