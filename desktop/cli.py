"""The command line: the window, and what a schedule or a script can ask of a company file."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from datetime import date
from importlib import import_module
from pathlib import Path
from typing import NoReturn

from desktop import terminal
from desktop.own_folders import name_a_home

GROUPINGS = ("job-type", "month", "foundation", "lead-source", "access-condition")
# Once PySide6 is loaded it reads the source of every further module, to see whether it uses Qt: so these come first.
BEFORE_QT = (
    "db.company_file", "db.queries.firm", "db.queries.tonight", "db.queries.heading", "domain.jobs", "domain.log_entry",
    "platformdirs", "sqlalchemy.dialects.sqlite",
)  # fmt: skip
COMMANDS = (
    "sample", "costing", "margins", "export", "ledger", "ties", "calendar", "backup", "restore", "check", "recover",
)  # fmt: skip


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        raise SystemExit(_wrong_usage(message))

    def print_help(self, file: object = None) -> None:
        del file
        terminal.say(self.format_help().rstrip())


def _wrong_usage(message: str) -> int:
    terminal.complain(f"{' '.join(message.split())} (riserbook --help shows what there is)")
    return 2


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit status: 0 done, 1 could not be done, 2 wrong usage, 128 and more stopped."""
    if argv is None:
        sys.unraisablehook = _say_nothing  # what still fails while the program is taken down is nobody's to read
    arguments = list(sys.argv[1:] if argv is None else argv)
    terminal.ready_streams()
    name_a_home()
    try:
        with terminal.orderly_end():
            status = _run(arguments)
            terminal.finish_saying()
            return status
    except BrokenPipeError:
        terminal.say_no_more()  # whoever reads has seen enough
        return 0
    except terminal.CannotSay as problem:
        terminal.say_no_more()
        terminal.complain(f"{problem}. Send it somewhere else, or make room, and ask again.")
        return 1
    except KeyboardInterrupt:
        terminal.complain("stopped before it was done. Nothing is left half written under its name; ask again.")
        return terminal.STOPPED


def _say_nothing(_unraisable: object) -> None:
    """An error in the last letting go; one that matters was told before."""


def _run(arguments: list[str]) -> int:
    try:
        if arguments and arguments[0] in COMMANDS:
            return _run_command(_command_parser().parse_args(arguments))
        return _run_window(_window_parser().parse_args(arguments))
    except SystemExit as leaving:
        return leaving.code if isinstance(leaving.code, int) else 0 if leaving.code is None else 2


def _window_parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="riserbook",
        allow_abbrev=False,
        description="Quote, log, and see quoted against actual: the window opens with no further word.",
        epilog=f"Commands for a firm's file: {', '.join(COMMANDS)}; riserbook COMMAND --help tells more.",
    )
    what = parser.add_mutually_exclusive_group()
    what.add_argument("--sample", action="store_true", help="open a fresh copy of the sample firm")
    what.add_argument("--firm", type=_place, metavar="FILE", help="open this firm's file")
    what.add_argument("--company", type=_place, dest="firm", help=argparse.SUPPRESS)  # as it was called at first
    what.add_argument("--tour", type=_place, metavar="DIR", help="draw every page to PNG pictures in DIR and leave")
    parser.add_argument("--quit-when-shown", action="store_true", help="leave once the first page is painted")
    return parser


def _command_parser() -> argparse.ArgumentParser:
    parser = _Parser(prog="riserbook", allow_abbrev=False)
    commands = parser.add_subparsers(dest="command", required=True, parser_class=_Parser)

    def command(name: str, what: str, file_help: str = "the firm's file") -> argparse.ArgumentParser:
        one = commands.add_parser(name, help=what, description=what, allow_abbrev=False)
        one.add_argument("file", type=_place, metavar="FILE", help=file_help)
        return one

    sample = command("sample", "Write a made-up firm; the same number gives the same content.", "to be written")
    sample.add_argument("--jobs", type=_count, default=None, metavar="N", help="how many jobs (default: about 140)")
    costing = command("costing", "Per job: price, quoted and actual cost, every variance, both margins.")
    costing.add_argument("--json", action="store_true", help="machine-readable, amounts in cents")
    margins = command("margins", "Margins of the closed jobs by a grouping.")
    margins.add_argument("--by", choices=GROUPINGS, default="job-type")
    margins.add_argument("--from", dest="from_", type=_day, metavar="DAY", help="closed on or after, YYYY-MM-DD")
    margins.add_argument("--to", type=_day, metavar="DAY", help="closed on or before, YYYY-MM-DD")
    margins.add_argument("--json", action="store_true", help="machine-readable, amounts in cents")
    export = command("export", "Write the workbook a bookkeeper can audit.")
    export.add_argument("out", type=_place, metavar="OUT.xlsx")
    export.add_argument("--year", type=_year, metavar="YEAR", help="the whole books of a year, not margins alone")
    ledger = command("ledger", "Write the ledger of a year or month as csv, one posting a row.")
    ledger.add_argument("period", type=_period, metavar="PERIOD", help="2026 or 2026-11")
    ledger.add_argument("out", type=_place, metavar="OUT.csv")
    command("ties", "Sums of the books reached by two ways; fails when one differs.")
    calendar = command("calendar", "Write the visits as an iCalendar file; a second import moves what the first made.")
    calendar.add_argument("out", type=_place, metavar="OUT.ics")
    calendar.add_argument("--job", metavar="NUMBER", help="of this job alone, for example 26-014")
    calendar.add_argument("--from", dest="from_", type=_day, metavar="DAY", help="from this day on, YYYY-MM-DD")
    backup = command("backup", "Write one file with everything in it into a folder: the firm, its photos and papers.")
    backup.add_argument("folder", type=_place, metavar="DIR")
    _take_password(backup, "encrypt it; a forgotten password means a lost backup: nobody can open it without")
    restore = command("restore", "Put a backup back, also on another computer.", "the backup")
    restore.add_argument("to", type=_place, metavar="TO", help="a folder, or the firm's file to be")
    restore.add_argument("--replace", action="store_true", help="also when the firm there holds newer work")
    _take_password(restore, "the backup is under a password")
    check = command("check", "Look a firm's file or a backup over and say what was found.")
    _take_password(check, "the backup is under a password")
    check.add_argument("--looked-over", action="store_true", help="what a recovery could not vouch for is seen to")
    recover = command("recover", "Keep a file nobody can work in aside, and show what can be had of it.")
    recover.add_argument("--use", choices=("file", "backup"), help="put this in its place")
    recover.add_argument("--lose", type=int, default=0, metavar="N", help="steps that may be lost, as it was told")
    return parser


