"""Lists as owners leave them: tasks and items renamed, gone, switched off, linked twice; own job types; any route."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from domain.job_takeoff.answers import BOTH
from domain.job_takeoff.reckoning import TakeoffFacts, reckon, rules_of
from domain.job_takeoff.reconciling import reconcile
from domain.job_takeoff.standing import counted_lines, usual_lines
from domain.job_takeoff.stands_for import GOODS_PARTS, ITEM, TASK, UNSAID, WORK_PARTS, UsualPart
from domain.routes import Fitting, Leg, Route, Run
from tests.db.test_reconciling import JOB_TYPES, RATE, check, facts_of, sheet
from tests.domain.route_examples import routes

WORK, GOODS = (UNSAID, *WORK_PARTS), (UNSAID, *GOODS_PARTS)
QUICKLY = (Phase.explicit, Phase.reuse, Phase.generate)


@st.composite
def facts_left_so(draw: st.DrawFn) -> TakeoffFacts:
    """The starting library as some owner left it, with a job type of the owner's own."""
    facts = facts_of(draw(st.sampled_from(JOB_TYPES)))
    tasks, items = list(facts.picks.tasks), list(facts.picks.items)
    for n in draw(st.sets(st.integers(0, len(tasks) - 1), max_size=12)):
        odd = draw(st.sampled_from(("renamed", "archived", "by the piece")))
        changed = {"renamed": {"name": f"Own {n}"}, "archived": {"archived": True}, "by the piece": {"unit": "each"}}
        tasks[n] = replace(tasks[n], task=replace(tasks[n].task, **changed[odd]))
    for n in draw(st.sets(st.integers(0, len(items) - 1), max_size=12)):
        odd = draw(st.sampled_from(("renamed", "archived", "no price", "other unit")))
        if odd == "no price":
            items[n] = replace(items[n], unit_cost=None)
        else:
            other = {"renamed": {"name": f"Own {n}"}, "archived": {"archived": True}, "other unit": {"unit": "box"}}
            items[n] = replace(items[n], item=replace(items[n].item, **other[odd]))
    gone = draw(st.integers(0, 9))
    usual = facts.usual
    if draw(st.booleans()):  # a job type of one's own, linked as it came to mind
        some_tasks = draw(st.lists(st.sampled_from(tasks), max_size=8, unique_by=lambda one: one.task.id))
        some_items = draw(st.lists(st.sampled_from(items), max_size=8, unique_by=lambda one: one.item.id))
        usual = (
            *(UsualPart(TASK, one.task.id, Decimal(2), draw(st.sampled_from(WORK))) for one in some_tasks),
            *(UsualPart(ITEM, one.item.id, Decimal(2), draw(st.sampled_from(GOODS))) for one in some_items),
        )
    chosen = {"pit": None} if draw(st.booleans()) else {}
    picks = replace(facts.picks, tasks=tuple(tasks[gone:]), items=tuple(items[gone:]))
    return replace(facts, picks=picks, usual=usual, tasks_chosen=chosen)


@settings(max_examples=60, deadline=None, phases=QUICKLY)
@given(facts_left_so(), routes(), st.none() | routes())
def test_whatever_an_owner_did_to_the_lists_nothing_is_twice_and_nothing_usual_is_lost(
    facts: TakeoffFacts, proposed: Route, found: Route | None
) -> None:
    sheets = [sheet(proposed, "proposed"), *([sheet(found, "found")] if found is not None else [])]
    counted = reckon(facts, sheets, rules_of(facts))
    lines = counted_lines(counted, RATE)
    made = reconcile(usual_lines(facts, RATE), lines, {}, begins=True, old_pipe_goes=counted.old_pipe_goes)
    check(made, counted, facts)
    assert made.twice == ()
    tasks = [row.counted.of_id for row in made.rows if row.takes and row.counted and row.counted.of == TASK]
    assert len(tasks) == len(set(tasks))
    for row in made.rows:
        if row.answer == BOTH:
            assert row.standing is None


def long_route(legs: int) -> Route:
    parts: list[Leg | Fitting] = []
    for n in range(legs):
        space = ("basement", "crawl", "outside")[n % 3]
        parts += [Leg("along", Decimal(4), Decimal(3), space), Fitting("elbow_90", Decimal(3), space)]
    return Route("", "proposed", (Run("A", "pit", tuple(parts[:-1])),) if legs else ())


@pytest.mark.parametrize("legs", [0, 1, 2, 1000])
@pytest.mark.parametrize("name", [JOB_TYPES[0], JOB_TYPES[-1]])
def test_no_leg_one_leg_and_a_thousand(legs: int, name: str) -> None:
    facts = facts_of(name)
    counted = reckon(facts, [sheet(long_route(legs), "proposed")], rules_of(facts))
    made = reconcile(usual_lines(facts, RATE), counted_lines(counted, RATE), {}, begins=True)
    check(made, counted, facts)
    feet = sum((one.quantity for one in counted.driven if one.driver.kind == "pipe_ft"), Decimal(0))
    assert feet == 4 * legs
    assert sum(one.quantity for one in counted.driven if one.driver.kind == "pit") == (1 if legs else 0)
