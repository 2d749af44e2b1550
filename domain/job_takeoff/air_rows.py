"""The air of a job as rows to read: found beside proposed, and where the pressure of a route goes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from domain.airflow import AirLimits, ElbowCost, Gain, LossItem, inwc_from_pa
from domain.job_takeoff.air import AirCase, JobAir
from domain.units import format_whole_percent


@dataclass(frozen=True, slots=True)
class AirFigure:
    """One figure, as found and as proposed; a tone of "over" marks what is past a limit."""

    label: str
    found: str
    proposed: str
    found_tone: str = ""
    proposed_tone: str = ""


@dataclass(frozen=True, slots=True)
class LossRow:
    """One leg, fitting or opening: pascals with their band, its share, and for an elbow what it costs in air."""

    key: tuple[str, int, str]
    words: str
    pa: str
    band: str
    share: str
    speed: str
    costs: str
    pascals: float


def air_figures(air: JobAir, limits: AirLimits) -> list[AirFigure]:
    """Flow, speed against its limits, what is lost, and the suction that is left."""
    found, proposed = air.found, air.proposed
    speed_word = f"Fastest air (heard from {limits.noise_fpm:,.0f}, under {limits.most_fpm:,.0f})"
    return [
        AirFigure("Air moved", _flow(found), _flow(proposed), _weak(found), _weak(proposed)),
        *_brought(air),
        AirFigure(speed_word, _speed(found), _speed(proposed), _fast(found, limits), _fast(proposed, limits)),
        AirFigure("Lost in pipe and fittings", _lost(found), _lost(proposed)),
        AirFigure("The fan gives", _given(found), _given(proposed)),
        AirFigure("Suction at the suction point", _below(found), _below(proposed)),
        *_holes(found, proposed),
    ]


def _brought(air: JobAir) -> list[AirFigure]:
    """What the fan and what the pipe bring, each by itself; nothing where they cannot be told apart."""
    told = air.comparison
    if told is None:
        return []
    most = "" if told.ground is not None else ", at most"
    named = ((f"Brought by the new fan alone{most}", told.by_fan), (f"Brought by the pipe{most}", told.by_pipe))
    return [AirFigure(label, "", _gain(gain)) for label, gain in named if gain is not None]


def _gain(gain: Gain) -> str:
    """``17 cfm more (13 to 22)``; the band of a gain that may be a loss has its signs."""
    if not gain.is_measurable:
        return "no difference you could measure"
    places = 0 if abs(gain.cfm) >= 10 else 1
    ends = (gain.low_cfm, gain.high_cfm)
    if gain.low_cfm < 0 < gain.high_cfm:
        return f"{gain.cfm:+.{places}f} cfm ({ends[0]:+.{places}f} to {ends[1]:+.{places}f})"
    low, high = sorted(abs(end) for end in ends)
    way = "more" if gain.cfm > 0 else "less"
    return f"{abs(gain.cfm):.{places}f} cfm {way} ({low:.{places}f} to {high:.{places}f})"


def _flow(case: AirCase | None) -> str:
    if case is None:
        return ""
    point = case.point
    if point.too_weak:
        return "none: too weak"
    band = ", measured" if point.measured else f" ({point.low_cfm:.0f} to {point.high_cfm:.0f})"
    return f"{point.flow_cfm:.0f} cfm{' or more' if point.past_sheet else ''}{band}"


def _weak(case: AirCase | None) -> str:
    return "over" if case is not None and (case.point.too_weak or case.point.past_sheet) else ""


def _speed(case: AirCase | None) -> str:
    return "" if case is None else f"{case.point.speed_fpm:,.0f} fpm"


def _fast(case: AirCase | None, limits: AirLimits) -> str:
    return "over" if case is not None and case.point.is_noisy(limits) else ""


def _lost(case: AirCase | None) -> str:
    if case is None:
        return ""
    loss = case.point.losses
    return f"{inches(loss.pa)} ({inwc_from_pa(loss.low_pa):.1f} to {inwc_from_pa(loss.high_pa):.1f})"


def _given(case: AirCase | None) -> str:
    return "" if case is None else inches(case.point.fan_pa)


def _below(case: AirCase | None) -> str:
    return "" if case is None else f"{inches(case.point.below_pa)} ({case.point.below_pa:.0f} Pa)"


def _holes(found: AirCase | None, proposed: AirCase | None) -> list[AirFigure]:
    """What reaches the test hole that had the least; as found it was measured where the present fan ran."""
    named = next((case.weakest[0] for case in (found, proposed) if case is not None and case.weakest), None)
    if named is None:
        return []

    def words(case: AirCase | None) -> str:
        return f"{case.weakest[1]:.1f} Pa" if case is not None and case.weakest else ""

    return [AirFigure(f"Suction at the weakest test hole ({named})", words(found), words(proposed))]


def inches(pascals: float) -> str:
    """``0.24 inWC``."""
    return f"{inwc_from_pa(pascals):.2f} inWC"


def loss_rows(case: AirCase, elbows: Sequence[ElbowCost]) -> list[LossRow]:
    """Every loss of a route in the order of the air, an elbow with the air it costs."""
    costs = {(cost.item.run, cost.item.index): cost.cfm for cost in elbows}
    return [_loss_row(item, costs) for item in case.point.losses.items]


def _loss_row(item: LossItem, costs: dict[tuple[str, int], float]) -> LossRow:
    cfm = costs.get((item.run, item.index))
    return LossRow(
        (item.run, item.index, item.taken_in), item.words, f"{item.pa:.1f} Pa",
        f"{item.low_pa:.1f} to {item.high_pa:.1f}", format_whole_percent(item.share * 100) if item.on_path else "",
        f"{item.speed_fpm:,.0f}", "" if cfm is None else f"{max(cfm, 0.0):.1f} cfm", item.pa,
    )  # fmt: skip
