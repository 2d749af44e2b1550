"""A strip that points out who may be kept already, while a customer is being entered."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QVBoxLayout, QWidget

from db.queries.people import kept_customers
from desktop.desk import Desk
from desktop.widgets.cards import Notice
from domain.duplicates import KeptCustomer, LikelyDuplicate, Traits, likely_duplicates


class DuplicateHints(QWidget):
    """Call `look(traits)` as one types; `open_one(customer_id)` is called when the owner takes a hint."""

    def __init__(self, desk: Desk, open_one: Callable[[int], object], word: str = "Open that one") -> None:
        super().__init__()
        self._desk, self._open_one, self._word = desk, open_one, word
        self._kept: list[KeptCustomer] | None = None  # read when something is first typed
        self._traits = Traits()
        self.found: list[LikelyDuplicate] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(6)
        self._notices: list[Notice] = []
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(180)
        self._timer.timeout.connect(self.flush)
        self.hide()

    def begin(self) -> None:
        """Forget whom to compare with; call when the form is shown."""
        self._kept = None
        self._traits = Traits()
        self.flush()

    def look(self, traits: Traits) -> None:
        """Compare shortly after typing stops."""
        self._traits = traits
        self._timer.start()

    def flush(self) -> None:
        """Compare now."""
        self._timer.stop()
        self.found = likely_duplicates(self._traits, self._customers(), most=3) if _anything(self._traits) else []
        while len(self._notices) < len(self.found):
            notice = Notice("caution")
            self._notices.append(notice)
            self._column.addWidget(notice)
        for place, notice in enumerate(self._notices):
            if place >= len(self.found):
                notice.set_words("caution", "")
                continue
            one = self.found[place]
            notice.set_words("caution", _words(one), (self._word, lambda key=one.customer_id: self._open_one(key)))
        self.setVisible(bool(self.found))

    def _customers(self) -> list[KeptCustomer]:
        if self._kept is None:
            with self._desk.read() as conn:
                self._kept = kept_customers(conn)
        return self._kept


def _anything(traits: Traits) -> bool:
    return any(text.strip() for text in (traits.name, *traits.phones, *traits.mails, *traits.streets))


def _words(one: LikelyDuplicate) -> str:
    archived = " (archived)" if one.archived else ""
    return f"{one.name}{archived} may be the same customer: {', '.join(one.reasons)}."