def _take_password(parser: argparse.ArgumentParser, what: str) -> None:
    parser.add_argument("--password", action="store_true", help=f"{what}; it is asked for, or read from the input")


def _place(text: str) -> Path:
    if not text.strip():
        raise argparse.ArgumentTypeError("a name is empty; a full stop means the folder you are in")
    return Path(text)


def _count(text: str) -> int:
    if not text.isdigit() or not 1 <= int(text) <= 100_000:
        raise argparse.ArgumentTypeError(f"{text!r} is not a number of jobs from 1 to 100000")
    return int(text)


def _year(text: str) -> int:
    if len(text) != 4 or not text.isdecimal() or not 1900 <= int(text) <= 2199:
        raise argparse.ArgumentTypeError(f"{text} is no year; write it like 2026")
    return int(text)


def _period(text: str) -> tuple[date, date]:
    from domain.bookkeeping import parse_period
    from domain.errors import NotUnderstood

    try:
        return parse_period(text)
    except NotUnderstood as error:
        raise argparse.ArgumentTypeError(str(error)) from error


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a day; write it as 2026-03-14") from None


def _run_window(options: argparse.Namespace) -> int:
    from desktop import screen

    if options.tour is not None:
        screen.draw_without_a_screen()
    elif not screen.there():
        return _without_a_screen(sample=options.sample)
    if (trouble := screen.why_no_window()) is not None:
        terminal.complain(trouble)
        return _without_a_screen(sample=True, told=True) if options.sample else 1
    for module in BEFORE_QT:
        import_module(module)
    from desktop.app import run
    from desktop.cli_answers import answered

    return answered(
        "window",
        lambda: run(
            company=options.firm,
            sample=options.sample,
            tour=options.tour,
            quit_when_shown=options.quit_when_shown,
        ),
        file=options.firm,
        target=options.tour,
    )


def _without_a_screen(*, sample: bool, told: bool = False) -> int:
    if not sample:
        terminal.complain("there is no screen here; riserbook --help lists what works without one.")
        return 1
    from desktop.cli_answers import answered

    return answered("sample in words", lambda: _say_the_sample(told))


def _say_the_sample(told: bool) -> int:
    from desktop.reports import costing_summary
    from desktop.sample import fresh_copy

    why = "The window cannot be opened" if told else "There is no screen here"
    terminal.say(f"{why}, so this is the sample firm in words; riserbook --tour DIR draws its pages.")
    with fresh_copy() as path:
        terminal.say(costing_summary(path))
    return 0


def _run_command(options: argparse.Namespace) -> int:
    if options.command == "margins" and options.from_ and options.to and options.from_ > options.to:
        return _wrong_usage("--from is after --to")
    from desktop import reports
    from desktop.cli_answers import answered, must_be_no_folder, must_not_be_the_same

    named = (getattr(options, name, None) for name in ("out", "folder", "to"))
    written = next((found for found in named if isinstance(found, Path)), None)

    def run() -> int:
        if written is not None:
            must_not_be_the_same(options.file, written)
        if (out := getattr(options, "out", None)) is not None:
            must_be_no_folder(out)
        try:
            terminal.say(getattr(reports, f"run_{options.command}")(options))
        except reports.Found as found:
            terminal.say(str(found))
            return 1
        return 0

    return answered(
        options.command, run, file=options.file, target=options.file if options.command == "sample" else written
    )


if __name__ == "__main__":
    sys.exit(main())
