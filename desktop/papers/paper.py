"""The look every paper shares: sheet, letterhead, running head, page numbers, type, tables, signature lines.

    paper = Paper(title="Proposal", subject="Job 26-014", author=firm.name, sheet="letter")
    story = [paper.heading("What we will do"), *paper.prose(text), paper.money_table(rows), paper.signatures(...)]
    pdf = paper.make(head=[...], story=story)

Text from people is escaped here and only here: a name like "Søn <Ltd>" prints as it is written.
"""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from pathlib import Path
from typing import Any, Literal
from xml.sax.saxutils import escape

from reportlab.lib.colors import HexColor
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import inch
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    KeepTogether,
    PageTemplate,
    Paragraph,
    Spacer,
    Table,
)

from domain.leaving import many_lines, one_line

Sheet = Literal["letter", "a4"]

BODY, STRONG, TITLE = "PaperBody", "PaperStrong", "PaperTitle"
_FILES = {BODY: "SourceSansPro-Regular.ttf", STRONG: "SourceSansPro-Semibold.ttf", TITLE: "SourceSerifPro-Semibold.ttf"}

INK, SOFT, RULE, TINT = HexColor("#27231d"), HexColor("#5f574a"), HexColor("#c9bfad"), HexColor("#f5f1e9")
GOODWILL = HexColor("#5f4191")

MARGIN = 0.85 * inch
FOOT = 0.55 * inch


def _load_fonts() -> None:
    """Register the faces once: Source Sans and Source Serif (SIL Open Font License), Latin, Greek and Cyrillic."""
    folder = Path(__file__).with_name("fonts")
    known = set(pdfmetrics.getRegisteredFontNames())
    for name, file_name in _FILES.items():
        if name not in known:
            pdfmetrics.registerFont(TTFont(name, str(folder / file_name)))
    pdfmetrics.registerFontFamily(BODY, normal=BODY, bold=STRONG, italic=BODY, boldItalic=STRONG)


def _style(name: str, font: str, size: float, leading: float, **more: Any) -> ParagraphStyle:
    return ParagraphStyle(name, fontName=font, fontSize=size, leading=leading, **{"textColor": INK, **more})


STYLES = {
    "body": _style("body", BODY, 10, 14, spaceAfter=4, allowWidows=0, allowOrphans=0),
    "bullet": _style("bullet", BODY, 10, 14, leftIndent=12, bulletIndent=2, spaceAfter=2, bulletFontName=BODY),
    "soft": _style("soft", BODY, 9, 12.5, textColor=SOFT),
    "cell": _style("cell", BODY, 10, 13.5),
    "strong": _style("strong", STRONG, 10, 13.5),
    "amount": _style("amount", BODY, 10, 13.5, alignment=TA_RIGHT),
    "strong_amount": _style("strong_amount", STRONG, 11.5, 14, alignment=TA_RIGHT),
    "strong_label": _style("strong_label", STRONG, 11.5, 14),
    "heading": _style("heading", STRONG, 11.5, 15, spaceBefore=11, spaceAfter=3, keepWithNext=1),
    "title": _style("title", TITLE, 21, 25),
    "firm": _style("firm", TITLE, 15, 19),
    "right": _style("right", BODY, 9, 12.5, textColor=SOFT, alignment=TA_RIGHT),
}


def clean(text: str) -> str:
    """Text as the paragraph maker takes it: escaped, control characters out, line ends kept as breaks."""
    printable = "".join(letter for letter in many_lines(text) if letter in "\n\t" or letter.isprintable())
    return escape(printable.strip()).replace("\t", "    ").replace("\n", "<br/>")


def text_block(text: str, style: str = "body") -> Paragraph:
    """One paragraph in a named style."""
    return Paragraph(clean(text), STYLES[style])


