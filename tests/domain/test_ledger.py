"""Whatever is posted, debits equal credits; the balance of all accounts adds up; months and periods are read."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.bookkeeping import (
    LedgerAccount,
    last_day,
    month_after,
    month_name,
    month_of,
    months_between,
    parse_period,
)
from domain.errors import NotUnderstood
from domain.ledger import (
    ROLES,
    accounts_named,
    entry,
    post_bad_debt,
    post_bill,
    post_bill_payment,
    post_invoice,
    post_payment,
    trial_balance,
)
from domain.ledger.posting import COST_ROLES

CENTS = st.integers(-(10**9), 10**9)
DAY = date(2026, 11, 3)
KINDS = st.sampled_from(["deposit", "progress", "final", "other", "credit_note"])
POSTED = st.one_of(
    st.builds(post_invoice, KINDS, CENTS, CENTS, CENTS),
    st.builds(post_payment, CENTS),
    st.builds(post_bad_debt, CENTS, CENTS),
    st.builds(post_bill, st.lists(st.tuples(st.sampled_from(sorted(COST_ROLES)), CENTS)), CENTS),
    st.builds(post_bill_payment, CENTS),
)


@given(POSTED)
def test_debits_equal_credits_in_every_entry(pairs: list[tuple[str, int]]) -> None:
    made = entry(DAY, "invoice", 1, pairs)
    assert made.balanced
    assert sum(one.debit_cents for one in made.postings) == sum(one.credit_cents for one in made.postings)
    assert all(one.cents for one in made.postings)
    assert {one.role for one in made.postings} <= {role.key for role in ROLES}
    assert len({one.role for one in made.postings}) == len(made.postings)


def test_an_entry_that_does_not_balance_is_never_made() -> None:
    with pytest.raises(ValueError, match="differ by 1 cents"):
        entry(DAY, "invoice", 1, [("bank", 100), ("receivable", -99)])


@given(st.lists(POSTED, max_size=20), st.integers(0, 20))
def test_the_balance_of_all_accounts_is_nothing(all_pairs: list[list[tuple[str, int]]], cut: int) -> None:
    made = [entry(DAY, "bill", number, pairs) for number, pairs in enumerate(all_pairs)]
    opening: dict[str, int] = {}
    moved: dict[str, tuple[int, int]] = {}
    for number, one in enumerate(made):
        for posting in one.postings:
            if number < cut:
                opening[posting.role] = opening.get(posting.role, 0) + posting.cents
            else:
                debit, credit = moved.get(posting.role, (0, 0))
                moved[posting.role] = debit + posting.debit_cents, credit + posting.credit_cents
    books = trial_balance(accounts_named([]), opening, moved)
    assert books.debit_cents == books.credit_cents
    assert sum(row.closing_cents for row in books.rows) == 0
    assert sum(row.opening_cents for row in books.rows) == 0


def test_a_deposit_becomes_a_sale_with_the_final_invoice() -> None:
    deposit = dict(post_invoice("deposit", 72_000, 0, 72_000))
    final = dict(post_invoice("final", 108_000, 1_650, -72_000))
    assert deposit == {"receivable": 72_000, "customer_deposits": -72_000, "sales": 0, "sales_tax_payable": 0}
    assert final == {
        "receivable": 109_650, "customer_deposits": 72_000, "sales": -180_000, "sales_tax_payable": -1_650,
    }  # fmt: skip


def test_an_account_goes_by_the_owners_number_and_name() -> None:
    named = accounts_named([LedgerAccount(1, "bank", "1010", "Checking")])
    assert named["bank"].label == "1010 Checking"
    assert named["sales"].label == "Sales"
    assert list(named) == [role.key for role in ROLES]


@given(st.dates(date(1950, 1, 1), date(2150, 1, 1)))
def test_months_follow_each_other_without_a_gap(day: date) -> None:
    month = month_of(day)
    first, last = parse_period(month)
    assert first <= day <= last == last_day(month)
    assert (parse_period(month_after(month))[0] - last).days == 1
    assert months_between(month, month_after(month)) == [month, month_after(month)]
    assert month_name(month) == day.strftime("%B %Y")


@pytest.mark.parametrize("typed", ["", "26", "2026-13", "2026-1", "november"])
def test_what_is_no_period_is_said_kindly(typed: str) -> None:
    with pytest.raises(NotUnderstood, match="2026 or 2026-11"):
        parse_period(typed)
