"""What a change of fan and route does to the air, in one honest sentence a customer may read."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from decimal import Decimal

from domain.airflow.gain import Gain
from domain.airflow.operating import OperatingPoint
from domain.airflow.pipe import inwc_from_pa
from domain.routes.route import TURNS, Route, size_words

ELBOW_WORDS = {
    "elbow_90": "90° elbow",
    "elbow_90_long": "long sweep 90° elbow",
    "elbow_45": "45° elbow",
    "elbow_22": "22½° elbow",
}
COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")

ONLY_THE_TEST = "Only the test after the work shows the radon level reached."

NO_DIFFERENCE = "no difference you could measure in the air"

SCATTER = "as losses measured in practice scatter"


PULL = {"elbow_90": 100, "elbow_90_long": 60, "elbow_45": 45, "elbow_22": 20}
"""Which elbows cost more air than which: an order for words only, no figure is reckoned from it (ours, no source)."""


def changes(as_found: Route, proposed: Route) -> str:
    """What is different, in words: ``four 90° elbows replaced by two 45° elbows and 8 ft less pipe``.

    What costs air is told apart from what helps: ``4 in instead of 3 in pipe, less what 21 ft more pipe costs,``.
    """
    found = Counter(fitting.kind for fitting in as_found.fittings if fitting.kind in TURNS)
    wanted = Counter(fitting.kind for fitting in proposed.fittings if fitting.kind in TURNS)
    out, new = found - wanted, wanted - found
    feet = round(proposed.total_ft - as_found.total_ft)
    more_points = len(proposed.runs) - len(as_found.runs)
    points = f"{_counted('suction point', len(proposed.runs))} instead of {_number(len(as_found.runs))}"
    told = [
        (_elbow_words(out, new), _pull(new) > _pull(out), sum(new.values()) > 1),
        (_size_words(as_found, proposed), _narrower(as_found, proposed), False),
        (f"{abs(feet)} ft {'more' if feet > 0 else 'less'} pipe" if feet else "", feet > 0, False),
        (points if more_points else "", more_points < 0, False),
    ]
    helps = [words for words, costs, _ in told if words and not costs]
    against = [(words, many) for words, costs, many in told if words and costs]
    if not helps or not against:
        return _listed(words for words, _, _ in told if words) or "the proposed route"
    verb = "cost" if len(against) > 1 or against[0][1] else "costs"
    return f"{_listed(helps)}, less what {_listed(words for words, _ in against)} {verb},"


def _pull(elbows: Counter[str]) -> int:
    return sum(PULL[kind] * count for kind, count in elbows.items())


def _narrower(as_found: Route, proposed: Route) -> bool:
    before, after = _main_size(as_found), _main_size(proposed)
    return before is not None and after is not None and after < before


def comparison_words(
    as_found: Route, proposed: Route, before: OperatingPoint, after: OperatingPoint, *, whole: Gain,
    by_fan: Gain | None, by_pipe: Gain, fan_alone: float, fan_alone_past: bool, ground_known: bool,
) -> str:  # fmt: skip
    """The sentence.

    Args:
        whole, by_fan, by_pipe: the gain, and its two parts; ``by_fan`` None with the same fan.
        fan_alone: cfm with the new fan on the pipe as found; ``fan_alone_past``: that lies past its sheet.
        ground_known: a reading tells how the suction moves with the flow; otherwise a gain is the most there can be.
    """
    what = changes(as_found, proposed)
    fan = "With the same kind of fan as now" if by_fan is None else "With the new fan"
    start = fan if ground_known else f"{fan} and the suction wanted"
    if after.too_weak:
        said = f"{fan}, the suction wanted cannot be reached on the proposed route (an estimate)."
    elif before.past_sheet:
        said = f"{fan}, {what} cannot be compared: the air is beyond the end of the fan's sheet on the route as found."
    elif before.too_weak:
        said = (
            f"{start}, {what} should let about {after.flow_cfm:.0f} cfm of air through, where none passed before (an "
            "estimate)."
        )
    elif by_fan is not None:
        said = _two_steps(what, before, after, by_fan, by_pipe, (fan_alone, fan_alone_past), ground_known)
    else:
        said = _one_step(f"{start}, {what}", before, after, whole, ground_known)
    if ground_known and not (after.too_weak or before.too_weak or before.past_sheet) and whole.is_measurable:
        said += (
            f" The suction at the suction point would be about {inwc_from_pa(after.below_pa):.2f} inches of "
            f"water, after {inwc_from_pa(before.below_pa):.2f}."
        )
    return f"{said} {ONLY_THE_TEST}"


def _one_step(
    start: str, before: OperatingPoint, after: OperatingPoint, gain: Gain, ground_known: bool
) -> str:  # fmt: skip
    if not gain.is_measurable and not after.past_sheet:
        return f"{start} should make {NO_DIFFERENCE}: {_flow(before)} as it is (an estimate)."
    about = "only about" if gain.cfm < 0 else "at least" if after.past_sheet else "about"
    verb = "should let" if ground_known or gain.cfm < 0 or after.past_sheet else "could let up to"
    because = SCATTER if ground_known else _UNKNOWN_GROUND
    said = f"{start} {verb} {about} {after.flow_cfm:.0f} cfm of air through instead of {_flow(before)}"
    return f"{said} (an estimate: {gain_words(gain)}, {because})."


_UNKNOWN_GROUND = "the less the harder the ground gives its air, which nobody has measured"


def _two_steps(
    what: str, before: OperatingPoint, after: OperatingPoint, by_fan: Gain, by_pipe: Gain,
    alone: tuple[float, bool], ground_known: bool,
) -> str:  # fmt: skip
    """First what the new fan does alone, then what the pipe adds to that: neither is credited with the other's."""
    flow, past = alone
    because = "as far as its sheet and the losses hold" if ground_known else _UNKNOWN_GROUND
    if past:
        return (
            f"The new fan alone, on the pipe as found, would move {flow:.0f} cfm of air or more, past the end of its "
            f"sheet, instead of {_flow(before)}; what {what} would add cannot be told from that sheet (an estimate)."
        )
    if not by_fan.is_measurable:
        fan = f"The new fan alone, on the pipe as found, should make {NO_DIFFERENCE}: {_flow(before)} as it is"
    else:
        verb = "should move" if ground_known else "could move up to"
        fan = (
            f"The new fan alone, on the pipe as found, {verb} about {flow:.0f} cfm of air instead of {_flow(before)} "
            f"(an estimate: {gain_words(by_fan)}, {because})"
        )
    if not by_pipe.is_measurable and not after.past_sheet:
        return f"{fan}; {what} would make {NO_DIFFERENCE} beyond that."
    least = "at least" if after.past_sheet else "about"
    would, onto = (f"would add {least}", "to") if by_pipe.cfm > 0 else (f"would take {least}", "off")
    band = "" if after.past_sheet else f" ({gain_words(by_pipe, 1)})"
    added = f"{what} {would} {abs(by_pipe.cfm):.1f} cfm {onto} that{band}"
    return f"{fan}; {added}, {least} {after.flow_cfm:.0f} in all."


