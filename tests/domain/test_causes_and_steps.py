"""A cause explains what ran over and no more; a step below a dollar joins its neighbor to the cent."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from domain.costing import CausedTime, CauseShare, QuotedLabour, Step, cause_shares, joined_steps
from domain.costing.tree import STEP_LABELS
from domain.earned_value import job_progress


def quoted(minutes: int, task: int = 1) -> QuotedLabour:
    return QuotedLabour(task, "Slope", "work", minutes, minutes * 100)


def test_a_cause_takes_what_ran_over_and_not_the_whole_task() -> None:
    caused = [CausedTime(1, "work", False, "Low crawl", 390)]
    assert cause_shares([quoted(242)], caused) == (CauseShare("Low crawl", 148),)
    assert cause_shares([quoted(400)], caused) == (), "nothing ran over"


def test_each_cause_takes_what_ran_over_in_its_own_entry_and_unquoted_work_is_whole() -> None:
    caused = [
        CausedTime(1, "work", False, "Mud", 130), CausedTime(1, "work", False, "Weather", 50, before=130),
        CausedTime(1, "work", True, "Mud", 20), CausedTime(9, "callback", False, "Weather", 30),
    ]  # fmt: skip
    assert cause_shares([quoted(120)], caused) == (CauseShare("Mud", 30), CauseShare("Weather", 80))


def test_time_beyond_the_quote_without_a_cause_is_nobodys() -> None:
    caused = [CausedTime(1, "work", False, "Slope", 400)]
    assert cause_shares([quoted(105)], caused) == (CauseShare("Slope", 295),)
    later = [CausedTime(1, "work", False, "Slope", 60, before=300)]  # what ran over before it named no cause
    assert cause_shares([quoted(105)], later) == (CauseShare("Slope", 60),)


@given(
    st.integers(1, 600), st.lists(st.tuples(st.sampled_from(["a", "b", "c", ""]), st.integers(1, 300)), max_size=6)
)
def test_causes_of_a_quoted_task_never_exceed_what_ran_over(minutes: int, entries: list[tuple[str, int]]) -> None:
    caused, total, named_over = [], 0, 0
    for cause, took in entries:
        if cause:
            caused.append(CausedTime(1, "work", False, cause, took, total))
        named_over += sum(1 for minute in range(total, total + took) if cause and minute >= minutes)
        total += took
    shares = cause_shares([quoted(minutes)], caused)
    assert sum(share.minutes for share in shares) == named_over <= max(total - minutes, 0)


CENTS = st.integers(-30_000, 30_000) | st.integers(-120, 120)


@given(st.fixed_dictionaries(dict.fromkeys(STEP_LABELS, CENTS)))
def test_joined_steps_add_up_to_the_cent_and_small_ones_are_gone_beside_large_ones(cents: dict[str, int]) -> None:
    shown = joined_steps([Step(key, label, cents[key]) for key, label in STEP_LABELS.items()])
    assert sum(step.cents for step in shown) == sum(cents.values())
    told = {step.key: step.cents for step in shown}
    for key in ("goodwill", "change_orders", "write_offs"):
        assert told.get(key, 0) == cents[key], "what was decided on the price stands by itself"
    for room in (("efficiency", "rate", "overhead", "unquoted_hours", "callbacks"), ("others", "unquoted_others")):
        if any(abs(cents[key]) >= 100 for key in room):
            assert not [key for key in room if 0 < abs(cents[key]) < 100 and key in told]


def test_two_cents_of_rate_are_part_of_the_time() -> None:
    steps = [Step("efficiency", "Time", -1500), Step("rate", "Cost of an hour", -2)]
    assert joined_steps(steps) == (Step("efficiency", "Time", -1502),)


def test_what_nobody_said_is_neither_done_nor_undone() -> None:
    used_up = job_progress({1: 300, 2: 300}, {1: 340, 2: 350}, {})
    assert used_up.spent > used_up.budget
    assert used_up.warning == "", "nobody said that anything is not done"
    said = job_progress({1: 300, 2: 300}, {1: 340, 2: 350}, {1: Decimal(60)})
    assert said.warning == (
        "All the quoted time is used, 1 h 30 more, and the work is not done. At this pace it ends near 15 h 17."
    )
    half = job_progress({1: 300, 2: 300}, {1: 200}, {1: Decimal(50)})
    assert half.whole == 400 + 300
    assert half.warning.startswith("Heading for 11 h 40 where 10 h was quoted: 50% of what you spoke of")