def prose(text: str) -> list[Flowable]:
    """What the owner wrote: each line a paragraph; lines that begin with - or • are bullets."""
    made: list[Flowable] = []
    for line in many_lines(text).split("\n"):
        line = line.strip()
        if not line:
            continue
        if line[:1] in "-•*–" and line[1:].strip():
            made.append(Paragraph(clean(line[1:]), STYLES["bullet"], bulletText="•"))
        else:
            made.append(text_block(line))
    return made


def listing(text: str) -> list[Flowable]:
    """What the owner wrote as a list: more than one line makes each a bullet."""
    lines = [line.strip().lstrip("-•*–").strip() for line in many_lines(text).split("\n") if line.strip()]
    if len(lines) < 2:
        return prose(text)
    return [Paragraph(clean(line), STYLES["bullet"], bulletText="•") for line in lines]


def heading(text: str) -> list[Flowable]:
    """A heading that never stands alone at the foot of a page."""
    return [CondPageBreak(0.9 * inch), text_block(text, "heading")]


class Rule(Flowable):
    """A thin line across the text."""

    def __init__(self, above: float = 4, below: float = 6, colour: Any = RULE) -> None:
        super().__init__()
        self._above, self._below, self._colour = above, below, colour

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        self.width = width
        return width, self._above + self._below

    def draw(self) -> None:
        self.canv.setStrokeColor(self._colour)
        self.canv.setLineWidth(0.7)
        self.canv.line(0, self._below, self.width, self._below)


class RowsOnPaper(Table):
    """A table that breaks between its rows; a single row longer than a page goes on over the next, never refused."""

    def split(self, width: float, height: float) -> list[Flowable]:
        """The parts before and after the break; none: begin on the next page."""
        parts: list[Flowable] = super().split(width, height)
        if not parts and height > _NEARLY_A_PAGE:
            self.splitInRow = 1
            parts = super().split(width, height)
        return parts


_NEARLY_A_PAGE = 560
"""Points: with so much room left a row that does not fit would not fit on the next page either."""


def columns(*parts: Sequence[Flowable], widths: Sequence[float]) -> Table:
    """Blocks side by side, tops aligned, without rules."""
    table = RowsOnPaper([[list(part) for part in parts]], colWidths=list(widths))
    table.setStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), *_no_padding()])
    return table


def grid(rows: Sequence[Sequence[Flowable]], widths: Sequence[float], rules: Sequence[Any] = ()) -> Table:
    """A table with a thin rule between its rows; it breaks between rows, and within one that is longer than a page."""
    table = RowsOnPaper([list(row) for row in rows], colWidths=list(widths), splitInRow=0)
    table.setStyle([
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 6),
        ("RIGHTPADDING", (0, 0), (-1, -1), 6),
        ("TOPPADDING", (0, 0), (-1, -1), 4),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 5),
        ("LINEBELOW", (0, 0), (-1, -2), 0.5, RULE),
        ("BOX", (0, 0), (-1, -1), 0.7, RULE),
        *rules,
    ])  # fmt: skip
    return table


def signatures(labels: Sequence[str], width: float) -> Table:
    """Lines to sign on, each with the word beneath it."""
    gap = 18.0
    each = (width - gap * (len(labels) - 1)) / len(labels)
    lines: list[Any] = []
    words: list[Any] = []
    widths: list[float] = []
    for label in labels:
        if widths:
            lines.append("")
            words.append("")
            widths.append(gap)
        lines.append("")
        words.append(text_block(label, "soft"))
        widths.append(each)
    table = Table([lines, words], colWidths=widths, rowHeights=[30, 16])
    marks = [("LINEBELOW", (place, 0), (place, 0), 0.8, INK) for place in range(0, len(widths), 2)]
    table.setStyle([*marks, *_no_padding(), ("TOPPADDING", (0, 1), (-1, 1), 2)])
    return table


def together(*parts: Flowable) -> KeepTogether:
    """Parts that stay on one page."""
    return KeepTogether(list(parts))


