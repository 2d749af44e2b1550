"""The foot of the log: one line kept free for what the log has to say, so that nothing moves while one types."""

from __future__ import annotations

from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from desktop.pages.job_sections.log.cause_strip import CauseStrip, strip_height
from desktop.widgets.cards import Notice, label


class LogFoot(QWidget):
    """Shows what matters most, or nothing; its height is always the same.

    In this order: a cause that is just being answered, an entry that may be a slip, the cause that is asked for, what
    was typed and could not be taken, what was not quoted.
    """

    def __init__(self) -> None:
        super().__init__()
        self._stack = QStackedWidget()
        self._quiet = label("", "small", "faint")
        self.doubt, self.refused = Notice("caution"), Notice("error")
        outer = QVBoxLayout(self)
        outer.setContentsMargins(24, 4, 24, 6)
        outer.addWidget(self._stack)
        for part in (self._quiet, self.doubt, self.refused):
            self._stack.addWidget(part)
        self._stack.setFixedHeight(strip_height())
        self._causes: CauseStrip | None = None
        self._unquoted: Notice | None = None

    def hold(self, causes: CauseStrip, unquoted: Notice) -> None:
        """Keep the place for these two."""
        self._causes, self._unquoted = causes, unquoted
        self._stack.addWidget(causes)
        self._stack.addWidget(unquoted)
        causes.asked_or_not.connect(self.choose)

    def choose(self) -> None:
        """Show what matters most now."""
        assert self._causes is not None
        assert self._unquoted is not None
        wanted = (
            (self._causes, self._causes.is_asking and self._causes.is_answered_now),
            (self.doubt, bool(self.doubt.text())),
            (self._causes, self._causes.is_asking),
            (self.refused, bool(self.refused.text())),
            (self._unquoted, bool(self._unquoted.text())),
        )
        shown: QWidget = next((part for part, there in wanted if there), self._quiet)
        self._stack.setCurrentWidget(shown)
        for part in (self._quiet, self._causes, self._unquoted, self.doubt, self.refused):
            part.setVisible(part is shown)
