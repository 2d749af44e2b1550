"""The sheet Margins: groups of the closed jobs, every figure a formula over the sheet Jobs."""

from __future__ import annotations

import statistics
from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import Any

from desktop.books.book import Book
from desktop.books.entry_sheets import dollars, hours_of
from desktop.books.jobs_sheet import condition_key
from desktop.books.sheet import CHANGE, COUNT, HOURS, MONEY, MONTH, SHARE, Formula, Sheet, SheetColumn, Worked
from desktop.look.tokens import LIGHT
from domain.costing import GROUPINGS, GroupMargin, JobResult, Margins

_COLUMNS = (
    SheetColumn("name", "Group", 34),
    SheetColumn("key", "Month", 9, MONTH),
    SheetColumn("jobs", "Jobs", 7, COUNT),
    SheetColumn("revenue", "Revenue", 14, MONEY),
    SheetColumn("cost", "Cost", 14, MONEY),
    SheetColumn("margin", "Margin", 14, MONEY),
    SheetColumn("share", "Margin, % of revenue", 11, SHARE),
    SheetColumn("median", "Median job, % of revenue", 11, SHARE),
    SheetColumn("quoted_margin", "Quoted margin", 14, MONEY),
    SheetColumn("quoted_share", "Quoted margin, % of price", 11, SHARE),
    SheetColumn("quoted_hours", "Hours quoted (decimal)", 13, HOURS),
    SheetColumn("actual_hours", "Hours actual (decimal)", 13, HOURS),
    SheetColumn("hours_over", "Hours over, % of quoted", 11, CHANGE),
    SheetColumn("lost", "Jobs at a loss", 9, COUNT),
    SheetColumn("lost_share", "Jobs at a loss, %", 9, SHARE),
    SheetColumn("partly", "Jobs not fully logged", 9, COUNT),
)

_JOB_COLUMN = {"job-type": "job_type", "foundation": "foundation", "lead-source": "lead_source", "month": "month"}


def write_margins(book: Book, groupings: Iterable[Margins], jobs: Callable[[str], str]) -> Sheet:
    """Write the sheet Margins, a block for each grouping and all closed jobs beneath each.

    Args:
        jobs: the range of a column of the sheet Jobs by its key.
    """
    sheet = Sheet(book, "Margins", _COLUMNS)
    blank = [None] * len(_COLUMNS)
    for shown in groupings:
        heading = f"By {GROUPINGS[shown.by].lower()}"
        if shown.overlapping:
            heading += " (a job counts under each of its conditions)"
        sheet.add([heading, *blank[1:]], strong=True)
        first = sheet.rows + 1
        for group, members in shown.groups:
            month = int(group.key.replace("-", "")) if shown.by == "month" else None
            _write_group(sheet, group, members, month, _picked(shown.by, group.name, jobs), jobs)
        if sheet.rows >= first:
            _draw_bars(sheet, first, sheet.rows)
        _write_group(sheet, shown.total, shown.closed, None, jobs("counts"), jobs, strong=True)
        sheet.add(blank)
    if sheet.rows > 1:
        sheet.mark_as_most(("margin", "share", "median"), 2, sheet.rows, f'N(${sheet.address("partly", 2)})>0')
    return sheet


def _picked(by: str, name: str, jobs: Callable[[str], str]) -> str:
    """The part of a formula that is 1 for a job of the group and 0 for any other."""
    if by == "access-condition":
        return f"{jobs(condition_key(name))}*{jobs('counts')}"
    cell = "{key}" if by == "month" else "{name}"
    return f"({jobs(_JOB_COLUMN[by])}={cell})*{jobs('counts')}"


def _write_group(
    sheet: Sheet, group: GroupMargin, members: Iterable[JobResult], month: int | None, picked: str,
    jobs: Callable[[str], str], *, strong: bool = False,
) -> None:  # fmt: skip
    def added(key: str, value: Any) -> Worked:
        return Formula(f"=SUMPRODUCT({picked},{jobs(key)})").worth(value)

    def over(text: str, top: int, bottom: int) -> Worked:
        return Formula(text).worth(top / bottom if bottom > 0 else "")

    shares = [Fraction(job.margin_cents, job.revenue_cents) for job in members if job.revenue_cents > 0]
    median = f"=IFERROR(MEDIAN(IF({picked}*({jobs('revenue')}>0)=1,{jobs('share')})),\"\")"
    quoted_price = f"SUMPRODUCT({picked},{jobs('quoted_price')})"
    sheet.add(
        (
            group.name,
            month,
            Formula(f"=SUMPRODUCT(1*({picked}))").worth(group.jobs),
            added("revenue", dollars(group.revenue_cents)),
            added("cost", dollars(group.actual_cost_cents)),
            Formula("={revenue}-{cost}").worth(dollars(group.margin_cents)),
            over('=IF({revenue}>0,{margin}/{revenue},"")', group.margin_cents, group.revenue_cents),
            Formula(median).worth(statistics.median(shares) if shares else ""),
            added("quoted_margin", dollars(group.quoted_margin_cents)),
            over(
                f'=IF({quoted_price}>0,{{quoted_margin}}/{quoted_price},"")',
                group.quoted_margin_cents, group.quoted_price_cents,
            ),
            added("quoted_hours", hours_of(group.quoted_minutes)),
            added("actual_hours", hours_of(group.actual_minutes)),
            over('=IF({quoted_hours}>0,{actual_hours}/{quoted_hours}-1,"")', group.over_minutes, group.quoted_minutes),
            Formula(f"=SUMPRODUCT(({picked})*(ROUND({jobs('margin')},2)<0))").worth(group.lost),
            Formula("=IF({jobs}>0,{lost}/{jobs},0)").worth(group.lost / group.jobs if group.jobs else 0),
            Formula(f"=SUMPRODUCT(({picked})*({jobs('logged')}=\"no\"))").worth(group.partly),
        ),
        strong=strong,
        arrays=("median",),
    )  # fmt: skip


def _draw_bars(sheet: Sheet, first: int, last: int) -> None:
    """Quoted and actual hours side by side as bars of one scale, and a mark on what ran over."""
    rows = first - 1, last - 1
    quoted, actual, over = (sheet.place(key) for key in ("quoted_hours", "actual_hours", "hours_over"))
    bar = {
        "type": "data_bar", "min_type": "num", "min_value": 0, "max_type": "max", "bar_color": LIGHT.under_fill,
    }  # fmt: skip
    sheet.page.conditional_format(rows[0], quoted, rows[1], actual, bar)
    mark = sheet.book.look(font_color=LIGHT.over)
    sheet.page.conditional_format(
        rows[0], over, rows[1], over, {"type": "cell", "criteria": ">", "value": 0, "format": mark}
    )
