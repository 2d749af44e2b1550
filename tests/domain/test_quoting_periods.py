"""How quotes held over time: sums that tie whichever way they are cut, and the sentence about improving."""

from __future__ import annotations

from datetime import date, timedelta
from math import log

from hypothesis import given
from hypothesis import strategies as st

from domain.costing import JobResult
from domain.quoting_periods import PeriodRecord, by_period, improving_words
from domain.quoting_record import by_type, underbids
from domain.track_record import JobTest

FIRST, TODAY = date(2023, 5, 1), date(2026, 4, 30)
TYPES = ("Rework", "New system", "Service call")


def job(number: int, kind: str, closed: date | None, quoted: int, actual: int, cost: int, **more: object) -> JobResult:
    values: dict[str, object] = {
        "job_id": number, "number": str(number), "title": "", "customer": "", "job_type": kind, "foundation": "",
        "lead_source": "", "conditions": (), "opened_on": FIRST, "closed_on": closed, "cancelled_on": None,
        "accepted": True, "quoted_price_cents": 150_000, "quoted_cost_cents": 100_000, "change_order_price_cents": 0,
        "change_order_cost_cents": 0, "goodwill_cents": 0, "written_off_cents": 0, "quoted_minutes": quoted,
        "actual_minutes": actual, "actual_cost_cents": cost, "own_minutes": actual, "own_labour_cents": actual * 100,
    }  # fmt: skip
    return JobResult(**(values | more))  # type: ignore[arg-type]


def forecast(one: JobResult) -> JobTest:
    assert one.closed_on is not None
    error = log(one.actual_minutes / 500) if one.actual_minutes else None
    return JobTest(one.job_id, one.job_type, one.closed_on, one.quoted_minutes, 500, {}, one.actual_minutes, error, {})


JOBS = st.lists(
    st.builds(
        job, st.integers(1, 10_000), st.sampled_from(TYPES),
        st.one_of(st.none(), st.dates(FIRST, TODAY)), st.integers(0, 3_000), st.integers(0, 3_000),
        st.integers(0, 300_000), accepted=st.booleans(), cancelled_on=st.sampled_from([None, None, TODAY]),
    ),
    max_size=40,
)  # fmt: skip


@given(JOBS)
def test_every_cut_adds_up_to_the_same_money_and_hours(jobs: list[JobResult]) -> None:
    tests = [forecast(one) for one in jobs if one.closed_on and one.accepted and not one.cancelled_on]
    years, quarters = by_period(jobs, tests), by_period(jobs, tests, quarters=True)
    typed = [row for kind in TYPES for row in by_period(jobs, tests, job_type=kind)]
    beyond = sum(
        max(0, one.actual_cost_cents - 100_000)
        for one in jobs if one.closed_on and one.accepted and not one.cancelled_on
    )  # fmt: skip
    for cut in (years, quarters, typed):
        assert sum(row.under_cents for row in cut) == beyond
        assert sum(row.jobs for row in cut) == len(tests)
        assert sum(row.quoted_minutes for row in cut) == sum(test.quoted_minutes for test in tests)
        assert sum(row.corrected_minutes for row in cut) == 500 * len(tests)
        assert sum(row.actual_minutes for row in cut) == sum(test.actual_minutes for test in tests)
    assert [row.name for row in quarters] == sorted(row.name for row in quarters)


@given(JOBS)
def test_what_underbids_cost_in_twelve_months_is_the_sum_over_the_job_types(jobs: list[JobResult]) -> None:
    assert sum(row.under_cents for row in by_type(jobs, [], TODAY)) == underbids(jobs, TODAY).cents


def test_a_quarter_is_named_and_holds_its_own_jobs() -> None:
    jobs = [job(n, "Rework", date(2025, month, 28), 600, 900, 120_000) for n, month in enumerate((1, 3, 4, 12))]
    found = by_period(jobs, [forecast(one) for one in jobs], quarters=True)
    assert [(row.name, row.jobs, row.over) for row in found] == [
        ("2025, quarter 1", 2, 2), ("2025, quarter 2", 1, 1), ("2025, quarter 4", 1, 1)
    ]  # fmt: skip
    assert found[0].under_cents == 40_000
    assert found[0].quote_miss == 50
    assert found[0].record_miss == 80
    # (price 1,500 - cost 1,200) of margin and 900 $ of own labour a job, for 15 h
    assert found[0].hour is not None
    assert found[0].hour.per_hour_cents == 8_000


def year(name: str, miss: int, timed: int = 9) -> PeriodRecord:
    return PeriodRecord(name, timed, 0, None, timed, timed, 0, 0, 0, miss, None)


def test_improving_needs_two_years_of_five_jobs() -> None:
    first, last = year("2024", 30), year("2026", 12)
    assert improving_words([first]).startswith("It takes two years")
    assert improving_words([first, year("2025", 12, timed=4)]).startswith("It takes two years")
    assert improving_words([first, last]).endswith("quoting improves.")
    assert improving_words([last, first]).endswith("quoting gets worse.")
    assert "in 2026 12%" in improving_words([first, last])


def test_a_job_closed_a_year_ago_to_the_day_no_longer_counts() -> None:
    year_ago = date(2025, 4, 30)
    jobs = [job(n, "Rework", year_ago + timedelta(days=n), 600, 900, 120_000) for n in range(2)]
    assert underbids(jobs, TODAY).jobs == 1


def test_a_job_that_is_not_fully_logged_moves_nothing_and_is_said() -> None:
    known = [job(n, "Rework", date(2026, 2, n + 1), 600, 700, 120_000) for n in range(6)]
    half = job(9, "Rework", date(2026, 3, 1), 600, 30, 500_000, unanswered=3)
    assert by_type([*known, half], [], TODAY) == by_type(known, [], TODAY)
    assert by_period([*known, half], []) == by_period(known, [])
    assert underbids([*known, half], TODAY).cents == underbids(known, TODAY).cents
    assert underbids([*known, half], TODAY).words.endswith("1 job not fully logged left out.")


def test_times_that_nobody_could_forecast_are_told_as_they_were() -> None:
    (row,) = by_type([job(1, "Rework", TODAY, 1_975, 2_420, 120_000)], [], TODAY)
    assert (row.tested, row.quoted_minutes, row.corrected_minutes, row.actual_minutes) == (0, 1_975, 0, 2_420)
