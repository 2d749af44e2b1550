"""A change order is read row by row before it is written, and holds then what was read."""

from __future__ import annotations

from decimal import Decimal

import pytest

from db import tables
from db.commands import quotes, takeoff
from db.company_file.problems import Refused
from db.queries.log import job_budget
from db.queries.takeoff_changes import ACCEPTED, order_reconciliation
from domain.job_takeoff.answers import BOTH, INSTEAD, KEPT, LEFT, OFF
from domain.job_takeoff.reconciliation import Reconciliation
from domain.money import labour_cents, line_cents
from domain.takeoff import SealJoint
from tests.db.quote_company import TODAY, QuoteCompany, make_quote_company
from tests.db.test_reconciling import rows_of, totals
from tests.db.test_takeoff_change_order import LONG, SHORT, lines, retype, shop, take

__all__ = ["shop"]

OTHERS = (
    LONG,
    LONG.replace("45, pitched", "90, pitched").replace(", sleeve", ""),
    SHORT.replace("8'", "5'"),
    SHORT.replace("crawl", "basement"),
    SHORT.replace(", fan", ", coupling, up 2', fan"),
    SHORT.replace("3in", "4in"),
    SHORT.replace("pit at", "sump at"),
    "A: pit kept at -6', crawl 3in up 2' kept, out",
)


def read(shop: QuoteCompany) -> Reconciliation:
    with shop.company.read() as conn:
        return order_reconciliation(conn, shop.job_id, TODAY, shop.rates().owner_cents, ACCEPTED)


def sold(shop: QuoteCompany) -> tuple[int, int]:
    with shop.company.read() as conn:
        budget = job_budget(conn, shop.job_id)
    cents = sum(labour_cents(one.minutes, one.rate_cents) for one in budget.labour)
    return (
        sum(one.minutes for one in budget.labour),
        cents + sum(line_cents(one.quantity, one.unit_cost) for one in budget.materials),
    )


@pytest.mark.parametrize("words", OTHERS)
def test_what_was_read_is_what_the_change_order_holds(shop: QuoteCompany, words: str) -> None:
    assert read(shop).rows == ()
    retype(shop, words)
    made = read(shop)
    assert made.rows
    assert all(row.reason for row in made.rows)
    assert made.before == sold(shop), "nothing was paid otherwise since"
    taken = take(shop, seen=made)
    minutes, cents = totals(shop, taken.quote_id)
    assert made.after == (made.before[0] + minutes, made.before[1] + cents)
    for row in made.rows:
        line = lines(shop, taken.quote_id)[row.key]
        was = row.standing.quantity if row.standing is not None else Decimal(0)
        now = row.counted.quantity if row.counted is not None else Decimal(0)
        assert line.quantity == now - was
        assert row.words == {True: "more", False: "less, credited"}[now > was] or row.answer != INSTEAD
    assert read(shop) == made, "a draft sells nothing yet"
    assert take(shop, seen=made).changed == 0


def test_each_row_can_be_left_as_it_was_sold(shop: QuoteCompany) -> None:
    retype(shop, OTHERS[1])
    made = read(shop)
    assert {row.answer for row in made.rows} >= {INSTEAD, OFF}
    for row in made.rows:
        other = row.answers[(row.answers.index(row.answer) + 1) % len(row.answers)]
        assert other in (KEPT, LEFT)
        one = made.switched(row.key)
        taken = take(shop, answers={row.key: other}, seen=made)
        assert row.key not in lines(shop, taken.quote_id)
        minutes, cents = totals(shop, taken.quote_id)
        assert one.after == (one.before[0] + minutes, one.before[1] + cents)


def test_what_was_left_out_of_the_quote_stands_at_the_end_and_can_be_put_in() -> None:
    shop = make_quote_company()
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", SHORT)
    key = next(row.key for row in rows_of(shop).rows if row.standing is None and row.key.startswith("support"))
    quote_id = shop.do(
        takeoff.take_into_quote, shop.job_id, TODAY, shop.rates(), shop.firm, answers={key: LEFT}
    ).quote_id
    shop.do(quotes.send_quote, quote_id, TODAY)
    shop.do(quotes.accept_quote, quote_id, TODAY)
    (row,) = read(shop).rows
    assert (row.key, row.answer, row.words) == (key, LEFT, "left out")
    assert read(shop).before == read(shop).after
    taken = take(shop, answers={key: BOTH}, seen=read(shop))
    assert set(lines(shop, taken.quote_id)) == {key}


def test_rows_of_another_list_are_not_applied(shop: QuoteCompany) -> None:
    retype(shop, LONG)
    made = read(shop)
    shop.do(takeoff.add_part, shop.job_id, SealJoint("edge", Decimal(300)))
    with pytest.raises(Refused, match="Read them again"):
        take(shop, seen=made)
    assert shop.first_id(tables.quote, tables.quote.c.kind == "change_order") is None
