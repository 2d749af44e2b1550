"""A route's loss: every part counted once, by either method, with its band, and the air divided as it must be."""

from __future__ import annotations

from decimal import Decimal

import fluids
import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.airflow import (
    METHODS,
    inside_diameter_in,
    pipe_loss,
    route_loss,
    route_losses,
    velocity_fpm,
    velocity_pressure,
)
from domain.airflow.fittings import turbulent_friction
from domain.airflow.pipe import AIR_DENSITY, AIR_VISCOSITY, PIPE_ROUGHNESS_M
from domain.errors import NotUnderstood
from domain.routes.reading import parse_route
from domain.routes.route import Fitting, Leg, Route, Run

FOUND = parse_route("""found: Old
A: pit at -7', basement 3in up 6'6", 90, along 12', 90, along 8', 90, up 2', 90, along 3', outside flex to 4in, fan,
   flex to 3in, up 16', out""")

TWO_POINTS = parse_route("""proposed: Two
A: pit at -7', basement 3in up 6'6", 90, along 31', wye B, outside up 2', flex to 4in, fan, up 16', out
B: pit at -7', basement 3in up 6', 90, along 10'""")

NESTED = parse_route("""proposed: Four
A: pit at -7', basement 3in up 6'6", 90, along 31', wye B, tee C, outside up 2', flex to 4in, fan, up 16', out
B: pit at -7', basement 3in up 6', 90, along 10'
C: sump at -7', basement 3in up 6', 90, along 20', wye D side 2in
D: tile at -7', basement 2in up 6', 90, along 20'""")

BORE = inside_diameter_in(3)
flows = st.floats(1, 300)


def straight(feet: str, size: int = 3, *fittings: str) -> Route:
    parts = (
        Leg("up", Decimal(feet), Decimal(size), "outside"),
        *(Fitting(kind, Decimal(size), "outside") for kind in fittings),
    )
    return Route("Straight", "found", (Run("A", "tile", parts),))


def pressure(cfm: float, bore: float = BORE) -> float:
    return velocity_pressure(velocity_fpm(cfm, bore))


@given(flows, st.integers(1, 300), st.sampled_from([2, 3, 4, 6]))
def test_a_straight_pipe_loses_its_friction_the_way_in_and_the_way_out(cfm: float, feet: int, size: int) -> None:
    bore = inside_diameter_in(size)
    expected = pipe_loss(cfm, bore, feet) + 1.5 * pressure(cfm, bore)
    assert route_loss(straight(str(feet), size), cfm) == pytest.approx(expected, rel=1e-9)


@given(st.floats(5, 300))  # turbulent throughout
def test_a_whole_route_reckoned_by_another_library(cfm: float) -> None:
    # friction and exit by fluids; multiples of fT and size changes by their own published checks
    three, four = BORE * 0.0254, inside_diameter_in(4) * 0.0254
    mass = cfm * 0.3048**3 / 60 * AIR_DENSITY
    friction = fluids.one_phase_dP(
        mass, AIR_DENSITY, AIR_VISCOSITY, three, PIPE_ROUGHNESS_M, (6.5 + 12 + 8 + 2 + 3 + 16) * 0.3048
    )
    narrowing = 1 - (three / four) ** 2
    coefficients = 0.78 + 4 * 30 * turbulent_friction(BORE) + narrowing**2 + 0.5 * narrowing + fluids.exit_normal()
    expected = friction + coefficients * pressure(cfm)
    assert route_loss(FOUND, cfm) == pytest.approx(expected, rel=1e-6)


def test_by_published_lengths_a_sharp_elbow_is_eleven_feet_of_pipe() -> None:
    plain, with_elbow = straight("20"), straight("20", 3, "elbow_90")
    assert route_loss(with_elbow, 60, "lengths") - route_loss(plain, 60, "lengths") == pytest.approx(
        pipe_loss(60, BORE, 11), rel=1e-9
    )
    assert route_loss(with_elbow, 60, "lengths_sweep") - route_loss(plain, 60, "lengths_sweep") == pytest.approx(
        pipe_loss(60, BORE, 3), rel=1e-9
    )


@given(flows, st.sampled_from(sorted(METHODS)), st.sampled_from([FOUND, TWO_POINTS, NESTED]))
def test_shares_of_the_deciding_path_add_up_to_the_whole(cfm: float, method: str, route: Route) -> None:
    losses = route_losses(route, cfm, method)
    deciding = [item for item in losses.items if item.on_path]
    assert sum(item.share for item in deciding) == pytest.approx(1)
    assert sum(item.pa for item in deciding) == pytest.approx(losses.pa)
    assert losses.pa == pytest.approx(route_loss(route, cfm, method)) == float(losses)


