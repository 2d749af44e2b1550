"""The pull sheet on paper: first what to buy on the way, by supplier, then what to load from the truck."""

from __future__ import annotations

from reportlab.platypus import Flowable

from desktop.papers.paper import grid, heading, space, text_block
from desktop.papers.tick_list import TickBox, list_head, list_paper, tick_table
from domain.buying import PullLine, PullSheet, amount
from domain.dates import format_day, format_day_short
from domain.firm import Firm

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
        story += [*heading(f"Buy first: {supplier or 'no supplier named'}"), _table(sheet, lines, paper.width)]
    if sheet.ready:
        story += [*heading("Load from the truck"), _table(sheet, sheet.ready, paper.width)]
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


def _table(sheet: PullSheet, lines: tuple[PullLine, ...] | list[PullLine], width: float) -> Flowable:
    own = sheet.jobs if 2 <= len(sheet.jobs) <= _MOST_COLUMNS else ()
    heads = ["", "Code", "Item", *(job.number for job in own), "In all", "Load", "From"]
    shares = [54.0] * len(own)
    fixed = 20 + 58 + sum(shares) + 54 + 76
    item = (width - fixed) * (0.56 if own else 0.62)
    widths = [20, 58, item, *shares, 54, 76, width - fixed - item]
    rows = [_row(sheet, line, [job.job_id for job in own]) for line in lines]
    return tick_table(heads, rows, widths, range(3, 4 + len(own)))


def _row(sheet: PullSheet, line: PullLine, own: list[int]) -> list[object]:
    words: list[Flowable] = [text_block(line.description, "cell")]
    if len(sheet.jobs) > _MOST_COLUMNS:
        words.append(text_block(sheet.shares_in_words(line), "soft"))
    parts = [amount(line.share(job), line.unit) if line.share(job) else "" for job in own]
    return [TickBox(), line.code, words, *parts, amount(line.need, line.unit), line.take, line.source]
