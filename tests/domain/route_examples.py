"""Routes to test with: some typed, and any at all for hypothesis."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from hypothesis import settings
from hypothesis import strategies as st

from domain.routes import Fitting, Leg, Route, RouteRules, Run, Surroundings, route_rules
from domain.routes.route import FITTINGS, HEADINGS, PIPE_SIZES, SPACES, STATUSES, SUCTION_POINTS

DAY = date(2026, 3, 2)
RULES: RouteRules = route_rules(DAY)

FEW = settings(max_examples=40)
"""For tests that draw whole routes: each takes a while to make up."""

TWO_POINTS = """proposed: Two suction points
A: pit at -7', basement 3in up 6'6", 90, along 31' rise 1/8, wye B, outside up 2', flex to 4in, fan,
   flex, up 16', out
B: pit, basement 3in up 6', 90, along 10'
near: opening 12' top 9' wall 6'"""


def feet(top: int = 40_000, bottom: int = 0) -> st.SearchStrategy[Decimal]:
    """Lengths in thousandths of a foot."""
    return st.integers(bottom, top).map(lambda n: Decimal(n).scaleb(-3))


heights = feet(30_000, -30_000)
sizes = st.sampled_from(PIPE_SIZES)
spaces = st.sampled_from(sorted(SPACES))
slopes = st.none() | st.integers(-200_000, 200_000).map(lambda n: Decimal(n).scaleb(-4))

legs = st.builds(
    Leg,
    direction=st.sampled_from(("along", "up", "down", "pitched")),
    length_ft=feet(),
    size=sizes,
    space=spaces,
    rise_in_per_ft=slopes,
    heading=st.sampled_from(("", *HEADINGS)),
    under_ft=st.none() | heights,
    over_ft=st.none() | heights,
    kept=st.booleans(),
)


@st.composite
def fittings(draw: st.DrawFn, names: tuple[str, ...]) -> Fitting:
    kind = draw(st.sampled_from(sorted(FITTINGS)))
    junction = kind in ("wye", "tee")
    return Fitting(
        kind=kind,
        size=draw(sizes),
        space=draw(spaces),
        to_size=draw(sizes if kind == "reducer" else st.none() | sizes),
        joins=draw(st.sampled_from(("", *names))) if junction else "",
        side_size=draw(st.none() | sizes) if junction else None,
        turned=draw(st.booleans()) if junction else False,
        kept=draw(st.booleans()),
    )


@st.composite
def routes(draw: st.DrawFn) -> Route:
    """Any route that can be typed, sensible or not."""
    names = tuple(draw(st.lists(st.sampled_from(("A", "B", "C", "north", "Süd")), min_size=1, max_size=4, unique=True)))
    parts = st.lists(legs | fittings(names), max_size=7).map(tuple)
    runs = tuple(
        Run(name, draw(st.sampled_from(sorted(SUCTION_POINTS))), draw(parts), draw(st.none() | heights))
        for name in names
    )
    near = Surroundings(draw(st.none() | feet()), draw(st.none() | heights), draw(st.none() | feet()))
    name = " ".join(draw(st.text(st.characters(categories=("L", "N", "P")), max_size=20)).split())
    return Route(name, draw(st.sampled_from(sorted(STATUSES))), runs, near)
