"""What can hurt someone at a house is said from what is known of it, and never left out when it is not known."""

from __future__ import annotations

from dataclasses import replace

import pytest

from domain.cautions import (
    ASBESTOS_USUAL_BEFORE,
    CLOSING_WORDS,
    LEAD_PAINT_BEFORE,
    survey_cautions,
    work_cautions,
)
from domain.people import Property

HOUSE = Property(1, 1, "12 Mill Road", "", "", "", 2004, "", True, False, False, False, "", "", None)


def words(house: Property) -> str:
    return " ".join(survey_cautions(house)).lower()


def test_flue_gas_is_always_named() -> None:
    assert "flue gas" in words(HOUSE)
    assert len(survey_cautions(HOUSE)) == 1


def test_a_crawl_space_may_be_a_confined_space() -> None:
    assert "confined space" in words(replace(HOUSE, crawl_space=True))


@pytest.mark.parametrize(
    ("year", "lead", "asbestos"),
    [
        (LEAD_PAINT_BEFORE - 1, True, True),
        (LEAD_PAINT_BEFORE, False, True),
        (ASBESTOS_USUAL_BEFORE - 1, False, True),
        (ASBESTOS_USUAL_BEFORE, False, False),
        (None, True, True),
    ],
)
def test_lead_and_asbestos_follow_the_year_and_an_unknown_year_is_taken_as_old(
    year: int | None, lead: bool, asbestos: bool
) -> None:
    said = words(replace(HOUSE, year_built=year))
    assert ("lead" in said, "asbestos" in said) == (lead, asbestos)


def test_the_list_defers_to_local_code_and_licensed_practice() -> None:
    assert "Local code and licensed practice" in CLOSING_WORDS


def at_work(*tasks: str, house: Property = HOUSE) -> str:
    return " ".join(work_cautions(house, tasks)).lower()


@pytest.mark.parametrize(
    ("task", "word"),
    [
        ("Wire the fan", "licensed electrician"),
        ("Core and dig the suction pit", "silica"),
        ("Run pipe in basement", "vapor"),
        ("Go through the roof and flash it", "fall protection"),
        ("Lay membrane", "log hours and level"),
    ],
)
def test_planned_work_brings_its_own_caution_and_other_work_does_not(task: str, word: str) -> None:
    assert word in at_work(task)
    assert word not in at_work("Clean-up")
    assert word in at_work()  # nothing planned yet: everything may come


def test_the_cautions_of_the_house_come_first() -> None:
    old = replace(HOUSE, year_built=1950, crawl_space=True)
    said = work_cautions(old, ["Wire the fan"])
    assert said[: len(survey_cautions(old))] == survey_cautions(old)
