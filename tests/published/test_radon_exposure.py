"""Working level months by ANSI/AARST SGM-SF s. 11.3 (2017, rev. 12/20; seen): WLM = hours x pCi/L / 100 / 170.

The two figures below are computed from that formula, not printed there. Second-hand, from an Illinois course page: a
limit of 4 WLM in 12 months, reckoned with an equilibrium of 50%. As reported by AARST: 29 CFR 1910.1096 limits the
average of a 40-hour week to 100 pCi/L, "about 12 WLM a year", which 2,000 hours at 100 pCi/L come near to.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from domain.closeout.exposure import exposure_rules, exposure_sums, format_wlm, working_level_months
from domain.closeout.records import Exposure
from domain.units.numbers import to_places

RULES = exposure_rules(date(2026, 6, 1))


def wlm(hours: int, level: str, equilibrium: str = "100") -> Fraction:
    return working_level_months(hours * 60, Decimal(level), Decimal(equilibrium), RULES)


def entry(day: date, minutes: int, level: str, person_id: int = 1, equilibrium: str = "100") -> Exposure:
    return Exposure(0, None, person_id, day, minutes, Decimal(level), "", Decimal(equilibrium), "")


def test_eight_hours_at_twenty_and_a_working_year_at_a_hundred() -> None:
    assert to_places(wlm(8, "20"), 5) == Decimal("0.00941")
    assert to_places(wlm(2000, "100"), 2) == Decimal("11.76")
    assert wlm(170, "100") == 1


def test_half_equilibrium_is_half_the_exposure() -> None:
    assert wlm(170, "100", "50") == Fraction(1, 2)


def test_the_limits_are_those_of_the_table_with_their_sources() -> None:
    assert (RULES.limit.value, RULES.week_level.value, RULES.week.value) == (4, 100, 40)
    assert "course page" in RULES.limit.note
    assert "1910.1096" in RULES.week_level.note


def test_twelve_months_roll_and_the_week_is_averaged_over_its_hours() -> None:
    until = date(2026, 6, 1)
    entries = [
        entry(date(2025, 6, 1), 170 * 60, "100"),  # a year ago to the day: out
        entry(date(2025, 6, 2), 170 * 60, "100"),  # in
        entry(date(2026, 5, 26), 40 * 60, "30"),
        entry(date(2026, 5, 25), 40 * 60, "30"),  # eight days ago: in the year, not in the week
        entry(until, 10 * 60, "200", person_id=2, equilibrium="50"),
    ]
    first, second = exposure_sums(entries, {1: "Ada", 2: "Bo"}, until, RULES)
    assert first.name == "Ada"
    assert first.wlm == to_places(1 + 2 * Fraction(40 * 30, 17000), 5)
    assert (first.week_level, first.over) == (30, False)
    assert (second.name, second.week_level) == ("Bo", 50)
    assert second.wlm == to_places(Fraction(2000, 34000), 5)


def test_over_either_limit_is_over() -> None:
    day = date(2026, 6, 1)
    assert exposure_sums([entry(day, 41 * 60, "100")], {}, day, RULES)[0].over
    assert exposure_sums([entry(date(2026, 1, 1), 690 * 60, "100")], {}, day, RULES)[0].over
    assert not exposure_sums([entry(date(2026, 1, 1), 680 * 60, "100")], {}, day, RULES)[0].over


@given(st.integers(1, 6000), st.integers(1, 5000), st.integers(1, 100))
def test_exposure_adds_up_in_any_split(minutes: int, level: int, share: int) -> None:
    whole = working_level_months(minutes * 2, Decimal(level), Decimal(share), RULES)
    assert whole == 2 * working_level_months(minutes, Decimal(level), Decimal(share), RULES)
    assert format_wlm(whole).endswith(" WLM")
