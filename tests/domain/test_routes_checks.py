"""What is wrong with a route is said at its place; a sound route is left in peace."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given

from domain.routes import LOOK, STOP, Route, RouteProblem, parse_route, route_rules, study_route
from domain.routes.checking import check_route
from tests.domain.route_examples import DAY, FEW, RULES, TWO_POINTS, routes


def problems(typed: str, severity: str | None = None) -> list[RouteProblem]:
    found = check_route(parse_route(typed), RULES)
    return [problem for problem in found if severity in (None, problem.severity)]


def said(typed: str, words: str) -> RouteProblem:
    found = [problem for problem in problems(typed) if words in problem.message]
    assert len(found) == 1, [problem.message for problem in problems(typed)]
    return found[0]


SOUND = "A: pit at -7' basement 3in up 6'6\" 90 along 31' 90 outside up 2' flex fan flex up 12' out"


def test_a_sound_route_has_nothing_to_put_right() -> None:
    assert problems(SOUND) == []


def test_two_suction_points_that_meet_are_sound() -> None:
    typed = TWO_POINTS.replace("along 31' rise 1/8, wye B, outside", "along 31' rise 1/8, wye B, 90, outside")
    assert problems(typed) == []


@FEW
@given(routes())
def test_any_route_can_be_studied_and_places_exist(route: Route) -> None:
    for problem in study_route(route, RULES).problems:
        assert problem.message.endswith((".", "?"))
        if problem.run is not None and problem.part is not None:
            assert 0 <= problem.part < len(route.runs[problem.run].parts)


@pytest.mark.parametrize("length", ["0", "5280'", "1 mile"])
def test_a_leg_of_nothing_or_of_a_mile(length: str) -> None:
    if "mile" in length:
        assert read_mistake(f"up {length}")
        return
    problem = said(SOUND.replace("31'", length), "no length" if length == "0" else "longer than any leg")
    assert (problem.severity, problem.run, problem.part) == (STOP, 0, 2)


def read_mistake(typed: str) -> bool:
    from domain.routes import read_route

    return len(read_route(typed).mistakes) > 0


def test_an_empty_route_says_how_to_begin() -> None:
    (problem,) = check_route(Route("", "proposed", ()), RULES)
    assert problem.severity == STOP
    assert "Begin" in problem.message


def test_a_size_that_does_not_exist() -> None:
    from decimal import Decimal

    route = parse_route(SOUND)
    odd = replace(route.runs[0].parts[0], size=Decimal(5))
    wrong = replace(route, runs=(replace(route.runs[0], parts=(odd, *route.runs[0].parts[1:])),))
    found = [problem for problem in check_route(wrong, RULES) if "no 5 in pipe" in problem.message]
    assert [(problem.severity, problem.part) for problem in found] == [(STOP, 0)]


def test_a_size_that_changes_with_nothing_between() -> None:
    problem = said(
        SOUND.replace("90 along", "90 4in along").replace("outside", "reduce 3in outside"), "nothing between"
    )
    assert (problem.severity, problem.part) == (STOP, 2)
    assert "reduce 4in" in problem.message


def test_a_reducer_the_wrong_way_round() -> None:
    # typed as 4 to 3 where the pipe arrives in 3
    problem = said("A: pit 3in up 6' 90 along 3' 4in reduce 3in along 4' out", "wrong way round")
    assert (problem.severity, problem.part) == (STOP, 3)


def test_a_reducer_that_narrows_toward_the_discharge() -> None:
    problem = said("A: pit 4in up 6' 90 along 3' reduce 3in along 4' out", "narrows")
    assert (problem.severity, problem.part) == (LOOK, 3)


def test_a_reducer_to_the_same_size() -> None:
    assert said("A: pit 4in up 6' reduce 4in up 4' out", "same size").severity == STOP


def test_a_run_that_joins_itself_is_a_loop() -> None:
    assert said("A: up 6' wye B up 8' out\nB: up 3' wye B along 4'", "joins twice").severity == STOP
    loop = "A: up 6' up 8' out\nB: up 3' wye C along 4'\nC: up 2' wye B along 3'"
    assert said(loop, "come round to itself").severity == STOP
    assert [p.run for p in problems(loop, STOP) if "joins nothing" in p.message] == []


def test_the_main_run_cannot_join_another() -> None:
    assert said("A: up 6' wye B up 8' out\nB: up 3' tee A along 4'", "leads to the discharge").part == 1


def test_a_run_nobody_takes_in() -> None:
    problem = said("A: up 6' up 8' out\nB: up 3'", "joins nothing")
    assert (problem.severity, problem.run, problem.part) == (STOP, 1, None)


def test_a_side_of_another_size_than_the_run_that_joins() -> None:
    typed = "A: 4in up 6' wye B up 8' out\nB: 3in up 3' 45"
    assert said(typed, "side it joins is 4 in").run == 1
    assert not [p for p in problems(typed.replace("wye B", "wye B side 3in")) if "side it joins" in p.message]


def test_a_side_run_that_would_start_at_another_height_is_told_by_how_much() -> None:
    problem = said(
        "A: pit at -7' up 6' 90 along 12' level wye B out\nB: pit at -7' up 4' 90 along 10' level", "start at"
    )
    assert (problem.run, problem.severity) == (1, LOOK)
    assert "upright legs 2' longer" in problem.message


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (("fan ", ""), "No fan yet"),
        (("flex fan flex", "flex fan flex fan"), "second fan"),
        (
            ("90 outside up 2' flex fan flex up 12'", "flex fan flex along 3' 90 outside up 14'"),
            "The fan is in the basement",
        ),
        (("90 outside up 2' flex fan", "90 outside up 2' flex fan basement up 2' outside"), "under pressure"),
        (("up 12' out", "up 12'"), "no discharge"),
        (("up 12' out", "up 4' out"), "above grade"),
        (("up 12' out", "up 12' 90 along 2' out"), "does not point up"),
        (("up 12' out", "out up 12'"), "something follows"),
        (("90 outside", "outside"), "without an elbow"),
        (("along 31'", "pitched 31'"), "how steep"),
    ],
)
def test_hints_about_fan_discharge_and_turns(change: tuple[str, str], words: str) -> None:
    said(SOUND.replace(*change), words)


def test_openings_count_by_the_rule_chosen() -> None:
    typed = SOUND + "\nnear: opening 6' top 10'"  # discharge at 13' 9 7/8": 3' 9 7/8" above the opening
    assert not [p for p in problems(typed) if "opening" in p.message]
    newer = check_route(parse_route(typed), route_rules(DAY, openings="newer"))
    assert [p.message for p in newer if "opening" in p.message] == [
        "An opening is 6 ft away: keep 10 ft, or end 4 ft above its top, at 14' above grade."
    ]


def test_a_wall_near_the_discharge_and_the_height_above_the_roof() -> None:
    said(SOUND + "\nnear: wall 3'", "taller wall")
    roof = SOUND.replace("up 12' out", "up 11'6\" flashing up 0'6\" out")
    said(roof, "6 in above the roof")


def test_a_choice_of_rules_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="no such rule"):
        route_rules(DAY, supports="best")
