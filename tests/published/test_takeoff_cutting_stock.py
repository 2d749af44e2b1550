"""A published cutting-stock instance: paper rolls cut from master rolls of 5,600 mm.

Widths, numbers wanted and the lower bound 407,160 / 5,600 = 72.7 were read second-hand, in a stored copy of a
restatement of an encyclopedia's article "Cutting stock problem" (EPFL Graph Search, concept 826868). That 73 rolls are
the optimum is from memory; here it follows from the bound and a plan that meets it.
"""

from __future__ import annotations

from domain.takeoff.cutting import cut_list
from domain.takeoff.stick_bounds import sticks_at_least

MASTER = 5600
WANTED = {
    1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20,
    2000: 10, 2050: 12, 2100: 14, 2140: 16, 2150: 18, 2200: 20,
}  # fmt: skip
ROLLS = [width for width, number in WANTED.items() for _ in range(number)]


def test_the_total_and_its_bound() -> None:
    assert sum(ROLLS) == 407_160
    assert sticks_at_least(sorted(ROLLS, reverse=True), MASTER) == 73


def test_a_plan_of_seventy_three_rolls_is_found_and_proven() -> None:
    found = cut_list(ROLLS, MASTER)
    assert found.new_sticks == 73
    assert found.proven
    assert sorted(cut for stick in found.sticks for cut in stick.cuts) == sorted(ROLLS)