def test_every_part_is_listed_once_and_a_junction_for_both_its_streams() -> None:
    items = route_losses(NESTED, 80).items
    typed = [(item.run, item.index) for item in items if item.part is not None and not item.taken_in]
    assert sorted(typed) == sorted((run.name, at) for run in NESTED.runs for at in range(len(run.parts)))
    assert [(item.run, item.taken_in) for item in items if item.taken_in] == [("A", "B"), ("A", "C"), ("C", "D")]
    assert sum(item.index == -1 for item in items) == 4


@given(st.floats(1, 300), st.floats(1.01, 3), st.sampled_from(sorted(METHODS)))
def test_more_air_always_costs_more(cfm: float, factor: float, method: str) -> None:
    assert route_loss(FOUND, cfm * factor, method) > route_loss(FOUND, cfm, method)
    assert route_loss(TWO_POINTS, cfm * factor, method) > route_loss(TWO_POINTS, cfm, method)


@given(flows)
def test_the_band_holds_the_figure_and_is_the_published_scatter(cfm: float) -> None:
    # Brodhead and Saum, 1996 AARST, abstract read: pipe 9 to 23% below the reckoning, fittings -53% to +109%
    losses = route_losses(FOUND, cfm)
    pipe = sum(item.pa for item in losses.items if item.is_pipe)
    others = losses.pa - pipe
    assert losses.low_pa == pytest.approx(pipe * (1 - 0.23) + others * (1 - 0.53))
    assert losses.high_pa == pytest.approx(pipe + others * (1 + 1.09))
    assert losses.low_pa < losses.pa < losses.high_pa


def test_no_air_costs_nothing() -> None:
    assert route_loss(NESTED, 0) == 0
    assert all(item.pa == 0 and item.share == 0 for item in route_losses(NESTED, 0).items)


def test_a_slope_that_is_typed_lengthens_the_pipe() -> None:
    level = parse_route("found: L\nA: tile, basement 3in along 30' level, out")
    steep = parse_route("found: S\nA: tile, basement 3in pitched 30' rise 9, out")  # 3, 4, 5: 37.5 ft of pipe
    assert route_loss(steep, 60) - route_loss(level, 60) == pytest.approx(pipe_loss(60, BORE, 7.5), rel=1e-9)


@given(st.floats(5, 300), st.sampled_from([TWO_POINTS, NESTED]), st.sampled_from(sorted(METHODS)))
def test_balanced_every_suction_point_loses_as_much_on_its_way(cfm: float, route: Route, method: str) -> None:
    losses = route_losses(route, cfm, method)
    assert sum(flow for _, flow in losses.flows) == pytest.approx(cfm)
    assert all(flow > 0 for _, flow in losses.flows)
    shares = dict(losses.flows)
    given_back = route_losses(route, cfm, method, split=shares)
    assert given_back.pa == pytest.approx(losses.pa, rel=1e-6)


@given(st.floats(40, 300), st.sampled_from([TWO_POINTS, NESTED]), st.sampled_from(["A", "B"]))
def test_to_draw_more_from_one_point_costs_the_path_from_it_more(cfm: float, route: Route, name: str) -> None:
    losses = route_losses(route, cfm)
    shares = dict(losses.flows)
    assert route_loss(route, cfm, split=shares | {name: shares[name] * 1.1}) > losses.pa


def test_the_shorter_branch_draws_more() -> None:
    shares = dict(route_losses(TWO_POINTS, 80).flows)
    assert shares["B"] > shares["A"]


def test_shares_given_by_the_owner_are_kept() -> None:
    losses = route_losses(TWO_POINTS, 80, split={"A": 3, "B": 1})
    assert dict(losses.flows) == {"A": pytest.approx(60), "B": pytest.approx(20)}
    assert losses.pa > route_loss(TWO_POINTS, 80)
    assert {item.run for item in losses.items if item.on_path} == {"A"}
    turned = route_losses(TWO_POINTS, 80, split={"A": 1, "B": 9})
    assert sum(item.pa for item in turned.items if item.on_path) == pytest.approx(turned.pa)
    assert {item.run for item in turned.items if item.on_path} == {"A", "B"}
    assert [item.taken_in for item in turned.items if item.on_path and item.taken_in] == ["B"]


