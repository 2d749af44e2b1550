"""The letter for a buyer, an agent or an inspector, laid out."""

from __future__ import annotations

from reportlab.platypus import Flowable

from desktop.papers.letterhead import letterhead
from desktop.papers.paper import Paper, grid, heading, prose, signatures, space, text_block, together
from domain.firm import Firm
from domain.papers.letter import Letter


def make_letter(firm: Firm, said: Letter, logo: bytes | None = None) -> bytes:
    """The PDF: US letter, or A4 for a firm that works in metric units."""
    paper = Paper(
        title=said.about, running_head=said.about, author=firm.name,
        sheet="a4" if firm.unit_system == "metric" else "letter",
    )  # fmt: skip
    story: list[Flowable] = letterhead(firm, said.about, (said.reference,), said.facts, paper.width, logo)
    story += [text_block(line, "cell") for line in said.to_lines]
    story += [space(12), *prose(said.opening), *heading("The system"), _table(said.system, paper.width)]
    if said.tests:
        story += [*heading("Radon tests"), _table(said.tests, paper.width)]
    story.append(space(10))
    for text in said.closing:
        story += prose(text)
    story += [space(14), together(signatures((f"{said.signer}, {firm.name}", "Date"), paper.width))]
    return paper.make(story)


def _table(rows: tuple[tuple[str, str], ...], width: float) -> Flowable:
    cells: list[list[list[Flowable]]] = [
        [[text_block(what, "soft")], [text_block(words, "cell")]] for what, words in rows
    ]
    return grid(cells, (width * 0.36, width * 0.64))
