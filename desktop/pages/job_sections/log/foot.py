"""The foot of the log: one line kept free for what the log has to say, so that nothing moves while one types."""

from __future__ import annotations

from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from desktop.pages.job_sections.log.cause_strip import CauseStrip, strip_height
from desktop.widgets.cards import Notice, label


class LogFoot(QWidget):
    """Shows the question that is asked, else what was not quoted, else nothing; its height is always the same."""

    def __init__(self) -> None:
        super().__init__()
        self._stack = QStackedWidget()
        self._quiet = label("", "small", "faint")
        outer = QVBoxLayout(self)
        outer.setContentsMargins(24, 4, 24, 6)
        outer.addWidget(self._stack)
        self._stack.addWidget(self._quiet)
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
        shown: QWidget = self._quiet
        if self._causes.is_asking:
            shown = self._causes
        elif self._unquoted.text():
            shown = self._unquoted
        self._stack.setCurrentWidget(shown)
        for part in (self._quiet, self._causes, self._unquoted):
            part.setVisible(part is shown)
