"""Customers and properties: entered, changed, searched, and never deleted from under their history."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date

import pytest
from sqlalchemy import Connection, select

from db import tables
from db.commands import people
from db.company_file.company import Company
from db.company_file.problems import Refused
from db.queries.find import find_anything
from db.queries.people import customer_list, customer_page, duplicates_of
from domain.duplicates import Traits
from tests.small_company import TODAY, OneJob, add_one_job, empty_company, statements


@pytest.fixture
def company() -> Iterator[Company]:
    made = empty_company()
    yield made
    made.close()


@pytest.fixture
def kept(company: Company) -> OneJob:
    return add_one_job(company)


def names(company: Company, text: str = "", archived: bool = False) -> list[str]:
    with company.read() as conn:
        return [row.name for row in customer_list(conn, text, archived=archived)]


@pytest.mark.parametrize("text", ["wren", "HALLO", "555-0143", "(207) 555", "example.org", "mill road", "26-001"])
def test_a_customer_is_found_by_name_phone_mail_street_or_job_number(company: Company, kept: OneJob, text: str) -> None:
    with company.action("Another") as edit:
        people.add_customer(edit, "Ortega & Vale Rentals", TODAY, kind="firm")
    assert names(company, text) == ["Wren Halloway"]


def test_the_list_counts_jobs_and_shows_the_first_phone_and_place(company: Company, kept: OneJob) -> None:
    with company.read() as conn:
        (row,) = customer_list(conn)
    assert (row.jobs, row.running_jobs) == (1, 1)
    assert (row.phone, row.place) == ("(207) 555-0143", "12 Mill Road, Alder Falls")


def test_customers_stand_in_the_order_of_their_names_whatever_the_accents(company: Company) -> None:
    with company.action("Add three") as edit:
        for name in ("Zorn", "Åsa Berg", "berit Aas"):
            people.add_customer(edit, name, TODAY)
    assert names(company) == ["Åsa Berg", "berit Aas", "Zorn"]


def test_a_short_list_is_the_beginning_of_the_long_one(company: Company) -> None:
    with company.action("Add many") as edit:
        for number in range(9):
            people.add_customer(edit, f"Customer {number}", TODAY)
    with company.read() as conn:
        assert customer_list(conn, limit=4) == customer_list(conn)[:4]


def test_deleting_a_customer_with_jobs_is_refused_and_archiving_offered(company: Company, kept: OneJob) -> None:
    with pytest.raises(Refused, match=r"Wren Halloway has 1 job") as refused, company.action("Delete") as edit:
        people.delete_customer(edit, kept.customer_id)
    assert "Archive" in refused.value.advice
    assert names(company) == ["Wren Halloway"]


def test_archiving_hides_and_restoring_brings_back(company: Company, kept: OneJob) -> None:
    with company.action("Archive") as edit:
        people.archive_customer(edit, kept.customer_id, TODAY)
    assert (names(company), names(company, archived=True)) == ([], ["Wren Halloway"])
    with company.action("Restore") as edit:
        people.restore_customer(edit, kept.customer_id)
    assert names(company) == ["Wren Halloway"]


def test_a_customer_without_jobs_goes_whole_and_comes_back_whole_with_undo(company: Company) -> None:
    with company.action("Add") as edit:
        row = people.add_customer(edit, "Mara Stillwell", TODAY)
        people.add_contact(edit, row, "mail", "mara@example.org")
        people.add_property(edit, row, "3 Quarry Lane")
    with company.read() as conn:
        before = customer_page(conn, row, TODAY)
    with company.action("Delete") as edit:
        people.delete_customer(edit, row)
    with company.read() as conn:
        assert conn.execute(select(tables.contact.c.id)).all() == []
        assert conn.execute(select(tables.property_.c.id)).all() == []
    company.undo()
    with company.read() as conn:
        assert customer_page(conn, row, TODAY) == before


def test_a_property_with_jobs_is_archived_not_deleted(company: Company, kept: OneJob) -> None:
    with pytest.raises(Refused, match="12 Mill Road"), company.action("Delete") as edit:
        people.delete_property(edit, kept.property_id)
    with company.action("Archive") as edit:
        people.archive_property(edit, kept.property_id, TODAY)
        people.add_property(edit, kept.customer_id, "14 Mill Road")
    with company.read() as conn:
        houses = customer_page(conn, kept.customer_id, TODAY).properties
    assert [(house.street, house.archived_on) for house in houses] == [("14 Mill Road", None), ("12 Mill Road", TODAY)]


@pytest.mark.parametrize(
    ("kind", "value", "word"),
    [("phone", "555", "too short"), ("mail", "wren", "name@example.com"), ("mail", "wren@place", "name@example.com"),
     ("fax", "1", "phone, mail")],
)  # fmt: skip
def test_phones_and_mails_that_cannot_reach_anybody_are_refused_kindly(
    company: Company, kept: OneJob, kind: str, value: str, word: str
) -> None:
    with pytest.raises(Refused, match=word), company.action("Add") as edit:
        people.add_contact(edit, kept.customer_id, kind, value)


def test_changes_are_checked_like_entries(company: Company, kept: OneJob) -> None:
    for work in (
        lambda edit: people.change_customer(edit, kept.customer_id, name="  "),
        lambda edit: people.change_property(edit, kept.property_id, street=""),
        lambda edit: people.change_property(edit, kept.property_id, year_built=19),
    ):
        with pytest.raises(Refused), company.action("Change") as edit:
            work(edit)
    with pytest.raises(TypeError), company.action("Change") as edit:
        people.change_customer(edit, kept.customer_id, archived_on=TODAY)


def test_duplicates_come_with_their_reasons_archived_ones_too(company: Company, kept: OneJob) -> None:
    with company.action("Archive") as edit:
        people.archive_customer(edit, kept.customer_id, TODAY)
    with company.read() as conn:
        (found,) = duplicates_of(conn, Traits("W. Holloway", ("2075550143",), (), ("12 mill rd",)))
        assert duplicates_of(conn, Traits("Wren Halloway"), but=kept.customer_id) == []
    assert (found.customer_id, found.archived) == (kept.customer_id, True)
    assert found.reasons == ("same phone", "same street address")


def test_find_opens_customers_and_jobs(company: Company, kept: OneJob) -> None:
    with company.read() as conn:
        hits = find_anything(conn, "mill 12")
        nothing = find_anything(conn, "no such words")
        recent = find_anything(conn, "")
    assert [(hit.place, hit.key) for hit in hits] == [("jobs", kept.job_id), ("customers", kept.customer_id)]
    assert nothing == []
    assert [hit.key for hit in recent] == [kept.job_id]


def test_lists_and_pages_take_the_same_few_statements_whatever_the_size(company: Company, kept: OneJob) -> None:
    def counts() -> list[int]:
        works: list[Callable[[Connection], object]] = [
            lambda conn: customer_list(conn),
            lambda conn: customer_page(conn, kept.customer_id, TODAY),
            lambda conn: find_anything(conn, "wren"),
        ]
        return [statements(company, work) for work in works]

    small = counts()
    for number in range(12):
        add_one_job(company, f"Customer {number}")
    assert counts() == small == [1, 4, 5]


def test_a_new_customer_can_be_dated_in_the_past(company: Company) -> None:
    with company.action("Add") as edit:
        row = people.add_customer(edit, " Ida Pell ", date(2023, 1, 9), note=" met at the fair ")
    with company.read() as conn:
        kept = customer_page(conn, row, TODAY).customer
    assert (kept.name, kept.created_on, kept.note) == ("Ida Pell", date(2023, 1, 9), "met at the fair")
