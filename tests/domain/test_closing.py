"""Answers given at closing: where the quoted minutes go that have no log of their own."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from domain.closing import LEFT_OUT, WITHIN, with_answers
from domain.shares import shared

MINUTES = st.integers(1, 600)


def test_time_within_a_named_task_goes_to_that_task_and_what_was_not_done_goes_away() -> None:
    quoted = {1: 60, 2: 30, 3: 20}
    assert with_answers(quoted, {1}, {2: (WITHIN, 1), 3: (LEFT_OUT, None)}) == {1: 90}
    assert with_answers(quoted, {1, 3}, {2: (WITHIN, None)}) == {1: 60 + 23, 3: 20 + 7}, "22.5 and 7.5: none is lost"


def test_an_answer_to_a_task_that_was_logged_after_all_changes_nothing() -> None:
    assert with_answers({1: 60, 2: 30}, {1, 2}, {2: (WITHIN, 1)}) == {1: 60, 2: 30}


@given(st.dictionaries(st.integers(1, 6), MINUTES, min_size=1), st.data())
def test_no_minute_is_lost_unless_it_was_not_done(quoted: dict[int, int], data: st.DataObject) -> None:
    logged = data.draw(st.sets(st.sampled_from(sorted(quoted)), min_size=1))
    answers = {
        task: (data.draw(st.sampled_from((WITHIN, LEFT_OUT))), data.draw(st.sampled_from([None, *sorted(logged)])))
        for task in quoted
        if task not in logged
    }
    kept = with_answers(quoted, logged, answers)
    gone = sum(minutes for task, minutes in quoted.items() if answers.get(task, ("",))[0] == LEFT_OUT)
    assert sum(kept.values()) == sum(quoted.values()) - gone
    assert set(kept) == logged
    assert all(kept[task] >= quoted[task] for task in logged)


@given(st.integers(0, 10_000), st.dictionaries(st.integers(1, 9), st.integers(0, 500), min_size=1))
def test_parts_add_up_and_are_within_a_minute_of_their_share(whole: int, by: dict[int, int]) -> None:
    total = sum(by.values())
    parts = shared(whole, by)
    assert sum(parts.values()) == (whole if total else 0)
    assert all(abs(part * total - whole * by[key]) < total for key, part in parts.items())