def test_with_two_points_by_hand() -> None:
    losses = route_losses(TWO_POINTS, 80)
    a, b = dict(losses.flows)["A"], dict(losses.flows)["B"]
    share = b / 80
    elbow = 30 * turbulent_friction(BORE)
    scale = 0.9 * (1 - share) if share <= 0.4 else 0.55
    branch = scale * (1 + share**2 - 2 * (1 - share) ** 2 - 1.41 * share**2)
    run = 1 - (1 - share) ** 2 - 1.41 * share**2
    up_a = pipe_loss(a, BORE, 37.5) + (0.78 + elbow) * pressure(a) + run * pressure(80)
    up_b = pipe_loss(b, BORE, 16) + (0.78 + elbow) * pressure(b) + branch * pressure(80)
    assert up_a == pytest.approx(up_b, rel=1e-6)
    four = inside_diameter_in(4)
    narrowing = 1 - (BORE / four) ** 2
    after = pipe_loss(80, BORE, 2) + narrowing**2 * pressure(80) + pipe_loss(80, four, 16) + pressure(80, four)
    assert losses.pa == pytest.approx(up_a + after, rel=1e-6)


def test_a_run_that_turns_in_the_tee_pays_for_the_branch() -> None:
    text = "proposed: T\nA: pit, basement 3in up 6', tee B{}, outside up 10', out\nB: pit, basement 3in up 6'"
    straight_on, turned = parse_route(text.format("")), parse_route(text.format(" turn"))
    assert dict(route_losses(straight_on, 60).flows)["A"] == pytest.approx(
        dict(route_losses(turned, 60).flows)["B"], rel=1e-6
    )


def test_the_words_of_an_item() -> None:
    items = route_losses(FOUND, 50).items
    assert items[0].words == "entrance, suction pit below the slab"
    assert items[1].words == "6.5 ft of 3 in pipe, basement"
    assert items[2].words == "90° elbow 3 in, basement"
    assert items[-1].words == "discharge 3 in, outside wall"
    assert route_losses(straight("10"), 50).items[-1].words == "open end of the pipe"
    assert [item.words for item in route_losses(TWO_POINTS, 50).items if item.taken_in] == [
        "wye 3 in, basement, “B” coming in"
    ]


def test_the_fastest_air_is_in_the_smallest_pipe_that_carries_it() -> None:
    fastest = route_losses(FOUND, 50).fastest
    assert fastest.is_pipe
    assert fastest.part is not None
    assert fastest.part.size == 3
    assert fastest.speed_fpm == pytest.approx(velocity_fpm(50, BORE))


@pytest.mark.parametrize(
    ("runs", "said"),
    [
        ((), "no pipe on this route yet"),
        ((Run("A", "pit", ()),), "no pipe on this route yet"),
        ((FOUND.runs[0], Run("B", "pit", ())), "no pipe from suction point “B”"),
        ((FOUND.runs[0], FOUND.runs[0]), "the same name"),
        ((FOUND.runs[0], TWO_POINTS.runs[1]), "“B” leads nowhere yet"),
        ((TWO_POINTS.runs[0],), "no suction point has that name"),
    ],
)
def test_a_route_that_cannot_be_followed_is_said_to_be_so(runs: tuple[Run, ...], said: str) -> None:
    with pytest.raises(NotUnderstood, match=said):
        route_loss(Route("R", "found", runs), 50)


def _joining(name: str, *others: str) -> Run:
    leg = Leg("along", Decimal(5), Decimal(3), "basement")
    return Run(name, "pit", (leg, *(Fitting("wye", Decimal(3), "basement", joins=other) for other in others)))


@pytest.mark.parametrize(
    ("runs", "said"),
    [
        ((_joining("A"), _joining("B", "C"), _joining("C", "B")), "leads back into itself"),
        ((_joining("A", "A"),), "ends at the discharge"),
        ((_joining("A", "B", "B"), _joining("B")), "already taken in"),
    ],
)
def test_a_loop_is_refused(runs: tuple[Run, ...], said: str) -> None:
    with pytest.raises(NotUnderstood, match=said):
        route_loss(Route("R", "found", runs), 50)


def test_bad_figures_are_refused_kindly() -> None:
    with pytest.raises(NotUnderstood, match="flow has to be nothing or more, not -3 cfm"):
        route_loss(FOUND, -3)
    with pytest.raises(NotUnderstood, match="has to be a number, not nan"):
        route_loss(FOUND, float("nan"))
    with pytest.raises(NotUnderstood, match="No 5 in pipe"):
        route_loss(straight("10", 5), 50)
    with pytest.raises(NotUnderstood, match="no suction point “Z”"):
        route_loss(FOUND, 50, split={"Z": 1})
    with pytest.raises(NotUnderstood, match="share of “B” has to be more than nothing"):
        route_loss(TWO_POINTS, 50, split={"A": 1})
    with pytest.raises(ValueError, match="no such method"):
        route_loss(FOUND, 50, "guess")
