"""Whether the timing of a radon test meets the rules, rule by rule; never whether a house is safe.

The figures come from the dated standards table (keys in RULE_KEYS), so an owner's own value counts. Where only days
are known and not the times, the shortest and the longest the test can have lasted are looked at: what holds for both
is said, and what does not is said to need the times.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from domain.dates import format_day_short
from domain.jobs import RadonTest
from domain.standards import Standard, standard_on
from domain.standards.trade import FIRST_DAY
from domain.units import format_clock
from domain.units.numbers import plain

CHARCOAL, ALPHA_TRACK, ELECTRET = "charcoal canister", "alpha track", "electret"
CONTINUOUS, SCINTILLATION = "continuous monitor", "liquid scintillation"
DEVICES = (CHARCOAL, ALPHA_TRACK, ELECTRET, CONTINUOUS, SCINTILLATION)
"""Kinds of device; a test may name another one in its own words."""

HOUR, DAY = 60, 24 * 60

RULE_KEYS = (
    "after_fan_hours", "closed_house_hours", "short_test_hours", "short_test_days", "long_test_days", "monitor_hours",
    "after_work_days", "recheck_years",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class TimingRules:
    """The figures of the day, each with its source."""

    after_fan: Standard
    closed_house: Standard
    shortest: Standard
    short_most: Standard
    long_least: Standard
    monitor: Standard
    after_work: Standard
    recheck: Standard


def timing_rules(day: date, own: Iterable[Standard] = ()) -> TimingRules:
    """The rules in force on a day; before the table begins, its first."""
    own = tuple(own)
    return TimingRules(*(standard_on(key, max(day, FIRST_DAY), own) for key in RULE_KEYS))


@dataclass(frozen=True, slots=True)
class RuleCheck:
    """One rule held against one test.

    Attributes:
        rule: the rule in a few words.
        met: True, False, or None where it cannot be said from what is known.
        words: a sentence for the person.
        source: where the rule is from, and how far that was read.
    """

    rule: str
    met: bool | None
    words: str
    source: str


@dataclass(frozen=True, slots=True)
class Timing:
    """All rules held against one test."""

    checks: tuple[RuleCheck, ...]

    @property
    def met(self) -> bool | None:
        """False when a rule is not met, None when one cannot be told, True when all are met."""
        found = {check.met for check in self.checks}
        return False if False in found else None if None in found else True

    @property
    def verdict(self) -> str:
        """One sentence about the timing, and about nothing else."""
        if self.met:
            return "The timing meets the rules."
        wanted = self.met
        words = " ".join(check.words for check in self.checks if check.met is wanted)
        start = "The timing does not meet the rules." if wanted is False else "The timing cannot be told yet."
        return f"{start} {words}"


@dataclass(frozen=True, slots=True)
class FanOn:
    """When the fan began to run; the minute of the day where it is known."""

    day: date
    minute: int | None = None


def timing_of(test: RadonTest, fan_on: FanOn | None, rules: TimingRules) -> Timing:
    """Hold a test against the rules that apply to it."""
    checks = [_length(test, rules)]
    if not _is_long(test, rules):
        checks.append(_closed_house(test, rules))
    if test.purpose == "after":
        checks += [_after_fan(test, fan_on, rules), _within(test, fan_on, rules)]
    return Timing(tuple(checks))


def earliest_start(fan_on: FanOn, rules: TimingRules) -> tuple[date, int | None]:
    """The first moment a test after the work may begin: day and minute of the day.

    Without the minute the fan was started, the day on which it may begin whatever that minute was.
    """
    wait = int(rules.after_fan.value * HOUR)
    if fan_on.minute is None:
        return fan_on.day + timedelta(days=-(-(DAY - 1 + wait) // DAY)), None
    days, minute = divmod(fan_on.minute + wait, DAY)
    return fan_on.day + timedelta(days=days), minute


def latest_start(fan_on: FanOn, rules: TimingRules) -> date:
    """The last day on which a test after the work may begin."""
    return fan_on.day + timedelta(days=int(rules.after_work.value))


def shortest_hours(test: RadonTest, rules: TimingRules) -> Standard:
    """How long a test must at least last: a continuous monitor after the work has a rule of its own."""
    return rules.monitor if test.purpose == "after" and is_continuous(test.device) else rules.shortest


def is_continuous(device: str) -> bool:
    """True for a continuous monitor, however its name goes on."""
    return device.casefold().strip().startswith("continuous")


def _minutes(test: RadonTest) -> tuple[int, int] | None:
    """The shortest and the longest the test can have lasted; None when its first day is not known."""
    if test.started_on is None:
        return None
    days = (test.ended_on - test.started_on).days * DAY
    starts = (0, DAY - 1) if test.started_minute is None else (test.started_minute, test.started_minute)
    ends = (0, DAY - 1) if test.ended_minute is None else (test.ended_minute, test.ended_minute)
    return max(days + ends[0] - starts[1], 0), days + ends[1] - starts[0]


def _is_long(test: RadonTest, rules: TimingRules) -> bool:
    lasted = _minutes(test)
    return lasted is not None and lasted[1] >= rules.long_least.value * DAY


def _length(test: RadonTest, rules: TimingRules) -> RuleCheck:
    least = shortest_hours(test, rules)
    rule = f"lasts at least {_number(least.value, 'hour')}"
    lasted = _minutes(test)
    if lasted is None:
        return RuleCheck(rule, None, "Its first day is not noted, so its length is not known.", least.note)
    low, high = lasted
    needed = least.value * HOUR
    if high < needed:
        return RuleCheck(rule, False, f"It lasted {_said(low, high)}; {_number(least.value, 'hour')} are asked.",
                         least.note)  # fmt: skip
    if low < needed:
        words = f"Whether it lasted {_number(least.value, 'hour')} depends on the times; note when it began and ended."
        return RuleCheck(rule, None, words, least.note)
    if low > rules.short_most.value * DAY and not _is_long(test, rules):
        words = (
            f"It lasted {_said(low, high)}: too long for a short-term test ({_number(rules.short_most.value, 'day')}) "
            f"and too short for a long-term one ({_number(rules.long_least.value, 'day')})."
        )
        return RuleCheck(rule, False, words, rules.short_most.note)
    kind = "a long-term test" if _is_long(test, rules) else "a short-term test"
    return RuleCheck(rule, True, f"It lasted {_said(low, high)}, {kind}.", least.note)


def _closed_house(test: RadonTest, rules: TimingRules) -> RuleCheck:
    hours = _number(rules.closed_house.value, "hour")
    rule, source = f"closed house from {hours} before it began to its end", rules.closed_house.note
    words = {
        "yes": (True, f"The house was closed from {hours} before it began."),
        "no": (False, f"The house was not closed from {hours} before it began to its end."),
    }
    met, sentence = words.get(test.closed_house, (None, "Whether the house was closed is not noted."))
    return RuleCheck(rule, met, sentence, source)


def _after_fan(test: RadonTest, fan_on: FanOn | None, rules: TimingRules) -> RuleCheck:
    wait = _number(rules.after_fan.value, "hour")
    rule, source = f"begins no sooner than {wait} after the fan was started", rules.after_fan.note
    if fan_on is None:
        return RuleCheck(rule, None, "The day the fan was started is not noted on this job.", source)
    if test.started_on is None:
        return RuleCheck(rule, None, "The day it began is not noted.", source)
    days = (test.started_on - fan_on.day).days * DAY
    starts = (0, DAY - 1) if test.started_minute is None else (test.started_minute, test.started_minute)
    fans = (0, DAY - 1) if fan_on.minute is None else (fan_on.minute, fan_on.minute)
    least, most, needed = days + starts[0] - fans[1], days + starts[1] - fans[0], rules.after_fan.value * HOUR
    if most < needed:
        began = format_day_short(test.started_on)
        return RuleCheck(rule, False, f"It began on {began}, less than {wait} after the fan was started.", source)
    if least < needed:
        words = (
            f"Whether it began {wait} after the fan was started depends on the times; "
            f"the first moment is {moment_words(*earliest_start(fan_on, rules))}."
        )
        return RuleCheck(rule, None, words, source)
    return RuleCheck(rule, True, f"It began {wait} or more after the fan was started.", source)


def _within(test: RadonTest, fan_on: FanOn | None, rules: TimingRules) -> RuleCheck:
    days = _number(rules.after_work.value, "day")
    rule, source = f"within {days} after the work", rules.after_work.note
    began = test.started_on or test.ended_on
    if fan_on is None:
        return RuleCheck(rule, None, "The day the work was finished is not noted on this job.", source)
    if began > (last := latest_start(fan_on, rules)):
        words = f"It began on {format_day_short(began)}, after {format_day_short(last)}: {days} after the work."
        return RuleCheck(rule, False, words, source)
    return RuleCheck(rule, True, f"It began within {days} after the work.", source)


def moment_words(day: date, minute: int | None) -> str:
    """``Jun 2, 2026 at 10 am`` or the day alone."""
    return format_day_short(day) + (f" at {format_clock(minute)}" if minute is not None else "")


def _said(low: int, high: int) -> str:
    if high >= 7 * DAY:
        return f"about {high // DAY} days" if low != high else f"{low // DAY} days"
    if low == high:
        return _number(Decimal(low) / HOUR, "hour")
    return f"between {_number(Decimal(low // HOUR), 'hour')} and {_number(Decimal(high // HOUR + 1), 'hour')}"


def _number(value: Decimal, unit: str) -> str:
    shown = value.quantize(Decimal("0.1")) if value != value.to_integral_value() else value
    return f"{plain(shown)} {unit}{'' if shown == 1 else 's'}"
