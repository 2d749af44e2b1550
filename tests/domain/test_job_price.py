"""The price a job can carry, against sums done by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.job_price import (
    JobCase,
    LineCase,
    Outlook,
    carries_sentence,
    chance_words,
    expected_sentence,
    floor_sentence,
    goodwill_sentence,
    left_words,
    own_lines,
    priced_outlook,
    starter_range_sentence,
    take_words,
    warning_sentence,
    what_ifs,
)
from domain.quoting.lines import LabourLine, QuoteDocument
from domain.quoting.price import build_price
from domain.track_record import MaterialOutcome, Outcome, TrackRecord, fit, fit_materials
from domain.units import format_minutes
from tests.domain.test_quote_price import labour, quote

TODAY = date(2026, 5, 14)


def history(times: float, jobs: int = 24) -> TrackRecord:
    """So many reworks, each about so many times its ten quoted hours."""
    return fit(
        [
            Outcome(n, "Rework", "Pipe", (), 600, round(600 * times * (1 + (n % 5 - 2) / 50)),
                    TODAY - timedelta(days=10 * (jobs - n)))
            for n in range(jobs)
        ],
        as_of=TODAY,
    )  # fmt: skip


def outlook_of(record: TrackRecord, line: LabourLine | None = None, **header: object) -> Outlook:
    document = QuoteDocument(quote(**header), (), (line or labour(600),), (), ())  # type: ignore[arg-type]
    lines, tasks = own_lines(document, (), {line.task_id: "Pipe" for line in document.labour}, "Rework", ())
    materials = fit_materials([MaterialOutcome(0, "Rework", (), 1, 1, TODAY)], as_of=TODAY)
    totals = build_price(document).alone
    return priced_outlook(document, totals, record.forecast(tasks), lines, materials, Decimal(20))


def test_a_price_for_the_quoted_hours_loses_when_such_jobs_take_half_again() -> None:
    outlook = outlook_of(history(1.5), pricing="fixed", fixed_price_cents=80000)
    assert outlook.cost.median_cents == pytest.approx(15 * 7200, rel=0.05), "fifteen hours at 60 and 12 dollars"
    assert outlook.loss_chance > 0.8
    words = warning_sentence(outlook)
    assert "would probably lose money" in words
    assert outlook.loss_chance > 0.8 > outlook.target_chance


def test_the_same_price_is_calm_when_such_jobs_end_as_quoted() -> None:
    outlook = outlook_of(history(1.0), pricing="fixed", fixed_price_cents=90000)
    assert outlook.loss_chance < 0.2
    assert warning_sentence(outlook) == ""


@given(st.sampled_from([0.5, 0.6, 0.7, 0.8, 0.9]))
def test_a_price_holds_as_often_as_it_says(chance: float) -> None:
    outlook = outlook_of(history(1.3))
    asked = outlook.price_without_loss(chance)
    assert 1 - outlook.cost.probability_over(asked) >= chance - 0.01


def test_goodwill_is_told_in_the_owners_time() -> None:
    """130 dollars at 60 dollars an hour are 2 h 10."""
    outlook = outlook_of(history(1.0), goodwill_cents=13000)
    assert goodwill_sentence(outlook) == "This gives away 2 h 10 of your time."


def test_the_floor_pays_the_owner_a_helpers_hour() -> None:
    """Everything but the owner's labour, and his hours at the helper's rate."""
    outlook = outlook_of(history(1.0), helper_rate_cents=4000, owner_rate_cents=6000, rounding_cents=1)
    own = outlook.middle_owner_minutes
    assert outlook.floor_cents is not None
    assert outlook.floor_cents == pytest.approx(outlook.cost.median_cents - own * 2000 / 60, abs=2)
    assert "less than a helper costs" in floor_sentence(outlook)


@pytest.mark.parametrize("helper", [0, 6000])
def test_without_a_helper_the_floor_is_his_own_draw(helper: int) -> None:
    """The owner's own rate stands in for a helper's where there is none: that is no helper to compare with."""
    outlook = outlook_of(history(1.0), helper_rate_cents=helper, owner_rate_cents=6000, rounding_cents=1)
    assert outlook.floor_cents == outlook.cost.median_cents, "below it the price does not cover his own hours"
    assert "helper" not in floor_sentence(outlook)
    assert "draw" in floor_sentence(outlook)
    assert "With a helper" not in [way.name for way in what_ifs(outlook, outlook.totals.costs, 0)]
    assert replace(outlook, owner_rate_cents=0).floor_cents is None


def test_a_correction_taken_moves_the_price_and_not_the_forecast() -> None:
    margin = {"pricing_percent": Decimal(10)}
    plain = outlook_of(history(1.5), **margin)
    taken = outlook_of(history(1.5), replace(labour(900), own_minutes=600), **margin)
    assert taken.hours.median_minutes == plain.hours.median_minutes
    assert taken.totals.net_price_cents > plain.totals.net_price_cents
    assert taken.loss_chance < plain.loss_chance


def test_ways_of_doing_it_side_by_side() -> None:
    outlook = outlook_of(history(1.5), helper_rate_cents=4000, pricing="fixed", fixed_price_cents=80000)
    ways = {way.name: way for way in what_ifs(outlook, outlook.totals.costs, 0, travel_minutes=60)}
    stands = ways["As it stands"]
    assert stands.left_cents == 80000 - outlook.cost.median_cents
    assert ways["A second visit"].minutes == stands.minutes + 60
    assert ways["A second visit"].loss_chance >= stands.loss_chance
    helped = ways["With a helper"]
    assert stands.cost_cents - helped.cost_cents == pytest.approx(stands.own_minutes / 2 * 2000 / 60, abs=30)
    assert ways["Expected hours priced in"].left_cents > 0
    capped = ways["Time and materials, capped"]
    assert capped.price_cents <= 80000


@pytest.mark.parametrize(
    ("chance", "words"), [(0.0, "fewer than 1 of 10"), (0.31, "3 of 10"), (0.96, "more than 9 of 10")]
)
def test_chances_are_jobs_out_of_ten(chance: float, words: str) -> None:
    assert chance_words(chance) == words


@pytest.mark.parametrize("jobs", range(6))
def test_up_to_five_jobs_are_cases_and_no_odds_are_told(jobs: int) -> None:
    outlook = outlook_of(history(2.0, jobs), pricing="fixed", fixed_price_cents=80000)
    assert not outlook.tells_odds
    cases = [JobCase(n, f"26-{n:03}", 600, 1200) for n in range(jobs)]
    said = " ".join([expected_sentence(outlook, cases), carries_sentence(outlook), floor_sentence(outlook)])
    assert " of 10" not in said
    assert "near" not in said
    assert "middle case" not in said, "the hours are the owner's own"
    assert warning_sentence(outlook) == ""
    if not jobs:
        assert said.startswith("You have no finished job yet")
    else:
        assert said.startswith("1 finished job of" if jobs == 1 else f"{jobs} finished jobs of")
        assert "26-000 took 20 h for 10 h quoted" in said
    assert bool(starter_range_sentence(outlook)) == (jobs == 0), "the starter's range only where there is nothing else"
    assert outlook.middle_result_cents == outlook.totals.net_price_cents - outlook.totals.cost_cents


def test_odds_begin_with_the_sixth_job_and_say_how_many_are_behind_them() -> None:
    outlook = outlook_of(history(2.0, 6))
    assert outlook.tells_odds
    assert "8 of 10" in expected_sentence(outlook)
    assert "from 6 finished jobs of this type" in expected_sentence(outlook)


def test_many_jobs_of_other_types_tell_no_odds_of_this_one() -> None:
    other = [
        Outcome(n, "Membrane", "Pipe", (), 600, 900, TODAY - timedelta(days=10 * (40 - n))) for n in range(40)
    ]  # fmt: skip
    outlook = outlook_of(fit(other, as_of=TODAY))
    assert not outlook.tells_odds
    assert expected_sentence(outlook).startswith("You have no finished job of this type yet")
    assert starter_range_sentence(outlook) == ""


def test_what_the_button_takes_and_what_it_leaves_add_up_to_what_is_expected() -> None:
    """Every job has five hours nobody quoted: the lines cannot hold them."""
    told = [
        one
        for n in range(30)
        for one in (
            Outcome(n, "Rework", "Pipe", (), 600, 600 + 5 * (n % 5), TODAY - timedelta(days=9 * (30 - n))),
            Outcome(n, "Rework", "Paint", (), 0, 300, TODAY - timedelta(days=9 * (30 - n))),
        )
    ]
    outlook = outlook_of(fit(told, as_of=TODAY), replace(labour(600), id=7))
    assert outlook.lines_minutes + outlook.left_minutes == outlook.hours.median_minutes
    assert outlook.left_minutes == pytest.approx(300, abs=40)
    assert take_words(outlook) == f"Take {format_minutes(outlook.lines_minutes)}"
    assert format_minutes(outlook.left_minutes) in left_words(outlook)


@given(st.integers(1, 5000), st.integers(1, 40), st.integers(1, 40))
def test_the_pace_of_the_last_time_is_its_minutes_for_one_times_the_quantity_here(
    minutes: int, then: int, here: int
) -> None:
    case = LineCase(1, "26-002", "Slope", 242, minutes, Decimal(then), "joint")
    assert abs(case.pace(Decimal(here)) - minutes * here / then) <= 0.5
    assert case.pace(Decimal(then)) == minutes


@given(st.integers(1, 5000), st.integers(1, 40), st.integers(100, 400), st.integers(100, 400))
def test_a_pace_takes_out_the_conditions_of_then_and_puts_in_those_of_here(
    minutes: int, here: int, then_percent: int, here_percent: int
) -> None:
    case = LineCase(1, "26-002", "Pipe", 242, minutes, Decimal(20), "ft", Decimal(then_percent))
    wanted = minutes * here / 20 * here_percent / then_percent
    assert abs(case.pace(Decimal(here), Decimal(here_percent)) - wanted) <= 0.5
    assert case.pace(Decimal(20), case.factor_percent) == minutes
    assert bool(case.conditions_words(Decimal(here_percent))) == (then_percent != here_percent)


def test_a_low_crawl_does_not_follow_into_an_open_basement() -> None:
    case = LineCase(1, "26-002", "Remove old pipe", 100, 240, Decimal(32), "ft", Decimal(160))
    assert case.pace(Decimal(32), Decimal(100)) == 150
    assert case.conditions_words(Decimal(100)) == "; its conditions (× 1.6 in its quote) are taken out, × 1 here"


def test_the_last_time_is_said_with_its_quantity_its_quote_and_its_job() -> None:
    case = LineCase(1, "26-002", "Slope", 242, 390, Decimal(6), "joint")
    assert case.words == "last time 6 h 30 for 6 joints, quoted 4 h 02: job 26-002"
    assert replace(case, quantity=Decimal(1)).words == "last time 6 h 30, quoted 4 h 02: job 26-002"
    assert replace(case, quoted=0, quantity=Decimal(0)).words == "last time 6 h 30, not quoted then: job 26-002"
    assert case.beside(Decimal(8)) == "6 h 30 for 6; here 8 h 40 for 8"
    assert case.beside(Decimal(6)) == "6 h 30"
    assert case.here(Decimal(8)) == "At that pace 8 h 40 for 8 joints here."
    assert replace(case, quantity=Decimal(0)).here(Decimal(8)) == "At that pace 6 h 30 here."
    partly = JobCase(2, "26-002", 757, 800, 25)
    assert partly.words == "26-002 took 13 h 20 for 12 h 37 quoted (without 25 min quoted for what was not done)"


def test_the_last_time_of_a_task_is_the_newest_job_of_the_type_on_which_it_took_time() -> None:
    def done(job: int, kind: str, task: str, quoted: int, took: int) -> Outcome:
        return Outcome(job, kind, task, (), quoted, took, TODAY - timedelta(days=100 - job))

    record = fit(
        [
            done(1, "Rework", "Slope", 242, 390), done(1, "Rework", "Seal", 60, 50),
            done(2, "Rework", "Slope", 242, 0), done(2, "Rework", "Seal", 60, 70), done(2, "Rework", "Seal", 0, 15),
            done(2, "Rework", "Paint", 0, 40), done(3, "Membrane", "Slope", 100, 100),
        ],
        as_of=TODAY,
    )  # fmt: skip
    last = record.last_times("Rework")
    found = {task: (one.job, one.quoted, one.actual) for task, one in last.items()}
    assert found == {"Slope": (1, 242, 390), "Seal": (2, 60, 85), "Paint": (2, 0, 40)}
    assert [(one.job, one.quoted, one.actual) for one in record.last_jobs("Rework")] == [(2, 302, 125), (1, 302, 440)]
