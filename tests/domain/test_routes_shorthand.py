"""The shorthand of a route: what is printed reads back as the same route, and a slip is shown at its word."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.routes import Fitting, Leg, Route, WordNotUnderstood, parse_route, print_route, read_route
from domain.routes.printing import print_length
from tests.domain.route_examples import TWO_POINTS, feet, routes


@given(routes())
def test_a_printed_route_reads_back_as_the_same_route(route: Route) -> None:
    assert parse_route(print_route(route)) == route


@given(feet(2_000_000))
def test_a_printed_length_reads_back_exactly(length: Decimal) -> None:
    (leg,) = parse_route(f"up {print_length(length)}").legs
    assert leg.length_ft == length


@given(st.text(st.characters(codec="utf-8"), max_size=200))
def test_any_text_is_read_without_failing_and_mistakes_lie_within_it(text: str) -> None:
    reading = read_route(text)
    for mistake in reading.mistakes:
        assert 0 <= mistake.start < mistake.end <= len(text)
        assert mistake.message[-1] in ".!?"


WORDS = [
    "A:",
    "B:",
    "pit",
    "up",
    "7'",
    "along",
    "12'6\"",
    "90",
    "wye",
    "B",
    "flex",
    "to",
    "4in",
    "out",
    "rise",
    "1/8",
    "x9",
]


@given(st.lists(st.sampled_from([*WORDS, "\n", ","])))
def test_any_row_of_known_words_is_read_and_every_part_has_its_place(words: list[str]) -> None:
    text = " ".join(words)
    reading = read_route(text)
    for number, run in enumerate(reading.route.runs):
        for index in range(len(run.parts)):
            place = reading.place_of(number, index)
            assert place is not None
            assert text[place.start : place.end].strip() == text[place.start : place.end] != ""


def test_a_route_of_two_runs() -> None:
    route = parse_route(TWO_POINTS)
    assert (route.name, route.status) == ("Two suction points", "proposed")
    main, side = route.runs
    assert (main.name, main.suction, main.start_ft) == ("A", "pit", Decimal(-7))
    assert main.parts[0] == Leg("up", Decimal("6.5"), Decimal(3), "basement")
    assert main.parts[1] == Fitting("elbow_90", Decimal(3), "basement")
    assert main.legs[1].rise_in_per_ft == Decimal("0.125")
    assert [part.joins for part in main.fittings if part.kind == "wye"] == ["B"]
    assert [part.kind for part in main.fittings[-4:]] == ["flexible_coupling", "fan", "flexible_coupling", "discharge"]
    assert main.fittings[-4].to_size == 4
    assert {part.size for part in main.parts[-4:]} == {Decimal(4)}
    assert [leg.length_ft for leg in side.legs] == [6, 10]
    assert route.surroundings.opening_top_ft == 9


def test_one_letter_and_the_length_are_a_leg() -> None:
    short, long = (
        parse_route("basement 3in u7 90 a31 d2 p5 rise 4"),
        parse_route("basement 3in up 7' 90 along 31' down 2' pitched 5' rise 4"),
    )
    assert short == long


@pytest.mark.parametrize(
    ("typed", "length"),
    [
        ("up 7", "7"),
        ("up 7ft", "7"),
        ("up 7 ft", "7"),
        ("up 6'6\"", "6.5"),
        ("up 6' 6\"", "6.5"),
        ("up 6'6-1/2\"", "6.542"),
        ("up 6½", "6.5"),
        ("up 2m", "6.562"),
    ],
)
def test_lengths_as_people_type_them(typed: str, length: str) -> None:
    (leg,) = parse_route(typed).legs
    assert leg.length_ft == Decimal(length)


def test_sizes_and_spaces_hold_until_the_next_one() -> None:
    route = parse_route("crawl 4in along 3' 90 along 4' attic up 2' reduce 3in up 1'")
    assert [(leg.size, leg.space) for leg in route.legs] == [
        (Decimal(4), "crawl"), (Decimal(4), "crawl"), (Decimal(4), "attic"), (Decimal(3), "attic"),
    ]  # fmt: skip


def test_a_line_without_a_head_goes_on_where_the_line_before_ended() -> None:
    assert parse_route("A: up 6' 90\n along 12'\nout") == parse_route("A: up 6' 90 along 12' out")


def test_kept_belongs_to_the_part_before_it() -> None:
    route = parse_route("found: Old\nA: up 6' kept 90 along 12' drop 1/4 kept")
    assert route.status == "found"
    assert [part.kept for part in route.runs[0].parts] == [True, False, True]
    assert route.legs[1].rise_in_per_ft == Decimal("-0.25")


@pytest.mark.parametrize(
    ("typed", "word", "part_of_message"),
    [
        ("up 7' 90 alnog 12'", "alnog", "alnog"),
        ("up 7' 91", "91", "91"),
        ("up seven", "seven", "not a length"),
        ("up", "up", "missing"),
        ("3in up 7' 5in along 2'", "5in", "Sizes are"),
        ("up 7' reduce wide", "wide", "pipe size"),
        ("up 7' wye C", "C", "No run is named C"),
        ("along 12' rise steep", "steep", "slope"),
        ("rise 1/8", "rise", "follow a leg"),
        ("A: up 7'\nA: up 6'", "A", "two runs named A"),
        ("up: along 7'", "up", "cannot name a run"),
        ("A: up 7'\nnear: door 3'", "door", "near"),
        ("up 12'14\"", "12'14\"", "below 12"),
    ],
)
def test_a_slip_is_shown_at_its_word_and_the_text_is_kept(typed: str, word: str, part_of_message: str) -> None:
    with pytest.raises(WordNotUnderstood) as caught:
        parse_route(typed)
    assert caught.value.typed == typed
    assert typed[caught.value.start : caught.value.end] == word
    assert part_of_message in str(caught.value)


def test_what_is_understood_is_drawn_while_a_word_is_still_wrong() -> None:
    reading = read_route("basement 3in up 7' 9 along 12' ou")
    assert [leg.length_ft for leg in reading.route.legs] == [7, 12]
    assert len(reading.mistakes) == 2


def test_every_kind_of_fitting_can_be_typed() -> None:
    from domain.routes.route import FITTINGS
    from domain.routes.shorthand import FITTING_TYPED

    assert set(FITTING_TYPED) == set(FITTINGS)
    for kind, word in FITTING_TYPED.items():
        typed = f"{word} 4in" if kind == "reducer" else word
        assert [part.kind for part in parse_route(typed).fittings] == [kind]


def test_a_slope_does_not_swallow_the_part_behind_the_comma() -> None:
    reading = read_route("A: pit, along 12' drop, 90, up 3'")
    assert [mistake.message for mistake in reading.mistakes] == [
        "Something is missing behind “drop”: type for example drop 1/8."
    ]
    assert [part.kind for part in reading.route.runs[0].parts if isinstance(part, Fitting)][-1] == "elbow_90"
