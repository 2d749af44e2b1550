"""The sheet Margins: groups of the closed jobs, every figure a formula over the sheet Jobs."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from desktop.books.jobs_sheet import condition_key
from desktop.books.sheet import CHANGE, COUNT, HOURS, MONEY, MONTH, SHARE, Formula, Sheet, SheetColumn
from desktop.look.tokens import LIGHT
from domain.costing import GROUPINGS, Margins

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
    SheetColumn("quoted_hours", "Hours quoted", 13, HOURS),
    SheetColumn("actual_hours", "Hours actual", 13, HOURS),
    SheetColumn("hours_over", "Hours over, % of quoted", 11, CHANGE),
    SheetColumn("lost", "Jobs at a loss", 9, COUNT),
    SheetColumn("lost_share", "Jobs at a loss, %", 9, SHARE),
    SheetColumn("partly", "Jobs not fully logged", 9, COUNT),
)

_JOB_COLUMN = {"job-type": "job_type", "foundation": "foundation", "lead-source": "lead_source", "month": "month"}


def write_margins(book: Any, groupings: Iterable[Margins], jobs: Callable[[str], str]) -> Sheet:
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
        for group, _ in shown.groups:
            month = int(group.key.replace("-", "")) if shown.by == "month" else None
            _write_group(sheet, group.name, month, _picked(shown.by, group.name, jobs), jobs)
        if sheet.rows >= first:
            _draw_bars(sheet, first, sheet.rows)
        _write_group(sheet, "All closed jobs", None, jobs("counts"), jobs, strong=True)
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
    sheet: Sheet, name: str, month: int | None, picked: str, jobs: Callable[[str], str], *, strong: bool = False
) -> None:
    def added(key: str) -> Formula:
        return Formula(f"=SUMPRODUCT({picked},{jobs(key)})")

    median = f"=IFERROR(MEDIAN(IF({picked}*({jobs('revenue')}>0)=1,{jobs('share')})),\"\")"
    quoted_price = f"SUMPRODUCT({picked},{jobs('quoted_price')})"
    sheet.add(
        (
            name,
            month,
            Formula(f"=SUMPRODUCT(1*({picked}))"),
            added("revenue"),
            added("cost"),
            Formula("={revenue}-{cost}"),
            Formula('=IF({revenue}>0,{margin}/{revenue},"")'),
            Formula(median),
            added("quoted_margin"),
            Formula(f'=IF({quoted_price}>0,{{quoted_margin}}/{quoted_price},"")'),
            added("quoted_hours"),
            added("actual_hours"),
            Formula('=IF({quoted_hours}>0,{actual_hours}/{quoted_hours}-1,"")'),
            Formula(f"=SUMPRODUCT(({picked})*(ROUND({jobs('margin')},2)<0))"),
            Formula("=IF({jobs}>0,{lost}/{jobs},0)"),
            Formula(f"=SUMPRODUCT(({picked})*({jobs('logged')}=\"no\"))"),
        ),
        strong=strong,
        arrays=("median",),
    )


def _draw_bars(sheet: Sheet, first: int, last: int) -> None:
    """Quoted and actual hours side by side as bars of one scale, and a mark on what ran over."""
    from openpyxl.formatting.rule import CellIsRule, DataBarRule
    from openpyxl.styles import Font

    pair = f"{sheet.address('quoted_hours', first)}:{sheet.address('actual_hours', last)}"
    bar = DataBarRule("num", 0, "max", None, color=_argb(LIGHT.under_fill))
    sheet.page.conditional_formatting.add(pair, bar)
    over = f"{sheet.address('hours_over', first)}:{sheet.address('hours_over', last)}"
    sheet.page.conditional_formatting.add(
        over, CellIsRule(operator="greaterThan", formula=["0"], font=Font(color=_argb(LIGHT.over)))
    )


def _argb(colour: str) -> str:
    return f"FF{colour.removeprefix('#').upper()}"
