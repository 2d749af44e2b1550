"""What can hurt someone at a house like this, from what is known of it: shown on the survey, never a permission.

The wording is our own. Each names where the duty comes from: 29 CFR 1926 Subpart AA (confined spaces in
construction), 40 CFR 745 Subpart E (lead paint in housing built before 1978), and, for suspect asbestos and for
flue gas drawn back by suction, ANSI/AARST SGM-SF-2017 sections 11.1.1 and 11.2.3.
"""

from __future__ import annotations

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
