"""The form for a new customer: one calm page, with likely duplicates pointed out while one types."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QStackedLayout, QVBoxLayout, QWidget

from db.commands.people import add_contact, add_customer, add_property
from db.edit import Edit
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from desktop.pages.drafts import Draft
from desktop.pages.duplicate_hints import DuplicateHints
from desktop.pages.tab_order import EyeOrder
from desktop.widgets.cards import Card, Notice, PageHead, button, scroll_page
from desktop.widgets.form import ChoiceField, Form, NotesField, TextField
from domain.duplicates import Traits


class NewCustomer(QWidget):
    """The form. Signals: `added(customer_id, open a job)`, `left()`."""

    added = Signal(int, bool)
    left = Signal()

    def __init__(self, desk: Desk, open_one: Callable[[int], object]) -> None:
        super().__init__()
        self._desk, self._saver = desk, Autosave(desk)
        self.hints = DuplicateHints(desk, open_one)
        self.problem = Notice()
        self.form = form = Form(columns=2)
        self.name = form.add("Name", TextField("Wren Halloway, or a firm's name", required=True))
        self.kind = form.add("Kind", ChoiceField([("person", "Person"), ("firm", "Firm")], required=True))
        self.phone = form.add("Phone", TextField("(207) 555-0143"))
        self.mail = form.add("Email", TextField("name@example.com"))
        form.add_heading("The house it is about")
        self.street = form.add("Street", TextField("12 Mill Road"), hint="May wait; a job needs it.")
        self.town = form.add("City", TextField())
        self.region = form.add("State", TextField())
        self.postcode = form.add("ZIP", TextField())
        self.note = form.add("Note", NotesField("anything said on the phone", lines=2), wide=True)
        for field in (self.name, self.phone, self.mail, self.street):
            field.textChanged.connect(lambda *_: self.hints.look(self.traits()))
        names = ("name", "kind", "phone", "mail", "street", "town", "region", "postcode", "note")
        self.draft = Draft(desk, "new customer", {name: getattr(self, name) for name in names})
        self._arrange()
        EyeOrder(self).apply()
        self._clear()
        self.draft.turn()

    def _arrange(self) -> None:
        card = Card()
        card.add(self.form)
        buttons = QHBoxLayout()
        self.save = button("Add customer", lambda: self.add(False), "plain", tip="Ctrl+Enter")
        self.save_and_job = button("Add and open a job", lambda: self.add(True), "primary", "plus")
        self.cancel = button("Leave without adding", self.leave, "quiet")
        buttons.addWidget(self.save_and_job)
        buttons.addWidget(self.save)
        buttons.addWidget(self.cancel)
        buttons.addStretch(1)
        card.add(buttons)
        for said in (self.problem, self.hints):  # below what one types into and presses: nothing moves
            card.add(said)
        inside = QWidget()
        inside.setObjectName("page")
        column = QVBoxLayout(inside)
        column.setContentsMargins(24, 18, 24, 24)
        column.addWidget(PageHead("New customer", "A name is enough to begin. Everything else can follow."))
        column.addWidget(card)
        column.addStretch(1)
        QStackedLayout(self).addWidget(scroll_page(inside))
        keys = QShortcut(QKeySequence("Ctrl+Return"), self, lambda: self.add(False))
        keys.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)

    def begin(self) -> None:
        """Make ready for the next customer; what was half typed and not added is still there."""
        self.hints.begin()
        self.hints.look(self.traits())
        self.name.setFocus()

    def traits(self) -> Traits:
        """What the customer being entered is recognised by."""
        return Traits(self.name.text(), (self.phone.text(),), (self.mail.text(),), (self.street.text(),))

    def add(self, open_job: bool) -> None:
        """Save the customer whole; what cannot be used is said and nothing typed is lost."""
        self.problem.set_words("error", "")
        if not self.name.text().strip():
            self.form.set_error(self.name, "A customer needs a name.")
            self.name.setFocus()
            return
        if not self.form.commit_all():
            return
        made: list[int] = []
        if reason := self._saver.refusal(
            f"Add customer {self.name.value()}", lambda edit: made.append(self._write(edit))
        ):
            self.problem.set_words("error", f"Not added yet. {reason} Nothing typed is lost.")
            return
        self._clear()
        self.added.emit(made[0], open_job)

    def _write(self, edit: Edit) -> int:
        row = add_customer(
            edit, self.name.value(), self._desk.today(), kind=self.kind.value(), note=self.note.toPlainText()
        )
        for kind, field in (("phone", self.phone), ("mail", self.mail)):
            if field.value():
                add_contact(edit, row, kind, field.value())
        if self.street.value():
            add_property(
                edit, row, self.street.value(), town=self.town.value(), region=self.region.value(),
                postcode=self.postcode.value(),
            )  # fmt: skip
        return row

    def leave(self) -> None:
        """Go back; what was typed is let go."""
        self._clear()
        self.left.emit()

    def _clear(self) -> None:
        for field in (self.name, self.phone, self.mail, self.street, self.town, self.region, self.postcode, self.note):
            field.reset()
        self.kind.reset("person")
        self.problem.set_words("error", "")
        self.form.clear_errors()
        self.hints.begin()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.draft.begun:
            self.left.emit()  # what was typed stays in the form, and the window names it
        elif event.key() == Qt.Key.Key_Escape:
            self.leave()
        else:
            super().keyPressEvent(event)
