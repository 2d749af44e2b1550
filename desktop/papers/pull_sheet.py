"""The pull sheet on paper: first what to buy on the way, by supplier, then what to load from the truck."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.platypus import Flowable

from desktop.papers.paper import grid, space, text_block
from desktop.papers.tick_list import TickBox, list_head, list_paper, part_heading, tick_table
from domain.buying import PullLine, PullSheet
from domain.dates import format_day, format_day_short
from domain.firm import Firm
from domain.units.said import needed_quantity

_MOST_COLUMNS = 3  # jobs that get a column of their own; with more, who gets what stands beneath each item


def make_pull_sheet_paper(sheet: PullSheet, firm: Firm) -> bytes:
    """The PDF."""
    day = format_day(sheet.day)
    paper = list_paper("Pull sheet", day, firm)
    count = len(sheet.jobs)
    about = f"{day}, for {count} job{'' if count == 1 else 's'}"
    story = list_head("Pull sheet", about, (), firm, paper.width)
    story += _jobs(sheet, paper.width)
    if not sheet.lines:
        story.append(text_block("Nothing is left to gather: all that was quoted for these jobs is used."))
    suppliers = dict.fromkeys(line.supplier for line in sheet.to_buy)
    for supplier in suppliers:
        lines = [line for line in sheet.to_buy if line.supplier == supplier]
        title = f"Buy first: {supplier or 'no supplier named'}"
        story += [*part_heading(title), _table(sheet, lines, paper.width, True)]
    if sheet.ready:
        story += [*part_heading("Load from the truck"), _table(sheet, sheet.ready, paper.width, False)]
    if sheet.caution:
        story += [space(8), text_block(sheet.caution, "soft")]
    return paper.make(story)


def _jobs(sheet: PullSheet, width: float) -> list[Flowable]:
    if not sheet.jobs:
        return [text_block("No job is chosen for this day.")]
    rows = []
    for job in sheet.jobs:
        when = ""
        if job.goes_on and job.scheduled_on:
            when = f"goes on since {format_day_short(job.scheduled_on)}"
        rows.append([
            [text_block(job.number, "strong")],
            [text_block(job.customer, "strong"), text_block(job.street, "soft")],
            [text_block(job.what, "cell"), *([text_block(when, "soft")] if when else [])],
        ])  # fmt: skip
    return [grid(rows, (58, (width - 58) * 0.45, (width - 58) * 0.55)), space(4)]


def _table(sheet: PullSheet, lines: Sequence[PullLine], width: float, buying: bool) -> Flowable:
    """One part of the sheet; where a thing comes from is said where it has to be bought, or waits already."""
    own = sheet.jobs if 2 <= len(sheet.jobs) <= _MOST_COLUMNS else ()
    says_source = buying or any(line.aside for line in lines)
    heads = ["", "Code", "Item", *(job.number for job in own), "In all", "Load", *(["From"] if says_source else [])]
    share = 46.0 if says_source else 52.0
    widths = [20, 56, 0, *[share] * len(own), 52, 72, *([100] if says_source else [])]
    widths[2] = width - sum(widths)
    rows = [_row(sheet, line, [job.job_id for job in own], says_source) for line in lines]
    return tick_table(heads, rows, widths, range(3, 4 + len(own)), gap_before=4 + len(own))


def _row(sheet: PullSheet, line: PullLine, own: list[int], says_source: bool) -> list[object]:
    words: list[Flowable] = [text_block(line.description, "cell")]
    if len(sheet.jobs) > _MOST_COLUMNS:
        words.append(text_block(sheet.shares_in_words(line), "soft"))
    parts = [needed_quantity(line.share(job), line.unit) if line.share(job) else "" for job in own]
    row = [TickBox(), line.code, words, *parts, needed_quantity(line.need, line.unit), line.take]
    return [*row, line.source] if says_source else row
