"""The side drawing and the plot as shapes: on the sheet, apart from each other, and the same on paper."""

from __future__ import annotations

from datetime import date
from io import BytesIO

from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from db.commands import takeoff
from db.commands.quotes import send_quote
from db.queries.proposals import proposal_facts
from db.queries.sold_fans import sold_fans
from desktop.papers import proposal_pdf
from desktop.sketch.air_shapes import air_shapes
from desktop.sketch.route_shapes import fit, route_shapes
from desktop.sketch.shapes import Dot, Look, Poly, Strokes, Words
from domain.airflow import FanCurve, air_limits
from domain.job_takeoff.air import job_air
from domain.job_takeoff.records import blank_plan
from domain.routes import draw_route, read_route, route_rules
from domain.routes.drawing import Drawing
from tests.db.quote_company import TODAY, make_quote_company
from tests.db.test_takeoff import FOUND, PROPOSED, take
from tests.domain.route_examples import TWO_POINTS, routes

RULES = route_rules(date(2026, 3, 2))
LOOK = Look(lambda text: 6.0 * len(text), 12.0)
WIDTH, HEIGHT = 600.0, 340.0


def drawing(words: str = TWO_POINTS, problems: bool = True) -> Drawing:
    return draw_route(read_route(words).route, RULES, with_problems=problems)


def words_of(shapes: list[object]) -> list[Words]:
    return [shape for shape in shapes if isinstance(shape, Words)]


@settings(max_examples=60)
@given(routes(), st.integers(200, 1400), st.integers(120, 800))
def test_every_pipe_lies_on_the_sheet_whatever_is_typed(route: object, width: int, height: int) -> None:
    made = draw_route(route, RULES)  # type: ignore[arg-type]
    shapes = route_shapes(made, width, height, LOOK)
    where = fit(made, width, height)
    assert where.scale > 0
    for shape in shapes:
        if isinstance(shape, Strokes) and shape.round_ends:
            for start, end in shape.segments:
                for x, y in (start, end):
                    assert -1 <= x <= width + 1
                    assert -1 <= y <= height + 1


def test_words_do_not_lie_on_each_other() -> None:
    placed = [word for word in words_of(route_shapes(drawing(), WIDTH, HEIGHT, LOOK)) if word.text != "!"]
    boxes = [(w.x, w.y - 6, w.x + 6.0 * len(w.text), w.y + 6, w.text) for w in placed if w.anchor == "left"]
    assert len(boxes) > 8
    for n, one in enumerate(boxes):
        for other in boxes[n + 1 :]:
            apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
            assert apart, (one, other)


def test_problems_are_drawn_for_the_owner_and_not_for_the_customer() -> None:
    words = "A: pit at -6', crawl 3in up 2', 90, along 12' drop 1/4, up 12', out"

    def signs(problems: bool) -> int:
        shapes = route_shapes(drawing(words, problems), WIDTH, HEIGHT, LOOK)
        return sum(isinstance(shape, Dot) and shape.fill in ("error", "over") for shape in shapes)

    assert signs(True) > 0
    assert signs(False) == 0


def test_the_spaces_and_the_ends_of_the_runs_are_named() -> None:
    texts = {word.text for word in words_of(route_shapes(drawing(), WIDTH, HEIGHT, LOOK))}
    assert {"basement", "A", "B", "fan"} <= texts
    assert any("above grade" in text for text in texts)


def test_the_chosen_part_stands_out() -> None:
    shapes = route_shapes(drawing(), WIDTH, HEIGHT, LOOK, (0, 2))
    accents = [shape for shape in shapes if isinstance(shape, Strokes) and shape.stroke == "accent"]
    assert [len(shape.segments) for shape in accents] == [1]


def test_a_long_route_is_drawn_without_crowding() -> None:
    legs = ", ".join(f"along {5 + n % 5}', 90, up 2', 90" for n in range(40))
    made = drawing(f"A: pit, basement 3in {legs}, fan, out")
    assert len(words_of(route_shapes(made, WIDTH, HEIGHT, LOOK))) < len(made.labels)


def test_the_plot_shows_both_points_within_its_frame() -> None:
    curve = FanCurve([(0, 1.9), (60, 1.6), (120, 1.0), (170, 0)], name="own fan")
    air = job_air(
        read_route(FOUND).route, read_route(PROPOSED).route, curve, blank_plan(1), (), air_limits(date(2026, 3, 2))
    )
    shapes = air_shapes(air, WIDTH, 220, LOOK)
    spots = [shape for shape in shapes if isinstance(shape, Dot)]
    assert {spot.fill for spot in spots} == {"over", "accent"}
    for shape in shapes:
        if isinstance(shape, Poly):
            assert all(-1 <= x <= WIDTH + 1 and -1 <= y <= 221 for x, y in shape.points)
    assert air_shapes(job_air(None, None, curve, blank_plan(1), (), air_limits(date(2026, 3, 2))), 1, 1, LOOK) == []


def test_a_quote_that_was_not_made_from_the_route_does_not_print_it() -> None:
    shop = make_quote_company()
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", PROPOSED)
    quote_id = shop.start()

    def shown() -> bool:
        with shop.company.read() as conn:
            return proposal_facts(conn, quote_id).sketch is not None

    assert not shown()
    take(shop)
    assert shown()
    shop.company.undo()
    shop.do(send_quote, quote_id, TODAY)
    assert not shown(), "as it was sent"


def test_the_proposal_prints_drawing_sentence_and_figures() -> None:
    shop = make_quote_company()
    shop.do(takeoff.add_route, shop.job_id, "found", "", FOUND)
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", PROPOSED)
    quote_id = take(shop).quote_id

    def text() -> str:
        with shop.company.read() as conn:
            paper = proposal_pdf(proposal_facts(conn, quote_id))
        return " ".join(" ".join(page.extract_text() for page in PdfReader(BytesIO(paper)).pages).split())

    without_fan = text()
    assert "The route of the pipe" in without_fan
    assert "crawl space" in without_fan
    assert "What the route does for the air" not in without_fan
    points = tuple(FanCurve([(0, 1.9), (60, 1.6), (170, 0)]).points)
    fan = shop.do(takeoff.add_fan_curve, "Own fan", points)
    shop.do(takeoff.set_air_plan, shop.job_id, fan_curve_id=fan)
    assert "What the route does for the air" not in text()  # the quote sells a fan, and nobody said it is this one
    with shop.company.read() as conn:
        sold = sold_fans(conn, [quote_id])
    shop.do(takeoff.change_fan_curve, fan, item_id=min(sold))
    with_fan = text()
    assert "What the route does for the air (an estimate)" in with_fan
    assert "Only the test after the work shows the radon level reached." in with_fan
    assert "Suction at the suction point" in with_fan
    pipe = next(line for line in shop.document(quote_id).materials if line.takeoff_key == "pipe:3")
    assert pipe.reason.split(":")[0] not in with_fan  # reasons are the owner's own
