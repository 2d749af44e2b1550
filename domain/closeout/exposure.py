"""A worker's exposure to radon: hours x level, in working level months, over twelve months, beside its limits.

WLM = hours x pCi/L / 100 / 170 (ANSI/AARST SGM-SF s. 11.3, read). As written, the formula takes radon and its decay
products to be in full equilibrium; a state program counts half. The share is a setting of the standards table and is
kept with each entry, so an old entry does not move when the setting does.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from domain.closeout.records import Exposure
from domain.closeout.reduction import years_later
from domain.standards import Standard, standard_on
from domain.standards.trade import FIRST_DAY
from domain.units import format_percent, format_share
from domain.units.numbers import plain, to_places

PLACES = 5
DAYS_OF_WEEK = 7


@dataclass(frozen=True, slots=True)
class ExposureRules:
    """The figures of the day, each with its source."""

    level: Standard  # pCi/L of one working level
    month: Standard  # hours of a working level month
    equilibrium: Standard
    limit: Standard  # WLM in twelve months
    week_level: Standard  # pCi/L over the week
    week: Standard  # hours of that week


def exposure_rules(day: date, own: Iterable[Standard] = ()) -> ExposureRules:
    """The rules in force on a day; before the table begins, its first."""
    own, day = tuple(own), max(day, FIRST_DAY)
    keys = (
        "exposure_wl_pci", "exposure_month_hours", "equilibrium_percent", "exposure_limit_wlm", "exposure_week_pci",
        "exposure_week_hours",
    )  # fmt: skip
    return ExposureRules(*(standard_on(key, day, own) for key in keys))


def working_level_months(
    minutes: int, level: Decimal, equilibrium_percent: Decimal, rules: ExposureRules
) -> Fraction:
    """Exactly: minutes / 60 x pCi/L x equilibrium / 100 / 170. Rounded only where it is shown."""
    share = Fraction(equilibrium_percent) / 100
    hours = Fraction(minutes, 60)
    return hours * Fraction(level) * share / Fraction(rules.level.value) / Fraction(rules.month.value)


def format_wlm(value: Fraction | Decimal) -> str:
    """``0.0094 WLM``: four places, as a day's share is small."""
    return f"{plain(to_places(value, PLACES - 1))} WLM"


@dataclass(frozen=True, slots=True)
class PersonExposure:
    """One person's twelve months up to a day.

    Attributes:
        wlm: the sum, to five places.
        minutes: how long it took to gather.
        week_level: the average level in pCi/L over the week of the rule, for the last seven days.
        limit, week_limit: the figures it is held against, with their sources.
    """

    person_id: int
    name: str
    since: date
    until: date
    minutes: int
    wlm: Decimal
    week_level: Decimal
    limit: Standard
    week_limit: Standard

    @property
    def share_percent(self) -> Decimal:
        """How much of the limit is used up, in percent."""
        return to_places(Fraction(self.wlm) / Fraction(self.limit.value) * 100, 1)

    @property
    def over(self) -> bool:
        """True when either figure is over its limit."""
        return self.wlm > self.limit.value or self.week_level > self.week_limit.value

    @property
    def words(self) -> str:
        """The sum beside its limit, and the week beside its own when that is over."""
        text = f"{format_wlm(self.wlm)} of {plain(self.limit.value)} in 12 months ({format_share(self.share_percent)})"
        if self.week_level > self.week_limit.value:
            text += (
                f"; the last seven days average {plain(self.week_level)} pCi/L over a week's hours, "
                f"more than {plain(self.week_limit.value)}"
            )
        return text


def exposure_sums(
    entries: Sequence[Exposure], names: Mapping[int, str], until: date, rules: ExposureRules
) -> list[PersonExposure]:
    """What each person gathered in the twelve months up to and with a day, the most first."""
    since = years_later(until, -1) + timedelta(days=1)
    within = [entry for entry in entries if since <= entry.day <= until]
    found = []
    for person_id in {entry.person_id for entry in within}:
        mine = [entry for entry in within if entry.person_id == person_id]
        total = sum(
            (working_level_months(one.minutes, one.level, one.equilibrium_percent, rules) for one in mine), Fraction(0)
        )
        week = [one for one in mine if one.day > until - timedelta(days=DAYS_OF_WEEK)]
        gathered = sum((Fraction(one.minutes, 60) * Fraction(one.level) for one in week), Fraction(0))
        found.append(PersonExposure(
            person_id, names.get(person_id, ""), since, until, sum(one.minutes for one in mine),
            to_places(total, PLACES), to_places(gathered / Fraction(rules.week.value), 1), rules.limit,
            rules.week_level,
        ))  # fmt: skip
    return sorted(found, key=lambda one: (-one.wlm, one.name))


def formula_words(rules: ExposureRules) -> str:
    """The formula with the figures used and its source."""
    return (
        f"WLM = hours x pCi/L x equilibrium / {plain(rules.level.value)} / {plain(rules.month.value)}. "
        f"{rules.month.note} Equilibrium {format_percent(rules.equilibrium.value)}: {rules.equilibrium.note}"
    )


OFFERED_TASK_WORDS = ("crawl", "basement", "suction pit", "suction point", "suction under", "sump", "drain tile",
                      "membrane")  # fmt: skip


def is_below_ground(task: str) -> bool:
    """True for a task whose name says that it is done where radon gathers: the hours that are offered."""
    return any(word in task.casefold() for word in OFFERED_TASK_WORDS)
