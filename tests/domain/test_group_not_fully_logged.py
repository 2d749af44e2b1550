"""Time nobody wrote down is not praised as saved in the sentence of a group."""

from __future__ import annotations

from dataclasses import replace

from domain.costing.group_why import GroupWhy, TaskSum


def test_less_than_quoted_is_not_said_of_jobs_not_fully_logged() -> None:
    why = GroupWhy(0, (), 0, (TaskSum("Clean up", 154, 0, 0, 0),), ())
    assert why.sentence == "2 h 34 less than quoted."
    assert replace(why, not_fully_logged=1).sentence == "1 job not fully logged."
    over = replace(why, tasks=(TaskSum("Clean up", 60, 90, 0, 0),), not_fully_logged=2)
    assert over.sentence.startswith("2 jobs not fully logged; logged: 30 min more than quoted; furthest over: 30 min")
