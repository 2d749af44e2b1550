"""Made-up figures of jobs for the costing tests, as hypothesis strategies."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import strategies as st

from domain.costing import JobFigures, LoggedLabour, Material, OtherDirect, QuotedLabour, SoldQuote
from domain.money import labour_cents, line_cents

TASKS = {
    1: ("Run pipe", "work"),
    2: ("Correct the slope", "work"),
    3: ("Travel", "travel"),
    4: ("Callback", "callback"),
}
KINDS = ("permit", "subcontractor", "travel")

minutes = st.integers(0, 6_000)
rates = st.integers(0, 20_000)
quantities = st.integers(-50_000, 500_000).map(lambda n: Decimal(n).scaleb(-3))  # a return is below nothing
unit_costs = st.integers(0, 900_000).map(lambda n: Decimal(n).scaleb(-4))
money = st.integers(-50_000, 5_000_000)


@st.composite
def quoted_labour(draw: st.DrawFn) -> QuotedLabour:
    task_id = draw(st.sampled_from(sorted(TASKS)))
    spent = draw(minutes)
    return QuotedLabour(task_id, *TASKS[task_id], spent, labour_cents(spent, draw(rates)))


@st.composite
def logged_labour(draw: st.DrawFn) -> LoggedLabour:
    task_id = draw(st.sampled_from(sorted(TASKS)))
    spent = draw(minutes)
    return LoggedLabour(
        task_id,
        *TASKS[task_id],
        spent,
        labour_cents(spent, draw(rates)),
        labour_cents(spent, draw(rates)),
        unquoted=draw(st.booleans()),
        own=draw(st.booleans()),
    )


@st.composite
def materials(draw: st.DrawFn, *, logged: bool = False) -> Material:
    item = draw(st.sampled_from([1, 2, None]))
    amount = draw(quantities)
    name = f"Item {item}" if item else draw(st.sampled_from(["strap", "Strap ", "odd fitting"]))
    unit = draw(st.sampled_from(["ft", "each"]))
    return Material(item, name, unit, amount, line_cents(amount, draw(unit_costs)), logged and draw(st.booleans()))


@st.composite
def others(draw: st.DrawFn, *, logged: bool = False) -> OtherDirect:
    return OtherDirect(draw(st.sampled_from(KINDS)), draw(money), logged and draw(st.booleans()))


def _few(one: st.SearchStrategy) -> st.SearchStrategy:
    return st.lists(one, max_size=6).map(tuple)


sold_quotes = st.builds(
    SoldQuote,
    price_cents=money,
    goodwill_cents=st.integers(0, 50_000),
    labour=_few(quoted_labour()),
    materials=_few(materials()),
    others=_few(others()),
    overhead_cents=st.integers(0, 100_000),
    purchase_tax_cents=st.integers(0, 20_000),
)

job_figures = st.builds(
    JobFigures,
    proposal=st.none() | sold_quotes,
    change_orders=st.lists(sold_quotes, max_size=2).map(tuple),
    labour=_few(logged_labour()),
    materials=_few(materials(logged=True)),
    others=_few(others(logged=True)),
    purchase_tax_cents=st.integers(0, 20_000),
    write_off_cents=st.integers(0, 50_000),
)
