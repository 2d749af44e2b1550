"""Papers about money laid out: letterhead, for whom and about what, the table, the sum, the closing words."""

from __future__ import annotations

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Paragraph

from desktop.papers.letterhead import letterhead
from desktop.papers.paper import SOFT, STYLES, TINT, Paper, clean, columns, grid, prose, space, text_block, together
from domain.papers.money import MoneyPaper, Row

_HEAD = ParagraphStyle("money_head", parent=STYLES["soft"], fontName=STYLES["strong"].fontName)
_HEAD_AMOUNT = ParagraphStyle("money_head_amount", parent=_HEAD, alignment=STYLES["amount"].alignment)
_NOTE = ParagraphStyle("money_note", parent=STYLES["cell"], textColor=SOFT)
_NOTE_AMOUNT = ParagraphStyle("money_note_amount", parent=STYLES["amount"], textColor=SOFT)

_WIDTHS: dict[tuple[str, ...], tuple[float, ...]] = {
    ("What for", "Quantity", "Price", "Amount"): (0.52, 0.15, 0.15, 0.18),
    ("What for", "Amount"): (0.75, 0.25),
    ("What it settles", "Amount"): (0.75, 0.25),
    ("Day", "What", "Amount", "Balance"): (0.17, 0.47, 0.18, 0.18),
    ("Invoice", "Issued", "Was due", "Overdue", "Open"): (0.34, 0.18, 0.18, 0.13, 0.17),
}


def make_money_paper(said: MoneyPaper, logo: bytes | None = None) -> bytes:
    """The PDF: US letter, or A4 for a firm that works in metric units."""
    name = said.reference[0] if said.reference else said.title
    paper = Paper(
        title=f"{name}, {said.to_lines[0]}" if said.to_lines else name,
        running_head=name,
        author=said.firm.name,
        sheet="a4" if said.firm.unit_system == "metric" else "letter",
        mark=said.mark,
    )
    story: list[Flowable] = letterhead(said.firm, said.title, said.reference, said.facts, paper.width, logo)
    story += _who(said, paper.width)
    if said.opening:
        story += [*prose(said.opening), space(6)]
    story += _table(said, paper.width)
    if said.boxes:
        story += [space(10), _boxes(said, paper.width)]
    if said.closing:
        story.append(space(10))
    for text in said.closing:
        story += prose(text)
    return paper.make(story)


def _who(said: MoneyPaper, width: float) -> list[Flowable]:
    def block(word: str, lines: tuple[str, ...]) -> list[Flowable]:
        if not lines:
            return []
        return [
            text_block(word, "soft"),
            text_block(lines[0], "strong"),
            *(text_block(line, "cell") for line in lines[1:]),
        ]

    half = (width - 18) / 2
    left, right = block(said.to_word, said.to_lines), block(said.about_word, said.about_lines)
    return [columns(left, [], right, widths=(half, 18, half)), space(12)]


def _table(said: MoneyPaper, width: float) -> list[Flowable]:
    shares = _WIDTHS[said.columns]
    first_right = len(said.columns) - said.right_columns
    head: list[list[Flowable]] = [
        [Paragraph(clean(name), _HEAD if place < first_right else _HEAD_AMOUNT)]
        for place, name in enumerate(said.columns)
    ]
    rows = [head, *(_row(row, first_right) for row in said.rows)]
    rules = [("BACKGROUND", (0, place), (-1, place), TINT) for place, row in enumerate(said.rows, 1) if _big(row)]
    rules += [
        ("SPAN", (0, place), (len(row.cells) - 2, place))  # its words need the room of the empty cells beside them
        for place, row in enumerate(said.rows, 1)
        if row.cells[0] and len(row.cells) > 2 and not any(row.cells[1:-1])
    ]
    table = grid(rows, [share * width for share in shares], rules)
    table.repeatRows = 1
    return [table]


def _big(row: Row) -> bool:
    return row.kind == "total"


def _row(row: Row, first_right: int) -> list[list[Flowable]]:
    left, right = STYLES["cell"], STYLES["amount"]
    if row.kind == "total":
        left, right = STYLES["strong_label"], STYLES["strong_amount"]
    elif row.kind in ("note", "tax"):
        left, right = _NOTE, _NOTE_AMOUNT
    made: list[list[Flowable]] = []
    for place, text in enumerate(row.cells):
        figure = place >= first_right
        made.append([Paragraph(clean(text.replace("-", "−") if figure else text), right if figure else left)])
    return made


def _boxes(said: MoneyPaper, width: float) -> Flowable:
    each = width / max(len(said.boxes), 3)
    cells: list[list[Flowable]] = [
        [text_block(name, "soft"), text_block(figure.replace("-", "−"), "strong_label")] for name, figure in said.boxes
    ]
    table = grid([cells], [each] * len(cells))
    table.hAlign = "RIGHT"
    return together(table)
