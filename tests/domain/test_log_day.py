"""A day beside its quote: whatever is logged stands in exactly one row, and the totals are the sums of the rows."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.actuals import HoursEntry, MaterialUse, OtherCost
from domain.errors import NotUnderstood
from domain.log_day import (
    HoursRow,
    cost_rows,
    hours_rows,
    is_added,
    log_totals,
    material_rows,
    preview_minutes,
    typed_into,
)
from domain.log_entry import TypedHours
from domain.log_so_far import JobBudget, JobLog, materials_so_far
from domain.money import line_cents
from domain.quoting.lines import LabourLine, MaterialLine, OtherLine
from domain.so_far import SoFar

DAY = date(2026, 11, 12)
small = st.integers(1, 4)
days = st.sampled_from([DAY, DAY - timedelta(days=1), DAY - timedelta(days=9)])
minutes = st.integers(1, 600)
money = st.integers(1, 90_000).map(lambda n: Decimal(n).scaleb(-4))
amounts = st.integers(1, 50_000).map(lambda n: Decimal(n).scaleb(-3))
ids = st.integers(1, 10**6)
words = st.sampled_from(["boot", "Boot ", "odd tee"])

labour = st.builds(
    LabourLine, ids, ids, st.none(), small, small, st.just("owner"), amounts, amounts, st.just(Decimal(100)), minutes,
    st.none(), minutes, st.integers(0, 20_000), st.just(""),
)  # fmt: skip
material = st.builds(
    MaterialLine, ids, ids, st.none(), small, st.none() | small, words, amounts, st.just(Decimal(0)), amounts,
    st.just("each"), money, st.just(""),
)  # fmt: skip
kinds = st.sampled_from(["permit", "travel", "equipment"])
other = st.builds(OtherLine, ids, ids, st.none(), small, kinds, words, amounts, st.just("each"), money, st.just(""))
hours = st.builds(
    HoursEntry, ids, small, days, small, small, minutes, st.none(), st.integers(0, 20_000), st.integers(0, 5_000),
    st.booleans(), st.none(), st.just(""),
)  # fmt: skip
uses = st.builds(
    MaterialUse, ids, small, days, st.none() | small, words, amounts, st.just("each"), money, st.just("stock"),
    st.just(""), st.booleans(), st.none(), st.just(""),
)  # fmt: skip
costs = st.builds(
    OtherCost, ids, small, days, kinds, words, amounts, st.just("each"), money, st.booleans(), st.none(), st.just("")
)
budgets = st.builds(
    JobBudget, st.lists(labour, max_size=5).map(tuple), st.lists(material, max_size=5).map(tuple),
    st.lists(other, max_size=4).map(tuple),
)  # fmt: skip
logs = st.builds(
    JobLog, st.lists(hours, max_size=8).map(tuple), st.lists(uses, max_size=8).map(tuple),
    st.lists(costs, max_size=5).map(tuple),
)  # fmt: skip


@given(budgets, logs, small)
def test_every_hour_stands_in_exactly_one_row(budget, log, person):
    rows = hours_rows(budget, log, DAY, person)
    assert len({row.key for row in rows}) == len(rows)
    assert sum(row.minutes for row in rows) == sum(entry.minutes for entry in log.hours)
    assert sum(row.quoted_minutes for row in rows) == sum(line.minutes for line in budget.labour)
    shown = [entry for row in rows for entry in row.entries]
    mine = [one for one in log.hours if one.day == DAY and one.person_id == person]
    assert sorted(map(id, shown)) == sorted(map(id, mine))


@given(budgets, logs)
def test_quoted_rows_come_first_and_carry_no_unquoted_hours(budget, log):
    rows = hours_rows(budget, log, DAY, 1)
    assert [row.unquoted for row in rows] == sorted(row.unquoted for row in rows)
    assert all(row.quoted_minutes == 0 and row.over_minutes == 0 for row in rows if row.unquoted)


@given(budgets, logs)
def test_materials_and_costs_stand_in_one_row_each(budget, log):
    rows = material_rows(budget, log, DAY)
    assert sum((row.before + row.day_quantity for row in rows), Decimal(0)) == sum(
        (use.quantity for use in log.materials), Decimal(0)
    )
    assert [row.left for row in rows] == [max(row.quoted - row.before, Decimal(0)) for row in rows]
    assert [(row.key, row.quoted, row.before + row.day_quantity) for row in rows] == [
        (row.key, row.quoted, row.used) for row in materials_so_far(budget.materials, log.materials)
    ]
    rows = cost_rows(budget, log, DAY)
    assert rows[0].kind == "travel"
    assert len({row.kind for row in rows}) == len(rows)
    assert sum(row.before_cents + row.day_cents for row in rows) == sum(
        line_cents(cost.quantity, cost.unit_cost) for cost in log.others
    )
    assert sum(row.quoted_cents for row in rows) == sum(
        line_cents(line.quantity, line.unit_cost) for line in budget.others
    )


@given(budgets, logs)
def test_the_totals_are_those_told_everywhere(budget, log):
    far = SoFar(quoted_minutes=750, minutes=900, unquoted_minutes=95, quoted_cents=159_225, cents=125_437)
    totals = log_totals(budget, log, far, DAY)
    assert (totals.quoted_minutes, totals.minutes, totals.unquoted_minutes) == (750, 900, 95)
    assert (totals.quoted_cents, totals.cents) == (159_225, 125_437)
    assert totals.day_minutes == sum(entry.minutes for entry in log.hours if entry.day == DAY)
    with_tax = log_totals(budget, log, far, DAY, purchase_tax_percent=Decimal(100))
    assert with_tax.unquoted_cents >= totals.unquoted_cents
    if not log.materials:
        assert with_tax.unquoted_cents == totals.unquoted_cents
    if all(use.unquoted for use in log.materials):
        goods = sum(line_cents(use.quantity, use.unit_cost) for use in log.materials)
        assert with_tax.unquoted_cents - totals.unquoted_cents == goods


@given(budgets, logs, st.integers(-500, 500))
def test_typed_time_moves_every_total_at_once(budget, log, typed):
    before, after = log_totals(budget, log, SoFar(), DAY), log_totals(budget, log, SoFar(), DAY, typed, 6_000)
    assert after.day_minutes - before.day_minutes == after.minutes - before.minutes == typed
    assert after.cents - before.cents == typed * 100  # $60.00 an hour is a dollar a minute


def _row(*lengths: int, began: int | None = None) -> HoursRow:
    entries = tuple(
        HoursEntry(n, 1, DAY, 1, 1, minutes, began, 6000, 900, False, None, "") for n, minutes in enumerate(lengths, 1)
    )
    return HoursRow(1, False, 60, 0, entries)


def test_a_cell_reads_as_what_it_says():
    assert _row().text == ""
    assert _row(135).text == "2 h 15"
    assert _row(135, began=495).text == "8:15-10:30"
    assert _row(60, 75).text == "2 h 15 in 2"


def test_typing_into_a_cell_changes_adds_or_empties():
    assert typed_into("2h", _row().entries) == TypedHours(120)
    assert typed_into("", _row(60).entries) is None
    assert typed_into("+30m", _row(60, 20).entries) == TypedHours(30)
    assert is_added("+30m", _row(60).entries)
    assert is_added("30m", _row().entries)
    assert not is_added("30m", _row(60).entries)
    with pytest.raises(NotUnderstood, match="2 entries"):
        typed_into("30m", _row(60, 20).entries)


@pytest.mark.parametrize(
    ("text", "row", "seen"),
    [("2h", _row(), 120), ("2h", _row(60), 120), ("+30m", _row(60), 90), ("2x", _row(60), 60), ("", _row(60), 0)],
)
def test_the_preview_is_what_saving_would_give(text, row, seen):
    assert preview_minutes(text, row) == seen
