"""What the pull sheet and the shopping list share: their head, boxes to tick, and tables whose heading repeats."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import inch
from reportlab.platypus import CondPageBreak, Flowable, Paragraph, Table

from desktop.papers.paper import (
    INK,
    RULE,
    SOFT,
    STYLES,
    TINT,
    Paper,
    RowsOnPaper,
    Rule,
    clean,
    columns,
    space,
    text_block,
)
from domain.firm import Firm

_PART = ParagraphStyle("part", parent=STYLES["heading"], keepWithNext=0)


class TickBox(Flowable):
    """An empty square to tick with a pencil."""

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        return 10, 13

    def draw(self) -> None:
        self.canv.setStrokeColor(INK)
        self.canv.setLineWidth(0.9)
        self.canv.rect(0, 1, 9.5, 9.5)


def list_paper(title: str, about: str, firm: Firm) -> Paper:
    """The sheet: US letter, or A4 for a firm that works in metric units."""
    return Paper(title, f"{title}  ·  {about}", firm.name, "a4" if firm.unit_system == "metric" else "letter")


def list_head(title: str, about: str, right: Sequence[str], firm: Firm, width: float) -> list[Flowable]:
    """Firm, title, what it is about, and a few facts at the right."""
    facts: list[Flowable] = [text_block(line, "right") for line in right]
    return [
        columns([text_block(firm.name, "firm")], facts, widths=(width * 0.62, width * 0.38)),
        Rule(8, 10),
        text_block(title, "title"),
        space(3),
        text_block(about, "soft"),
        space(8),
    ]


def part_heading(text: str) -> list[Flowable]:
    """A heading over a long table: it stays with the table's first rows, and the table may go on overleaf."""
    return [CondPageBreak(1.5 * inch), Paragraph(clean(text), _PART)]


def tick_table(
    heads: Sequence[str], rows: Sequence[Sequence[Any]], widths: Sequence[float], right: Sequence[int], gap_before: int
) -> Table:
    """A row a thing, its box first; texts in the columns `right` stand at the right; the heading is on each page.

    `gap_before` is the column that stands a little away from the figures before it.
    """
    made = [[text_block(head, "right" if n in right else "soft") for n, head in enumerate(heads)]]
    for row in rows:
        made.append([_cell(value, "amount" if n in right else "cell") for n, value in enumerate(row)])
    table = RowsOnPaper(made, colWidths=list(widths), repeatRows=1, splitInRow=0)
    table.setStyle([
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 4),
        ("LEFTPADDING", (gap_before, 0), (gap_before, -1), 14),
        ("RIGHTPADDING", (0, 0), (-1, -1), 4),
        ("TOPPADDING", (0, 0), (-1, -1), 3),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 4),
        ("BACKGROUND", (0, 0), (-1, 0), TINT),
        ("LINEBELOW", (0, 0), (-1, 0), 0.7, SOFT),
        ("LINEBELOW", (0, 1), (-1, -1), 0.5, RULE),
    ])  # fmt: skip
    return table


def _cell(value: Any, style: str) -> Any:
    return text_block(value, style) if isinstance(value, str) else value


