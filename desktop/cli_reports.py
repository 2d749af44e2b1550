"""Quoted against actual and margins as text for a terminal and as JSON for a script."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import date
from typing import Any

from sqlalchemy import Connection

from db.queries.costing import figures_of_jobs
from db.queries.margins import all_job_results, margins
from domain.costing import (
    GROUPINGS,
    GroupMargin,
    JobFigures,
    JobResult,
    Margins,
    VarianceTree,
    at_most,
    explain,
    furthest_under,
    joined_steps,
    variance_tree,
)
from domain.dates import format_day_short
from domain.leaving import json_words, one_line
from domain.money import format_money
from domain.units import format_minutes, format_share


def costing_report(conn: Connection, as_json: bool) -> str:
    """Every job that was sold or logged on: price, quoted and actual cost, every variance, both margins.

    JSON: amounts in cents, time in minutes, variances favourable positive; the quoted margin plus all variances
    is the actual margin. While a job is open nobody knows either: both are null, and what is still to come is told.
    """
    figures = figures_of_jobs(conn)
    told = [
        (job, figures[job.job_id], variance_tree(figures[job.job_id]))
        for job in all_job_results(conn)
        if job.accepted or job.change_order_price_cents or figures[job.job_id].anything_logged
    ]
    if as_json:
        return _json({"jobs": [_job_json(*one) for one in told]})
    if not told:
        return "No job has been sold or logged on yet."
    return "\n\n".join("\n".join(_job_lines(*one)) for one in told)


def margins_report(conn: Connection, by: str, from_: date | None, to: date | None, as_json: bool) -> str:
    """Margins of the closed jobs by one of GROUPINGS, from one day of closing to another, both included.

    Text: a table, and the jobs furthest under their quotes. JSON: amounts in cents, time in minutes.
    """
    shown = margins(conn, by, from_, to)
    if as_json:
        return _json(_margins_json(shown, from_, to))
    return "\n".join(_margins_lines(shown, from_, to))


def _json(told: dict[str, Any]) -> str:
    return json_words(json.dumps(told, indent=2, ensure_ascii=False))


def _state(job: JobResult) -> str:
    if job.cancelled_on:
        return "canceled"
    return "open" if job.running else "closed"


def _sentence(job: JobResult, figures: JobFigures, tree: VarianceTree) -> str:
    settled = job.fully_logged is not False
    return explain(tree, figures.causes, quoted=job.accepted, running=job.running, settled=settled)


def _job_json(job: JobResult, figures: JobFigures, tree: VarianceTree) -> dict[str, Any]:
    hour = None if job.running else job.own_hour
    return {
        "number": job.number,
        "title": job.title,
        "customer": job.customer,
        "job_type": job.job_type,
        "state": _state(job),
        "closed_on": job.closed_on.isoformat() if job.closed_on else None,
        "fully_logged": job.fully_logged,
        "accepted": job.accepted,
        "price_cents": tree.quoted_price_cents,
        "revenue_cents": tree.revenue_cents,
        "quoted_cost_cents": tree.quoted_cost_cents,
        "change_order_cost_cents": tree.change_order_cost_cents,
        "actual_cost_cents": tree.actual_cost_cents,
        "quoted_minutes": tree.quoted_minutes,
        "actual_minutes": tree.actual_minutes,
        "quoted_margin_cents": tree.quoted_margin_cents,
        "variances_cents": None if job.running else {step.key: step.cents for step in tree.steps},
        "actual_margin_cents": None if job.running else tree.actual_margin_cents,
        "still_to_come_cents": tree.still_to_come_cents if job.running else None,
        "own_hour_cents": hour.per_hour_cents if hour else None,
        "sentence": _sentence(job, figures, tree),
    }


def _job_lines(job: JobResult, figures: JobFigures, tree: VarianceTree) -> list[str]:
    when = f"closed {format_day_short(job.closed_on)}" if _state(job) == "closed" and job.closed_on else _state(job)
    if job.fully_logged is False:
        when += ", not fully logged"
    lines = [
        one_line(f"{job.number}  {job.title or job.job_type}, {job.customer} ({when})"),
        f"  {one_line(_sentence(job, figures, tree))}",
        _money_line("Price before goodwill", tree.quoted_price_cents),
        *_order_lines("price", tree.change_order_price_cents),
        _money_line("Quoted cost, proposal", tree.quoted_cost_cents),
        *_order_lines("cost", tree.change_order_cost_cents),
        _money_line("Actual cost", tree.actual_cost_cents),
        f"  {'Hours quoted (all), actual':34}{format_minutes(tree.quoted_minutes):>14}"
        f"{format_minutes(tree.actual_minutes):>14}",
        _money_line("Quoted margin", tree.quoted_margin_cents),
    ]
    if job.running:  # its margin is not known yet
        return [*lines, _money_line("Still to come, as quoted", tree.still_to_come_cents)]
    lines += [_money_line(f"  {step.label}", step.cents, signed=True) for step in joined_steps(tree.steps)]
    partly = ", at most" if job.fully_logged is False else ""
    lines.append(_money_line(f"Actual margin{partly}", tree.actual_margin_cents))
    return lines


def _order_lines(name: str, cents: int) -> list[str]:
    return [_money_line(f"Change orders, {name}", cents)] if cents else []


def _money_line(name: str, cents: int, *, signed: bool = False) -> str:
    return f"  {name:34}{format_money(cents, signed=signed):>14}"


def _group_json(group: GroupMargin) -> dict[str, Any]:
    hour = group.own_hour
    return {
        "key": group.key,
        "name": group.name,
        "jobs": group.jobs,
        "revenue_cents": group.revenue_cents,
        "actual_cost_cents": group.actual_cost_cents,
        "margin_cents": group.margin_cents,
        "margin_percent": _number(group.margin_percent),
        "median_margin_cents": group.median_margin_cents,
        "median_margin_percent": _number(group.median_margin_percent),
        "quoted_margin_cents": group.quoted_margin_cents,
        "quoted_margin_percent": _number(group.quoted_margin_percent),
        "quoted_minutes": group.quoted_minutes,
        "actual_minutes": group.actual_minutes,
        "jobs_at_a_loss": group.lost,
        "jobs_not_fully_logged": group.partly,
        "own_hour_cents": hour.per_hour_cents if hour else None,
    }


def _number(percent: object) -> str | None:
    """A percentage as a decimal string, so that no reader turns it into a binary fraction unasked."""
    return None if percent is None else str(percent)


def _margins_json(shown: Margins, from_: date | None, to: date | None) -> dict[str, Any]:
    return {
        "by": shown.by,
        "from": from_.isoformat() if from_ else None,
        "to": to.isoformat() if to else None,
        "groups_overlap": shown.overlapping,
        "groups": [_group_json(group) for group, _ in shown.groups],
        "total": _group_json(shown.total),
        "jobs_not_fully_logged": shown.not_fully_logged,
        "open_jobs": len(shown.running),
        "jobs_left_out": len(shown.left_out),
    }


_HEADS = ("jobs", "revenue", "cost", "margin", "margin %", "median %", "quoted %", "h quoted", "h actual", "at a loss",
          "not fully logged")


def _group_cells(group: GroupMargin) -> list[str]:
    return [
        f"{group.jobs}",
        format_money(group.revenue_cents),
        format_money(group.actual_cost_cents),
        at_most(format_money(group.margin_cents), group.partly, short=False),
        at_most(format_share(group.margin_percent), group.partly, short=False),
        at_most(format_share(group.median_margin_percent), group.partly, short=False),
        format_share(group.quoted_margin_percent),
        format_minutes(group.quoted_minutes),
        format_minutes(group.actual_minutes),
        f"{group.lost}",
        f"{group.partly}",
    ]


def _margins_lines(shown: Margins, from_: date | None, to: date | None) -> list[str]:
    if not shown.closed:
        return [f"No closed jobs{_between(from_, to)}; {_jobs(len(shown.running))} open."]
    rows = [["", *_HEADS]]
    rows += [[group.name, *_group_cells(group)] for group, _ in shown.groups]
    rows.append([shown.total.name, *_group_cells(shown.total)])
    title = GROUPINGS[shown.by].lower()
    lines = [f"Margins by {title}, {_jobs(len(shown.closed))} closed{_between(from_, to)}", "", *_table(rows)]
    if shown.overlapping:
        lines.append("A job counts under each of its access conditions; the last row counts every job once.")
    if partly := shown.not_fully_logged:
        lines.append(
            f"{_jobs(partly)} not fully logged: counted in money here, but the record does not learn from "
            f"{'it' if partly == 1 else 'them'}."
        )
    if worst := furthest_under(shown.closed):
        lines += ["", "Furthest under the quote"]
        lines += [f"  {line}" for line in _table([[job.number, *_worst_cells(job)] for job in worst])]
    if shown.running or shown.left_out:
        away = f"{len(shown.left_out)} canceled or not sold that cost something"
        lines += ["", f"Not counted: {_jobs(len(shown.running))} open, {away}; others not sold cost nothing."]
    return lines


def _worst_cells(job: JobResult) -> list[str]:
    return [
        job.job_type,
        job.customer,
        f"quoted {format_money(job.quoted_margin_cents)}",
        f"actual {at_most(format_money(job.margin_cents), job.fully_logged is False, short=False)}",
        f"{format_minutes(job.over_minutes, signed=True)}",
        "not fully logged" if job.fully_logged is False else "",
    ]


def _jobs(count: int) -> str:
    return f"{count:,} job{'' if count == 1 else 's'}"


def _between(from_: date | None, to: date | None) -> str:
    first = f" from {format_day_short(from_)}" if from_ else ""
    return first + (f" to {format_day_short(to)}" if to else "")


def _table(rows: Sequence[Sequence[str]]) -> list[str]:
    """Columns as wide as their longest cell; words stand left, whatever has a digit stands right."""
    rows = [[one_line(cell) for cell in row] for row in rows]
    widths = [max(len(row[n]) for row in rows) for n in range(len(rows[0]))]
    figures = [n > 0 and any(character.isdigit() for character in rows[-1][n]) for n in range(len(widths))]
    return [
        "  ".join(
            cell.rjust(widths[n]) if figures[n] else cell.ljust(widths[n]) for n, cell in enumerate(row)
        ).rstrip()
        for row in rows
    ]
