"""The side drawing: every part is on it, runs meet where they join, and all of it lies inside its box."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given

from domain.routes import Leg, Route, draw_route, parse_route, study_route
from tests.domain.route_examples import FEW, RULES, TWO_POINTS, routes


@FEW
@given(routes())
def test_everything_drawn_lies_inside_the_box(route: Route) -> None:
    drawing = draw_route(route, RULES)
    points = [point for line in drawing.lines for point in line.points] + [mark.at for mark in drawing.marks]
    for x, y in points:
        assert drawing.left <= x <= drawing.right
        assert drawing.bottom <= y <= drawing.top
    assert drawing.width > 0
    assert drawing.height > 0


@FEW
@given(routes())
def test_every_leg_is_a_line_and_every_fitting_a_mark(route: Route) -> None:
    drawing = draw_route(route, RULES)
    parts = {(number, index): part for number, run in enumerate(route.runs) for index, part in enumerate(run.parts)}
    drawn = {line.part for line in drawing.lines if line.part}
    marked = {
        mark.part: mark.kind for mark in drawing.marks if mark.part and mark.kind not in ("support", "stop", "look")
    }
    for place, part in parts.items():
        if isinstance(part, Leg):
            assert (place in drawn) == (part.length_ft > 0)
        else:
            assert marked[place] in (part.kind, "low_spot")
    assert sum(mark.kind == "suction" for mark in drawing.marks) == len(route.runs)


@FEW
@given(routes())
def test_a_run_ends_where_it_joins_and_each_part_begins_where_the_one_before_ended(route: Route) -> None:
    walk = study_route(route, RULES).walk
    for number, run in enumerate(walk.runs):
        here = walk.starts[number]
        for placed in run:
            assert placed.start == here
            here = placed.end
        join = walk.joined[number]
        if join is not None:
            target = walk.runs[join[0]][join[1]].end
            apart = (here.x - target.x, here.y - target.y, here.z - target.z)
            assert max(abs(distance) for distance in apart) < Decimal("1e-12")


def test_heights_are_above_grade() -> None:
    walk = study_route(parse_route("pit at -7' up 6'6\" 90 along 16' rise 1/4 90 up 20' out"), RULES).walk
    assert walk.starts[0].z == -7
    assert abs(walk.end_of(0).z - (Decimal("-7") + Decimal("6.5") + Decimal(4) / 12 + 20)) < Decimal("1e-12")


def test_headings_turn_the_level_legs() -> None:
    walk = study_route(parse_route("along 10' level 90 along 4' level left 90 along 3' level far"), RULES).walk
    end = walk.end_of(0)
    assert (end.x, end.y, end.z) == (6, 3, 0)


def test_the_spaces_the_pipe_passes_are_named_and_grade_is_drawn() -> None:
    drawing = draw_route(parse_route(TWO_POINTS), RULES)
    assert [field.words for field in drawing.fields] == ["basement"]
    assert [line.style for line in drawing.lines if line.style in ("grade", "floor")] == ["grade", "floor", "floor"]
    # -7 + 6.5 + 31 x 1/8 in + 2 + 16 ft = 17 ft 9 7/8 in
    assert [label.text for label in drawing.labels if label.role == "height"] == ["17' 9 7/8\" above grade"]
    assert {label.text for label in drawing.labels if label.role == "run"} == {"A", "B"}


def test_a_paper_for_the_customer_shows_no_trouble() -> None:
    route = parse_route("up 6' along 12' drop 1/4")
    kinds = {mark.kind for mark in draw_route(route, RULES).marks}
    assert {"look", "low_spot"} & kinds
    assert not {"look", "stop", "low_spot"} & {
        mark.kind for mark in draw_route(route, RULES, with_problems=False).marks
    }


def test_lengths_in_the_unit_asked_for() -> None:
    route = parse_route("3in up 6'6\"")
    assert {label.text for label in draw_route(route, RULES).labels} == {"6' 6\" of 3 in"}
    assert {label.text for label in draw_route(route, RULES, unit="m").labels} == {"1.98 m of 3 in"}
