"""The shopping list on paper: a part for each supplier, boxes to tick, and room to write the price paid."""

from __future__ import annotations

from reportlab.platypus import Flowable

from desktop.papers.paper import space, text_block
from desktop.papers.tick_list import TickBox, list_head, list_paper, part_heading, tick_table
from domain.buying import ShoppingLine, ShoppingList, expected_cents
from domain.dates import format_day
from domain.firm import Firm
from domain.money import format_money, format_unit_cost


def make_shopping_list_paper(shopping: ShoppingList, firm: Firm) -> bytes:
    """The PDF."""
    days = f"{format_day(shopping.first)} to {format_day(shopping.last)}"
    paper = list_paper("Shopping list", days, firm)
    count = len(shopping.jobs)
    about = f"For the {'job' if count == 1 else f'{count} jobs'} of {days}, and to fill the truck up"
    if not count:
        about = f"To fill the truck up; no jobs from {days}"
    total = [f"Expected: {format_money(shopping.cost_cents)}"]
    if shopping.unpriced:
        total.append(f"and {shopping.unpriced} without a price")
    story = list_head("Shopping list", about, total, firm, paper.width)
    if not shopping.lines:
        story.append(text_block("There is nothing to buy."))
    for supplier, lines in shopping.by_supplier():
        title = f"{supplier or 'No supplier named'}: {format_money(expected_cents(lines))} expected"
        story += [*part_heading(title), _table(shopping, lines, paper.width)]
    note = "Expected at the prices of the price list, before sales tax."
    if any(line.pieces != line.buy for line in shopping.lines):
        note += " Of what a job needs only part of a piece, the job's part is expected."
    story += [space(8), text_block(note, "soft")]
    return paper.make(story)


def _table(shopping: ShoppingList, lines: tuple[ShoppingLine, ...], width: float) -> Flowable:
    heads = ("", "Code", "Item", "Buy", "One pack", "Expected", "Paid for one")
    fixed = (20.0, 56.0, 72.0, 54.0, 58.0, 70.0)
    widths = (*fixed[:2], width - sum(fixed), *fixed[2:])
    rows = [_row(shopping, line) for line in lines]
    return tick_table(heads, rows, widths, (4, 5), gap_before=6)


def _row(shopping: ShoppingList, line: ShoppingLine) -> list[object]:
    words = [text_block(line.description, "cell")]
    if why := shopping.why(line):
        words.append(text_block(why, "soft"))
    one = "no price" if line.pack_cost is None else format_unit_cost(line.pack_cost)
    cents = line.cost_cents
    return [TickBox(), line.code, words, line.pieces, one, "" if cents is None else format_money(cents), "$"]
