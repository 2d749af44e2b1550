"""The phones and mails of a customer: each a line with its value and what it is called, and one to add."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.commands.people import add_contact, change_contact, remove_contact
from desktop.desk import Desk
from desktop.look.icons import paint_icon
from desktop.look.theme import current_tokens
from desktop.pages.autosave import Autosave, Line, LineList
from desktop.pages.drafts import Draft
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import button, label, tool_button
from desktop.widgets.error_line import ErrorLine
from desktop.widgets.form import TextField
from domain.people import Contact


class _Picture(QWidget):
    """A phone or a letter, in the colour of the theme of the moment."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self._name = name
        self.setFixedSize(18, 18)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        paint_icon(painter, self.rect(), self._name, current_tokens().ink_soft)
        painter.end()


class ContactLine(Line):
    """One phone or mail."""

    def __init__(self, desk: Desk, saver: Autosave, contact: Contact) -> None:
        super().__init__()
        self.contact = contact
        word = "Phone" if contact.kind == "phone" else "Email"
        picture = _Picture(contact.kind)
        set_tip(picture, word)
        self.value = TextField(required=True)
        self.value.setAccessibleName(word)
        self.called = TextField("home, work, evenings…")
        self.called.setAccessibleName(f"What this {word.lower()} is called")
        self.called.setMaximumWidth(190)
        self.problem = label("", "small", "error", wrap=True)
        self.problem.hide()
        of = lambda: ("contact", contact.id)  # noqa: E731
        saver.bind(self.value, f"Change {word.lower()}", lambda edit, v: change_contact(edit, contact.id, value=v), of)
        saver.bind(self.called, f"Name a {word.lower()}", lambda edit, v: change_contact(edit, contact.id, label=v), of)
        self.value.problem_changed.connect(self._show_problem)
        self._saver = saver
        remove = tool_button("trash", f"Remove this {word.lower()}", lambda: desk.do(
            f"Remove {word.lower()} {self.contact.value}", lambda edit: remove_contact(edit, contact.id),
            say=f"{self.contact.value} removed", undo=True,
        ))  # fmt: skip
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(picture)
        row.addWidget(self.value, 3)
        row.addWidget(self.called, 2)
        row.addWidget(remove)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addLayout(row)
        column.addWidget(self.problem)

    def show_record(self, record: Contact) -> None:
        self.contact = record
        self._saver.show(self.value, record.value)
        self._saver.show(self.called, record.label)

    def _show_problem(self, text: str) -> None:
        self.problem.setText(text)
        self.problem.setVisible(bool(text))


class ContactList(QWidget):
    """All phones and mails of one customer."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk, self._saver, self._customer_id = desk, Autosave(desk), 0
        self.lines = LineList(lambda contact: ContactLine(desk, self._saver, contact))
        self.none_yet = label("No phone or email yet.", "body", "soft")
        self.entry = TextField("a phone number or an email address")
        self.entry.setAccessibleName("Add a phone or email")
        self.entry.setObjectName("add_contact")
        self.entry.returnPressed.connect(self.add_entry)
        self.draft = Draft(desk, "phone or email", {"entry": self.entry}, lambda: self._customer_id)
        self.problem = ErrorLine()
        row = QHBoxLayout()
        row.setSpacing(8)
        words = label("Add", "body", "soft")
        words.setBuddy(self.entry)
        row.addWidget(words)
        row.addWidget(self.entry, 1)
        row.addWidget(button("Add", self.add_entry, icon_name="plus"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        for part in (self.none_yet, self.lines):
            column.addWidget(part)
        column.addLayout(row)
        column.addWidget(self.problem, 0, Qt.AlignmentFlag.AlignTop)

    def show_contacts(self, customer_id: int, contacts: list[Contact]) -> None:
        """Show the phones and mails of a customer."""
        if customer_id != self._customer_id:
            self._customer_id = customer_id
            self.entry.reset()
            self.draft.turn()
            self._say("")
        self.none_yet.setVisible(not contacts)
        self.lines.show_records(contacts)

    def add_entry(self) -> None:
        """Add what stands in the entry line: a mail when it has an @, else a phone."""
        value = self.entry.text().strip()
        if not value:
            self._say("Type a phone number or an email address first.")
            return
        kind = "mail" if "@" in value else "phone"
        reason = self._saver.refusal(
            f"Add {kind} {value}", lambda edit: add_contact(edit, self._customer_id, kind, value)
        )
        self._say(reason)
        if not reason:
            self.entry.reset()
        self.entry.setFocus()

    def _say(self, text: str) -> None:
        self.problem.say(text)
