"""The sheet Jobs: one line a job, quoted figures as values, actual ones added up from Hours and Materials."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from desktop.books.book import Book
from desktop.books.csv_file import fully_logged_words
from desktop.books.entry_sheets import Spent, dollars, hours_of
from desktop.books.sheet import COUNT, DAY, HOURS, MONEY, MONTH, SHARE, Formula, Sheet, SheetColumn
from domain.costing import JobResult
from domain.costing.margins import NO_CONDITION
from domain.money import percent_of

COUNTED, OPEN, CANCELLED, UNSOLD = "closed", "open", "canceled", "not sold"

_COLUMNS = (
    SheetColumn("number", "Job", 11),
    SheetColumn("line", "Line", 7, COUNT),
    SheetColumn("title", "Title", 46),
    SheetColumn("customer", "Customer", 26),
    SheetColumn("job_type", "Job type", 28),
    SheetColumn("foundation", "Foundation", 22),
    SheetColumn("lead_source", "Lead source", 22),
    SheetColumn("conditions", "Access conditions", 30),
    SheetColumn("state", "State", 10),
    SheetColumn("logged", "Fully logged", 9),
    SheetColumn("counts", "Counts in Margins", 9, COUNT),
    SheetColumn("opened", "Opened", 13, DAY),
    SheetColumn("closed", "Closed", 13, DAY),
    SheetColumn("month", "Month closed", 9, MONTH),
    SheetColumn("quoted_price", "Quoted price", 13, MONEY),
    SheetColumn("quoted_cost", "Quoted cost", 13, MONEY),
    SheetColumn("quoted_margin", "Quoted margin", 13, MONEY),
    SheetColumn("order_price", "Change orders, price", 13, MONEY),
    SheetColumn("order_cost", "Change orders, cost", 13, MONEY),
    SheetColumn("goodwill", "Goodwill", 11, MONEY),
    SheetColumn("written_off", "Written off", 11, MONEY),
    SheetColumn("revenue", "Revenue", 13, MONEY),
    SheetColumn("quoted_hours", "Hours quoted (decimal)", 9, HOURS),
    SheetColumn("actual_hours", "Hours actual (decimal)", 9, HOURS),
    SheetColumn("hours_over", "Hours over (decimal)", 9, HOURS),
    SheetColumn("labour", "Labor", 13, MONEY),
    SheetColumn("overhead", "Overhead", 13, MONEY),
    SheetColumn("materials", "Materials", 13, MONEY),
    SheetColumn("others", "Other costs", 13, MONEY),
    SheetColumn("tax_percent", "Tax on purchases, %", 10, "0.000"),
    SheetColumn("tax", "Tax on purchases", 11, MONEY),
    SheetColumn("cost", "Actual cost", 13, MONEY),
    SheetColumn("to_come", "Still to come, as quoted", 13, MONEY),
    SheetColumn("margin", "Actual margin", 13, MONEY),
    SheetColumn("share", "Margin, % of revenue", 11, SHARE),
    SheetColumn("against", "Against the quote", 13, MONEY),
)


def condition_key(name: str) -> str:
    """The key of the column that says whether a job has this access condition."""
    return f"condition {name}"


def month_number(job: JobResult) -> int | None:
    """Year and month of closing as one number: 202603."""
    return job.closed_on.year * 100 + job.closed_on.month if job.closed_on else None


def state_of(job: JobResult) -> str:
    """closed, open, canceled, or not sold: without an accepted quote, be it still asked for or lost."""
    if job.cancelled_on:
        return CANCELLED
    return COUNTED if not job.running else OPEN if job.accepted else UNSOLD


def write_jobs(
    book: Book,
    jobs: Sequence[JobResult],
    spent: Mapping[str, Spent],
    tax_percents: dict[int, Decimal],
    to_come: Mapping[int, int],
    conditions: Sequence[str],
    hours: Callable[[str], str],
    materials: Callable[[str], str],
    step: Callable[[], None],
) -> Sheet:
    """Write the sheet Jobs.

    Args:
        spent: what the entries of each job add up to, by its number.
        tax_percents: sales tax paid on purchases by job id; 0 where there is none.
        to_come: cents still to come by job id, of the open jobs; they have no margin yet, and their cells stay empty.
        conditions: every access condition that occurs; each has a column of its own at the end.
        hours, materials: the ranges of those sheets by column key.
    """
    marks = [SheetColumn(condition_key(name), name, 11, COUNT) for name in (*conditions, NO_CONDITION)]
    sheet = Sheet(book, "Jobs", (*_COLUMNS, *marks))
    formulas = _formulas(hours, materials)
    for line, job in enumerate(jobs, 1):
        state = state_of(job)
        percent = tax_percents.get(job.job_id, Decimal(0))
        there = spent.get(job.number, Spent())
        came = {key: formulas[key].worth(value) for key, value in _worth(job, there, percent).items()}
        ended = [None if job.running else came[key] for key in ("margin", "share", "against")]
        if not job.accepted:
            ended[2] = None  # there is no quote it could be held against
        left = dollars(to_come[job.job_id]) if job.job_id in to_come else None
        # fmt: off
        sheet.add((
            job.number, line, job.title, job.customer, job.job_type, job.foundation, job.lead_source,
            ", ".join(job.conditions), state, fully_logged_words(job), int(state == COUNTED), job.opened_on,
            job.closed_on, month_number(job),
            *((dollars(job.quoted_price_cents), dollars(job.quoted_cost_cents), came["quoted_margin"])
              if job.accepted else (None, None, None)),
            dollars(job.change_order_price_cents), dollars(job.change_order_cost_cents),
            dollars(job.goodwill_cents), dollars(job.written_off_cents),
            came["revenue"] if job.accepted else came["revenue of orders"],
            Formula(f"={job.quoted_minutes}/60").worth(hours_of(job.quoted_minutes)), came["actual_hours"],
            came["hours_over"], came["labour"], came["overhead"], came["materials"], came["others"],
            percent, came["tax"], came["cost"], left, *ended,
            *(int(name in (job.conditions or (NO_CONDITION,))) for name in (*conditions, NO_CONDITION)),
        ))
        # fmt: on
        step()
    if sheet.rows > 1:  # what nobody wrote down can only lower a margin
        partly = f'${sheet.address("logged", 2)}="no"'
        sheet.mark_as_most(("margin", "share", "against"), 2, sheet.rows, partly)
    sheet.finish()
    return sheet


def _worth(job: JobResult, there: Spent, percent: Decimal) -> dict[str, Any]:
    """What the formulas come to for a job, by their key."""
    share = job.margin_cents / job.revenue_cents if job.revenue_cents > 0 else ""
    return {
        "quoted_margin": dollars(job.quoted_margin_cents),
        "revenue": dollars(job.revenue_cents),
        "revenue of orders": dollars(job.revenue_cents),
        "actual_hours": hours_of(job.actual_minutes),
        "hours_over": hours_of(job.over_minutes),
        "labour": dollars(there.labour_cents),
        "overhead": dollars(there.overhead_cents),
        "materials": dollars(there.materials_cents),
        "others": dollars(there.others_cents),
        "tax": dollars(percent_of(there.materials_cents, percent)),
        "cost": dollars(job.actual_cost_cents),
        "margin": dollars(job.margin_cents),
        "share": share,
        "against": dollars(job.against_quote_cents),
    }


def _formulas(hours: Callable[[str], str], materials: Callable[[str], str]) -> dict[str, Formula]:
    def of_hours(key: str) -> str:
        return f"SUMIFS({hours(key)},{hours('line')},{{line}})"

    def of_materials(kind: str) -> str:
        return f'SUMIFS({materials("cost")},{materials("line")},{{line}},{materials("kind")},"{kind}")'

    texts = {
        "quoted_margin": "{quoted_price}-{quoted_cost}",
        "revenue": "{quoted_price}+{order_price}-{goodwill}-{written_off}",
        "revenue of orders": "{order_price}-{goodwill}-{written_off}",
        "actual_hours": f"{of_hours('minutes')}/60",
        "hours_over": "{actual_hours}-{quoted_hours}",
        "labour": of_hours("cost"),
        "overhead": of_hours("overhead"),
        "materials": of_materials("material"),
        "others": of_materials("<>material"),
        "tax": "ROUND(ROUND({materials}*100,0)*ROUND({tax_percent}*1000,0)/100000,0)/100",
        "cost": "{labour}+{overhead}+{materials}+{others}+{tax}",
        "margin": "{revenue}-{cost}",
        "share": 'IF({revenue}>0,{margin}/{revenue},"")',
        "against": "{margin}-{quoted_margin}",
    }
    return {key: Formula(f"={text}") for key, text in texts.items()}
