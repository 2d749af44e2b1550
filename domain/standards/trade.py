"""Figures of the trade: radon levels, test timing, pipe, discharge, membrane, records.

Sources disagree in places; both figures are kept then, and the owner chooses. Local code comes before all.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from domain.standards.table import COMPUTED, READ, SECOND_HAND, Standard

FIRST_DAY = date(2018, 1, 1)
"""Records older than this are history; the editions named were in use by then or are restated unchanged."""

SGM = "ANSI/AARST SGM-SF"
RMS = "ANSI/AARST RMS-LB"
MAH = "ANSI/AARST MAH"
CC = "ANSI/AARST CC-1000"
PENNSYLVANIA = "25 Pa. Code"
EPA_STANDARDS = "EPA Radon Mitigation Standards"


def _fact(
    key: str, value: str, unit: str, label: str, source: str, section: str, edition: str, seen: str = READ
) -> Standard:
    return Standard(key, Decimal(value), unit, source, section, edition, FIRST_DAY, seen, label)


LEVELS = (
    _fact("action_level", "4", "pCi/L", "action level", "EPA", "What is EPA's Action Level", "2021 copy"),
    _fact(
        "consider_level",
        "2",
        "pCi/L",
        "consider fixing from",
        "EPA",
        "What is EPA's Action Level",
        "2021 copy",
    ),
    _fact(
        "reference_level",
        "100",
        "Bq/m3",
        "WHO reference level",
        "WHO Handbook on Indoor Radon",
        "",
        "2009",
        SECOND_HAND,
    ),
    _fact(
        "bq_per_pci",
        "37",
        "Bq/m3 per pCi/L",
        "becquerels in a picocurie",
        "definition of the curie",
        "1 Ci = 3.7e10 Bq",
        "",
        COMPUTED,
    ),
)

TESTS = (
    _fact("short_test_hours", "48", "hours", "shortest test", PENNSYLVANIA, "240.310(a)(4)(ii)", ""),
    _fact("short_test_days", "90", "days", "longest short-term test", PENNSYLVANIA, "240.310(a)(4)(ii)", ""),
    _fact(
        "long_test_days",
        "91",
        "days",
        "shortest long-term test",
        "EPA, restated by a training page",
        "",
        "",
        SECOND_HAND,
    ),
    _fact(
        "closed_house_hours",
        "12",
        "hours",
        "closed house before a test",
        PENNSYLVANIA,
        "240.310(a)(4)(iv)",
        "",
    ),
    _fact("after_fan_hours", "24", "hours", "wait after fan start before the test", MAH, "s. 7.3.2", "2019"),
    _fact("monitor_hours", "46", "hours", "contiguous hours of a continuous monitor", MAH, "s. 7.3.2", "2019"),
    _fact(
        "after_work_days",
        "30",
        "days",
        "latest test after the work",
        "state course page",
        "post-mitigation testing",
        "",
        SECOND_HAND,
    ),
    _fact("recheck_years", "2", "years", "recheck of a mitigated house", MAH, "s. 8.5.9.2", "2019"),
)

PIPE = (
    _fact(
        "slope_in_per_ft",
        "0.125",
        "in per ft",
        "slope back to the suction point",
        SGM,
        "s. 6.2.2",
        "2017, rev. 12/20",
    ),
    _fact(
        "support_horizontal_ft",
        "4",
        "ft",
        "supports along a horizontal run",
        RMS,
        "s. 6.2.7.2",
        "2018, rev. 12/20",
    ),
    _fact(
        "support_vertical_ft",
        "10",
        "ft",
        "supports along a vertical run",
        RMS,
        "s. 6.2.7.2",
        "2018, rev. 12/20",
    ),
    _fact(
        "support_horizontal_older_ft",
        "6",
        "ft",
        "supports along a horizontal run, older rule",
        EPA_STANDARDS,
        "restated by a county checklist",
        "",
        SECOND_HAND,
    ),
    _fact(
        "support_vertical_older_ft",
        "8",
        "ft",
        "supports along a vertical run, older rule",
        EPA_STANDARDS,
        "restated by a county checklist",
        "",
        SECOND_HAND,
    ),
    _fact(
        "support_discharge_ft",
        "3",
        "ft",
        "support this near the discharge",
        SGM,
        "s. 6.4.14.1",
        "2017, rev. 12/20",
    ),
    _fact("velocity_fpm", "2000", "ft per min", "air speed to stay under", SGM, "s. 6.3.8", "2017"),
    _fact("noise_fpm", "1600", "ft per min", "air speed that begins to be heard", SGM, "s. 6.3.8", "2017"),
    _fact(
        "three_inch_cfm",
        "80",
        "cfm",
        "flow above which 4 in pipe is needed",
        RMS,
        "s. 6.3.1 to 6.3.3",
        "2018, rev. 12/20",
    ),
    _fact(
        "two_inch_cfm",
        "40",
        "cfm",
        "flow up to which 2 in pipe may serve",
        RMS,
        "s. 6.3.1 to 6.3.3",
        "2018, rev. 12/20",
    ),
)

DISCHARGE = (
    _fact("discharge_above_grade_ft", "10", "ft", "discharge above grade", PENNSYLVANIA, "240.308(b)(3)", ""),
    _fact(
        "discharge_from_opening_ft",
        "10",
        "ft",
        "discharge from an opening",
        PENNSYLVANIA,
        "240.308(b)(4)",
        "",
    ),
    _fact(
        "discharge_above_opening_ft",
        "2",
        "ft",
        "or this far above its top",
        PENNSYLVANIA,
        "240.308(b)(4)",
        "",
    ),
    _fact(
        "discharge_above_opening_newer_ft",
        "4",
        "ft",
        "or this far above its top, new construction",
        CC,
        "s. 9.7.1",
        "2018",
    ),
    _fact(
        "discharge_above_roof_in",
        "12",
        "in",
        "discharge above the roof",
        PENNSYLVANIA,
        "240.308(b)(6)(i)",
        "",
    ),
    _fact("discharge_from_wall_ft", "5", "ft", "discharge from a taller wall", PENNSYLVANIA, "240.308(b)(5)", ""),
)

MEMBRANE_AND_MONITOR = (
    _fact("membrane_overlap_in", "12", "in", "membrane overlap, sealed", CC, "s. 6.4.3", "2018"),
    _fact("membrane_mil", "6", "mil", "thinnest plain membrane", "IRC Appendix F", "AF102", ""),
    _fact(
        "monitor_change_percent",
        "20",
        "%",
        "change of the pressure indicator that calls for service",
        "ANSI/AARST CCAH",
        "Exhibit 2",
        "2020",
    ),
)

RECORDS = (
    _fact(
        "job_record_years",
        "3",
        "years",
        "years to keep job records, or the warranty if longer",
        EPA_STANDARDS,
        "s. 18",
        "",
        SECOND_HAND,
    ),
    _fact(
        "exposure_record_years",
        "20",
        "years",
        "years to keep exposure logs",
        EPA_STANDARDS,
        "s. 18",
        "",
        SECOND_HAND,
    ),
)

TRADE = LEVELS + TESTS + PIPE + DISCHARGE + MEMBRANE_AND_MONITOR + RECORDS
