"""A proposal or change order laid out: letterhead, who and where, tests, scope, price, texts, acceptance."""

from __future__ import annotations

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Paragraph, Table

from desktop.papers.letterhead import letterhead
from desktop.papers.paper import (
    BODY,
    GOODWILL,
    SOFT,
    STYLES,
    TINT,
    Paper,
    clean,
    columns,
    grid,
    heading,
    listing,
    prose,
    signatures,
    space,
    text_block,
    together,
)
from domain.quoting.proposal import OfferedOption, PriceRow, Proposal, ProposalFacts, TestRow, proposal

_GOODWILL = ParagraphStyle("goodwill", parent=STYLES["cell"], textColor=GOODWILL)
_GOODWILL_AMOUNT = ParagraphStyle("goodwill_amount", parent=STYLES["amount"], textColor=GOODWILL)
_NOTE = ParagraphStyle("note", parent=STYLES["cell"], textColor=SOFT, leftIndent=12)
_NOTE_AMOUNT = ParagraphStyle("note_amount", parent=STYLES["amount"], textColor=SOFT)
_BOX = ParagraphStyle("box", parent=STYLES["cell"], fontSize=13, leading=14)


def make_proposal(facts: ProposalFacts) -> bytes:
    """The PDF of a proposal or change order: US letter, or A4 for a firm that works in metric units."""
    said = proposal(facts)
    paper = Paper(
        title=f"{said.title} {said.reference}",
        running_head=f"{said.title}  ·  {said.reference}",
        author=facts.firm.name,
        sheet="a4" if facts.firm.unit_system == "metric" else "letter",
        mark="Draft: not sent, not an offer yet" if said.draft else "",
    )
    title = "Draft " + said.title.lower() if said.draft else said.title
    story: list[Flowable] = letterhead(facts.firm, title, (said.reference,), said.facts, paper.width, facts.logo)
    story += _who_and_where(said, paper.width)
    story += _tests(said.tests, paper.width)
    story += _scope(said)
    story += _sketch(facts, paper.width)
    story += _not_included(said)
    story += _options(said.options, paper.width)
    story += _price(said, paper.width)
    story += _closing(facts, said, paper.width)
    return paper.make(story)


def _who_and_where(said: Proposal, width: float) -> list[Flowable]:
    def block(word: str, lines: tuple[str, ...]) -> list[Flowable]:
        first, *rest = lines or ("",)
        return [text_block(word, "soft"), text_block(first, "strong"), *(text_block(line, "cell") for line in rest)]

    half = (width - 18) / 2
    who, where = block("For", said.customer_lines), block("Property", said.house_lines)
    return [columns(who, [], where, widths=(half, 18, half)), space(4)]


def _tests(tests: tuple[TestRow, ...], width: float) -> list[Flowable]:
    if not tests:
        return []
    rows = [
        [
            [text_block(test.result, "strong")],
            [text_block(test.meaning, "cell")],
            [text_block(" · ".join(part for part in (test.when, test.where, test.device) if part), "soft")],
        ]
        for test in tests
    ]
    table = grid(rows, (width * 0.16, width * 0.34, width * 0.5))
    return [*heading("Radon test results" if len(tests) > 1 else "Radon test result"), table]


def _scope(said: Proposal) -> list[Flowable]:
    parts = prose(said.scope)
    if said.covers:
        parts += [Paragraph(clean(line), STYLES["bullet"], bulletText="•") for line in said.covers]
    return [*heading(said.scope_heading), *parts] if parts else []


def _sketch(facts: ProposalFacts, width: float) -> list[Flowable]:
    """The routes with their air, where a takeoff was made."""
    if facts.sketch is None:
        return []
    from desktop.papers.sketch import sketch_story

    return sketch_story(facts.sketch, width)


def _not_included(said: Proposal) -> list[Flowable]:
    parts = listing(said.not_included)
    return [*heading("What is not included"), *parts] if parts else []


def _options(options: tuple[OfferedOption, ...], width: float) -> list[Flowable]:
    if not options:
        return []
    rows = []
    for option in options:
        words: list[Flowable] = [text_block(option.name, "strong")]
        price = f"− {option.price[1:]}" if option.price.startswith("-") else f"+ {option.price}"
        if option.description.strip():
            words.append(text_block(option.description, "cell"))
        box = Paragraph("☑" if option.chosen else "☐", _BOX)
        rows.append([[box], words, [text_block(price, "amount")]])
    table = grid(rows, (24, width - 24 - 90, 90))
    answered = options[0].chosen is not None
    return [*heading("Options" if answered else "Options: tick what you would like"), table]


def _price(said: Proposal, width: float) -> list[Flowable]:
    rows, rules = [], []
    for place, row in enumerate(said.price_rows):
        rows.append(_price_row(row))
        if row.kind == "total":
            rules.append(("BACKGROUND", (0, place), (-1, place), TINT))
    table: Table = grid(rows, (width - 110, 110), rules)
    head, title = heading("Price")
    note = [space(3), text_block(said.price_note, "soft")] if said.price_note else []
    return [head, together(title, table, *note)]


def _price_row(row: PriceRow) -> list[list[Flowable]]:
    label = STYLES["strong_label"] if row.kind == "total" else STYLES["cell"]
    amount = STYLES["strong_amount"] if row.kind == "total" else STYLES["amount"]
    if row.kind == "goodwill":
        label, amount = _GOODWILL, _GOODWILL_AMOUNT
    elif row.kind == "note":
        label, amount = _NOTE, _NOTE_AMOUNT
    words = clean(row.label)
    if row.detail:
        words += f'<font name="{BODY}" size="9" color="#5f574a">  ({clean(row.detail)})</font>'
    return [[Paragraph(words, label)], [Paragraph(clean(row.amount.replace("-", "−")), amount)]]


_GOES_ALONG = 5
"""So many paragraphs of the last text stand with the lines to sign."""


def _style(part: Flowable) -> str:
    return part.style.name if isinstance(part, Paragraph) else ""


def _closing(facts: ProposalFacts, said: Proposal, width: float) -> list[Flowable]:
    """The owner's texts, then the lines to sign, which always take what stands right before them along.

    A short last text goes along whole, a long one with its last paragraph: nobody signs a page that says nothing.
    """
    story: list[Flowable] = []
    for title, text in said.sections:
        story += [*heading(title), *prose(text)]
    last: list[Flowable] = []
    while story and len(last) < _GOES_ALONG and _style(story[-1]) in ("body", "bullet"):
        last.insert(0, story.pop())
    if last and story and _style(story[-1]) == "heading":
        last.insert(0, story.pop())
    else:
        story, last = [*story, *last[:-1]], last[-1:]
    customer = text_block(said.acceptance)
    lines = signatures(("Signature", "Name", "Date"), width)
    for_firm = signatures((f"For {facts.firm.name}", "Name", "Date"), width)
    title = text_block("Acceptance", "heading")
    return [*story, together(*last, title, customer, lines, space(10), for_firm)]
