"""The price of a quote: what its lines add up to, and what margin, minimum, rounding, goodwill and tax make of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.errors import NotUnderstood
from domain.money import percent_of, price_for_margin
from domain.quoting.lines import LabourLine, MaterialLine, OtherLine, Quote, QuoteDocument, QuoteOption
from domain.quoting.price import build_price, round_up
from domain.quoting.steps import price_steps
from domain.quoting.tax import materials_share, tax_of

DAY = date(2026, 3, 3)


def quote(**values: Any) -> Quote:
    plain = Quote(
        id=1, job_id=1, kind="proposal", version=1, title="", created_on=DAY, sent_on=None, expires_on=None,
        accepted_on=None, declined_on=None, declined_reason="", pricing="margin", pricing_percent=Decimal(40),
        fixed_price_cents=0, minimum_charge_cents=0, rounding_cents=1, goodwill_cents=0, goodwill_reason="",
        tax_treatment="none", tax_percent=Decimal(0), deposit_percent=Decimal(0), owner_rate_cents=6000,
        helper_rate_cents=4000, overhead_rate_cents=1200, mile_cost=Decimal("0.7"), scope_text="",
        not_included_text="", warranty_text="", above_action_text="", caution_text="", terms_text="",
        price_cents=None, tax_cents=None, deposit_cents=None,
    )  # fmt: skip
    return replace(plain, **values)


def labour(minutes: int, rate_cents: int = 6000, option_id: int | None = None, crew: str = "owner") -> LabourLine:
    return LabourLine(
        id=1, quote_id=1, option_id=option_id, position=0, task_id=1, crew=crew, quantity=Decimal(1),
        unit_minutes=Decimal(minutes), factor_percent=Decimal(100), standard_minutes=minutes,
        override_minutes=None, minutes=minutes, rate_cents=rate_cents, reason="",
    )  # fmt: skip


def material(quantity: str, unit_cost: str, option_id: int | None = None) -> MaterialLine:
    many = Decimal(quantity)
    return MaterialLine(
        id=1, quote_id=1, option_id=option_id, position=0, item_id=None, description="pipe", net_quantity=many,
        waste_percent=Decimal(0), quantity=many, unit="ft", unit_cost=Decimal(unit_cost), reason="",
    )  # fmt: skip


def other(quantity: str, unit_cost: str, option_id: int | None = None) -> OtherLine:
    return OtherLine(1, 1, option_id, 0, "permit", "", Decimal(quantity), "each", Decimal(unit_cost), "")


def option(option_id: int, chosen: bool = False, price_cents: int | None = None) -> QuoteOption:
    return QuoteOption(option_id, 1, option_id, f"option {option_id}", "", chosen, price_cents)


def document(
    of: Quote, labour_lines: Any = (), materials: Any = (), others: Any = (), options: Any = ()
) -> QuoteDocument:
    return QuoteDocument(of, tuple(options), tuple(labour_lines), tuple(materials), tuple(others))


def plain_job(**values: Any) -> QuoteDocument:
    """Two hours at 60.00, 100 ft at 2.00, a permit of 56.00: 120.00 + 200.00 + 56.00 + 24.00 overhead = 400.00."""
    return document(quote(**values), [labour(120)], [material("100", "2")], [other("1", "56")])


def test_the_cost_is_the_sum_of_its_four_parts() -> None:
    costs = build_price(plain_job()).alone.costs
    parts = (costs.labour_cents, costs.materials_cents, costs.other_cents, costs.overhead_cents)
    assert parts == (12000, 20000, 5600, 2400)
    assert costs.cost_cents == 40000
    assert costs.minutes == 120


def test_margin_and_markup_are_shown_side_by_side() -> None:
    totals = build_price(plain_job()).alone
    assert totals.list_price_cents == 66667
    assert (totals.list_margin_percent, totals.markup_percent) == (Decimal("40.00"), Decimal("66.67"))
    by_markup = build_price(plain_job(pricing="markup", pricing_percent=Decimal(50))).alone
    assert by_markup.list_price_cents == 60000
    assert (by_markup.list_margin_percent, by_markup.markup_percent) == (Decimal("33.33"), Decimal("50.00"))


def test_the_minimum_charge_lifts_the_base_and_no_option() -> None:
    with_option = replace(
        plain_job(minimum_charge_cents=100000),
        options=(option(7, chosen=True),),
        materials=(material("100", "2"), material("3", "2", option_id=7)),
    )
    price = build_price(with_option)
    assert price.base.price_cents == 100000
    assert price.base.minimum_added_cents == 100000 - 66667
    assert price.option_price_cents(7) == price_for_margin(600, Decimal(40))
    assert price.together.list_price_cents == 101000


def test_a_price_is_rounded_up_to_the_step() -> None:
    price = build_price(plain_job(rounding_cents=2500))
    assert price.base.price_cents == 67500
    assert price.base.rounding_added_cents == 67500 - 66667


def test_a_fixed_price_is_moved_by_nothing() -> None:
    price = build_price(
        plain_job(pricing="fixed", fixed_price_cents=12345, minimum_charge_cents=50000, rounding_cents=2500)
    )
    assert price.base.price_cents == 12345
    assert price.alone.list_margin_cents == 12345 - 40000


def test_goodwill_lowers_the_revenue_and_stays_a_line_of_its_own() -> None:
    price = build_price(plain_job(goodwill_cents=4000, goodwill_reason="neighbour"))
    assert price.alone.list_price_cents == 66667
    assert price.alone.net_price_cents == 62667
    assert price.alone.margin_cents == 22667
    assert price.alone.margin_percent == Decimal("36.17")
    assert [step.amount_cents for step in price_steps(price) if step.kind == "goodwill"] == [-4000]


def test_lump_sum_tax_is_a_cost_and_nothing_the_customer_reads() -> None:
    totals = build_price(plain_job(tax_treatment="lump_sum", tax_percent=Decimal(6))).alone
    assert totals.costs.purchase_tax_cents == 1200
    assert totals.cost_cents == 41200
    assert totals.tax_cents == 0
    assert totals.total_cents == totals.net_price_cents


def test_separated_tax_is_taken_on_the_selling_price_of_the_materials() -> None:
    totals = build_price(plain_job(tax_treatment="separated", tax_percent=Decimal(6))).alone
    assert totals.cost_cents == 40000
    assert totals.materials_price_cents == 33334  # half of the price, as materials are half of the cost
    assert totals.tax_cents == 2000
    assert totals.total_cents == 66667 + 2000


def test_the_deposit_is_a_part_of_what_the_customer_pays() -> None:
    terms = {"deposit_percent": Decimal(30), "tax_treatment": "separated", "tax_percent": Decimal(6)}
    totals = build_price(plain_job(**terms)).alone
    assert totals.deposit_cents == percent_of(68667, Decimal(30))


def test_the_owners_hour_counts_own_labour_and_margin_over_own_time() -> None:
    mixed = replace(plain_job(), labour=(labour(120), labour(60, 4000, crew="helper")))
    totals = build_price(mixed).alone
    assert (totals.margin_cents, totals.owner_hour_cents) == (30133, 21067)  # (301.33 + 120.00) / 2 h, half up
    assert build_price(replace(plain_job(), labour=(labour(60, crew="helper"),))).alone.owner_hour_cents is None


def test_chosen_options_are_added_to_the_base() -> None:
    both = replace(
        plain_job(),
        options=(option(7), option(8)),
        labour=(labour(120), labour(30, option_id=7), labour(45, option_id=8)),
    )
    price = build_price(both)
    assert price.together == price.alone
    chosen = price.with_options({8})
    assert chosen.list_price_cents == price.base.price_cents + price.option_price_cents(8)
    assert chosen.costs.minutes == 165
    with pytest.raises(LookupError):
        price.option_price_cents(9)


def test_a_margin_of_a_hundred_percent_is_explained() -> None:
    with pytest.raises(NotUnderstood, match="below 100%"):
        build_price(plain_job(pricing_percent=Decimal(100)))


def test_what_was_told_stands_on_a_frozen_quote() -> None:
    told = replace(
        plain_job(sent_on=DAY, price_cents=70000),
        options=(option(7, price_cents=1234),),
        labour=(labour(120), labour(30, option_id=7)),
    )
    price = build_price(told)
    assert price.alone.list_price_cents == 70000
    assert price.with_options([7]).list_price_cents == 71234
    answered = replace(told.quote, accepted_on=DAY, price_cents=71234)
    accepted = replace(told, quote=answered, options=(option(7, True, 1234),))
    assert build_price(accepted).alone.list_price_cents == 70000
    assert build_price(accepted).together.list_price_cents == 71234


@pytest.mark.parametrize(
    ("cents", "step", "rounded"),
    [(1, 500, 500), (500, 500, 500), (501, 500, 1000), (-1234, 500, -1000), (77, 1, 77)],
)
def test_round_up(cents: int, step: int, rounded: int) -> None:
    assert round_up(cents, step) == rounded


# Properties

amounts = st.integers(0, 10**8)
rates = st.decimals(0, 25, places=3)
option_ids = st.sampled_from([None, 7, 8])
crews = st.sampled_from(["owner", "helper"])
labour_lines = st.builds(labour, st.integers(0, 6000), st.integers(0, 20000), option_ids, crews)
quantities = st.decimals(0, 1000, places=3).map(str)
costs = st.decimals(0, 1000, places=4).map(str)
material_lines = st.builds(material, quantities, costs, option_ids)
other_lines = st.builds(other, quantities, costs, option_ids)
quotes = st.builds(
    quote,
    pricing=st.sampled_from(["margin", "markup", "fixed"]),
    pricing_percent=st.decimals(0, 90, places=2),
    fixed_price_cents=amounts,
    minimum_charge_cents=st.integers(0, 50000),
    rounding_cents=st.sampled_from([1, 100, 500, 2500]),
    goodwill_cents=st.integers(0, 20000),
    tax_treatment=st.sampled_from(["none", "lump_sum", "separated"]),
    tax_percent=rates,
    deposit_percent=st.decimals(0, 100, places=2),
)
documents = st.builds(
    document, quotes, st.lists(labour_lines, max_size=6), st.lists(material_lines, max_size=6),
    st.lists(other_lines, max_size=3), st.just((option(7, True), option(8))),
)  # fmt: skip


@given(documents)
def test_the_rows_of_the_build_up_lead_from_the_first_cost_to_the_total(drawn: QuoteDocument) -> None:
    price = build_price(drawn)
    steps = price_steps(price)
    amount = lambda *kinds: sum(step.amount_cents for step in steps if step.kind in kinds)  # noqa: E731
    named = {step.label: step.amount_cents for step in steps}
    assert amount("cost") == named["Cost"]
    assert amount("cost", "price") == named["Price"]
    assert amount("cost", "price", "goodwill", "tax") == named["Total"]


@given(documents)
def test_the_sum_of_rounded_lines_is_the_total_and_strays_less_than_half_a_cent_a_line(drawn: QuoteDocument) -> None:
    price = build_price(drawn)
    lines = [line for line in drawn.materials if line.option_id in (None, 7)]
    exact = sum((Fraction(line.quantity) * Fraction(line.unit_cost) * 100 for line in lines), Fraction(0))
    assert abs(price.together.costs.materials_cents - exact) <= Fraction(len(lines), 2)


@given(documents)
def test_options_add_up_and_pooling_moves_the_cost_by_cents_only(drawn: QuoteDocument) -> None:
    price = build_price(drawn)
    assert price.together.list_price_cents == price.base.price_cents + price.option_price_cents(7)
    apart = price.base.costs.cost_cents + price.options[0].costs.cost_cents
    assert abs(price.together.cost_cents - apart) <= 2


@given(documents)
def test_the_price_is_never_below_what_margin_minimum_and_rounding_ask(drawn: QuoteDocument) -> None:
    base = build_price(drawn).base
    if drawn.quote.pricing == "fixed":
        assert base.price_cents == drawn.quote.fixed_price_cents
        return
    assert base.price_cents >= max(base.asked_cents, drawn.quote.minimum_charge_cents)
    assert base.price_cents % drawn.quote.rounding_cents == 0
    assert base.price_cents - max(base.asked_cents, drawn.quote.minimum_charge_cents) < drawn.quote.rounding_cents


@given(st.integers(1, 10**8), st.decimals(0, 95, places=2))
def test_the_margin_asked_for_is_the_margin_shown_within_the_cent(cost: int, margin: Decimal) -> None:
    one = document(quote(pricing_percent=margin), others=[other("1", str(Decimal(cost) / 100))])
    totals = build_price(one).alone
    shown = totals.list_margin_percent
    assert shown is not None
    half_a_cent_of_price, half_a_step_of_percent = Fraction(100, 2 * totals.list_price_cents), Fraction(1, 200)
    within = half_a_cent_of_price + half_a_step_of_percent
    assert abs(Fraction(shown) - Fraction(margin)) <= within


@given(st.integers(-(10**8), 10**8), st.decimals(0, 25, places=3))
def test_the_third_decimal_rule_and_plain_half_up_give_the_same_cent(cents: int, percent: Decimal) -> None:
    assert tax_of(cents, percent) == percent_of(cents, percent)


@given(st.integers(0, 10**7), st.integers(0, 10**6), st.integers(0, 10**6))
def test_the_materials_share_lies_within_the_price(price: int, materials: int, rest: int) -> None:
    assert 0 <= materials_share(price, materials, materials + rest) <= price
