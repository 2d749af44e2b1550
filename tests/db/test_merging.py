"""Two entries of one customer become one: all of it moves, nothing is lost, Undo parts them again."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import pytest
from sqlalchemy import select

from db.commands.merging import merge_customers
from db.commands.people import add_contact, add_customer, archive_customer, change_customer
from db.company_file.company import Company
from db.company_file.problems import Refused
from db.queries.merging import merge_plan
from db.queries.people import customer_page
from db.tables import METADATA, contact, customer, job, payment
from domain.merging import CONTACT_RULES, CUSTOMER_RULES
from tests.small_company import TODAY, add_one_job, empty_company


@pytest.fixture
def company() -> Iterator[Company]:
    made = empty_company()
    yield made
    made.close()


def rows(company: Company) -> dict[str, list[tuple[object, ...]]]:
    """Every row of the file but the journal's."""
    with company.read() as conn:
        return {
            table.name: [tuple(row) for row in conn.execute(select(table).order_by(table.c.id))]
            for table in METADATA.sorted_tables
            if table.name not in ("action", "change")
        }


def test_properties_jobs_phones_and_notes_move_and_undo_parts_them(company: Company) -> None:
    kept, other = add_one_job(company), add_one_job(company, "Wren Haloway", "26-050")
    with company.action("Notes") as edit:
        change_customer(edit, kept.customer_id, note="Pays by check", billing_address="")
        change_customer(edit, other.customer_id, note="Has a dog", billing_address="9 Elm Court")
        add_contact(edit, other.customer_id, "phone", "207 555 0199")
        edit.add(payment, customer_id=other.customer_id, received_on=TODAY, kind="payment", means="check",
                 amount_cents=100)  # fmt: skip
    before = rows(company)
    with company.read() as conn:
        plan = merge_plan(conn, kept.customer_id, other.customer_id)
    assert (plan.properties, plan.jobs, plan.contacts, plan.same_contacts, plan.payments) == (1, 1, 1, 2, 1)
    assert "1 property, 1 job, 1 phone or email and 1 payment" in plan.words()[0]
    with company.action("Merge") as edit:
        merge_customers(edit, kept.customer_id, other.customer_id)
    with company.read() as conn:
        page = customer_page(conn, kept.customer_id, TODAY)
        assert conn.execute(select(customer.c.id).where(customer.c.id == other.customer_id)).first() is None
        assert set(conn.execute(select(job.c.customer_id)).scalars()) == {kept.customer_id}
        assert set(conn.execute(select(payment.c.customer_id)).scalars()) == {kept.customer_id}
        assert conn.exec_driver_sql("PRAGMA foreign_key_check").all() == []
    assert len(page.properties) == 2
    assert len(page.jobs) == 2
    assert sorted(one.value for one in page.contacts) == ["(207) 555-0143", "207 555 0199", "wren@example.org"]
    assert "Pays by check" in page.customer.note
    assert "Has a dog" in page.customer.note
    assert page.customer.billing_address == "9 Elm Court"
    company.undo()
    assert rows(company) == before


def test_a_differing_address_for_bills_is_noted_and_the_earlier_day_stays(company: Company) -> None:
    with company.action("Two") as edit:
        late = add_customer(edit, "Ada", TODAY, billing_address="1 First Street")
        early = add_customer(edit, "Ada B", date(2020, 1, 2), billing_address="2 Second Street")
        archive_customer(edit, late, TODAY)
    with company.action("Merge") as edit:
        merge_customers(edit, late, early)
    with company.read() as conn:
        kept = customer_page(conn, late, TODAY).customer
    assert kept.billing_address == "1 First Street"
    assert "2 Second Street" in kept.note
    assert kept.created_on == date(2020, 1, 2)
    assert kept.archived_on is None, "a customer in use stays in use"


def test_a_customer_is_not_merged_with_itself(company: Company) -> None:
    one = add_one_job(company)
    with pytest.raises(Refused), company.action("Merge") as edit:
        merge_customers(edit, one.customer_id, one.customer_id)


def test_each_column_of_a_customer_and_of_a_phone_is_decided_on() -> None:
    assert set(CUSTOMER_RULES) == set(customer.c.keys()) - {"id"}
    assert set(CONTACT_RULES) == set(contact.c.keys()) - {"id"}


def test_what_a_phone_is_called_and_another_spelling_of_the_name_stay(company: Company) -> None:
    with company.action("Two") as edit:
        kept = add_customer(edit, "W. Haloway", TODAY)
        other = add_customer(edit, "Wren and Sid Haloway", TODAY)
        add_contact(edit, kept, "phone", "207 555 0143")
        add_contact(edit, other, "phone", "(207) 555-0143", "evenings")
    with company.action("Merge") as edit:
        merge_customers(edit, kept, other)
    with company.read() as conn:
        page = customer_page(conn, kept, TODAY)
    assert [(one.value, one.label) for one in page.contacts] == [("207 555 0143", "evenings")]
    assert page.customer.note == "Was entered as “Wren and Sid Haloway”, too."
