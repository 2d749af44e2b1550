"""Shows a company that was just opened, or, when its first page cannot be shown, lets go of it and says why."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from db.company_file.company import Company
from db.company_file.problems import HOW_TO_RECOVER, CompanyProblem, Recoverable, UnreadableRows
from db.queries.firm import firm

if TYPE_CHECKING:
    from desktop.restoring_backup import Wish
    from desktop.window import Window


def take_or_let_go(window: Window, company: Company, remembered: bool) -> None:
    """Show the company in the window; whatever is in the way, the file does not stay locked behind a welcome page.

    What was open before stays open when the company's own row already cannot be read.
    """
    try:
        with company.read() as conn:
            firm(conn)
    except Exception as error:
        company.close()
        window.cannot_open(_told(company, error))
        return
    try:
        window.take(company, remembered)
    except Exception as error:
        window.close_company()
        company.close()
        window.cannot_open(_told(company, error))


def offer_recovery(window: Window, problem: Exception) -> None:
    """Where recovering answers the problem, offer it on the welcome page; one press leads there from an open firm."""
    path = getattr(problem, "path", None)
    if not isinstance(problem, Recoverable) or path is None:
        return
    if window.company is None:
        window.welcome.offer_recovery(path)
        return

    def begin() -> None:
        close_and_offer(window, path, str(problem), "error")

    window.toast.say(str(problem), ("Close this firm and recover", begin), "error")


def close_and_offer(window: Window, path: Path, words: str = "", tone: str = "info") -> None:
    """Close the firm that is open and offer to recover this file on the welcome page, saying why where it is known."""
    window.close_company()
    window.welcome.show_problem(words or f"“{path.name}” was closed to be recovered.", tone)
    window.welcome.offer_recovery(path)


def _told(company: Company, error: Exception) -> CompanyProblem:
    """The trouble as a problem of the file; an error nobody expected leaves a report as well."""
    if isinstance(error, CompanyProblem):
        return error
    if (problem := company.bad_rows()) is not None:
        return problem
    from desktop.fault_report import write_report

    write_report(error, company.path)
    return UnreadableRows(
        company.path,
        f"“{company.path.name}” was opened, but its first page could not be shown, so it is closed again. Nothing "
        "in it was changed.",
        HOW_TO_RECOVER,
    )


def put_back(window: Window, wish: Wish, remembered: bool) -> None:
    """Put a backup in the open firm's place, as its page Safe keeping asked for."""
    from desktop.restoring_backup import restore_in_place

    restore_in_place(window, wish, remembered)
