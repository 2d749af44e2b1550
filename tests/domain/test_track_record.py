"""The track record as a quote meets it: what it says, when it refuses to be sure, and what it never does."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from math import log

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.errors import NotUnderstood
from domain.track_record import Basis, Outcome, QuotedTask, fit
from tests.domain.track_record_worlds import FIRST_DAY, LATER, WORLDS, laplace, lines, whole_jobs

DAY = date(2025, 3, 3)


def rework(job: int, times: float, *, under: tuple[str, ...] = ("low crawl",), quoted: int = 600) -> Outcome:
    return Outcome(job, "Rework", "run pipe", under, quoted, round(quoted * times), DAY + timedelta(job))


CRAWLS = [rework(job, times) for job, times in enumerate([1.5, 1.6, 0.9, 1.4, 1.3, 1.7, 0.9, 1.4, 1.72])]
FANS = [
    Outcome(100 + i, "Fan", "set fan", (), 120, 120 + 6 * (i % 3 - 1), DAY + timedelta(2 * i + 1)) for i in range(20)
]
ASK = [QuotedTask("Rework", "run pipe", ("low crawl",), 600)]


# --- few jobs ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("jobs", [0, 1, 3, 4])
def test_it_refuses_to_be_sure_with_a_few_jobs(jobs: int) -> None:
    found = fit(CRAWLS[:jobs], as_of=LATER).forecast(ASK)
    assert found.basis is Basis.DEFAULT
    assert found.median_minutes == 600  # nothing is corrected
    low, high = found.band(0.8)
    assert low < 600 * 0.55
    assert high > 600 * 1.8
    assert "too few to learn from" in found.note
    assert "default band" in found.note
    assert found.why == ()


def test_the_note_states_the_default_band_it_uses() -> None:
    found = fit(CRAWLS[:3], as_of=LATER).forecast([QuotedTask("Rework", "run pipe", (), 10_000)])
    low, high = found.band(0.8)
    assert found.note.startswith("Only 3 finished jobs: ")
    assert f"between {low / 10_000:.2f} and {high / 10_000:.2f} times the quote" in found.note


def test_five_jobs_that_all_took_double_are_heard_but_not_believed_blindly() -> None:
    found = fit([rework(job, 2.0) for job in range(5)], as_of=LATER).forecast(ASK)
    assert found.basis is Basis.OWN_TYPE
    assert 600 < found.median_minutes <= 1200
    low, high = found.band(0.8)
    assert low < 1200 < high
    assert high / low > 2


def test_bands_narrow_as_jobs_are_seen() -> None:
    widths = []
    for count in (0, 20, 200):
        low, high = (
            fit(lines(count, 3, laplace(0.15)), as_of=LATER)
            .forecast([QuotedTask("type 0", "task 0", (), 6000)])
            .band(0.8)
        )
        widths.append(log(high / low))
    assert widths == sorted(widths, reverse=True)


def test_a_type_never_seen_borrows_and_says_so() -> None:
    found = fit(CRAWLS + FANS, as_of=LATER).forecast([QuotedTask("Membrane", "lay", (), 600)])
    assert found.basis is Basis.OTHER_WORK
    assert found.type_jobs == 0
    assert found.note == "No finished job of this type: what other work took stands in for it."


def test_a_type_never_seen_has_a_wider_band_than_one_well_seen() -> None:
    record = fit(lines(400, 1, laplace(0.2), type_sd=0.4), as_of=LATER)
    widths = []
    for kind in ("type 0", "a new one"):
        low, high = record.forecast([QuotedTask(kind, "task 0", (), 6000)]).band(0.8)
        widths.append(log(high / low))
    assert widths[0] * 1.1 < widths[1]


# --- what it says -----------------------------------------------------------------------------------------------


def test_why_counts_the_jobs_like_this_one_and_names_them() -> None:
    found = fit(CRAWLS + FANS, as_of=LATER).forecast(ASK)
    first = found.why[0]
    assert first.text == "9 jobs of “Rework” with “low crawl” took 1.38 times the quoted hours; 7 of 9 ran over."
    assert first.jobs == (8, 7, 6, 5, 4, 3, 2, 1, 0)
    assert first.ran_over == 7
    assert first.times == pytest.approx(1.38)


def test_one_job_is_spoken_of_as_one() -> None:
    found = fit([*CRAWLS, rework(50, 1.5, under=("mud",))], as_of=LATER).forecast(
        [replace(ASK[0], conditions=("mud",))]
    )
    assert found.why[0].text == "1 job of “Rework” with “mud” took 1.50 times the quoted hours."


def test_a_quote_of_a_kind_that_runs_over_is_expected_to() -> None:
    record = fit(CRAWLS + FANS, as_of=LATER)
    crawl, fan = record.forecast(ASK), record.forecast([QuotedTask("Fan", "set fan", (), 120)])
    assert crawl.median_minutes > 690
    assert crawl.probability_over(600) > 0.5
    assert fan.median_minutes == pytest.approx(120, abs=4)


def test_unquoted_work_is_told_as_chance_amount_and_tasks() -> None:
    forgotten = [
        Outcome(job, "Rework", task, (), 0, minutes, DAY)
        for job, task, minutes in [
            (1, "correct slope", 90),
            (3, "correct slope", 60),
            (3, "seal", 30),
            (5, "seal", 200),
        ]
    ]
    record = fit(CRAWLS + forgotten, as_of=LATER)
    found = record.unquoted("Rework")
    assert (found.seen, found.jobs, found.median_minutes) == (9, (5, 3, 1), 90)
    assert found.chance == pytest.approx(3 / 9)
    assert [(task.task, task.median_minutes, task.jobs) for task in found.tasks] == [
        ("seal", 115, (5, 3)),
        ("correct slope", 75, (3, 1)),
    ]
    assert any(
        why.text.startswith("3 of 9 had work that was not quoted, 1 h 30 in") for why in record.forecast(ASK).why
    )
    assert record.unquoted("Fan").tasks == ()


def test_unquoted_work_counts_in_what_a_quote_is_expected_to_take() -> None:
    jobs = [rework(job, 1.0) for job in range(40)]
    forgotten = [Outcome(job, "Rework", "extra", (), 0, 300, DAY) for job in range(40)]
    assert fit(jobs, as_of=LATER).forecast(ASK).median_minutes == 600
    assert fit(jobs + forgotten, as_of=LATER).forecast(ASK).median_minutes > 800


def test_lines_are_forecast_one_by_one_beside_the_whole() -> None:
    record = fit(whole_jobs(150, 4, laplace(0.25)), as_of=LATER)
    tasks = [QuotedTask("type 0", f"task {i}", (), 120) for i in range(4)]
    found = record.forecast(tasks)
    assert [line.task for line in found.lines] == tasks
    whole_low, whole_high = found.band(0.8)
    for line in found.lines:
        low, high = line.band(0.8)
        # errors partly cancel in a sum, so a line is less certain than the whole
        assert log(high / low) > log(whole_high / whole_low)


# --- what is handled with care ----------------------------------------------------------------------------------


def test_lines_without_minutes_are_left_out_aloud() -> None:
    record = fit(CRAWLS + FANS, as_of=LATER)
    found = record.forecast([*ASK, QuotedTask("Rework", "seal", (), 0)])
    assert found.note == "1 line has no minutes yet."
    assert found.lines[1].band(0.8) == (0, 0)
    nothing = record.forecast([QuotedTask("Rework", "seal", (), 0)])
    assert (nothing.median_minutes, nothing.band(0.95), nothing.probability_over(0)) == (0, (0, 0), 0.0)
    assert nothing.note == "No minutes are quoted, so there is nothing to correct."
    assert nothing.times is None
    assert record.forecast([]).median_minutes == 0


def test_a_job_with_nothing_quoted_is_left_out_and_listed() -> None:
    record = fit([*CRAWLS, Outcome("gift", "Rework", "seal", (), 0, 60, DAY)], as_of=LATER)
    assert record.left_out == ("gift",)
    assert record.jobs == 9


def test_work_not_done_pulls_the_low_end_to_nothing() -> None:
    done = lines(200, 1, laplace(0.2))
    record = fit([replace(line, actual_minutes=0) if i % 4 == 0 else line for i, line in enumerate(done)], as_of=LATER)
    found = record.forecast([QuotedTask("type 0", "task 0", (), 600)])
    assert found.quantile(0.1) == 0
    assert found.median_minutes > 300
    tests = record.backtest()
    assert tests.not_done == sum(1 for test in tests.tests if test.actual_minutes == 0) > 40
    assert tests.mean_absolute_log_error is not None


def test_minutes_below_nothing_are_refused_kindly() -> None:
    with pytest.raises(NotUnderstood, match="below zero"):
        fit([Outcome(1, "Rework", "seal", (), -5, 60, DAY)], as_of=LATER)
    with pytest.raises(NotUnderstood, match="below zero"):
        fit(CRAWLS, as_of=LATER).forecast([QuotedTask("Rework", "seal", (), -1)])


def test_jobs_finished_after_the_day_are_not_known_on_it() -> None:
    record = fit(CRAWLS, as_of=DAY + timedelta(5))
    assert record.jobs == 6
    assert record.forecast(ASK).quantile(0.9) == fit(CRAWLS[:6], as_of=LATER).forecast(ASK).quantile(0.9)


def test_one_condition_given_as_a_word_is_one_condition() -> None:
    as_word = fit([replace(line, conditions="low crawl") for line in CRAWLS], as_of=LATER)
    assert as_word.forecast(ASK).why[0].text == fit(CRAWLS, as_of=LATER).forecast(ASK).why[0].text


def test_the_same_outcomes_give_the_same_record() -> None:
    outcomes = WORLDS["jobs of many lines"](400, 1)
    first, second = fit(outcomes, as_of=LATER), fit(list(outcomes), as_of=LATER)
    assert first.backtest() == second.backtest()
    ask = [QuotedTask("type 1", "task 3", ("mud",), 95)]
    assert [first.forecast(ask).quantile(p / 20) for p in range(1, 20)] == [
        second.forecast(ask).quantile(p / 20) for p in range(1, 20)
    ]


# --- the back-test ----------------------------------------------------------------------------------------------


def test_a_past_job_is_forecast_without_a_look_at_what_came_later() -> None:
    outcomes = lines(160, 9, laplace(0.3))
    otherwise = [
        replace(line, actual_minutes=line.actual_minutes * 3) if line.job >= 100 else line for line in outcomes
    ]
    as_it_was, changed = (fit(some, as_of=LATER).backtest().tests for some in (outcomes, otherwise))
    before = [test for test in as_it_was if test.job < 100]  # type: ignore[operator]
    assert len(before) == 95
    assert before == [test for test in changed if test.job < 100]  # type: ignore[operator]
    assert as_it_was[-1].median_minutes != changed[-1].median_minutes


def test_a_job_quoted_long_before_it_was_finished_is_forecast_from_the_day_of_the_quote() -> None:
    outcomes = lines(120, 2, laplace(0.3))
    last = replace(outcomes[-1], quoted_on=FIRST_DAY + timedelta(60))
    otherwise = [
        replace(line, actual_minutes=line.actual_minutes * 4) if line.finished_on >= last.quoted_on else line
        for line in outcomes[:-1]
    ]
    for some in (outcomes[:-1], otherwise):
        test = fit([*some, last], as_of=LATER).backtest().tests[-1]
        assert test.job == last.job
        assert test.median_minutes == fit([*outcomes[:-1], last], as_of=LATER).backtest().tests[-1].median_minutes


def test_the_first_jobs_are_not_tested_and_the_sentence_counts_right() -> None:
    tests = fit(lines(80, 1, laplace(0.3)), as_of=LATER).backtest()
    assert tests.jobs == 75
    last = tests.last(60)
    assert last.in_words() == f"Of your last 60 jobs, {last.inside(80)} fell inside the 80% band."
    assert last.coverage[80] == last.inside(80) / 60
    assert set(tests.plain_rules) == {"no correction", "one overall factor", "median of the type"}
    of_one = tests.where(lambda test: test.job_type == "type 0")
    assert 0 < of_one.jobs < 75


def test_the_plain_rule_of_no_correction_is_what_it_says() -> None:
    tests = fit(lines(80, 1, laplace(0.3)), as_of=LATER).backtest()
    by_hand = [abs(log(test.actual_minutes / test.quoted_minutes)) for test in tests.tests]
    assert tests.plain_rules["no correction"] == pytest.approx(sum(by_hand) / len(by_hand))


def test_with_nothing_to_test_it_says_so() -> None:
    tests = fit(CRAWLS[:4], as_of=LATER).backtest()
    assert (tests.jobs, tests.coverage, tests.bias, tests.mean_absolute_log_error, tests.plain_rules) == (
        0, {}, None, None, {},
    )  # fmt: skip
    assert "five finished jobs" in tests.in_words()


# --- any history ------------------------------------------------------------------------------------------------

OUTCOMES = st.lists(
    st.builds(
        Outcome,
        job=st.integers(0, 12),
        job_type=st.sampled_from(["Rework", "Fan"]),
        task=st.sampled_from(["seal", "pipe", "test"]),
        conditions=st.sets(st.sampled_from(["mud", "heat"])).map(tuple),
        quoted_minutes=st.integers(0, 3000),
        actual_minutes=st.integers(0, 100_000),
        finished_on=st.integers(0, 40).map(lambda days: DAY + timedelta(days)),
        quoted_on=st.none() | st.integers(-20, 60).map(lambda days: DAY + timedelta(days)),
    ),
    max_size=40,
)


@settings(max_examples=60, deadline=None)
@given(OUTCOMES, st.integers(1, 3000), st.integers(0, 6000))
def test_any_history_gives_a_distribution(outcomes: list[Outcome], quoted: int, minutes: int) -> None:
    record = fit(outcomes, as_of=LATER)
    found = record.forecast([QuotedTask("Rework", "seal", ("mud",), quoted)])
    quantiles = [found.quantile(p / 20) for p in range(1, 20)]
    assert quantiles == sorted(quantiles)
    assert found.quantile(0.5) == found.median_minutes >= 1
    for p in (0.5, 0.8, 0.95):
        low, high = found.band(p)
        assert 0 <= low <= found.median_minutes <= high
    assert 0 <= found.probability_over(minutes) <= 1
    assert found.probability_over(minutes) >= found.probability_over(minutes + 60)
    at_most = 1 - found.probability_over(found.quantile(0.9) + 1)
    assert at_most >= 0.9 - 1e-6
    record.backtest()


@pytest.mark.parametrize("p", [0, 1, -0.1, 1.5])
def test_a_share_outside_nothing_and_all_is_a_mistake_of_the_caller(p: float) -> None:
    found = fit(CRAWLS, as_of=LATER).forecast(ASK)
    with pytest.raises(ValueError):
        found.quantile(p)
    with pytest.raises(ValueError):
        found.band(p)


def test_what_was_learned_from_is_read_back_line_by_line() -> None:
    day, written = date(2026, 3, 4), date(2026, 2, 1)
    lines = [
        Outcome(7, "rework", "run pipe", ("low crawl", "mud"), 120, 200, day, written),
        Outcome(7, "rework", "seal", ("low crawl", "mud"), 60, 0, day, written),
        Outcome(7, "rework", "clean up", ("low crawl", "mud"), 0, 45, day, written),
        Outcome(8, "fan", "set fan", (), 90, 90, day, written),
    ]
    record = fit(lines, as_of=date(2026, 12, 31))
    assert list(record.outcomes()) == lines
    assert record.lines == 3