def _no_padding() -> list[Any]:
    sides = ("LEFTPADDING", "RIGHTPADDING", "TOPPADDING", "BOTTOMPADDING")
    return [(side, (0, 0), (-1, -1), 0) for side in sides]


class Paper:
    """One paper: its sheet, its running head and foot, and the making of it."""

    def __init__(self, title: str, running_head: str, author: str, sheet: Sheet = "letter", mark: str = "") -> None:
        _load_fonts()
        self.title, self.running_head, self.author, self.mark = map(one_line, (title, running_head, author, mark))
        self.size = LETTER if sheet == "letter" else A4
        self.width = self.size[0] - 2 * MARGIN

    def make(self, story: Sequence[Flowable]) -> bytes:
        """Lay the story out and return the PDF."""
        target = BytesIO()
        template = BaseDocTemplate(
            target, pagesize=self.size, title=self.title, author=self.author, subject=self.running_head,
            creator="Riserbook", leftMargin=MARGIN, rightMargin=MARGIN, topMargin=MARGIN, bottomMargin=MARGIN,
        )  # fmt: skip
        height = self.size[1] - MARGIN - FOOT - 26
        first = Frame(MARGIN, FOOT + 26, self.width, height + 20, 0, 0, 0, 0, id="first")
        later = Frame(MARGIN, FOOT + 26, self.width, height - 14, 0, 0, 0, 0, id="later")
        template.addPageTemplates([
            PageTemplate("first", [first], autoNextPageTemplate="later"),
            PageTemplate("later", [later], onPage=self._running_head),
        ])  # fmt: skip
        template.build(list(story), canvasmaker=self._numbered)
        return target.getvalue()

    def _running_head(self, canvas: Canvas, _template: Any) -> None:
        canvas.saveState()
        top = self.size[1] - MARGIN + 14
        canvas.setFillColor(SOFT)
        canvas.setFont(BODY, 8.5)
        canvas.drawString(MARGIN, top, _cut(self.author, self.width * 0.55, 8.5))
        canvas.drawRightString(MARGIN + self.width, top, _cut(self.running_head, self.width * 0.42, 8.5))
        canvas.setStrokeColor(RULE)
        canvas.setLineWidth(0.7)
        canvas.line(MARGIN, top - 6, MARGIN + self.width, top - 6)
        canvas.restoreState()

    def _numbered(self, *args: Any, **named: Any) -> Canvas:
        return _NumberedCanvas(self, *args, **named)

    def draw_foot(self, canvas: Canvas, page: int, pages: int) -> None:
        """Page n of m at the right, the mark (for example a draft's) at the left."""
        canvas.setFont(BODY, 8.5)
        canvas.setFillColor(SOFT)
        canvas.drawRightString(MARGIN + self.width, FOOT, f"Page {page} of {pages}")
        canvas.drawString(MARGIN, FOOT, self.mark or self.running_head)


class _NumberedCanvas(Canvas):
    """Holds every page back until the number of pages is known."""

    def __init__(self, paper: Paper, *args: Any, **named: Any) -> None:
        super().__init__(*args, **named)
        self._paper = paper
        self._held: list[dict[str, Any]] = []

    def showPage(self) -> None:
        self._held.append(dict(self.__dict__))
        self._startPage()

    def save(self) -> None:
        for number, page in enumerate(self._held, 1):
            self.__dict__.update(page)
            self._paper.draw_foot(self, number, len(self._held))
            super().showPage()
        super().save()


def _cut(text: str, width: float, size: float) -> str:
    """The text, shortened with … when it is wider than there is room for."""
    if pdfmetrics.stringWidth(text, BODY, size) <= width:
        return text
    while text and pdfmetrics.stringWidth(text + "…", BODY, size) > width:
        text = text[:-1]
    return text.rstrip() + "…"


def space(points: float) -> Spacer:
    """Empty room."""
    return Spacer(1, points)
