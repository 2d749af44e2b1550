"""The ladder of what an hour costs adds up, agrees with its check, and uses the rates of its day."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from domain.company_costs import Ladder, OverheadItem, PersonCosts, hour_ladder, overhead_ladder
from domain.errors import NotUnderstood

DAY = date(2026, 6, 1)
OWNER = PersonCosts("owner", 3_000, 2_000, 1_300, Decimal("6.5"), other_cents_per_year=120_000)
HELPER = PersonCosts("helper", 2_400, 1_800, 1_500, Decimal("6.5"), Decimal("2.7"), 900_000, 60_000)


@st.composite
def people(draw: st.DrawFn) -> PersonCosts:
    paid = draw(st.integers(100, 3_000))
    return PersonCosts(
        draw(st.sampled_from(["owner", "helper"])),
        draw(st.integers(0, 20_000)),
        paid,
        draw(st.integers(50, paid)),
        draw(st.decimals(0, 40, places=2)),
        draw(st.decimals(0, 12, places=2)),
        draw(st.integers(0, 6_000_000)),
        draw(st.integers(0, 5_000_000)),
    )


DAYS = st.dates(date(2018, 1, 1), date(2035, 12, 31))


def by_label(ladder: Ladder) -> dict[str, int]:
    return {step.label: step.cents_per_hour for step in ladder.steps}


@given(people(), DAYS)
def test_the_rungs_sum_to_the_total_and_every_running_sum_is_shown(costs: PersonCosts, day: date) -> None:
    ladder = hour_ladder(costs, day)
    running = 0
    for step in ladder.steps:
        running += step.cents_per_hour
        assert step.running_cents == running
    assert running == ladder.total_cents
    assert ladder.adds_up


@given(people(), DAYS)
def test_the_check_agrees_to_the_cent_or_says_why_not(costs: PersonCosts, day: date) -> None:
    ladder = hour_ladder(costs, day)
    apart = abs(ladder.check_cents - ladder.total_cents)
    assert apart <= 1
    assert ("the same." in ladder.check_note) == (apart == 0)


@given(people(), DAYS, st.integers(1, 500))
def test_more_pay_never_costs_less(costs: PersonCosts, day: date, more: int) -> None:
    dearer = replace(costs, wage_cents_per_hour=costs.wage_cents_per_hour + more)
    assert hour_ladder(dearer, day).total_cents >= hour_ladder(costs, day).total_cents + more


@given(people(), DAYS)
def test_a_day_with_no_unbilled_hour_has_an_empty_last_rung(costs: PersonCosts, day: date) -> None:
    full = replace(costs, billable_hours_per_year=costs.paid_hours_per_year)
    assert hour_ladder(full, day).steps[-1].cents_per_hour == 0


def test_an_owner_by_hand() -> None:
    # 60,000.00 draw; SE tax 8,477.73; comp 3,900.00; other 1,200.00: 73,577.73 over 1,300 h = 56.60
    ladder = hour_ladder(OWNER, DAY)
    assert by_label(ladder) == {
        "Draw": 3_000,
        "Self-employment tax": 424,
        "Workers' compensation": 195,
        "Other yearly costs": 60,
        "Hours nobody is billed for": 1_981,
    }
    assert ladder.total_cents == ladder.check_cents == 5_660


def test_a_helper_by_hand() -> None:
    # 43,200.00 wages; FICA 3,304.80; FUTA 42.00; state 243.00; comp 2,808.00; other 600.00: 50,197.80 over 1,500 h
    ladder = hour_ladder(HELPER, DAY)
    assert ladder.total_cents == ladder.check_cents == 3_347
    assert by_label(ladder)["Wage"] == 2_400
    assert [step.label for step in ladder.steps][1:4] == [
        "Social Security and Medicare",
        "Federal unemployment tax",
        "State unemployment tax",
    ]


def test_social_security_stops_at_the_base_of_the_year() -> None:
    # 2,000 h at 150.00 = 300,000.00; beyond either base, so only the base differs: 184,500 - 176,100 = 8,400 at 6.2%
    rich = PersonCosts("helper", 15_000, 2_000, 2_000)
    later, earlier = hour_ladder(rich, date(2026, 1, 1)), hour_ladder(rich, date(2025, 12, 31))
    difference = Fraction(840_000 * 62, 1_000 * 2_000)
    assert abs(later.total_cents - earlier.total_cents - difference) <= 1
    assert later.total_cents > earlier.total_cents


def test_very_little_draw_owes_no_self_employment_tax() -> None:
    # 433.00 x 0.9235 = 399.88, under 400; 434.00 x 0.9235 = 400.80, over it
    under, over = (PersonCosts("owner", cents, 100, 100) for cents in (433, 434))
    assert by_label(hour_ladder(under, DAY))["Self-employment tax"] == 0
    assert by_label(hour_ladder(over, DAY))["Self-employment tax"] == 61


def test_a_carried_forward_base_is_said() -> None:
    assert any("Carried forward" in note for note in hour_ladder(OWNER, date(2030, 1, 1)).notes)
    assert not any("Carried forward" in note for note in hour_ladder(OWNER, DAY).notes)


def test_the_owner_is_told_to_ask_an_adviser() -> None:
    notes = " ".join(hour_ladder(OWNER, DAY).notes)
    assert "draw carries self-employment tax" in notes
    assert "Ask an adviser" in notes


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"role": "cousin"}, "owner or a helper"),
        ({"billable_hours_per_year": 0}, "hours a year go to customers' jobs"),
        ({"billable_hours_per_year": 2_001}, "more than the paid hours"),
        ({"wage_cents_per_hour": -1}, "less than nothing"),
        ({"workers_comp_percent": Decimal("-0.01")}, "less than nothing"),
    ],
)
def test_impossible_costs_are_refused_kindly(change: dict[str, object], says: str) -> None:
    with pytest.raises(NotUnderstood, match=says):
        hour_ladder(replace(OWNER, **change), DAY)  # type: ignore[arg-type]


def test_a_day_before_the_tables_is_refused_kindly() -> None:
    with pytest.raises(NotUnderstood, match="before"):
        hour_ladder(OWNER, date(2010, 1, 1))


VAN = OverheadItem("Van", 45_000, date(2024, 1, 1))
INSURANCE = OverheadItem("Insurance", 21_000, date(2024, 1, 1), date(2025, 12, 31))


def test_overhead_counts_what_runs_on_the_day() -> None:
    # 660.00 over 116 h 40 = 5.66; 450.00 = 3.86
    assert overhead_ladder([VAN, INSURANCE], 7_000, date(2025, 12, 31)).total_cents == 566
    assert overhead_ladder([VAN, INSURANCE], 7_000, date(2026, 1, 1)).total_cents == 386
    assert overhead_ladder([VAN, INSURANCE], 7_000, date(2023, 12, 31)).total_cents == 0


@given(st.lists(st.tuples(st.integers(0, 500_000), DAYS, st.none() | DAYS), max_size=8), st.integers(1, 20_000), DAYS)
def test_overhead_adds_up(drawn: list[tuple[int, date, date | None]], minutes: int, day: date) -> None:
    items = [OverheadItem(f"item {n}", cents, start, end) for n, (cents, start, end) in enumerate(drawn)]
    ladder = overhead_ladder(items, minutes, day)
    assert ladder.adds_up
    assert ladder.total_cents == ladder.check_cents
    assert [s.label for s in ladder.steps] == [i.name for i in items if i.runs_on(day)]


@given(st.integers(1, 10**7), st.integers(600, 20_000))
def test_overhead_charged_for_a_full_month_recovers_the_month(cents: int, minutes: int) -> None:
    assume(minutes % 60 == 0)
    hourly = overhead_ladder([OverheadItem("all", cents, DAY)], minutes, DAY).total_cents
    assert abs(hourly * (minutes // 60) - cents) <= Fraction(minutes, 120)


@pytest.mark.parametrize("minutes", [0, -60])
def test_overhead_needs_hours_to_be_spread_over(minutes: int) -> None:
    with pytest.raises(NotUnderstood, match="hours a month"):
        overhead_ladder([VAN], minutes, DAY)
