"""An access condition lengthens only the part of a task that is done in its space; the minutes stay exact."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from hypothesis import assume, given
from hypothesis import strategies as st

from domain.job_takeoff.conditions import in_space, together, weighed_words
from domain.job_takeoff.driving import drive, task_totals
from domain.library import LabourTask
from domain.quoting.quantities import combined_factor, standard_minutes
from domain.quoting.refresh import TaskPick
from domain.routes.route import SPACES
from domain.takeoff import LabourDriver

LOW, MUD = ("Low crawl", Decimal(150)), ("Mud", Decimal(110))


def pick(minutes: str, *weights: tuple[str, Decimal]) -> TaskPick:
    task = LabourTask(1, "Remove old pipe", 1, False, "ft", Decimal(minutes), "work", "")
    return TaskPick(task, combined_factor(p for _, p in weights), tuple(n for n, p in weights if p != 100), weights)


def old_pipe(space: str, feet: str) -> LabourDriver:
    return LabourDriver("remove_ft", space, Decimal(feet), "ft", f"{feet} ft of old pipe")


def test_low_crawl_weighs_on_the_crawl_part_alone_and_mud_on_all() -> None:
    (total,) = task_totals(drive([old_pipe("crawl", "20"), old_pipe("outside", "10")], [pick("2.5", LOW, MUD)], {}))
    assert total.minutes == 110  # 20 x 2.5 x 1.5 x 1.1 + 10 x 2.5 x 1.1 = 82.5 + 27.5
    assert total.minutes == standard_minutes(Decimal(30), Decimal("2.5"), total.pick.factor_percent)
    assert total.reason.endswith("Low crawl × 1.5 on 20 of 30 ft, Mud")


def test_what_is_all_in_one_space_has_its_own_factor() -> None:
    (outside,) = task_totals(drive([old_pipe("outside", "10")], [pick("2.5", LOW)], {}))
    assert (outside.minutes, outside.pick.factor_percent, outside.pick.why) == (25, 100, "")
    (crawl,) = task_totals(drive([old_pipe("crawl", "10")], [pick("2.5", LOW)], {}))
    assert (crawl.pick.factor_percent, crawl.reason.endswith("; Low crawl")) == (150, True)
    for space in ("", "slab"):  # not known, or under any floor
        assert in_space(pick("2.5", LOW), space).factor_percent == 150
    assert in_space(pick("2.5", ("Narrow stairs", Decimal(140))), "outside").factor_percent == 140, "an owner's own"


NAMES = (
    "Low crawl", "Mud", "Long carry", "Finished basement", "Occupied rooms", "Steep roof", "Heat in the attic", "Dog",
)  # fmt: skip
some_weights = st.lists(
    st.tuples(st.sampled_from(NAMES), st.decimals(100, 250, places=1)), max_size=5, unique_by=lambda one: one[0]
)
some_parts = st.lists(
    st.tuples(st.sampled_from([*SPACES, ""]), st.decimals("0.001", 900, places=3)), min_size=1, max_size=8
)


@given(some_weights, some_parts, st.decimals("0.1", 120, places=3))
def test_the_minutes_of_all_parts_are_those_of_the_line(
    weights: list[tuple[str, Decimal]], parts: list[tuple[str, Decimal]], minutes: Decimal
) -> None:
    whole = pick(str(minutes), *weights)
    done = [(feet, in_space(whole, space)) for space, feet in parts]
    exact = sum(
        (Fraction(feet) * Fraction(minutes) * Fraction(one.factor_percent) / 100 for feet, one in done), Fraction(0)
    )
    assume(exact < 50_000)  # minutes: beyond, a thousandth of a percent is more than one
    made = together(done)
    total = sum((feet for feet, _ in done), Decimal(0))
    assert standard_minutes(total, minutes, made.factor_percent) == int(exact + Fraction(1, 2))
    assert made.factor_percent <= whole.factor_percent
    assert all(name in weighed_words(done) for name in made.conditions)
