"""As found against proposed: what a change of the route lets through more, said in one honest sentence."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from domain.airflow.division import Split
from domain.airflow.fan_curve import FanCurve
from domain.airflow.operating import OperatingPoint, measured_point, operating_point
from domain.airflow.pipe import Number, inwc_from_pa
from domain.airflow.site import SiteReading, UnderSlab, under_slab
from domain.routes.route import TURNS, Route, size_words

ELBOW_WORDS = {
    "elbow_90": "90° elbow",
    "elbow_90_long": "long sweep 90° elbow",
    "elbow_45": "45° elbow",
    "elbow_22": "22½° elbow",
}
COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")

ONLY_THE_TEST = "Only the test after the work shows the radon level reached."

EACH_POINT_ALIKE = "Every suction point is taken to draw as those that were measured."


@dataclass(frozen=True, slots=True)
class Comparison:
    """Both operating points, and the gain in cfm with the ends of its band (below nothing: a loss)."""

    found: OperatingPoint
    proposed: OperatingPoint
    gain_cfm: float
    low_gain_cfm: float
    high_gain_cfm: float
    sentence: str


def compare(
    as_found: Route,
    proposed: Route,
    curve: FanCurve,
    suction_wanted_pa: Number,
    method: str = "coefficients",
    *,
    proposed_curve: FanCurve | None = None,
    bore: str = "table",
    found_split: Split | None = None,
    proposed_split: Split | None = None,
    site: UnderSlab | None = None,
    found_reading: SiteReading | None = None,
) -> Comparison:
    """Compare two routes with the same fan, or with ``proposed_curve`` on the proposed one.

    ``found_reading``: what the present fan was measured to draw; it replaces the estimate of the route as found and,
    unless ``site`` is given, tells what the ground asks for. The band of the gain supposes that losses are off in
    the same way on both routes. Raises NotUnderstood as `operating_point` does.
    """
    if found_reading is not None and site is None:
        site = under_slab([found_reading], points=len(as_found.runs))
    if found_reading is not None:
        before = measured_point(curve, as_found, found_reading, suction_wanted_pa, method, bore=bore, split=found_split)
    else:
        before = operating_point(curve, as_found, suction_wanted_pa, method, bore=bore, split=found_split, site=site)
    after = operating_point(
        proposed_curve or curve, proposed, suction_wanted_pa, method, bore=bore, split=proposed_split, site=site
    )
    gains = (
        after.flow_cfm - before.flow_cfm,
        after.low_cfm - before.low_cfm,
        after.high_cfm - before.high_cfm,
    )
    fan = "With the same fan" if proposed_curve in (None, curve) else "With the new fan"
    band = (min(gains), max(gains))
    sentence = _sentence(fan, changes(as_found, proposed), before, after, band, site is not None)
    if site is not None and len(proposed.runs) != site.points:
        sentence += f" {EACH_POINT_ALIKE}"
    return Comparison(before, after, gains[0], *band, sentence)


def changes(as_found: Route, proposed: Route) -> str:
    """What is different, in words: ``four 90° elbows replaced by two 45° elbows and 8 ft less pipe``."""
    found = Counter(fitting.kind for fitting in as_found.fittings if fitting.kind in TURNS)
    wanted = Counter(fitting.kind for fitting in proposed.fittings if fitting.kind in TURNS)
    words = [_elbow_words(found - wanted, wanted - found), _size_words(as_found, proposed)]
    feet = round(proposed.total_ft - as_found.total_ft)
    if feet:
        words.append(f"{abs(feet)} ft {'more' if feet > 0 else 'less'} pipe")
    if len(as_found.runs) != len(proposed.runs):
        points = _counted("suction point", len(proposed.runs))
        words.append(f"{points} instead of {_number(len(as_found.runs))}")
    return _listed(word for word in words if word) or "the proposed route"


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


def _sentence(
    fan: str,
    what: str,
    before: OperatingPoint,
    after: OperatingPoint,
    gains: tuple[float, float],
    is_ground_known: bool,
) -> str:
    """What a customer may read. ``is_ground_known``: the suction follows from a reading and moves with the flow."""
    start = fan if is_ground_known else f"{fan} and the same suction at the suction point"
    found, wanted = round(before.flow_cfm), round(after.flow_cfm)
    if after.too_weak:
        said = f"{fan}, the suction wanted cannot be reached on the proposed route (an estimate)."
    elif before.past_sheet:
        said = f"{fan}, {what} cannot be compared: the air is beyond the end of the fan's sheet on the route as found."
    elif before.too_weak:
        said = f"{start}, {what} should let about {wanted} cfm of air through, where none passed before (an estimate)."
    elif found == wanted:
        said = f"{start}, {what} should make no difference that counts: about {wanted} cfm either way (an estimate)."
    else:
        about = "only about" if wanted < found else "at least" if after.past_sheet else "about"
        was = f"the {found} measured" if before.measured else f"about {found}"
        band = _gain_words(round(gains[0]), round(gains[1]))
        said = (
            f"{start}, {what} should let {about} {wanted} cfm of air through instead of {was} "
            f"(an estimate: {band}, as losses measured in practice scatter)."
        )
        if is_ground_known:
            said += (
                f" The suction at the suction point would be about {inwc_from_pa(after.below_pa):.2f} inches of "
                f"water, after {inwc_from_pa(before.below_pa):.2f}."
            )
    return f"{said} {ONLY_THE_TEST}"


def _gain_words(low: int, high: int) -> str:
    if low < 0 < high:
        return f"between {-low} cfm less and {high} cfm more"
    less, more = sorted((abs(low), abs(high)))
    way = "less" if low < 0 else "more"
    return f"{less} cfm {way}" if less == more else f"{less} to {more} cfm {way}"


def _number(count: int) -> str:
    return COUNTS[count] if count < len(COUNTS) else str(count)


def _counted(noun: str, count: int) -> str:
    return f"{_number(count)} {noun}{'' if count == 1 else 's'}"


def _listed(words: Iterable[str]) -> str:
    *first, last = list(words) or [""]
    return f"{', '.join(first)} and {last}" if first else last