def gain_words(gain: Gain, places: int | None = None) -> str:
    """``9 to 12 cfm more``; small ones with a decimal."""
    if places is None:
        places = 0 if abs(gain.cfm) >= 10 else 1
    low, high = round(gain.low_cfm, places), round(gain.high_cfm, places)
    if low < 0 < high:
        return f"between {-low:.{places}f} cfm less and {high:.{places}f} cfm more"
    less, more = sorted((abs(low), abs(high)))
    way = "less" if low < 0 else "more"
    if less == more:
        return f"{less:.{places}f} cfm {way}"
    return f"{less:.{places}f} to {more:.{places}f} cfm {way}"


def _flow(point: OperatingPoint) -> str:
    return f"the {point.flow_cfm:.0f} measured" if point.measured else f"about {point.flow_cfm:.0f}"


def _elbow_words(taken_out: Counter[str], put_in: Counter[str]) -> str:
    out = _listed(_counted(ELBOW_WORDS[kind], taken_out[kind]) for kind in TURNS if taken_out[kind])
    new = _listed(_counted(ELBOW_WORDS[kind], put_in[kind]) for kind in TURNS if put_in[kind])
    if out and new:
        return f"{out} replaced by {new}"
    return f"{out} taken out" if out else f"{new} more" if new else ""


def _size_words(as_found: Route, proposed: Route) -> str:
    """The size most of the pipe has, where that changes."""
    before, after = _main_size(as_found), _main_size(proposed)
    if before is None or after is None or before == after:
        return ""
    return f"{size_words(after)} instead of {size_words(before)} pipe"


def _main_size(route: Route) -> Decimal | None:
    feet: dict[Decimal, Decimal] = {}
    for leg in route.legs:
        feet[leg.size] = feet.get(leg.size, Decimal(0)) + leg.length_ft
    return max(feet, key=lambda size: feet[size], default=None)


def _number(count: int) -> str:
    return COUNTS[count] if count < len(COUNTS) else str(count)


def _counted(noun: str, count: int) -> str:
    return f"{_number(count)} {noun}{'' if count == 1 else 's'}"


def _listed(words: Iterable[str]) -> str:
    *first, last = list(words) or [""]
    return f"{', '.join(first)} and {last}" if first else last
