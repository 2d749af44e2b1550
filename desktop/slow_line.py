"""A thin line along the head's lower edge while long work goes on beside the owner's own: it takes no room."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QProgressBar, QWidget
from shiboken6 import isValid

from db.company_file.how_far import PARTS
from desktop.desk import Desk
from desktop.look.theme import current_tokens
from desktop.slow_work import SlowWork
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import Toast

HEIGHT = 4
WORTH_A_WORD_MS = 500
"""Work that is over sooner is told by its end alone."""


class SlowLine(QProgressBar):
    """Lies over the head's own line. What goes on is said at the foot once, with a stop."""

    def __init__(self, head: QWidget, toast: Toast) -> None:
        super().__init__(head)
        self._head, self._toast = head, toast
        self.setRange(0, PARTS)
        self.setTextVisible(False)
        self.setFixedHeight(HEIGHT)
        self.hide()
        head.installEventFilter(self)

    def follow(self, desk: Desk) -> None:
        """Show what this desk begins."""
        desk.slow_began.connect(self._begin)

    def _begin(self, slow: SlowWork) -> None:
        tokens = current_tokens()
        self.setStyleSheet(
            f"QProgressBar {{ border: 0; border-radius: 0; background: {tokens.line}; min-height: {HEIGHT}px; }}"
            f"QProgressBar::chunk {{ background: {tokens.accent}; }}"
        )

        def show() -> None:
            self.setValue(slow.thousandths)
            self.setAccessibleName(slow.words())
            set_tip(self, slow.words())

        def say() -> None:
            if isValid(slow) and isValid(self) and self.isVisible():
                words = f"{slow.title}. You can go on working meanwhile."
                self._toast.say(words, ("Stop", lambda: slow.stop()), "info")

        show()
        slow.moved.connect(show)
        slow.ended.connect(self.hide)
        slow.destroyed.connect(self.hide)
        self._lie()
        self.show()
        self.raise_()
        QTimer.singleShot(WORTH_A_WORD_MS, say)

    def _lie(self) -> None:
        self.setGeometry(0, self._head.height() - HEIGHT, self._head.width(), HEIGHT)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and watched is self._head:
            self._lie()
        return super().eventFilter(watched, event)
