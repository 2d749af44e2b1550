"""What the command line prints about a company file, each command one function that returns its text."""

from __future__ import annotations

import argparse
import shlex
from datetime import date, datetime
from pathlib import Path

from sqlalchemy import Connection

from db.company_file import check_file, open_for_reading
from db.company_file.aftermath import forget_word, trust_lines
from db.company_file.examine import full_path
from db.company_file.problems import Refused, recover_command
from domain.leaving import one_line


class Found(Exception):
    """A check that ran well and found something wrong."""


def run_sample(options: argparse.Namespace) -> str:
    """Write a made-up company."""
    from sample_company import write_sample

    return write_sample(options.file) if options.jobs is None else write_sample(options.file, jobs=options.jobs)


def run_costing(options: argparse.Namespace) -> str:
    """Per job: price, quoted and actual cost, every variance, both margins."""
    from desktop.cli_reports import costing_report

    with open_for_reading(options.file) as company, company.read() as conn:
        return costing_report(conn, options.json)


def run_margins(options: argparse.Namespace) -> str:
    """Margins of the closed jobs by a grouping."""
    from desktop.cli_reports import margins_report

    with open_for_reading(options.file) as company, company.read() as conn:
        return margins_report(conn, options.by, options.from_, options.to, options.json)


def run_export(options: argparse.Namespace) -> str:
    """Write the bookkeeper's workbook."""
    from desktop.books.workbook import write_workbook

    if options.out.suffix.lower() != ".xlsx":
        raise Refused(f"{options.out.name} does not end in .xlsx.", "Name the workbook, for example 2026.xlsx.")
    with open_for_reading(options.file) as company, company.read() as conn:
        if options.year is None:
            write_workbook(conn, options.out)
        else:
            from desktop.books.year_book import write_year_book

            write_year_book(conn, options.out, options.year, _today(conn))
    return f"Wrote {options.out}"


def run_ledger(options: argparse.Namespace) -> str:
    """Write the ledger of a period as csv."""
    from db.queries.books.ledger import accounts, ledger_entries
    from desktop.books.ledger_csv import write_ledger_csv

    if options.out.suffix.lower() != ".csv":
        raise Refused(f"{options.out.name} does not end in .csv.", "Name the file, for example ledger.csv.")
    with open_for_reading(options.file) as company, company.read() as conn:
        entries = ledger_entries(conn, *options.period)
        write_ledger_csv(entries, accounts(conn), options.out)
    return f"Wrote {len(entries)} entr{'y' if len(entries) == 1 else 'ies'} to {options.out}"


def run_ties(options: argparse.Namespace) -> str:
    """The ties of the books; raises Found when one does not come out."""
    from db.queries.books.ties import ties
    from domain.money import format_money

    with open_for_reading(options.file) as company, company.read() as conn:
        found = ties(conn, _today(conn))
    lines = [
        one_line(
            f"{tie.what}: {tie.first_words} {format_money(tie.first_cents)}, {tie.second_words}"
            f" {format_money(tie.second_cents)}, difference {format_money(tie.difference_cents)}"
        )
        for tie in found
    ]
    lines += [one_line(f"Where to look: {tie.advice}") for tie in found if not tie.holds and tie.advice]
    trust = trust_lines(full_path(options.file))
    text = "\n".join([*lines, *trust])
    if trust or not all(tie.holds for tie in found):
        raise Found(text)
    return text


def _today(conn: Connection) -> date:
    """The day of the company: today, or the evening a made-up one carries with it."""
    from db.queries.firm import firm

    return firm(conn).pinned_today or date.today()


def run_calendar(options: argparse.Namespace) -> str:
    """Write the visits as an iCalendar file."""
    from db.queries.calendar import job_of_number, visits_to_export
    from db.queries.firm import firm
    from desktop.books.calendar_file import write_calendar

    if options.out.suffix.lower() != ".ics":
        raise Refused(f"{options.out.name} does not end in .ics.", "Name the file, for example visits.ics.")
    with open_for_reading(options.file) as company, company.read() as conn:
        job_id = None if options.job is None else job_of_number(conn, options.job)
        if options.job is not None and job_id is None:
            raise Refused(f"There is no job {options.job}.", "Give its number as the job list shows it.")
        visits = visits_to_export(conn, job_id, options.from_)
        count = write_calendar(visits, options.out, datetime.now().astimezone(), firm(conn).name)
    return f"Wrote {count} visit{'' if count == 1 else 's'} to {options.out}"


def run_backup(options: argparse.Namespace) -> str:
    """Write a whole, checked backup."""
    from desktop.cli_safe import run_backup as run

    return run(options)


def run_restore(options: argparse.Namespace) -> str:
    """Put a backup back."""
    from desktop.cli_safe import run_restore as run

    return run(options)


def run_check(options: argparse.Namespace) -> str:
    """Look the file over; raises Found when something is wrong with it."""
    from desktop.cli_safe import password_for

    if options.looked_over:
        forget_word(full_path(options.file))
    report = check_file(options.file, password_for(options))
    lines = list(report.lines)
    if report.recoverable:
        lines.append(f"To recover it, close it in the window, then run: {recover_command(full_path(options.file))}")
    if report.on_trust:
        lines.append(f"Or say it by: riserbook check {shlex.quote(str(options.file))} --looked-over")
    text = "\n".join(lines)
    if not report.ok:
        raise Found(text)
    return text


def run_recover(options: argparse.Namespace) -> str:
    """What can be had of a file nobody can work in."""
    from desktop.recover_report import run_recover as recover

    return recover(options)


def costing_summary(path: Path) -> str:
    """Quoted against actual of a company in a few lines of text."""
    from desktop.cli_reports import margins_report

    with open_for_reading(path) as company, company.read() as conn:
        return margins_report(conn, "job-type", None, None, False)
