"""A receipt is booked whole: for the truck, for jobs, with its tax; and a purchase finds where it belongs."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from db import tables
from db.commands import buying, quotes
from db.commands.receipts import book_receipt
from db.company_file.problems import Refused
from db.queries.buying.purchases import purchases_since
from db.queries.buying.truck import truck
from db.queries.log import job_log
from db.queries.price_list import priced_items
from domain.buying.receipt import ReceiptLine, line_typed, shared_tax, where_typed
from domain.errors import NotUnderstood
from domain.quoting.typed import Picks
from tests.db.quote_company import TODAY, QuoteCompany, make_quote_company


@pytest.fixture
def shop() -> QuoteCompany:
    shop = make_quote_company()
    quote_id = shop.start()
    shop.do(quotes.send_quote, quote_id, TODAY)
    shop.do(quotes.accept_quote, quote_id, TODAY)
    return shop


def line(shop: QuoteCompany, code: str | None, quantity: str, cost: str | None, job: bool = False) -> ReceiptLine:
    item_id = None if code is None else shop.first_id(tables.item, tables.item.c.code == code)
    return ReceiptLine(
        1, item_id, "odd bolts" if code is None else "", Decimal(quantity), "each" if code is None else "",
        None if cost is None else Decimal(cost), shop.job_id if job else None,
    )  # fmt: skip


def book(shop: QuoteCompany, *lines: ReceiptLine, **named: Any) -> list[int]:
    bought: list[int] = shop.do(book_receipt, lines, TODAY, TODAY, **named)
    return bought


def rows(shop: QuoteCompany) -> list[Any]:
    with shop.company.read() as conn:
        return list(reversed(purchases_since(conn, TODAY)))


def on_hand(shop: QuoteCompany, code: str) -> Decimal | None:
    with shop.company.read() as conn:
        return next(row.on_hand for row in truck(conn, TODAY) if row.item.code == code)


def test_lines_go_to_the_truck_and_to_the_job_with_their_share_of_the_tax(shop: QuoteCompany) -> None:
    book(
        shop, line(shop, "P3-40", "20", "3.00"), line(shop, "C3", "2", "10.00", job=True),
        line(shop, None, "1", "20.00", job=True), supplier_id="Corner Hardware", receipt="A-17", tax_cents=501,
    )  # fmt: skip
    pipe, coupling, odd = rows(shop)
    assert on_hand(shop, "P3-40") == 20
    assert not on_hand(shop, "C3")
    assert (pipe.job_number, coupling.job_number != "") == ("", True)
    assert {row.supplier for row in (pipe, coupling, odd)} == {"Corner Hardware"}
    assert [row.purchase.tax_cents for row in (pipe, coupling, odd)] == [301, 100, 100]
    with shop.company.read() as conn:
        assert not job_log(conn, shop.job_id).materials
    shop.company.undo()
    assert rows(shop) == []


def test_what_is_used_already_stands_in_the_jobs_log_at_the_price_paid(shop: QuoteCompany) -> None:
    book(shop, line(shop, "C3", "2", "4.10", job=True), receipt="9", used=True)
    with shop.company.read() as conn:
        (use,) = job_log(conn, shop.job_id).materials
    assert (use.quantity, use.unit_cost, use.source, use.receipt) == (2, Decimal("4.10"), "receipt", "9")
    assert not on_hand(shop, "C3")


def test_the_same_receipt_is_not_booked_twice(shop: QuoteCompany) -> None:
    book(shop, line(shop, "C3", "2", "4"), supplier_id="Corner Hardware", receipt="A-17")
    with pytest.raises(Refused, match="booked already, with 1 thing"):
        book(shop, line(shop, "C3", "2", "4"), supplier_id="corner hardware", receipt=" A-17 ")
    book(shop, line(shop, "C3", "2", "4"), supplier_id="Corner Hardware", receipt="A-18")


def test_what_cannot_be_on_a_receipt_is_refused_whole(shop: QuoteCompany) -> None:
    for lines, named, words in (
        ((), {}, "nothing on the receipt"),
        ((line(shop, "C3", "2", None),), {}, "no price yet"),
        ((line(shop, "C3", "2", "4"), line(shop, "C3", "2", "0")), {}, "price of nothing"),
        ((line(shop, "C3", "2", "4"),), {"tax_cents": -1}, "not less than nothing"),
    ):
        with pytest.raises(Refused, match=words):
            book(shop, *lines, **named)
    with pytest.raises(Refused, match="still to come"):
        shop.do(book_receipt, (line(shop, "C3", "2", "4"),), TODAY + timedelta(days=1), TODAY)
    assert rows(shop) == []


def test_a_purchase_changes_its_supplier_and_its_place(shop: QuoteCompany) -> None:
    (bought,) = book(shop, line(shop, "C3", "2", "4"))
    other = shop.first_id(tables.supplier, tables.supplier.c.name != rows(shop)[0].supplier)
    shop.do(buying.change_purchase, bought, TODAY, supplier_id=other)
    assert rows(shop)[0].purchase.supplier_id == other
    shop.do(buying.send_purchase, bought, shop.job_id, TODAY)
    assert rows(shop)[0].job_number
    assert on_hand(shop, "C3") == 0
    shop.do(buying.send_purchase, bought, None, TODAY)
    assert on_hand(shop, "C3") == 2


@given(st.lists(st.integers(0, 10**7), max_size=30), st.integers(0, 10**6))
def test_the_shares_of_the_tax_add_up_and_follow_the_amounts(cents: list[int], tax: int) -> None:
    shares = shared_tax(cents, tax)
    total = sum(cents)
    assert sum(shares) == (tax if total else 0)
    for share, one in zip(shares, cents, strict=True):
        assert abs(share - (tax * one / total if total else 0)) < 1.001


def test_cells_are_typed_as_one_says_them(shop: QuoteCompany) -> None:
    with shop.company.read() as conn:
        picks = Picks((), tuple(priced_items(conn, TODAY)))
    jobs = {7: "26-007  Ida Kvale", 8: "26-008  Ole Kvale"}
    one = line_typed(ReceiptLine(0), "item", "P3-40", picks, jobs)
    assert (one.unit, one.unit_cost is not None) == ("ft", True)
    one = line_typed(line_typed(one, "quantity", "20 ft", picks, jobs), "amount", "$58.00", picks, jobs)
    assert (one.unit_cost, one.cents) == (Decimal("2.9"), 5800)
    assert line_typed(one, "where", "26-007", picks, jobs).job_id == 7
    assert line_typed(ReceiptLine(0), "item", "odd bolts", picks, jobs).description == "odd bolts"
    assert where_typed("Truck", jobs) is None
    for typed, words in (("kvale", "fits 2 jobs"), ("26-999", "is no running job")):
        with pytest.raises(NotUnderstood, match=words):
            where_typed(typed, jobs)
    with pytest.raises(NotUnderstood, match="More than nothing"):
        line_typed(one, "quantity", "0", picks, jobs)
    with pytest.raises(NotUnderstood, match="price list says"):
        line_typed(one, "unit", "m", picks, jobs)
