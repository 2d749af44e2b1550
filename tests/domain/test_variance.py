"""Quoted against actual: quoted margin plus every variance is the actual margin, to the cent."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from domain.costing import (
    JobFigures,
    LoggedLabour,
    Material,
    OtherDirect,
    QuotedLabour,
    SoldQuote,
    VarianceTree,
    own_hour,
    variance_tree,
)
from domain.money import labour_cents, line_cents
from tests.domain.job_figures import job_figures, minutes, rates


def pipe(spent: int, rate: int) -> QuotedLabour:
    return QuotedLabour(1, "Run pipe", "work", spent, labour_cents(spent, rate))


def piped(spent: int, rate: int, **more: bool) -> LoggedLabour:
    return LoggedLabour(1, "Run pipe", "work", spent, labour_cents(spent, rate), 0, **more)


def feet(quantity: str, unit_cost: str, **more: bool) -> Material:
    amount = Decimal(quantity)
    return Material(7, "Pipe, 4 in", "ft", amount, line_cents(amount, Decimal(unit_cost)), **more)


def step(tree: VarianceTree, key: str) -> int:
    return next(one.cents for one in tree.steps if one.key == key)


@given(job_figures)
def test_quoted_margin_and_all_steps_are_the_actual_margin(figures: JobFigures) -> None:
    tree = variance_tree(figures)
    charged = sum(quote.price_cents - quote.goodwill_cents for quote in figures.sold) - figures.write_off_cents
    spent = (
        sum(entry.cents + entry.overhead_cents for entry in figures.labour)
        + sum(use.cents for use in figures.materials)
        + sum(cost.cents for cost in figures.others)
        + figures.purchase_tax_cents
    )
    assert tree.actual_margin_cents == charged - spent
    assert tree.quoted_margin_cents == (figures.proposal.margin_cents if figures.proposal else 0)
    assert tree.quoted_margin_cents + sum(one.cents for one in tree.steps) == charged - spent
    assert tree.balances


@given(job_figures)
def test_every_logged_cent_and_minute_stands_in_exactly_one_row(figures: JobFigures) -> None:
    tree = variance_tree(figures)
    rows = (*tree.tasks, *tree.callbacks, *tree.items, *tree.others)
    beyond = (*tree.unquoted_hours, *tree.unquoted_materials, *tree.unquoted_others)
    in_rows = sum(row.actual_cents for row in (*rows, *beyond))
    assert in_rows + tree.overhead.actual_cents + tree.purchase_tax.actual_cents == tree.actual_cost_cents
    in_minutes = sum(row.actual_minutes for row in (*tree.tasks, *tree.callbacks))
    assert in_minutes + sum(row.minutes for row in tree.unquoted_hours) == tree.actual_minutes
    assert sum(row.quoted_cents for row in (*rows, tree.overhead, tree.purchase_tax)) == tree.budget_cost_cents


@given(minutes.filter(bool), rates, minutes, rates)
def test_efficiency_and_rate_are_the_textbook_ones_to_within_a_cent(
    quoted: int, quoted_rate: int, actual: int, actual_rate: int
) -> None:
    tree = variance_tree(
        JobFigures(SoldQuote(0, labour=(pipe(quoted, quoted_rate),)), labour=(piped(actual, actual_rate),))
    )
    # three amounts are rounded by at most half a cent; the first is scaled with the time
    slack = Fraction(1) + Fraction(actual, 2 * quoted)
    assert abs(step(tree, "efficiency") - Fraction((quoted - actual) * quoted_rate, 60)) <= slack
    assert abs(step(tree, "rate") - Fraction(actual * (quoted_rate - actual_rate), 60)) <= slack


def test_nine_hours_and_a_bit_on_a_six_and_a_half_hour_quote() -> None:
    quote = SoldQuote(0, labour=(pipe(390, 4800),))
    tree = variance_tree(JobFigures(quote, labour=(piped(564, 4950),)))
    assert (step(tree, "efficiency"), step(tree, "rate"), tree.tasks[0].cents) == (-13920, -1410, -15330)


def test_seventy_feet_on_a_sixty_two_foot_quote() -> None:
    tree = variance_tree(JobFigures(SoldQuote(0, materials=(feet("62", "2.10"),)), materials=(feet("70", "2.25"),)))
    assert (step(tree, "usage"), step(tree, "price"), tree.items[0].cents) == (-1680, -1050, -2730)


def test_what_was_quoted_and_not_logged_is_saved_time_and_material() -> None:
    quote = SoldQuote(0, labour=(pipe(60, 4800),), materials=(feet("10", "2"),))
    tree = variance_tree(JobFigures(quote))
    assert (step(tree, "efficiency"), step(tree, "usage")) == (4800, 2000)
    assert step(tree, "rate") == step(tree, "price") == 0


def test_an_entry_that_says_so_is_unquoted_even_when_the_task_has_a_line() -> None:
    quote = SoldQuote(0, labour=(pipe(60, 4800),))
    tree = variance_tree(JobFigures(quote, labour=(piped(60, 4800), piped(30, 4800, unquoted=True))))
    assert (step(tree, "efficiency"), step(tree, "unquoted_hours")) == (0, -2400)
    assert tree.unquoted_hours[0].minutes == 30


def test_work_and_costs_without_a_line_are_unquoted() -> None:
    figures = JobFigures(
        SoldQuote(0, labour=(pipe(0, 4800),)),
        labour=(piped(45, 4800),),
        materials=(feet("3", "2"),),
        others=(OtherDirect("permit", 7500),),
    )
    tree = variance_tree(figures)
    assert (step(tree, "unquoted_hours"), step(tree, "unquoted_materials"), step(tree, "unquoted_others")) == (
        -3600,
        -600,
        -7500,
    )
    assert step(tree, "efficiency") == step(tree, "usage") == step(tree, "others") == 0


def test_a_material_in_another_unit_is_another_material() -> None:
    stick = Material(7, "Pipe, 4 in", "each", Decimal(2), 4000)
    tree = variance_tree(JobFigures(SoldQuote(0, materials=(feet("10", "2"),)), materials=(stick,)))
    assert (step(tree, "usage"), step(tree, "unquoted_materials")) == (2000, -4000)


def test_a_change_order_brings_its_margin_and_its_lines_join_the_budget() -> None:
    order = SoldQuote(30_000, goodwill_cents=1000, labour=(pipe(120, 5000),))
    quote = SoldQuote(100_000, labour=(pipe(60, 5000),))
    tree = variance_tree(JobFigures(quote, (order,), labour=(piped(180, 5000),)))
    assert (step(tree, "change_orders"), step(tree, "goodwill"), step(tree, "efficiency")) == (20_000, -1000, 0)
    assert (tree.quoted_margin_cents, tree.actual_margin_cents) == (95_000, 114_000)
    assert (tree.quoted_minutes, tree.budget_cost_cents) == (180, 15_000)


def test_a_callback_is_never_a_matter_of_working_slowly() -> None:
    entry = LoggedLabour(9, "Callback", "callback", 90, 7200, 900, unquoted=True)
    allowed = QuotedLabour(9, "Callback", "callback", 30, 2400)
    tree = variance_tree(JobFigures(SoldQuote(0, labour=(allowed,), overhead_cents=300), labour=(entry,)))
    assert (step(tree, "callbacks"), step(tree, "efficiency"), step(tree, "unquoted_hours")) == (-4800, 0, 0)
    assert step(tree, "overhead") == -600
    assert (tree.callbacks[0].quoted_minutes, tree.callbacks[0].actual_minutes) == (30, 90)


def test_a_write_off_and_the_tax_on_purchases_have_their_own_steps() -> None:
    quote = SoldQuote(10_000, purchase_tax_cents=500)
    tree = variance_tree(JobFigures(quote, purchase_tax_cents=640, write_off_cents=2500))
    assert (step(tree, "write_offs"), step(tree, "purchase_tax")) == (-2500, -140)
    assert tree.actual_margin_cents == 10_000 - 2500 - 640


@given(st.integers(-(10**7), 10**7), st.integers(0, 10**7), st.integers(1, 10**5))
def test_the_own_hour_is_what_is_left_after_everything_else(margin: int, labour: int, spent: int) -> None:
    hour = own_hour(margin, labour, spent)
    assert hour is not None
    assert abs(Fraction((margin + labour) * 60, spent) - hour.per_hour_cents) <= Fraction(1, 2)
    # a job that just breaks even pays the burdened hour exactly
    even = own_hour(0, labour, spent)
    assert even is not None
    assert even.short_cents == 0


def test_no_own_time_is_no_own_hour() -> None:
    assert own_hour(100, 0, 0) is None
