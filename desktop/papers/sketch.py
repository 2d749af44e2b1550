"""The routes and their air in the proposal: the side drawing of the window, the plot and the honest sentence."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.lib.colors import Color, HexColor
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from desktop.papers.paper import BODY, STRONG, grid, heading, space, text_block, together
from desktop.sketch.air_shapes import air_shapes
from desktop.sketch.route_shapes import route_shapes
from desktop.sketch.shapes import Dot, Look, Poly, Shape, Strokes, Words
from domain.airflow import inwc_from_pa
from domain.job_takeoff.air import AirCase, JobAir
from domain.job_takeoff.reckoning import route_title
from domain.job_takeoff.sketch import Sketch
from domain.leaving import one_line
from domain.routes import RouteStudy
from domain.routes.drawing import Drawing, draw_study

SIZE = 7.5
LOOK = Look(lambda text: float(pdfmetrics.stringWidth(text, BODY, SIZE)), SIZE * 1.25)

COLOURS = {
    "ink": "#27231d", "soft": "#5f574a", "faint": "#7a7163", "line": "#ddd4c4", "paper": "#ffffff", "pipe": "#ffffff",
    "kept": "#c9bfad", "space": "#f3eee4", "accent": "#1d5b86", "over": "#9a6410", "error": "#98281f",
    "under": "#0d5f57",
}  # fmt: skip
SHADES: dict[str, Color] = {role: HexColor(colour) for role, colour in COLOURS.items()}

LOW, HIGH, HIGH_OF_SEVERAL = 110.0, 240.0, 172.0
"""A drawing is at least and at most so high, in points."""

LEGEND = (
    "Side drawing. A short tick is a support; gray pipe is there already and stays. What goes away from the viewer is "
    "drawn to the upper right."
)
BAND = "The bars at the foot show the band of the estimate."


class ShapesOnPaper(Flowable):
    """Shapes on the page, as wide as the text."""

    def __init__(self, shapes: Sequence[Shape], width: float, height: float) -> None:
        super().__init__()
        self._shapes, self.width, self.height = shapes, width, height

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        return self.width, self.height

    def draw(self) -> None:
        for shape in self._shapes:
            _draw(self.canv, shape, self.height)


def _draw(canvas: Canvas, shape: Shape, top: float) -> None:
    if isinstance(shape, Words):
        font = STRONG if shape.strong else BODY
        canvas.setFillColor(SHADES[shape.tone])
        canvas.setFont(font, SIZE)
        words = one_line(shape.text)
        wide = pdfmetrics.stringWidth(words, font, SIZE)
        left = shape.x - {"left": 0.0, "middle": wide / 2, "right": wide}[shape.anchor]
        canvas.drawString(left, top - shape.y - SIZE * 0.34, words)
        return
    if shape.stroke:
        canvas.setStrokeColor(SHADES[shape.stroke])
    canvas.setLineWidth(shape.width * 0.8)
    if isinstance(shape, (Poly, Dot)) and shape.fill:
        canvas.setFillColor(SHADES[shape.fill])
    if isinstance(shape, Strokes):
        canvas.setLineCap(1 if shape.round_ends else 0)
        canvas.lines([(x0, top - y0, x1, top - y1) for (x0, y0), (x1, y1) in shape.segments])
        return
    if isinstance(shape, Dot):
        canvas.setDash()
        canvas.circle(shape.x, top - shape.y, shape.radius * 0.85, stroke=bool(shape.stroke), fill=bool(shape.fill))
        return
    _draw_poly(canvas, shape, top)


def _draw_poly(canvas: Canvas, shape: Poly, top: float) -> None:
    canvas.setLineJoin(1)
    canvas.setLineCap(1 if shape.round_ends else 0)
    if shape.dash:
        canvas.setDash(shape.dash * 0.7, shape.dash * 0.5)
    else:
        canvas.setDash()
    path = canvas.beginPath()
    (x, y), *rest = shape.points
    path.moveTo(x, top - y)
    for x, y in rest:
        path.lineTo(x, top - y)
    if shape.fill:
        path.close()
    canvas.drawPath(path, stroke=bool(shape.stroke), fill=bool(shape.fill))
    canvas.setDash()


def route_picture(drawing: Drawing, width: float, highest: float = HIGH) -> ShapesOnPaper:
    """A side drawing as wide as the text and as high as it needs to be."""
    height = min(max(width * drawing.height / max(drawing.width, 1.0), LOW), highest)
    return ShapesOnPaper(route_shapes(drawing, width, height, LOOK), width, height)


def sketch_story(sketch: Sketch | None, width: float) -> list[Flowable]:
    """The part of the proposal about the pipe; nothing where no takeoff was made."""
    if sketch is None:
        return []
    story: list[Flowable] = []
    for study in (*sketch.found, *sketch.proposed):
        story += _route_block(study, sketch, width, not story)
    story.append(text_block(LEGEND, "soft"))
    if sketch.air is not None:
        story += _air_block(sketch.air, width)
    return story


def _route_block(study: RouteStudy, sketch: Sketch, width: float, first: bool) -> list[Flowable]:
    title = text_block(route_title(study.route.status, study.route.name), "strong")
    highest = HIGH_OF_SEVERAL if len(sketch.found) + len(sketch.proposed) > 1 else HIGH
    picture = route_picture(draw_study(study, sketch.length_unit, with_problems=False), width, highest)
    block = [title, picture, space(4)]
    if first:
        head, words = heading("The route of the pipe")
        return [head, together(words, *block)]
    return [together(*block)]


def _air_block(air: JobAir, width: float) -> list[Flowable]:
    head, words = heading("What the route does for the air (an estimate)")
    parts: list[Flowable] = [words]
    if air.comparison is not None:
        parts.append(text_block(air.comparison.sentence))
    height = 190.0
    parts += [
        space(2), ShapesOnPaper(air_shapes(air, width, height, LOOK), width, height),
        text_block(BAND, "soft"), space(4), _figures(air, width), space(2),
        text_block(f"Reckoned by {air.cases[0].point.losses.method_words}{_from_site(air)}.", "soft"),
    ]  # fmt: skip
    return [head, together(*parts)]


def _from_site(air: JobAir) -> str:
    return ", with what was measured at the house" if air.measured else ""


def _figures(air: JobAir, width: float) -> Flowable:
    def row(label: str, words: Sequence[str], style: str = "cell") -> list[list[Flowable]]:
        return [[text_block(label, "soft")], *([text_block(one, style)] for one in words)]

    cases = [("as found", air.found), ("proposed", air.proposed)]
    shown = [(word, case) for word, case in cases if case is not None]
    rows = [
        row("", [word for word, _ in shown], "strong"),
        row("Air", [_flow(case) for _, case in shown]),
        row("Fastest air", [f"{case.point.speed_fpm:,.0f} ft a minute" for _, case in shown]),
        row("Lost in pipe and fittings", [_inches(case.point.losses.pa) for _, case in shown]),
        row("Suction at the suction point", [_inches(case.point.below_pa) for _, case in shown]),
    ]
    first = width * 0.4
    return grid(rows, (first, *[(width - first) / len(shown)] * len(shown)))


def _inches(pascals: float) -> str:
    return f"{inwc_from_pa(pascals):.2f} inches of water"


def _flow(case: AirCase) -> str:
    point = case.point
    if point.too_weak:
        return "the fan is too weak"
    band = ", measured" if point.measured else f" ({point.low_cfm:.0f} to {point.high_cfm:.0f})"
    more = " or more" if point.past_sheet else ""
    return f"{point.flow_cfm:.0f} cfm{more}{band}"
