"""Each condition of the starting library weighs only on work it can lengthen (common practice, no source)."""

from __future__ import annotations

import pytest

from db.starter.files import table_rows

NEVER = {
    "Low crawl": ("basement", "attic", "outside", "roof", "Paint", "sump lid", "floor-drain"),
    "Mud": ("basement", "attic", "roof", "Set the fan", "Paint"),
    "Finished basement": ("crawl", "membrane", "attic", "outside", "roof", "Set the fan"),
    "Occupied rooms": ("crawl", "membrane", "attic", "outside", "roof"),
    "Steep roof": ("crawl", "membrane", "basement", "slab", "suction pit", "sump", "attic"),
    "Heat in the attic": ("crawl", "membrane", "basement", "slab", "suction pit", "sump", "outside"),
    "Someone else's pipework": ("membrane", "Paint", "Clean-up", "cracks", "Set-up"),
}
"""Words of tasks on which a condition has no say."""


@pytest.mark.parametrize("condition", NEVER)
def test_a_condition_has_a_say_only_where_it_can(condition: str) -> None:
    weighs = [row["task"] for row in table_rows("factors.csv") if row[condition]]
    assert weighs, "every condition lengthens some work"
    odd = [task for task in weighs for word in NEVER[condition] if word.casefold() in task.casefold()]
    assert odd == []
