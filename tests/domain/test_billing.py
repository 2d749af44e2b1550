"""Splitting, numbering, matching, aging and statements, as plain arithmetic."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.billing.aging import BUCKETS, aging, bucket_of
from domain.billing.amounts import Amounts, split
from domain.billing.job_money import overdue_words
from domain.billing.matching import OpenInvoice, offer_matches
from domain.billing.numbers import gaps, next_number
from domain.billing.statement import AccountLine, statement

DAY = date(2026, 5, 14)
cents = st.integers(1, 10**7)


def owed(number: int, open_cents: int, due_in: int = 0, customer_id: int = 1, reference: str = "") -> OpenInvoice:
    due_on = DAY + timedelta(days=due_in)
    return OpenInvoice(
        number, "final", f"I26-{number:04d}", customer_id, None, due_on - timedelta(days=14), due_on, reference,
        open_cents, open_cents,
    )  # fmt: skip


@given(cents, cents, st.integers(0, 10**6))
def test_a_part_keeps_its_sum_and_its_proportion(part: int, net: int, tax: int) -> None:
    whole = Amounts(net, net // 2, tax)
    made = split(part, whole)
    assert made.total_cents == part
    assert abs(made.tax_cents * whole.total_cents - part * tax) * 2 <= whole.total_cents
    assert split(whole.total_cents, whole) == whole


@given(st.lists(st.sampled_from("ICR"), max_size=30), st.integers(2024, 2030))
def test_numbers_run_on_without_a_gap(letters: list[str], year: int) -> None:
    numbers: list[str] = []
    for letter in letters:
        numbers.append(next_number(numbers, letter, date(year, 3, 1)))
    assert len(set(numbers)) == len(letters)
    assert gaps(numbers) == []


def test_each_series_and_year_begins_anew_and_a_hole_is_seen() -> None:
    assert next_number(["I26-0007", "C26-0009", "I25-0012", "I26-old"], "I", DAY) == "I26-0008"
    assert next_number(["I26-9999"], "I", DAY) == "I26-10000"
    assert next_number(["I26-0007"], "I", date(2027, 1, 2)) == "I27-0001"
    assert gaps(["I26-0001", "I26-0004", "C26-0002"]) == ["C26-0001", "I26-0002", "I26-0003"]


@given(cents, st.lists(cents, max_size=6), st.text("1I-6042 ", max_size=10))
def test_a_payment_never_settles_more_than_there_is(amount: int, open_amounts: list[int], reference: str) -> None:
    invoices = [owed(place + 1, one, -place) for place, one in enumerate(open_amounts)]
    offered = offer_matches(amount, reference, invoices)
    by_id = {one.id: one for one in invoices}
    assert sum(one.amount_cents for one in offered) == min(amount, sum(open_amounts))
    assert all(0 < one.amount_cents <= by_id[one.invoice_id].open_cents for one in offered)
    assert len({one.invoice_id for one in offered}) == len(offered)


def test_reference_comes_before_amount_and_amount_before_age() -> None:
    invoices = [owed(1, 500, -40), owed(2, 700, -3), owed(3, 900, 5, reference="HS-2207")]
    assert [one.invoice_id for one in offer_matches(700, "", invoices)] == [2]
    assert [one.invoice_id for one in offer_matches(700, "wire hs 2207, closing", invoices)] == [3]
    assert [one.invoice_id for one in offer_matches(700, "escrow HS-2207", invoices)] == [3]
    assert [one.invoice_id for one in offer_matches(800, "i26-0003 i26-0001", invoices)] == [1, 3]
    assert offer_matches(800, "", [*invoices, owed(4, 800), owed(5, 800)])[0].why == "the oldest open"


@pytest.mark.parametrize(
    ("days", "place"), [(-5, 0), (0, 0), (1, 1), (30, 1), (31, 2), (60, 2), (61, 3), (90, 3), (91, 4), (900, 4)]
)
def test_where_each_age_begins_and_ends(days: int, place: int) -> None:
    assert bucket_of(days) == place


@given(st.lists(st.tuples(st.integers(1, 4), cents, st.integers(-200, 60)), max_size=20), st.integers(0, 5000))
def test_aging_adds_up_along_and_across(parts: list[tuple[int, int, int]], credit: int) -> None:
    invoices = [owed(place, amount, due, who) for place, (who, amount, due) in enumerate(parts)]
    made = aging(DAY, invoices, {4: credit}, {1: "Wren", 4: "Otis"})
    assert sum(made.buckets) == made.open_cents == sum(amount for _, amount, _ in parts)
    assert made.balance_cents == made.open_cents - credit
    assert made.overdue_cents == sum(amount for _, amount, due in parts if due < 0)
    assert len(made.buckets) == len(BUCKETS)
    assert [row.oldest_days for row in made.rows] == sorted((row.oldest_days for row in made.rows), reverse=True)


@given(st.lists(st.tuples(st.integers(-60, 60), st.integers(-9999, 9999)), max_size=12), st.integers(-60, 60))
def test_a_statement_begins_where_the_last_one_ended(events: list[tuple[int, int]], cut: int) -> None:
    lines = [
        AccountLine(DAY + timedelta(days=days), "invoice" if amount > 0 else "payment", "", amount, place)
        for place, (days, amount) in enumerate(events)
    ]
    end, middle = DAY + timedelta(days=60), DAY + timedelta(days=cut)
    whole, first = statement(1, lines, end), statement(1, lines, middle)
    second = statement(1, lines, end, middle + timedelta(days=1))
    assert whole.closing_cents == sum(amount for _, amount in events) == second.closing_cents
    assert second.opening_cents == first.closing_cents
    assert len(first.lines) + len(second.lines) == len(whole.lines)


def test_how_late_an_invoice_is_in_words() -> None:
    assert [overdue_words(days) for days in (0, 1, 12, -1, -4)] == [
        "due today", "1 day overdue", "12 days overdue", "due in 1 day", "due in 4 days",
    ]  # fmt: skip
