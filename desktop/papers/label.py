"""The system label, printed at its real size: one page as large as the label, to be stuck on and read for years."""

from __future__ import annotations

from io import BytesIO

from reportlab.lib.enums import TA_CENTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import inch
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, Paragraph, Spacer

from desktop.papers.paper import BODY, INK, STRONG, TITLE, Paper, clean
from domain.closeout.handover import LabelWords
from domain.leaving import one_line

EDGE = 0.14 * inch
LARGEST, SMALLEST, STEP = 16.0, 5.5, 0.25
"""Points of the running words: as large as the label has room for."""


def make_label(said: LabelWords, width_inches: float, height_inches: float) -> bytes:
    """The PDF of a label; its page is exactly the label."""
    Paper(said.title, said.title, "")  # loads the faces
    width, height = width_inches * inch, height_inches * inch
    target = BytesIO()
    canvas = Canvas(target, pagesize=(width, height))
    canvas.setTitle(one_line(said.title))
    canvas.setAuthor(one_line(said.installer[0]) if said.installer else "")
    canvas.setCreator("Riserbook")
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(1.2)
    canvas.roundRect(EDGE / 2, EDGE / 2, width - EDGE, height - EDGE, 6)
    inner_width, inner_height = width - 2 * EDGE - 8, height - 2 * EDGE - 4
    parts = _fitting(said, inner_width, inner_height)
    spare = inner_height - sum(part.wrap(inner_width, inner_height)[1] for part in parts)
    gap = max(spare, 0) / max(len(parts) - 1, 1)
    top = height - EDGE - 2
    for part in parts:
        tall = part.wrap(inner_width, inner_height)[1]
        top -= tall
        part.drawOn(canvas, EDGE + 4, top)
        top -= min(gap, 9)
    canvas.showPage()
    canvas.save()
    return target.getvalue()


def _fitting(said: LabelWords, width: float, height: float) -> list[Flowable]:
    """The parts in the largest letters that leave nothing out."""
    size = LARGEST
    while True:
        parts = _parts(said, size)
        if size <= SMALLEST or sum(part.wrap(width, height)[1] for part in parts) <= height:
            return parts
        size -= STEP


def _parts(said: LabelWords, size: float) -> list[Flowable]:
    title = ParagraphStyle("label_title", fontName=TITLE, fontSize=size * 1.6, leading=size * 1.85,
                           alignment=TA_CENTER, textColor=INK)  # fmt: skip
    body = ParagraphStyle("label_body", fontName=BODY, fontSize=size, leading=size * 1.22, textColor=INK)
    strong = ParagraphStyle("label_strong", parent=body, fontName=STRONG)
    centred = ParagraphStyle("label_centred", parent=strong, alignment=TA_CENTER)
    rows = [
        (said.title, title), (said.installed, centred), (said.indicator, body), (said.call, strong),
        (said.retest, strong), ("  ·  ".join(said.installer), body), (said.help, body), (said.warning, strong),
    ]  # fmt: skip
    made: list[Flowable] = [Paragraph(clean(words), style) for words, style in rows if words]
    return made or [Spacer(1, 1)]
