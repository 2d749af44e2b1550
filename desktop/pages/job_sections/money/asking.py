"""A card that asks for a few things before a step is done, and says why when it cannot be."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from desktop.desk import Desk
from desktop.pages.drafts import Draft
from desktop.widgets.cards import Card, Notice, button, label
from desktop.widgets.form import Form
from desktop.widgets.half import watch

Field = tuple[str, Any, Any]
"""Label, field, and the value it begins with."""


def all_there(form: Form, needed: Sequence[Any]) -> bool:
    """Commit a form; True when all could be read and what is needed is there, else the cursor is where it is not."""
    fine = form.commit_all()
    for field in needed:
        if field.value() in (None, "") and not field.problem():
            form.set_error(field, "This is needed.")
            fine = False
    if not fine and (wrong := form.first_problem()) is not None:
        wrong.setFocus(Qt.FocusReason.OtherFocusReason)
    return fine


class AskCard(Card):
    """Hidden until `ask` is called; Enter in the last line or the button does the step, Escape leaves it.

    What is typed here and neither done nor left outlives the program, for the place that `where` names.
    """

    def __init__(self, desk: Desk, where: Callable[[], object] = lambda: "") -> None:
        super().__init__(" ")
        self._desk, self._where = desk, where
        self._draft: Draft | None = None
        self._fields: list[Any] = []
        self.words = label("", "body", "soft", wrap=True)
        self.problem = Notice("caution")
        self._form: Form | None = None
        self._work: Callable[[list[Any]], str] = lambda _values: ""
        self._back: QWidget | None = None
        self._place = QVBoxLayout()
        self.go = button("Do it", self._try, "primary", "check")
        self.leave = button("Leave it", self.close_up, "quiet", tip="Escape")
        line = QHBoxLayout()
        line.addStretch(1)
        line.addWidget(self.leave)
        line.addWidget(self.go)
        self.add(self.words)
        self.add(self._place)
        self.add(self.problem)
        self.add(line)
        escape = QShortcut(QKeySequence(Qt.Key.Key_Escape), self)
        escape.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        escape.activated.connect(self.close_up)
        self.hide()

    def ask(
        self, title: str, words: str, fields: Sequence[Field], do: str, work: Callable[[list[Any]], str]
    ) -> None:
        """Show the card with the cursor in its first field.

        Args:
            work: given the fields' values in order; returns "" when it was done, else why not.
        """
        now = self.window().focusWidget()
        self._back = now if now is not None and not self.isAncestorOf(now) else self._back
        self.header.set_words(title)
        self.setAccessibleName(title)
        self.words.setText(words)
        self.words.setVisible(bool(words))
        self.problem.set_words("caution", "")
        self._work = work
        self.go.setText(do)
        if self._form is not None:
            self._form.hide()
            self._form.deleteLater()
        self._form = Form()
        self._fields = []
        for name, field, value in fields:
            self._form.add(name, field)
            field.reset(value) if hasattr(field, "reset") else field.set_value(value)
            if isinstance(field, QLineEdit):
                field.returnPressed.connect(self._try)
            self._fields.append(field)
        self._place.addWidget(self._form)
        self._draft = None
        if fields:
            self._draft = Draft(self._desk, title, {name: field for name, field, _ in fields}, self._where)
            self._draft.turn()
        self.show()
        first = self._fields[0] if self._fields else self.go
        first.setFocus(Qt.FocusReason.OtherFocusReason)
        if isinstance(first, QLineEdit):
            first.selectAll()

    def close_up(self) -> None:
        """Leave the step undone."""
        if self._draft is not None:
            self._draft.drop()
            self._draft = None
        self._forget()  # done or given up: no half entry any more
        held = self.isAncestorOf(self.window().focusWidget() or self)
        self.hide()
        if held and self._back is not None and self._back.isVisible():
            self._back.setFocus(Qt.FocusReason.OtherFocusReason)

    def setVisible(self, visible: bool) -> None:
        """Where it is put away because the page turns to something else, its draft waits, and nothing is half here."""
        super().setVisible(visible)
        if not visible:
            if self._draft is not None:
                self._draft.rest()
                self._draft = None
            self._forget()

    def _forget(self) -> None:
        for field in self._fields:
            field.touched = False
            watch().untouch(field)

    def _try(self) -> None:
        needed = [field for field in self._fields if getattr(field, "_required", False)]
        if self._form is None or not self.isVisible() or not all_there(self._form, needed):
            return
        reason = self._work([field.value() for field in self._fields])
        self.problem.set_words("caution", reason)
        if not reason:
            self.close_up()
