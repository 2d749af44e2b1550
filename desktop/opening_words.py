"""What is told once after a firm was opened: a recovery or restore before it, a backup that failed, a harmed row,
a clock in doubt."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from db.company_file.aftermath import mark_told, read_word
from db.company_file.company import Company
from db.queries.last_step import last_step_day
from desktop import clock
from desktop.places import COMPANY
from domain.dates import format_day

if TYPE_CHECKING:
    from desktop.window import Window

LONG_AWAY = timedelta(days=183)
"""Who comes back after so long is told the day, as the thinning of backups begins anew."""


def clock_in_doubt(last: date | None, today: date) -> str:
    """What is said where the last step was saved on a day after today, or very long before it; "" for neither."""
    if last is None or last <= today <= last + LONG_AWAY:
        return ""
    return (
        f"This computer's clock says {format_day(today)}; the last step was saved on {format_day(last)}. Set the clock "
        "right before you log, if it is wrong."
    )


def _doubt_of(window: Window, company: Company) -> str:
    desk = window.desk
    if desk is None or not clock.is_the_computers() or desk.today() != clock.today():
        return ""  # a made-up firm lives on an evening of its own
    with company.read() as conn:
        return clock_in_doubt(last_step_day(conn), desk.today())


def tell_after_opening(window: Window, company: Company) -> None:
    """Say it at the foot of the window; all of it stands on the Firm page under Safe keeping."""
    if company is not window.company:
        return

    def show() -> None:
        window.go(COMPANY, section="safe")

    if company.changed_by_itself:
        count = max(len(company.changed_by_itself) - 1, 1)
        rows = "1 entry of this firm is" if count == 1 else f"{count} entries of this firm are"
        window.toast.say(f"{rows} not as last saved, though no step changed them.", ("Show", show), "caution")
    elif company.backup_problem is not None:
        window.toast.say(f"No backup was made: {company.backup_problem}", None, "caution")
    elif (word := read_word(company.path)) is not None and not word.told:
        window.toast.say(word.lines[0], ("What is to be known", show), "info")
        mark_told(company.path, word)
    elif words := _doubt_of(window, company):
        window.toast.say(words, None, "caution")
        window.toast.stay()
