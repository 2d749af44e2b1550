"""The price a job can carry, against sums done by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.job_price import (
    Outlook,
    chance_words,
    goodwill_sentence,
    own_lines,
    priced_outlook,
    warning_sentence,
    what_ifs,
)
from domain.quoting.lines import LabourLine, QuoteDocument
from domain.quoting.price import build_price
from domain.track_record import MaterialOutcome, Outcome, TrackRecord, fit, fit_materials
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
    assert replace(outlook, helper_rate_cents=0).floor_cents is None


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


def test_three_jobs_are_not_enough_to_be_sure() -> None:
    outlook = outlook_of(history(2.0, jobs=3))
    assert not outlook.sure
    assert outlook.hours.median_minutes == 600
    low, high = outlook.hours.band(0.8)
    assert high >= 2 * low
