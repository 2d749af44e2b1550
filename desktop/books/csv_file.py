"""The margins as plain csv: one row a group, or one row a job; dollars with a point, UTF-8, comma-separated.

`write_rows` serves the other csv files too, and makes every cell harmless: data is handed to it as it is.
"""

from __future__ import annotations

import csv
import os
import secrets
from collections.abc import Iterable, Sequence
from contextlib import suppress
from pathlib import Path

from db.company_file.files import make_private
from domain.costing import GroupMargin, JobResult, Margins
from domain.leaving import table_cell
from domain.money import format_money
from domain.units import format_hours_decimal

_GROUP_HEADS = (
    "group", "jobs", "revenue", "cost", "margin", "margin % of revenue", "median job %", "quoted margin",
    "quoted margin % of price", "hours quoted (decimal)", "hours actual (decimal)", "jobs at a loss",
    "jobs not fully logged",
)  # fmt: skip
_JOB_HEADS = (
    "job", "title", "customer", "job type", "foundation", "lead source", "access conditions", "opened", "closed",
    "fully logged",
    "quoted price", "quoted cost", "quoted margin", "revenue", "actual cost", "actual margin", "against the quote",
    "hours quoted (decimal)", "hours actual (decimal)",
)  # fmt: skip


def write_margins_csv(shown: Margins, path: Path) -> Path:
    """Write the groups and, last, all closed jobs. Raises OSError."""
    rows = [_group_row(group) for group, _ in shown.groups]
    return write_rows(path, _GROUP_HEADS, [*rows, _group_row(shown.total)])


def write_jobs_csv(jobs: Iterable[JobResult], path: Path) -> Path:
    """Write one row a job. Raises OSError."""
    return write_rows(path, _JOB_HEADS, [_job_row(job) for job in jobs])


def _group_row(group: GroupMargin) -> list[str]:
    return [
        group.name,
        str(group.jobs),
        _money(group.revenue_cents),
        _money(group.actual_cost_cents),
        _money(group.margin_cents),
        _number(group.margin_percent),
        _number(group.median_margin_percent),
        _money(group.quoted_margin_cents),
        _number(group.quoted_margin_percent),
        _hours(group.quoted_minutes),
        _hours(group.actual_minutes),
        str(group.lost),
        str(group.partly),
    ]


def _job_row(job: JobResult) -> list[str]:
    words = (job.number, job.title, job.customer, job.job_type, job.foundation, job.lead_source)
    return [
        *words,
        ", ".join(job.conditions),
        job.opened_on.isoformat(),
        job.closed_on.isoformat() if job.closed_on else "",
        fully_logged_words(job),
        _money(job.quoted_price_cents),
        _money(job.quoted_cost_cents),
        _money(job.quoted_margin_cents),
        _money(job.revenue_cents),
        _money(job.actual_cost_cents),
        "" if job.running else _money(job.margin_cents),
        "" if job.running else _money(job.against_quote_cents),
        _hours(job.quoted_minutes),
        _hours(job.actual_minutes),
    ]


def fully_logged_words(job: JobResult) -> str:
    """yes or no; nothing while it is open, or where it was canceled."""
    return {True: "yes", False: "no", None: ""}[job.fully_logged]


def _money(cents: int) -> str:
    return format_money(cents, symbol=False).replace(",", "")


def _hours(minutes: int) -> str:
    return format_hours_decimal(minutes).replace(",", "")


def _number(percent: object) -> str:
    return "" if percent is None else str(percent)


def write_rows(path: Path, heads: Sequence[str], rows: Iterable[Sequence[str]]) -> Path:
    """The file is replaced only when the new one is whole; the mark at its start tells spreadsheets it is UTF-8."""
    fresh = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
    make_private(fresh)
    try:
        with fresh.open("w", encoding="utf-8-sig", newline="") as file:
            writer = csv.writer(file)
            writer.writerow([table_cell(head) for head in heads])
            writer.writerows([table_cell(cell) for cell in row] for row in rows)
        os.replace(fresh, path)
    finally:
        with suppress(OSError):
            fresh.unlink()
    return path
