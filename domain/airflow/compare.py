"""As found against proposed: what a change of fan and route lets through more, and which of the two brings it.

Both sides are reckoned alike. What was measured fixes the ground and the present fan: its sheet is brought to the
reading once (`domain.airflow.calibrated`), and that fan and that ground stand on both sides. So a route against
itself is no change at all, and a gain is the pipe's only where the pipe brings it. With another fan the way goes in
two steps: the new fan on the pipe as found, then the pipe with the new fan.

Without any reading of the ground the suction wanted stands for it, and that is no ground: it does not push back when
more air flows. What comes out then is the most the pipe could let through, and is said to be that.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from domain.airflow.calibrated import SHEET_SCATTER, by_pressure, by_speed, calibrated, speed_factor
from domain.airflow.compare_words import comparison_words
from domain.airflow.division import AS_RECKONED, Scatter, Split
from domain.airflow.fan_curve import FanCurve
from domain.airflow.gain import Gain
from domain.airflow.loss import LEAST, MOST
from domain.airflow.operating import OperatingPoint, flow_at_rest, loss_at, measured_point, operating_point
from domain.airflow.pipe import Number
from domain.airflow.site import BEDS, SiteReading, UnderSlab, under_slab
from domain.routes.route import Route

EACH_POINT_ALIKE = "Every suction point is taken to draw as those that were measured."


@dataclass(frozen=True, slots=True)
class Comparison:
    """Both operating points, and the gain between them in cfm (below nothing: a loss).

    Attributes:
        by_fan: what another fan brings on the pipe as found; None with the same fan.
        by_pipe: what the pipe brings with the fan proposed. None where air or fan cannot be compared.
        fan: the present fan as it was found to be, its sheet where nothing was read of it.
        ground: what the ground asks for, on both sides; None while the suction wanted stands for it.
        proposed_fan: the fan on the route proposed: the same one, or another as its sheet says.
    """

    found: OperatingPoint
    proposed: OperatingPoint
    gain_cfm: float
    low_gain_cfm: float
    high_gain_cfm: float
    sentence: str
    by_fan: Gain | None
    by_pipe: Gain | None
    fan: FanCurve
    proposed_fan: FanCurve
    ground: UnderSlab | None


@dataclass(frozen=True, slots=True)
class _Sides:
    """One supposition about fans, ground and losses; what flows on each of the three steps."""

    fan: FanCurve
    new_fan: FanCurve
    site: UnderSlab | None
    points: int  # of suction, as found
    scatter: Scatter = AS_RECKONED


@dataclass(frozen=True, slots=True)
class _Question:
    as_found: Route
    proposed: Route
    present: FanCurve
    new: FanCurve | None
    wanted_pa: Number
    method: str
    bore: str
    found_split: Split | None
    proposed_split: Split | None

    def flows(self, sides: _Sides) -> tuple[float, float, float]:
        """cfm with the present fan as found, with the new fan as found, with the new fan as proposed."""
        before = self._flow(sides.fan, self.as_found, sides, self.found_split)
        middle = before if self.new is None else self._flow(sides.new_fan, self.as_found, sides, self.found_split)
        return before, middle, self._flow(sides.new_fan, self.proposed, sides, self.proposed_split)

    def _flow(self, fan: FanCurve, route: Route, sides: _Sides, split: Split | None) -> float:
        return flow_at_rest(
            fan, route, self.wanted_pa, self.method, bore=self.bore, split=split, site=sides.site,
            scatter=sides.scatter,
        )  # fmt: skip


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

    ``found_reading``: flow and suction at the suction point that the present fan was measured to draw. The ground is
    taken through it (``site`` then only tells how the suction grows with the flow), and the present fan's sheet, too.
    The bands suppose that losses are off in the same way on all sides. Raises NotUnderstood as `operating_point`.
    """
    new = proposed_curve if proposed_curve not in (None, curve) else None
    asked = _Question(
        as_found, proposed, curve, new, suction_wanted_pa, method, bore, found_split, proposed_split
    )  # fmt: skip
    points = max(1, len(as_found.runs))
    fan, ground = curve, site
    if found_reading is not None:
        ground = ground_through(found_reading, site, points)
        fan = as_read(curve, as_found, found_reading, method, bore=bore, split=found_split)
        before = measured_point(fan, as_found, found_reading, suction_wanted_pa, method, bore=bore, split=found_split)
    else:
        before = operating_point(curve, as_found, suction_wanted_pa, method, bore=bore, split=found_split, site=site)
    new_fan = new or fan
    after = operating_point(
        new_fan, proposed, suction_wanted_pa, method, bore=bore, split=proposed_split, site=ground
    )  # fmt: skip
    centre = _Sides(fan, new_fan, ground, points)
    others = _suppositions(asked, centre, before, found_reading, site)
    here, rest = asked.flows(centre), [asked.flows(one) for one in others]
    whole, by_fan, by_pipe = (_gain(here, rest, *step) for step in ((0, 2), (0, 1), (1, 2)))
    if found_reading is not None and after.flow_cfm:
        flow = before.flow_cfm  # what was read is no guess: the band is that of the gain
        after = replace(after, low_cfm=max(0.0, flow + whole.low_cfm), high_cfm=flow + whole.high_cfm)
    told = not (after.too_weak or before.too_weak or before.past_sheet or after.past_sheet)
    past = new is not None and here[1] >= new.last_cfm * (1 - 1e-9)
    sentence = comparison_words(
        as_found, proposed, before, after, whole=whole, by_fan=None if new is None else by_fan, by_pipe=by_pipe,
        fan_alone=here[1], fan_alone_past=past, ground_known=ground is not None,
    )  # fmt: skip
    if ground is not None and len(proposed.runs) != ground.points:
        sentence += f" {EACH_POINT_ALIKE}"
    return Comparison(
        before, after, whole.cfm, whole.low_cfm, whole.high_cfm, sentence,
        by_fan if told and new is not None else None, by_pipe if told else None, fan, new_fan, ground,
    )  # fmt: skip


