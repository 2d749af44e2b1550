"""The built-in points of the work checklist, by phase and kind of work, each with its figure and its source.

A figure in a wording comes from the dated standards table, so an owner's own value shows, and is named as such. A
point without a figure says where it is from and how far that was read. Standards disagree and local code comes first:
the list reminds, and never certifies.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from domain.standards import COMMON_PRACTICE, READ, Standard, standard_on
from domain.standards.own import value_words
from domain.standards.trade import FIRST_DAY
from domain.words import fold

PIPE, FAN, MEMBRANE, SUMP, REWORK, PASSIVE = "pipe", "fan", "membrane", "sump", "rework", "passive"
KINDS = (PIPE, FAN, MEMBRANE, SUMP, REWORK, PASSIVE)
ALL_WORK: frozenset[str] = frozenset()
"""A point of every kind of work."""

_FIGURE = re.compile(r"\{(\w+)\}")


@dataclass(frozen=True, slots=True)
class BuiltInPoint:
    """One point of ours.

    Attributes:
        key: kept with an answer; never reused.
        phase: before, during or after the work.
        words: the wording; {key} is a figure of the standards table.
        source: where it is from when it has no figure, with how far that was seen; "" with a figure.
        kinds: the kinds of work it belongs to; none: all.
    """

    key: str
    phase: str
    words: str
    source: str = ""
    kinds: frozenset[str] = ALL_WORK


def _of(*kinds: str) -> frozenset[str]:
    return frozenset(kinds)


def _read(where: str) -> str:
    return f"{where} ({READ})"


PRACTICE = COMMON_PRACTICE[:1].upper() + COMMON_PRACTICE[1:]
SGM_DRAFT = _read("ANSI/AARST SGM-SF guidance, s. 11.1.1, 2017")
PA_FAN = _read("25 Pa. Code, 240.308(c)")

BUILT_IN: tuple[BuiltInPoint, ...] = (
    # Before.
    BuiltInPoint(
        "permits", "before", "Permits, licenses and who does the wiring settled as local code asks",
        _read("ANSI/AARST SGM-SF, s. 4.4.3 to 4.4.4, 2017"),
    ),
    BuiltInPoint(
        "cautions", "before",
        "Crawl space, dust, old paint, suspect asbestos, solvent and wiring looked at before anyone begins", PRACTICE,
    ),
    BuiltInPoint(
        "draft_before", "before",
        "Fuel-burning appliances checked for draft before a fan runs, and how each vents noted", SGM_DRAFT,
    ),
    BuiltInPoint(
        "alarms", "before", "Carbon monoxide alarm there and working where something burns fuel", PRACTICE,
    ),
    BuiltInPoint(
        "buried", "before", "Buried lines, heating tubes and tensioned slabs ruled out where holes are made", PRACTICE,
        _of(PIPE, SUMP),
    ),
    BuiltInPoint(
        "as_found", "before", "What is there looked through: slope, low spots, fan, discharge, labels, sealing",
        PRACTICE, _of(REWORK, PASSIVE, FAN),
    ),
    # During: pipe.
    BuiltInPoint(
        "slope", "during", "Pipe slopes back to the suction point by {slope_in_per_ft} or more, without low spots",
        "", _of(PIPE),
    ),
    BuiltInPoint(
        "support_flat", "during", "Horizontal pipe supported every {support_horizontal_ft} or less", "", _of(PIPE),
    ),
    BuiltInPoint(
        "support_up", "during", "Vertical pipe supported every {support_vertical_ft} or less", "", _of(PIPE),
    ),
    BuiltInPoint(
        "support_end", "during", "Pipe supported within {support_discharge_ft} of the discharge", "", _of(PIPE, FAN),
    ),
    BuiltInPoint(
        "joints", "during", "Every joint primed and cemented, or coupled, and tight",
        _read("ANSI/AARST SGM-SF, s. 6.2.5, 2017, rev. 12/20"), _of(PIPE, FAN),
    ),
    BuiltInPoint(
        "pressure_side", "during", "No pipe on the pressure side of the fan inside conditioned space",
        _read("ANSI/AARST SGM-SF, s. 6.2.3, 2017, rev. 12/20"), _of(PIPE, FAN),
    ),
    # During: fan and discharge.
    BuiltInPoint(
        "fan_place", "during",
        "Fan not below grade, in conditioned space, or in a basement or crawl space under it", PA_FAN, _of(PIPE, FAN),
    ),
    BuiltInPoint(
        "discharge_grade", "during", "Discharge {discharge_above_grade_ft} or more above grade", "", _of(PIPE, FAN),
    ),
    BuiltInPoint(
        "discharge_opening", "during",
        "Discharge {discharge_from_opening_ft} or more from windows, doors and other openings, or "
        "{discharge_above_opening_ft} or more above their top", "", _of(PIPE, FAN),
    ),
    BuiltInPoint(
        "discharge_neighbor", "during",
        "Discharge {discharge_from_neighbor_ft} or more from any opening of a building next to it", "", _of(PIPE, FAN),
    ),
    BuiltInPoint(
        "discharge_roof", "during", "Discharge {discharge_above_roof_in} or more above the roof where it goes through",
        "", _of(PIPE, FAN),
    ),
    BuiltInPoint(
        "discharge_up", "during", "Discharge points upward, without a rain cap", _read("25 Pa. Code, 240.308(b)(2)"),
        _of(PIPE, FAN),
    ),
    BuiltInPoint(
        "disconnect", "during",
        "Means of disconnect in sight of the fan, within {fan_disconnect_ft}; wiring by whom local law lets", "",
        _of(PIPE, FAN),
    ),
    BuiltInPoint(
        "roof_tight", "during", "Roof and wall penetrations flashed or sealed, fire-rated ones as local code asks",
        PRACTICE, _of(PIPE, FAN),
    ),
    # During: openings in the ground.
    BuiltInPoint(
        "sealing", "during", "Cracks, joints and holes to the soil that can be reached are sealed", PRACTICE,
        _of(PIPE, SUMP, REWORK),
    ),
    BuiltInPoint(
        "sump_lid", "during", "Sump lid sealed, the pump still reached, water still finds its way", PRACTICE,
        _of(SUMP),
    ),
    BuiltInPoint(
        "membrane_lap", "during", "Membrane laps {membrane_overlap_in} or more, every lap sealed", "", _of(MEMBRANE),
    ),
    BuiltInPoint(
        "membrane_edges", "during", "Membrane sealed to walls, piers and pipes, without holes", PRACTICE,
        _of(MEMBRANE),
    ),
    # After.
    BuiltInPoint(
        "suction", "after", "Suction read at the main riser when the fan was started, and noted",
        _read("ANSI/AARST SGM-SF, s. 13.5.1.1 (chemical vapor; good practice for radon), 2017, rev. 12/20"),
    ),
    BuiltInPoint(
        "indicator", "after",
        "Pressure indicator fitted, seen to move, its reading marked; service is called at a change of "
        "{monitor_change_percent} or at zero",
    ),
    BuiltInPoint(
        "draft_after", "after",
        "Fuel-burning appliances checked for draft again with the fan running; the fan stays off where one spills",
        SGM_DRAFT,
    ),
    BuiltInPoint(
        "label", "after",
        "System label with date, license and retest on the system by its indicator, or within {label_panel_in} of the "
        "electric panel",
    ),
    BuiltInPoint(
        "label_disconnect", "after", "Disconnect and circuit marked as the radon fan's", PRACTICE, _of(PIPE, FAN),
    ),
    BuiltInPoint("leaks", "after", "No leak heard or felt at joints with the fan running", PRACTICE),
    BuiltInPoint("quiet", "after", "Fan runs without rattling; vibration is not carried into the house", PRACTICE,
                 _of(PIPE, FAN)),
    BuiltInPoint(
        "clean", "after", "Work place cleaned, dust and offcuts taken away, furniture and insulation put back",
        PRACTICE,
    ),
    BuiltInPoint(
        "shown", "after", "Owner shown the indicator, the fan and its switch, and told to test again every "
        "{recheck_years}",
    ),
    BuiltInPoint(
        "test_after", "after",
        "Test after the work planned: no sooner than {after_fan_hours} after the fan was started, within "
        "{after_work_days}",
    ),
)  # fmt: skip

_WORDS_OF_KIND = (
    (MEMBRANE, ("membrane", "crawl", "barrier", "liner")),
    (SUMP, ("sump", "drain", "tile")),
    (REWORK, ("rework", "repair", "existing", "correct")),
    (PASSIVE, ("passive", "activat")),
)
_FAN_ALONE = ("fan replacement", "replace fan", "new fan", "service", "callback", "fault")


def work_kinds(job_type: str) -> frozenset[str]:
    """The kinds of work a job type stands for, from its name; a name that says nothing is a whole system.

    A fan replacement or a service call is fan work alone, a membrane alone has pipe and fan as well, as the air
    beneath it is drawn off.
    """
    name = fold(job_type)
    if any(words in name for words in _FAN_ALONE):
        return frozenset((FAN,))
    return frozenset((PIPE, FAN, *(kind for kind, words in _WORDS_OF_KIND if any(word in name for word in words))))


@dataclass(frozen=True, slots=True)
class CheckPoint:
    """A point as a person reads it on a job."""

    key: str
    phase: str
    wording: str
    source: str
    is_own: bool = False  # the owner's own point, or a built-in one in the owner's words
    hidden: bool = False


def built_in_points(kinds: frozenset[str] | None, day: date, own: Iterable[Standard] = ()) -> list[CheckPoint]:
    """The built-in points of some kinds of work with the figures of a day; None: of all kinds."""
    own, day = tuple(own), max(day, FIRST_DAY)
    return [
        _with_figures(point, day, own)
        for point in BUILT_IN
        if kinds is None or not point.kinds or point.kinds & kinds
    ]


def _with_figures(point: BuiltInPoint, day: date, own: tuple[Standard, ...]) -> CheckPoint:
    figures = {key: standard_on(key, day, own) for key in _FIGURE.findall(point.words)}
    words = _FIGURE.sub(lambda found: _shown(figures[found[1]]), point.words)
    notes = dict.fromkeys(figure.note for figure in figures.values())
    return CheckPoint(point.key, point.phase, words, point.source or " ".join(notes))


def _shown(figure: Standard) -> str:
    words = value_words(figure.value, figure.unit)
    return words.removesuffix("s") if figure.value == 1 and figure.unit in ("years", "days", "hours") else words
