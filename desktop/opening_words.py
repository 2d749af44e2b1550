"""What is told once after a firm was opened: a recovery or restore before it, a backup that failed, a harmed row."""

from __future__ import annotations

from typing import TYPE_CHECKING

from db.company_file.aftermath import mark_told, read_word
from db.company_file.company import Company
from desktop.places import COMPANY

if TYPE_CHECKING:
    from desktop.window import Window


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