def as_read(
    curve: FanCurve, as_found: Route, reading: SiteReading, method: str = "coefficients", *, bore: str = "table",
    split: Split | None = None,
) -> FanCurve:  # fmt: skip
    """The present fan as a reading at the suction point found it: what was read there and what the pipe loses."""
    lost = loss_at(as_found, reading.flow_cfm, method, bore=bore, split=split)
    return calibrated(curve, reading.flow_cfm, reading.suction_pa + lost)


def ground_through(reading: SiteReading, site: UnderSlab | None, points: int) -> UnderSlab:
    """The ground that gives just this reading, drawn by so many suction points; ``site`` tells how steep it is."""
    power = site.power if site is not None else under_slab([reading]).power
    return UnderSlab(reading.suction_pa / reading.flow_cfm**power, power, points)


def _suppositions(
    asked: _Question, centre: _Sides, before: OperatingPoint, reading: SiteReading | None, site: UnderSlab | None
) -> Iterator[_Sides]:
    """What else may be true: losses at the ends of their band, the fan off its sheet another way, another ground."""
    for scatter in (MOST, LEAST):
        fan = asked.present if reading is None else calibrated(*_read(asked, reading, scatter))
        yield replace(centre, fan=fan, new_fan=asked.new or fan, scatter=scatter)
    if reading is None and site is None and before.flow_cfm and before.below_pa:
        yield from _grounds(centre, before.flow_cfm, before.below_pa)  # any that gives the suction wanted as found
    elif reading is not None:
        present, flow, pressure = _read(asked, reading, AS_RECKONED)
        turned = by_speed(present, speed_factor(present, flow, pressure))
        for sides in (centre, replace(centre, fan=turned, new_fan=asked.new or turned)):
            yield sides
            if site is None or site.power == BEDS[""]:  # one flow was read and nobody has looked at the bed
                yield from _grounds(sides, reading.flow_cfm, reading.suction_pa)
    if asked.new is not None:
        for factor in (1 - SHEET_SCATTER, 1 + SHEET_SCATTER):
            yield replace(centre, new_fan=by_pressure(asked.new, factor))


def _grounds(centre: _Sides, flow: float, suction: float) -> Iterator[_Sides]:
    points = centre.site.points if centre.site is not None else centre.points
    for power in (BEDS["soil"], BEDS["gravel"]):
        yield replace(centre, site=UnderSlab(suction / flow**power, power, points))


def _read(asked: _Question, reading: SiteReading, scatter: Scatter) -> tuple[FanCurve, float, float]:
    """The present fan's sheet, and what it was found to give."""
    lost = loss_at(
        asked.as_found, reading.flow_cfm, asked.method, bore=asked.bore, split=asked.found_split, scatter=scatter
    )
    return asked.present, reading.flow_cfm, reading.suction_pa + lost


def _gain(here: tuple[float, ...], rest: Sequence[tuple[float, ...]], begin: int, end: int) -> Gain:
    gains = [flows[end] - flows[begin] for flows in (here, *rest)]
    return Gain(gains[0], min(gains), max(gains))

