"""What can hurt someone at a house like this, from what is known of it: shown on the survey, never a permission.

The wording is our own. Each names where the duty comes from: 29 CFR 1926 Subpart AA (confined spaces in
construction), 40 CFR 745 Subpart E (lead paint in housing built before 1978), and, for suspect asbestos and for
flue gas drawn back by suction, ANSI/AARST SGM-SF-2017 sections 11.1.1 and 11.2.3.
"""

from __future__ import annotations

from collections.abc import Iterable

from domain.people import Property

LEAD_PAINT_BEFORE = 1978
"""Housing built before this year falls under the lead paint rule, 40 CFR 745."""

ASBESTOS_USUAL_BEFORE = 1990
"""Older houses often have suspect insulation and flooring; common practice, no source."""

CLOSING_WORDS = "Local code and licensed practice decide in every case; this list only reminds."


def survey_cautions(house: Property) -> list[str]:
    """The cautions for surveying and working at this house, the most pressing first."""
    found = []
    if house.crawl_space:
        found.append(
            "Crawl space: it may count as a confined space. Have a competent person judge it before anyone goes in,"
            " look for standing water, wiring and animals, and never go in alone."
        )
    if house.year_built is None:
        found.append(
            "Year built not recorded: until it is, treat painted surfaces as lead paint and old insulation as asbestos."
        )
    else:
        if house.year_built < LEAD_PAINT_BEFORE:
            found.append(
                f"Built {house.year_built}: painted surfaces may hold lead. Disturbing more than a little of them is"
                " work for certified people under the lead renovation rule."
            )
        if house.year_built < ASBESTOS_USUAL_BEFORE:
            found.append(
                "Old pipe wrap, floor tile or loose insulation may hold asbestos. When in doubt stop and have an"
                " accredited inspector look; do not drill or scrape it."
            )
    found.append(
        "Fuel-burning appliances: suction below a house can draw flue gas indoors. Check how they vent before a fan"
        " is sized and again after it runs, and see that carbon monoxide alarms work."
    )
    return found


def work_cautions(house: Property, tasks: Iterable[str] = ()) -> list[str]:
    """The cautions for working at this house, after those of the survey: electricity, dust, solvent, heights, radon.

    Dust: 29 CFR 1926.1153 Table 1 (read in a state's mirror of it). Solvent: ASTM F402 s. 4.1 to 4.2. Electricity and
    permits: ANSI/AARST SGM-SF-2017 s. 4.4.3 to 4.4.4; who may do the wiring is local law.

    Args:
        tasks: names of the work that is planned; none: every kind is taken to come.
    """
    names = [task.casefold() for task in tasks]

    def comes(*words: str) -> bool:
        return not names or any(word in name for name in names for word in words)

    found = survey_cautions(house)
    if comes("wire", "electric", "fan", "disconnect", "fault"):
        found.append(
            "Electricity: switch the circuit off, lock it and check that it is dead. Where local law asks for a"
            " licensed electrician or a permit, that comes first."
        )
    if comes("core", "drill", "suction", "pit", "concrete", "slab", "dig", "wall", "floor"):
        found.append(
            "Concrete dust is silica: cut wet, or with a shroud and a fine-dust vacuum, and follow the dust rule for"
            " the tool in use. Rule out lines in and under the slab first."
        )
    if comes("pipe", "cement", "seal", "adhesive", "membrane"):
        found.append(
            "Cement and primer: their vapor burns and gathers low. Move air through with a fan that makes no sparks,"
            " no flames, and read the can."
        )
    if comes("roof", "outside", "attic", "discharge"):
        found.append("Heights: fall protection, a ladder tied off, away from power lines; on a roof never alone.")
    if comes("crawl", "basement", "pit", "sump", "slab", "membrane"):
        found.append(
            "Radon gathers where you work below the house: move air through, keep it short, and log hours and level."
        )
    return found
