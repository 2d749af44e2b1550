"""Jobs: opened, numbered, dated in order, ended, and listed by a state that follows from their facts."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import Connection

from db import tables
from db.commands import jobs
from db.commands.people import add_customer, add_property, archive_customer
from db.company_file.company import Company
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.jobs import job_head, job_list, job_lists, survey_page
from domain.jobs import JOB_FILTERS, JobRow, in_filter
from tests.small_company import TODAY, OneJob, add_one_job, add_proposal, empty_company, statements


@pytest.fixture
def company() -> Iterator[Company]:
    made = empty_company()
    yield made
    made.close()


@pytest.fixture
def kept(company: Company) -> OneJob:
    return add_one_job(company)


def row(company: Company, job_id: int) -> JobRow:
    with company.read() as conn:
        return next(one for one in job_list(conn, TODAY, "all") if one.id == job_id)


def test_jobs_are_numbered_by_year(company: Company, kept: OneJob) -> None:
    with company.action("Open") as edit:
        made = [
            jobs.open_job(edit, kept.customer_id, kept.property_id, 1, None, "", on)
            for on in (date(2026, 6, 1), date(2027, 1, 4), date(2026, 7, 1))
        ]
    assert [row(company, job_id).number for job_id in made] == ["26-002", "27-001", "26-003"]


def test_a_number_is_given_once_only(company: Company, kept: OneJob) -> None:
    with pytest.raises(Refused, match="26-001 already"), company.action("Open") as edit:
        jobs.open_job(edit, kept.customer_id, kept.property_id, 1, None, "", TODAY, number="26-001")


def test_a_job_stands_at_a_house_of_its_customer(company: Company, kept: OneJob) -> None:
    with company.action("Add") as edit:
        other = add_customer(edit, "Ortega & Vale Rentals", TODAY, kind="firm")
        house = add_property(edit, other, "9 Slip Street")
    with pytest.raises(Refused, match="another customer"), company.action("Change") as edit:
        jobs.change_job(edit, kept.job_id, property_id=house)
    with company.action("Change") as edit:
        jobs.change_job(edit, kept.job_id, customer_id=other, property_id=house)
    assert row(company, kept.job_id).customer == "Ortega & Vale Rentals"


def test_an_archived_customer_is_brought_back_before_a_new_job(company: Company, kept: OneJob) -> None:
    with company.action("Archive") as edit:
        archive_customer(edit, kept.customer_id, TODAY)
    with pytest.raises(Refused, match="Bring the customer back"), company.action("Open") as edit:
        jobs.open_job(edit, kept.customer_id, kept.property_id, 1, None, "", TODAY)


def test_days_out_of_order_are_refused_in_words_and_nothing_is_saved(company: Company, kept: OneJob) -> None:
    with company.action("Install") as edit:
        jobs.mark_installed(edit, kept.job_id, date(2026, 5, 12))
    for work in (
        lambda edit: jobs.mark_invoiced(edit, kept.job_id, date(2026, 5, 11)),
        lambda edit: jobs.schedule_job(edit, kept.job_id, date(2026, 5, 13)),
        lambda edit: jobs.close_job(edit, kept.job_id, date(2026, 5, 11)),
        lambda edit: jobs.change_job(edit, kept.job_id, opened_on=date(2026, 5, 13)),
    ):
        with pytest.raises(Refused, match="Correct whichever"), company.action("Wrong") as edit:
            work(edit)
    with company.read() as conn:
        job = job_head(conn, kept.job_id, TODAY).job
    assert (job.invoiced_on, job.scheduled_on, job.closed_on, job.opened_on) == (None, None, None, date(2026, 5, 4))


def test_paid_comes_after_invoiced_and_the_invoice_cannot_be_taken_from_under_it(
    company: Company, kept: OneJob
) -> None:
    with pytest.raises(Refused, match="no day of invoice"), company.action("Pay") as edit:
        jobs.mark_paid(edit, kept.job_id, TODAY)
    with company.action("Invoice and pay") as edit:
        jobs.mark_invoiced(edit, kept.job_id, TODAY)
        jobs.mark_paid(edit, kept.job_id, TODAY)
    with pytest.raises(Refused, match="marked paid"), company.action("Take away") as edit:
        jobs.mark_invoiced(edit, kept.job_id, None)
    assert row(company, kept.job_id).state == "paid"


def test_cancelling_needs_a_reason_and_reopening_takes_it_back(company: Company, kept: OneJob) -> None:
    with pytest.raises(Refused, match="few words why"), company.action("Cancel") as edit:
        jobs.cancel_job(edit, kept.job_id, TODAY, "  ")
    with company.action("Cancel") as edit:
        jobs.cancel_job(edit, kept.job_id, TODAY, "house sold as it is")
    assert row(company, kept.job_id).state == "canceled"
    with pytest.raises(Refused, match="was canceled"), company.action("Close") as edit:
        jobs.close_job(edit, kept.job_id, TODAY)
    with company.action("Reopen") as edit:
        jobs.reopen_job(edit, kept.job_id)
    assert row(company, kept.job_id).state == "inquiry"


def test_a_paid_job_is_not_cancelled_by_mistake(company: Company, kept: OneJob) -> None:
    with company.action("Close") as edit:
        jobs.close_job(edit, kept.job_id, TODAY)
    with pytest.raises(Refused, match="closed already"), company.action("Cancel") as edit:
        jobs.cancel_job(edit, kept.job_id, TODAY, "slip")


def test_a_job_opened_by_mistake_can_go_but_not_with_a_survey_on_it(company: Company, kept: OneJob) -> None:
    with company.action("Survey") as edit:
        edit.add(tables.survey, job_id=kept.job_id, surveyed_on=TODAY)
    with pytest.raises(Refused, match="Cancel it"), company.action("Delete") as edit:
        jobs.delete_job(edit, kept.job_id)
    company.undo()
    with company.action("Delete") as edit:
        jobs.set_conditions(edit, kept.job_id, [1])
        jobs.add_party(edit, kept.job_id, "buyer", "Pia Lund")
        jobs.delete_job(edit, kept.job_id)
    with company.read() as conn:
        assert job_list(conn, TODAY, "all") == []


def test_conditions_are_exactly_those_ticked(company: Company, kept: OneJob) -> None:
    for wanted in ([1, 3], [3, 4], []):
        with company.action("Tick") as edit:
            jobs.set_conditions(edit, kept.job_id, wanted)
        with company.read() as conn:
            assert survey_page(conn, kept.job_id).ticked == frozenset(wanted)


def test_parties_and_deadlines_are_kept_with_the_job(company: Company, kept: OneJob) -> None:
    with company.action("Note") as edit:
        buyer = jobs.add_party(edit, kept.job_id, "buyer", "Pia Lund", phone="207 555 0188")
        jobs.change_party(edit, buyer, mail="pia@example.org")
        late = jobs.add_deadline(edit, kept.job_id, date(2026, 6, 12), "closing date")
        soon = jobs.add_deadline(edit, kept.job_id, date(2026, 5, 20), "buyer's inspection")
    assert row(company, kept.job_id).deadline_reason == "buyer's inspection"
    with company.action("Met") as edit:
        jobs.mark_deadline_met(edit, soon)
        jobs.change_deadline(edit, late, due_on=date(2026, 6, 19))
    with company.read() as conn:
        head = job_head(conn, kept.job_id, TODAY)
    assert [(party.role, party.name, party.mail) for party in head.parties] == [
        ("buyer", "Pia Lund", "pia@example.org")
    ]
    assert head.next_deadline is not None
    assert (head.next_deadline.id, head.next_deadline.due_on) == (late, date(2026, 6, 19))


@pytest.mark.parametrize(
    ("role", "name", "word"), [("neighbour", "Pia Lund", "buyer's agent"), ("buyer", " ", "name of the person")]
)
def test_a_party_has_a_known_part_and_a_name(company: Company, kept: OneJob, role: str, name: str, word: str) -> None:
    with pytest.raises(Refused, match=word), company.action("Note") as edit:
        jobs.add_party(edit, kept.job_id, role, name)


def test_the_newest_sent_version_counts_and_goodwill_and_change_orders_are_in_the_price(
    company: Company, kept: OneJob
) -> None:
    with company.action("Quotes") as edit:
        add_proposal(edit, kept.job_id, 1, sent_on=TODAY, declined_on=TODAY, price_cents=100_000)
        add_proposal(
            edit, kept.job_id, 2, sent_on=TODAY, accepted_on=TODAY, price_cents=90_000, goodwill_cents=5_000
        )
        add_proposal(edit, kept.job_id, 3, price_cents=None)
        add_proposal(edit, kept.job_id, 1, kind="change_order", accepted_on=TODAY, price_cents=12_500)
        add_proposal(edit, kept.job_id, 2, kind="change_order", sent_on=TODAY, price_cents=77_700)
    found = row(company, kept.job_id)
    assert (found.state, found.price_cents) == ("accepted", 97_500)


_DAYS = st.one_of(st.none(), st.integers(-20, 20).map(lambda n: TODAY + timedelta(n)))


_JOB_DAYS = ("installed_on", "invoiced_on", "paid_on", "closed_on", "cancelled_on", "scheduled_on")
_QUOTE_DAYS = ("sent_on", "expires_on", "accepted_on", "declined_on")


@given(
    st.fixed_dictionaries(dict.fromkeys(_JOB_DAYS, _DAYS)),
    st.one_of(st.none(), st.fixed_dictionaries(dict.fromkeys(_QUOTE_DAYS, _DAYS))),
    st.booleans(),
)
def test_each_list_holds_exactly_the_jobs_whose_state_belongs_in_it(
    days: dict[str, date | None], quoted: dict[str, date | None] | None, tested: bool
) -> None:
    if days["closed_on"] and days["cancelled_on"]:
        days["cancelled_on"] = None  # the commands never let both stand
    company = _company_for_lists()
    with company.engine.begin() as conn:
        edit = Edit(conn, "Facts", "")
        edit.change(tables.job, 1, **days)
        if quoted:
            add_proposal(edit, 1, **quoted)
        if tested:
            edit.add(tables.radon_test, job_id=1, purpose="after", device="x", ended_on=TODAY, result=1)
        (found,) = job_list(conn, TODAY, "all")
        for which in JOB_FILTERS:
            listed = bool(job_list(conn, TODAY, which))
            assert listed == in_filter(found.state, found.closed_on is not None, which), (which, found.state)
            assert bool(job_list(conn, TODAY, which, limit=1)) == listed
        conn.rollback()


_FOR_LISTS: list[Company] = []


def _company_for_lists() -> Company:
    if not _FOR_LISTS:
        _FOR_LISTS.append(empty_company())
        add_one_job(_FOR_LISTS[0])
    return _FOR_LISTS[0]


def test_the_list_is_searched_and_narrowed_to_a_job_type(company: Company, kept: OneJob) -> None:
    add_one_job(company, "Mara Stillwell")
    with company.read() as conn:
        assert [one.customer for one in job_list(conn, TODAY, text="stillwell mill")] == ["Mara Stillwell"]
        assert len(job_list(conn, TODAY, job_type_id=2)) == 2
        assert job_list(conn, TODAY, job_type_id=1) == []
        assert len(job_list(conn, TODAY, text="mill", limit=1)) == 1


def test_archived_job_types_are_not_offered(company: Company) -> None:
    with company.action("Archive") as edit:
        edit.change(tables.job_type, 1, archived=True)
    with company.read() as conn:
        offered = job_lists(conn)
    assert 1 not in [one.id for one in offered.job_types]
    assert offered.lead_sources


def test_job_pages_take_the_same_few_statements_whatever_the_size(company: Company, kept: OneJob) -> None:
    def counts() -> list[int]:
        works: list[Callable[[Connection], object]] = [
            lambda conn: job_list(conn, TODAY),
            lambda conn: job_list(conn, TODAY, "all", limit=50),
            lambda conn: job_head(conn, kept.job_id, TODAY),
            lambda conn: survey_page(conn, kept.job_id),
        ]
        return [statements(company, work) for work in works]

    small = counts()
    for number in range(12):
        add_one_job(company, f"Customer {number}")
    assert counts() == small == [1, 1, 8, 9]
