"""Timing of radon tests against published rules.

Seen: ANSI/AARST MAH-2019 s. 7.3.2 (a test after the work begins 24 hours or more after the fan was started, with 12
hours of closed building; a continuous monitor runs 46 contiguous hours or more) and s. 8.5.9.2 (test again at least
every two years); 25 Pa. Code 240.310(a)(4)(ii) and (iv) (a short-term test lasts 48 hours to 90 days, closed house
from 12 hours before). Second-hand, from a state course page: within 30 days after the work; from a training page: a
long-term test lasts 91 days or more.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from domain.closeout.reduction import reduction, retest_day
from domain.closeout.timing import CHARCOAL, CONTINUOUS, FanOn, earliest_start, latest_start, timing_of, timing_rules
from domain.jobs import RadonTest

RULES = timing_rules(date(2026, 6, 1))
FAN = FanOn(date(2026, 6, 1), 10 * 60)


def after(device: str, start: tuple[int, int], end: tuple[int, int]) -> RadonTest:
    """A test that began and ended on (day of June, minute of the day)."""
    return RadonTest(
        1, 1, "after", device, "", date(2026, 6, start[0]), date(2026, 6, end[0]), Decimal(2), "", start[1], end[1],
        "yes",
    )  # fmt: skip


def test_a_fan_started_on_monday_at_ten_lets_the_test_begin_on_tuesday_at_ten_and_until_july_1() -> None:
    assert earliest_start(FAN, RULES) == (date(2026, 6, 2), 10 * 60)
    assert latest_start(FAN, RULES) == date(2026, 7, 1)


def test_forty_eight_hours_and_forty_six_for_a_continuous_monitor() -> None:
    assert timing_of(after(CHARCOAL, (2, 600), (4, 600)), FAN, RULES).met is True
    assert timing_of(after(CHARCOAL, (2, 600), (4, 540)), FAN, RULES).met is False
    assert timing_of(after(CONTINUOUS, (2, 600), (4, 480)), FAN, RULES).met is True
    assert timing_of(after(CONTINUOUS, (2, 600), (4, 420)), FAN, RULES).met is False


def test_every_rule_names_where_it_is_from_and_how_far_that_was_read() -> None:
    sources = " ".join(check.source for check in timing_of(after(CHARCOAL, (2, 600), (4, 600)), FAN, RULES).checks)
    for words in ("25 Pa. Code, 240.310(a)(4)(ii)", "240.310(a)(4)(iv)", "ANSI/AARST MAH, s. 7.3.2, 2019",
                  "second-hand"):  # fmt: skip
        assert words in sources


def test_a_mitigated_house_is_tested_again_within_two_years() -> None:
    kept = after(CHARCOAL, (2, 600), (4, 600))
    assert retest_day([kept], RULES.recheck.value) == date(2028, 6, 4)


def test_percent_reduction_by_its_definition() -> None:
    """(before - after) / before x 100; the definition itself, no source."""
    before = RadonTest(2, 1, "before", CHARCOAL, "", None, date(2026, 5, 2), Decimal(8), "")
    found = reduction([before, after(CHARCOAL, (2, 600), (4, 600))])
    assert found is not None
    assert found.percent == 75
