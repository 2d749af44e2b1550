"""Tonight's word on a backup in another place: said once a week is over, dealt with right there."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from PySide6.QtWidgets import QAbstractButton

from db.company_file.elsewhere import Elsewhere, last_elsewhere, put_reminder_off, reminder_due
from desktop.desk import Desk
from desktop.widgets.cards import Card, button, label, row
from domain.dates import format_day_short


class BackupCard(Card):
    """Hidden while nothing is due."""

    def __init__(self, desk: Desk, settled: Callable[[], object]) -> None:
        super().__init__("Keep a backup elsewhere")
        self._desk, self._settled = desk, settled
        self.words = label("", "body", "soft", wrap=True)
        self.back_up = button("Back up to another place", self._back_up, "plain", "save")
        self.later = button("Not this week", self._put_off, "quiet")
        self.rows: list[QAbstractButton] = [self.back_up, self.later]
        self.add(self.words)
        self.add(row(self.back_up, self.later, None))
        self.hide()

    def show_due(self, first_work: date | None, today: date) -> bool:
        """Show or hide it; True when it is shown."""
        path = self._desk.company.path
        due = reminder_due(path, first_work, today)
        if due:
            last = last_elsewhere(path)
            when = "None has been made yet" if last is None else f"The last is of {format_day_short(last.made_at)}"
            self.words.setText(
                f"{when}. The backups beside the firm would be lost with this computer; one on a stick or another "
                "drive would not."
            )
        self.setVisible(due)
        return due

    def _back_up(self) -> None:
        from desktop.back_up_elsewhere import BackUpElsewhere, made_words

        def told(made: Elsewhere) -> None:
            self._desk.say(made_words(made), "good")
            self._settled()

        dialog = BackUpElsewhere(self._desk, self.window())
        dialog.made.connect(told)
        dialog.finished.connect(dialog.deleteLater)
        dialog.open()

    def _put_off(self) -> None:
        put_reminder_off(self._desk.company.path, self._desk.today())
        self._settled()

