"""Reduction, retest, running cost and checklist: plain arithmetic on what was noted, and words that stay with it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.closeout.checklist import checklist, count, points_of
from domain.closeout.points import BUILT_IN, FAN, KINDS, MEMBRANE, PIPE, built_in_points, work_kinds
from domain.closeout.records import PHASES, CheckAnswer, OwnPoint
from domain.closeout.reduction import reduction, retest_day, years_later
from domain.closeout.running_cost import running_cost
from domain.jobs import RadonTest
from domain.standards import OWN, Standard

DAY = date(2026, 6, 1)
BEFORE = RadonTest(1, 1, "before", "charcoal canister", "", None, date(2026, 5, 4), Decimal("10"), "")
AFTER = replace(BEFORE, id=2, purpose="after", ended_on=date(2026, 6, 4), result=Decimal("1.5"))


def test_the_newest_tests_of_both_sides_are_compared() -> None:
    old = replace(AFTER, ended_on=date(2026, 6, 2), result=Decimal("9"))
    found = reduction([BEFORE, old, AFTER])
    assert found is not None
    assert (found.before, found.after, found.percent) == (10, Decimal("1.5"), 85)
    assert found.words("pCi/L") == "From 10.0 pCi/L to 1.5 pCi/L: 85.0% lower than before the work."


def test_tests_side_by_side_count_with_their_mean_and_a_rise_is_said_as_one() -> None:
    beside = replace(BEFORE, id=3, result=Decimal("14"))
    found = reduction([BEFORE, beside, replace(AFTER, result=Decimal("18"))])
    assert found is not None
    assert (found.before, found.percent) == (12, -50)
    assert "50.0% higher" in found.words("Bq/m3")


def test_one_side_alone_says_nothing() -> None:
    assert reduction([BEFORE]) is None
    assert reduction([AFTER]) is None


levels = st.decimals("0.1", "500", places=1)


@given(levels, levels)
def test_reduction_and_level_agree(before: Decimal, after: Decimal) -> None:
    found = reduction([replace(BEFORE, result=before), replace(AFTER, result=after)])
    assert found is not None
    assert abs(before * (100 - found.percent) / 100 - after) <= before * Decimal("0.0005") + Decimal("1e-9")


def test_the_retest_is_due_two_years_after_the_test_unless_a_day_was_chosen() -> None:
    assert retest_day([BEFORE, AFTER], Decimal(2)) == date(2028, 6, 4)
    assert retest_day([BEFORE], Decimal(2)) is None
    assert retest_day([AFTER], Decimal(2), date(2027, 1, 1)) == date(2027, 1, 1)
    assert years_later(date(2028, 2, 29), 2) == date(2030, 2, 28)


def test_running_cost_is_watts_hours_and_price_and_never_invented() -> None:
    cost = running_cost(Decimal(60), Decimal("0.18"), 4000, 12000)
    assert cost.fan_cents == 9461  # 60 x 8760 / 1000 x 0.18 = 94.608
    assert (cost.low_cents, cost.high_cents) == (13461, 21461)
    assert "60 W x 8,760 running hours / 1,000 x $0.18 per kWh" in cost.words[0]
    unknown = running_cost(None, Decimal("0.18"))
    assert unknown.fan_cents is None
    assert not any("not known" in words for words in unknown.words), "what we do not know is no matter of theirs"
    assert unknown.low_cents is None
    assert running_cost(Decimal(60), Decimal(0)).fan_cents is None
    assert running_cost(Decimal(60), Decimal(0)).words == unknown.words


@pytest.mark.parametrize(
    ("job_type", "kinds"),
    [
        ("New system", {PIPE, FAN}),
        ("Fan replacement", {FAN}),
        ("Service call", {FAN}),
        ("Crawl-space membrane", {PIPE, FAN, MEMBRANE}),
        ("Something of one's own", {PIPE, FAN}),
    ],
)
def test_a_job_type_says_what_kind_of_work_it_is(job_type: str, kinds: set[str]) -> None:
    assert work_kinds(job_type) == kinds


def test_every_point_has_a_source_a_phase_and_no_open_figure() -> None:
    keys = [point.key for point in BUILT_IN]
    assert len(keys) == len(set(keys))
    for point in built_in_points(None, DAY):
        assert point.source
        assert point.phase in PHASES
        assert "{" not in point.wording
        assert "safe" not in point.wording.lower()
    assert all(point.kinds <= set(KINDS) for point in BUILT_IN)


def test_an_owners_own_figure_stands_in_the_point_with_its_source() -> None:
    own = Standard("discharge_above_opening_ft", Decimal(4), "ft", "county", "", "", date(2020, 1, 1), OWN, "above")
    (point,) = [one for one in built_in_points(frozenset((FAN,)), DAY, [own]) if one.key == "discharge_opening"]
    assert "4 ft or more above their top" in point.wording
    assert "county" in point.source


def own_point(key: str, **values: object) -> OwnPoint:
    usual: dict[str, object] = {
        "wording": "", "source": "", "phase": "after", "job_type_id": None, "hidden": False, "position": 0,
    }  # fmt: skip
    return OwnPoint(1, key, **{**usual, **values})  # type: ignore[arg-type]


def test_the_owner_hides_rewords_and_adds() -> None:
    built = built_in_points(None, DAY)
    mine = [
        own_point("slope", hidden=True, phase="during"),
        own_point("clean", wording="Truck loaded, place swept"),
        own_point("own-1", wording="Key back under the pot", job_type_id=2),
    ]
    points = {point.key: point for point in points_of(built, mine, 2)}
    assert "slope" not in points
    assert points["clean"].wording == "Truck loaded, place swept"
    assert points["own-1"].phase == "after"
    assert "own-1" not in {point.key for point in points_of(built, mine, 3)}
    shown = {point.key: point for point in points_of(built, mine, None, with_hidden=True)}
    assert shown["slope"].hidden


def test_an_answer_keeps_the_words_it_was_given_to_even_when_its_point_is_gone() -> None:
    answers = [
        CheckAnswer(1, 1, "slope", "Old words", "Old source", "ok", "", DAY, None),
        CheckAnswer(2, 1, "own-9", "A point since taken away", "", "not_ok", "", DAY, None),
    ]
    rows = checklist(built_in_points(frozenset((PIPE,)), DAY), answers)
    slope = next(row for row in rows if row.point.key == "slope")
    assert (slope.wording, slope.source) == ("Old words", "Old source")
    assert rows[-1].wording == "A point since taken away"
    found = count(rows)
    assert (found.ok, found.not_ok, found.open) == (1, 1, len(rows) - 2)
    assert found.words.endswith("1 not OK")
