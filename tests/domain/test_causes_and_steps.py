"""A cause explains what ran over and no more; a step below a dollar joins its neighbor to the cent."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from domain.costing import CausedTime, CauseShare, LoggedLabour, QuotedLabour, Step, cause_shares, joined_steps
from domain.costing.tree import STEP_LABELS
from domain.earned_value import job_progress


def quoted(minutes: int, task: int = 1) -> QuotedLabour:
    return QuotedLabour(task, "Slope", "work", minutes, minutes * 100)


def logged(minutes: int, task: int = 1, unquoted: bool = False) -> LoggedLabour:
    return LoggedLabour(task, "Slope", "work", minutes, minutes * 100, 0, unquoted)


def test_a_cause_takes_what_ran_over_and_not_the_whole_task() -> None:
    caused = [CausedTime(1, "work", False, "Low crawl", 390)]
    assert cause_shares([quoted(242)], [logged(390)], caused) == (CauseShare("Low crawl", 148),)
    assert cause_shares([quoted(400)], [logged(390)], caused) == (), "nothing ran over"


def test_two_causes_divide_what_ran_over_and_unquoted_work_is_whole() -> None:
    caused = [
        CausedTime(1, "work", False, "Mud", 100), CausedTime(1, "work", False, "Weather", 50),
        CausedTime(1, "work", True, "Mud", 20), CausedTime(9, "callback", False, "Weather", 30),
    ]  # fmt: skip
    shares = cause_shares([quoted(120)], [logged(150), logged(20, unquoted=True)], caused)
    assert shares == (CauseShare("Mud", 40), CauseShare("Weather", 40))


@given(
    st.integers(1, 600),
    st.lists(st.tuples(st.sampled_from("abc"), st.integers(1, 300)), max_size=6),
    st.integers(0, 300),
)
def test_causes_of_a_quoted_task_never_exceed_what_ran_over(
    minutes: int, caused: list[tuple[str, int]], without: int
) -> None:
    total = sum(took for _, took in caused) + without
    shares = cause_shares([quoted(minutes)], [logged(total)], [CausedTime(1, "work", False, *one) for one in caused])
    over = max(total - minutes, 0)
    assert sum(share.minutes for share in shares) == min(over, sum(took for _, took in caused))


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
    assert half.warning.startswith("Heading for 11 h 40 where 10 h was quoted: 50 % of what you spoke of")
