"""Everything a takeoff counts by, for the day of the job: standards, owner's data, allowances, waste."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from domain.routes.route import PIPE_SIZES
from domain.routes.rules import RouteRules, route_rules
from domain.standards import Standard
from domain.takeoff.conduit_fill import FillRules, fill_rules
from domain.takeoff.figures import Figures

WASTE_PERCENT: Mapping[str, Decimal] = {
    "pipe": Decimal(0),  # the cut list counts it
    "fitting": Decimal(0),
    "electrical": Decimal(0),  # conduit is cut by list, wire has slack
    "sealing": Decimal(10),
    "membrane": Decimal(0),  # laps and turn-ups are counted
    "paint": Decimal(10),
}
"""Waste by item class, percent: allowances of this program (from memory; no source). The owner changes them."""

SHORTEST_KEPT_FT = Decimal(2)
"""The shortest offcut of pipe worth keeping until the owner says otherwise: allowance of this program, no source."""

TAKEOFF_KEYS = {
    "elbow_90": "takeoff_90_{}_in",
    "elbow_90_long": "takeoff_90_long_{}_in",
    "elbow_45": "takeoff_45_{}_in",
    "elbow_22": "takeoff_22_{}_in",
    "tee": "takeoff_tee_{}_in",
    "wye": "takeoff_wye_{}_in",
}


@dataclass(frozen=True, slots=True)
class ConduitRules:
    """Straps, stock length and slack of conduit and wire, in the units their names end in."""

    strap_ft: Mapping[str, Decimal]  # by kind: emt, pvc
    box_strap_ft: Mapping[str, Decimal]
    stick_ft: Decimal
    slack_in: Decimal
    fill: FillRules


@dataclass(frozen=True, slots=True)
class SurfaceRules:
    """Sealant, membrane and paint."""

    in3_per_cartridge: Decimal
    membrane_lap_in: Decimal
    membrane_upturn_in: Decimal
    membrane_fastener_ft: Decimal
    wall_bead_in: Decimal
    paint_sq_ft_per_quart: Decimal
    paint_sq_ft_per_can: Decimal


@dataclass(frozen=True, slots=True)
class TakeoffRules:
    """The rules of one day; change single ones with `dataclasses.replace`.

    ``belled`` names the sizes whose sticks come with a bell, so that they join without a coupling. ``takeoff_in`` is
    the distance from the centre of a fitting to its socket stop, by kind and size, and nothing where it is not known.
    """

    route: RouteRules
    stick_ft: Mapping[Decimal, Decimal]
    belled: frozenset[Decimal]
    kerf_in: Decimal
    socket_in: Mapping[Decimal, Decimal]
    takeoff_in: Mapping[tuple[str, Decimal], Decimal]
    joints_per_quart: Mapping[Decimal, Decimal]
    primer_percent: Decimal
    label_every_ft: Decimal
    tubing_ft: Decimal  # for each pressure indicator
    conduit: ConduitRules
    surface: SurfaceRules
    waste_percent: Mapping[str, Decimal]
    shortest_kept_ft: Decimal = SHORTEST_KEPT_FT


def takeoff_rules(
    day: date,
    own: Iterable[Standard] = (),
    supports: str = "newer",
    openings: str = "older",
    belled: Iterable[Decimal] = (),
    waste_percent: Mapping[str, Decimal] = WASTE_PERCENT,
    shortest_kept_ft: Decimal = SHORTEST_KEPT_FT,
) -> TakeoffRules:
    """The rules in force on a day. ``own`` rows of the standards table win over the program's.

    Raises ValueError for a choice of rules that is none, NotUnderstood for a day before the tables begin.
    """
    own = tuple(own)
    figure = Figures(day, own)
    takeoffs = {
        (kind, size): inches
        for kind, key in TAKEOFF_KEYS.items()
        for size, inches in figure.by_size(key).items()
    }  # fmt: skip
    return TakeoffRules(
        route=route_rules(day, own, supports, openings),
        stick_ft={size: figure("stick_ft") for size in PIPE_SIZES},
        belled=frozenset(belled),
        kerf_in=figure("kerf_in"),
        socket_in=figure.by_size("socket_depth_{}_in"),
        takeoff_in=takeoffs,
        joints_per_quart=figure.by_size("joints_per_quart_{}"),
        primer_percent=figure("primer_share_percent"),
        label_every_ft=figure("label_every_ft"),
        tubing_ft=figure("indicator_tubing_ft"),
        conduit=ConduitRules(
            strap_ft={kind: figure(f"{kind}_strap_ft") for kind in ("emt", "pvc")},
            box_strap_ft={kind: figure(f"{kind}_box_strap_ft") for kind in ("emt", "pvc")},
            stick_ft=figure("conduit_stick_ft"),
            slack_in=figure("wire_slack_in"),
            fill=fill_rules(figure),
        ),
        surface=_surface_rules(figure),
        waste_percent=dict(waste_percent),
        shortest_kept_ft=shortest_kept_ft,
    )


def _surface_rules(figure: Figures) -> SurfaceRules:
    return SurfaceRules(
        in3_per_cartridge=figure("cartridge_fl_oz") * figure("in3_per_fl_oz"),
        membrane_lap_in=figure("membrane_overlap_in"),
        membrane_upturn_in=figure("membrane_upturn_in"),
        membrane_fastener_ft=figure("membrane_fastener_ft"),
        wall_bead_in=figure("wall_bead_in"),
        paint_sq_ft_per_quart=figure("paint_gallon_sq_ft") / figure("quarts_per_gallon"),
        paint_sq_ft_per_can=figure("paint_can_sq_ft"),
    )
