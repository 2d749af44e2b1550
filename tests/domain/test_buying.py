"""The lists hold what the jobs need and no less: merged over jobs, truck first, whole packs, filled up again."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.actuals import MaterialUse
from domain.buying import (
    JobNeed,
    OpenLine,
    Purchase,
    ShoppingLine,
    StockRow,
    WorkJob,
    count_problem,
    job_needs,
    make_pull_sheet,
    make_shopping_list,
    packs_for,
    packs_in_words,
    price_changes,
    quotes_on_old_prices,
    rule_problem,
)
from domain.money import line_cents
from domain.price_list import Item, ItemPrice
from domain.quoting.lines import MaterialLine
from domain.units import format_quantity, parse_quantity

DAY = date(2026, 5, 14)
ONE, TWO = (
    WorkJob(n, f"26-00{n}", name, "New system", "1 Road", DAY, False) for n, name in ((1, "Ash"), (2, "Birch"))
)
quantities = st.decimals(min_value=0, max_value=2000, places=3)
some = st.decimals(min_value=Decimal("0.001"), max_value=2000, places=3)


def item(item_id: int = 7, pack: str = "10", unit: str = "ft", code: str = "P3") -> Item:
    return Item(item_id, code, f"Item {code}", "pipe", unit, Decimal(pack), 1, Decimal(10), False)


def kept(
    counted: object = None, *, one: Item | None = None, at: object = None, to: object = None, **more: object
) -> StockRow:
    def exact(value: object) -> Decimal | None:
        return None if value is None else Decimal(str(value))

    return StockRow(one or item(), "Plumbing counter", Decimal("3.07"), exact(counted), DAY if counted is not None else
                    None, reorder_at=exact(at), fill_to=exact(to), **more)  # type: ignore[arg-type]  # fmt: skip


def need(job: int, left: object, aside: object = 0, item_id: int | None = 7, unit: str = "ft") -> JobNeed:
    key = (item_id, "") if item_id else (0, f"odd part|{unit}")
    return JobNeed(job, key, item_id, "Odd part", unit, Decimal(str(left)), Decimal(str(aside)), Decimal("4"))


def line(quantity: str, item_id: int | None = 7, description: str = "Pipe", unit: str = "ft") -> MaterialLine:
    return MaterialLine(1, 1, None, 0, item_id, description, Decimal(quantity), Decimal(0), Decimal(quantity), unit,
                        Decimal("2.68"), "")  # fmt: skip


def use(quantity: str, source: str = "stock", item_id: int | None = 7, description: str = "Pipe") -> MaterialUse:
    return MaterialUse(1, 1, DAY, item_id, description, Decimal(quantity), "ft", Decimal("2.68"), source, "", False,
                       None, "")  # fmt: skip


def bought(quantity: str, item_id: int | None = 7, description: str = "Pipe") -> Purchase:
    return Purchase(1, DAY, None, item_id, description, Decimal(quantity), "ft", Decimal(3), "", 1, False, "")


# Packs.


@given(some, some)
def test_packs_hold_the_quantity_and_one_less_would_not(quantity: Decimal, pack: Decimal) -> None:
    packs = packs_for(quantity, pack)
    assert (packs - 1) * pack < quantity <= packs * pack


def test_nothing_needs_no_pack() -> None:
    assert packs_for(Decimal(0), Decimal(10)) == packs_for(Decimal(-3), Decimal(10)) == 0


@pytest.mark.parametrize(
    ("packs", "pack", "unit", "words"),
    [(4, "10", "ft", "4 × 10 ft"), (4, "1", "tube", "4 tubes"), (1, "1", "tube", "1 tube"), (3, "1", "each", "3"),
     (1, "100", "each", "1 × 100"), (1, "2000", "sq ft", "1 × 2,000 sq ft"), (2, "1", "box", "2 boxes")],
)  # fmt: skip
def test_packs_are_said_as_one_buys_them(packs: int, pack: str, unit: str, words: str) -> None:
    assert packs_in_words(packs, Decimal(pack), unit) == words


def test_an_amount_has_its_unit() -> None:
    said = {
        ("33.5", "ft"): "33.5 ft", ("2", "each"): "2", ("2", "quart"): "2 quarts", ("0.5", "quart"): "0.5 quart",
        ("1", "pail"): "1 pail", ("0", "tube"): "0 tubes", ("-2", "can"): "-2 cans", ("3", "box"): "3 boxes",
        ("12", "mile"): "12 miles", ("30", "min"): "30 min", ("4", "pCi/L"): "4 pCi/L", ("700", "sq ft"): "700 sq ft",
        ("2", "assembly"): "2 assemblies", ("2", "pkg."): "2 pkg.", ("2", "foot"): "2 feet",
        ("1.5", "hour"): "1.5 hours",
    }  # fmt: skip
    for (number, unit), words in said.items():
        assert format_quantity(Decimal(number), unit) == words
        assert parse_quantity(words, unit) == Decimal(number), "what is shown can be typed again"


# The truck.


def test_on_hand_is_the_count_with_purchases_and_without_uses() -> None:
    row = kept(20, at=10, to=40, bought=Decimal(10), used=Decimal("22.5"))
    assert row.on_hand == Decimal("7.5")
    assert row.is_low
    assert row.refill() == Decimal("32.5")
    assert row.refill_packs == 4


def test_the_reorder_point_itself_is_low_and_above_it_is_not() -> None:
    assert kept(10, at=10, to=40).is_low
    assert not kept("10.001", at=10, to=40).is_low
    assert kept("10.001", at=10, to=40).refill() == 0


def test_what_was_never_counted_is_not_low_and_not_reckoned_with() -> None:
    row = kept(None, at=10, to=40)
    assert (row.on_hand, row.usable, row.is_low, row.refill()) == (None, 0, False, 0)
    assert row.is_kept


def test_a_truck_below_nothing_counts_as_empty() -> None:
    row = kept(5, used=Decimal(12), at=0, to=10)
    assert (row.on_hand, row.usable, row.refill()) == (-7, 0, 10)


@pytest.mark.parametrize(("at", "to"), [("10", "10"), ("10", "5"), ("-1", "5"), ("1", "2000000")])
def test_impossible_reorder_points_are_refused_in_words(at: str, to: str) -> None:
    assert rule_problem(Decimal(at), Decimal(to))


def test_a_possible_one_is_not() -> None:
    assert rule_problem(Decimal(0), Decimal(1)) is None
    assert count_problem(Decimal(0)) is None
    assert count_problem(Decimal("-0.5"))


# What a job still needs.


def test_a_need_is_what_was_quoted_and_not_used() -> None:
    (left,) = job_needs(1, [line("30"), line("6")], [use("12")], [])
    assert (left.left, left.aside, left.open) == (24, 0, 24)
    assert job_needs(1, [line("30")], [use("31")], []) == []


def test_a_waste_allowance_alone_is_not_bought() -> None:
    tube = replace(line("1.05"), net_quantity=Decimal(1))
    assert job_needs(1, [tube], [use("1")], []) == []
    (left,) = job_needs(1, [tube], [use("0.9")], [])
    assert left.left == Decimal("0.15")


def test_what_was_bought_for_the_job_waits_until_a_receipt_is_logged() -> None:
    (left,) = job_needs(1, [line("30")], [use("5", "stock")], [bought("20")])
    assert (left.left, left.aside) == (25, 20)
    (left,) = job_needs(1, [line("30")], [use("18", "receipt")], [bought("20")])
    assert (left.left, left.aside) == (12, 2)


def test_what_is_not_on_the_list_is_known_by_its_words() -> None:
    lines = [line("3", None, "Odd  Part")]
    (left,) = job_needs(1, lines, [use("1", "stock", None, "odd part")], [bought("2", None, "ODD PART")])
    assert (left.left, left.aside) == (2, 1)


def test_more_bought_than_needed_leaves_nothing_open() -> None:
    (left,) = job_needs(1, [line("3")], [], [bought("10")])
    assert left.open == 0


# The pull sheet.


def test_the_sheet_merges_jobs_and_asks_the_truck_first() -> None:
    sheet = make_pull_sheet(DAY, [ONE, TWO], [need(1, 12), need(2, "24.5")], {7: kept(20)})
    (row,) = sheet.lines
    assert (row.need, row.from_truck, row.to_buy) == (Decimal("36.5"), 20, Decimal("16.5"))
    assert (row.take, row.source) == ("4 × 10 ft", "truck 20 ft, buy first: 2 × 10 ft")
    assert (row.share(1), row.share(2), row.share(3)) == (12, Decimal("24.5"), 0)
    assert sheet.shares_in_words(row) == "26-001 12 ft · 26-002 24.5 ft"
    assert sheet.to_buy == (row,)


def test_part_of_a_pack_is_taken_from_the_truck_but_never_bought() -> None:
    roll = item(pack="500")
    on_truck, to_buy = (
        make_pull_sheet(DAY, [ONE], [need(1, 60)], {7: kept(counted, one=roll)}).lines[0] for counted in (300, 20)
    )
    assert (on_truck.take, to_buy.take) == ("60 ft", "1 × 500 ft")
    assert to_buy.source == "truck 20 ft, buy first: 1 × 500 ft"


def test_a_job_left_out_takes_its_needs_along() -> None:
    sheet = make_pull_sheet(DAY, [TWO], [need(1, 12), need(2, 5)], {7: kept(20)})
    assert [(row.need, row.source) for row in sheet.lines] == [(5, "truck")]
    assert sheet.shares_in_words(sheet.lines[0]) == ""


def test_what_waits_for_a_job_is_not_bought_again() -> None:
    (row,) = make_pull_sheet(DAY, [ONE], [need(1, 12, 8)], {7: kept(1)}).lines
    assert row.source == "bought already 8 ft, truck 1 ft, buy first: 1 × 10 ft"


def test_another_unit_than_the_price_lists_is_not_taken_from_the_truck() -> None:
    (row,) = make_pull_sheet(DAY, [ONE], [need(1, 3, unit="stick")], {7: kept(100)}).lines
    assert (row.from_truck, row.to_buy, row.take) == (0, 3, "3 sticks")


@given(st.lists(st.tuples(st.sampled_from([1, 2]), some), min_size=1, max_size=5), quantities)
def test_truck_and_shop_give_exactly_what_is_needed(parts: list[tuple[int, Decimal]], counted: Decimal) -> None:
    sheet = make_pull_sheet(DAY, [ONE, TWO], [need(job, left) for job, left in parts], {7: kept(counted)})
    (row,) = sheet.lines
    assert row.from_truck + row.to_buy == row.need == sum(left for _, left in parts)
    assert 0 <= row.from_truck <= counted
    assert row.buy_first == (row.need > counted)


# The shopping list.


def shopping(needs: list[JobNeed], *rows: StockRow) -> tuple[ShoppingLine, ...]:
    return make_shopping_list(DAY, DAY, [ONE, TWO], needs, {row.item.id: row for row in rows}).lines


@given(st.lists(some, max_size=3), st.none() | quantities, quantities, some, some)
def test_after_shopping_the_jobs_are_served_and_the_truck_is_full(
    parts: list[Decimal], counted: Decimal | None, at: Decimal, above: Decimal, pack: Decimal
) -> None:
    row = kept(counted, one=item(pack=str(pack)), at=at, to=at + above)
    lines = shopping([need(1, left) for left in parts], row)
    quantity = sum((one.quantity for one in lines), Decimal(0))
    rest = (counted or 0) + quantity - sum(parts)
    assert rest >= 0
    if counted is not None:
        assert rest > at or rest >= at + above  # not low again after the jobs
    least = (counted or Decimal(0)) - sum(parts)
    wanted = max(-least, Decimal(0)) if counted is None or least > at else at + above - least
    assert wanted <= quantity < wanted + pack


def test_it_is_rounded_up_once_over_all_jobs() -> None:
    (row,) = shopping([need(1, 6), need(2, 7)], kept(2))
    assert (row.packs, row.quantity, row.buy) == (2, 20, "2 × 10 ft")
    assert row.cost_cents == line_cents(Decimal(20), Decimal("3.07")) == 6140
    assert row.pack_cost == Decimal("30.70")
    assert row.unit_cost_from(Decimal("31.99")) == Decimal("3.199")


def test_what_is_low_is_listed_without_any_job() -> None:
    (row,) = shopping([], kept(4, at=5, to=30), kept(50, one=item(8, code="P4"), at=5, to=60))
    assert (row.code, row.packs, row.refill, row.shares) == ("P3", 3, 26, ())


def test_the_reason_names_jobs_truck_and_refill() -> None:
    made = make_shopping_list(DAY, DAY, [ONE, TWO], [need(1, 6), need(2, 7)], {7: kept(2, at=5, to=30)})
    assert made.why(made.lines[0]) == "6 ft for 26-001, 7 ft for 26-002, 2 ft on the truck, fill up"


def test_what_is_not_on_the_list_is_bought_exactly_and_straight_for_the_jobs() -> None:
    (row,) = shopping([need(1, "2.5", item_id=None, unit="each"), need(2, 1, item_id=None, unit="each")])
    assert (row.for_truck, row.quantity, row.buy, row.cost_cents) == (False, Decimal("3.5"), "3.5", 1400)


def test_lines_stand_by_supplier_and_those_without_one_last() -> None:
    one, two = Decimal(1), Decimal(2)
    no_supplier = StockRow(item(9, code="A"), "", one, Decimal(0), DAY, reorder_at=one, fill_to=two)
    made = make_shopping_list(DAY, DAY, [], [], {9: no_supplier, 7: kept(0, at=1, to=2)})
    assert [name for name, _ in made.by_supplier()] == ["Plumbing counter", ""]
    assert made.cost_cents == sum(row.cost_cents or 0 for row in made.lines)


def test_a_line_without_a_price_is_counted_and_costs_nothing_known() -> None:
    row = StockRow(item(), "", None, Decimal(0), DAY, reorder_at=Decimal(1), fill_to=Decimal(2))
    made = make_shopping_list(DAY, DAY, [], [], {7: row})
    assert (made.unpriced, made.cost_cents, made.lines[0].pack_cost) == (1, 0, None)


# Price changes.

SINCE = date(2026, 3, 1)


def price(cost: str, on: date, item_id: int = 7) -> ItemPrice:
    return ItemPrice(0, item_id, on, Decimal(cost))


def test_a_change_says_old_new_and_percent() -> None:
    prices = [price("2.50", date(2026, 1, 1)), price("2.60", date(2026, 4, 1)), price("3.00", date(2026, 5, 1))]
    (found,) = price_changes([(item(), "")], prices, SINCE, DAY)
    assert (found.old_cost, found.new_cost, found.changed_on) == (Decimal("2.50"), Decimal("3.00"), date(2026, 5, 1))
    assert (found.percent, found.earlier) == (Decimal("20.0"), (Decimal("2.50"), Decimal("2.60")))


@pytest.mark.parametrize(
    "prices",
    [
        [price("2.50", date(2026, 1, 1))],
        [price("2.50", date(2026, 4, 1))],  # new on the list since then
        [price("2.50", date(2026, 1, 1)), price("3.00", date(2026, 6, 1))],  # still to come
        [price("2.50", date(2026, 1, 1)), price("3.00", date(2026, 4, 1)), price("2.50", date(2026, 5, 1))],
    ],
)
def test_no_change_is_no_row(prices: list[ItemPrice]) -> None:
    assert price_changes([(item(), "")], prices, SINCE, DAY) == []


def open_line(quote: int, cost: str, quantity: str = "10", option: bool = False) -> OpenLine:
    return OpenLine(quote, quote, f"26-{quote:03}", "Ash", "New system", "proposal", 1, None, None, option, 7,
                    Decimal(quantity), Decimal(cost))  # fmt: skip


def test_only_lines_at_an_earlier_price_count() -> None:
    changes = price_changes(
        [(item(), "")], [price("2.50", date(2026, 1, 1)), price("3.00", date(2026, 4, 1))], SINCE, DAY
    )
    lines = [open_line(1, "2.50"), open_line(1, "2.50", "4", True), open_line(2, "3.00"), open_line(3, "2.75"),
             open_line(4, "2.50", "100")]  # fmt: skip
    found = quotes_on_old_prices(lines, {7: changes[0]})
    assert [(one.quote_id, one.lines, one.base_cents, one.option_cents) for one in found] == [
        (4, 1, 5000, 0), (1, 2, 500, 200),
    ]  # fmt: skip
    assert found[1].cents == 700
