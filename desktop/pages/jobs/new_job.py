"""A new job on one page: for whom, at which house, what kind of work, how they came; then on to the survey."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLineEdit, QStackedLayout, QVBoxLayout, QWidget

from db.commands.jobs import add_deadline, add_party, open_job
from db.commands.people import add_contact, add_customer, add_property, change_property, restore_customer
from db.edit import Edit
from db.queries.jobs import job_lists
from db.queries.people import customer_choices, properties_of
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from desktop.pages.drafts import Draft
from desktop.pages.duplicate_hints import DuplicateHints
from desktop.pages.tab_order import EyeOrder
from desktop.widgets.cards import Card, Notice, PageHead, button, scroll_page
from desktop.widgets.form import ChoiceField, DateField, Form, TextField
from domain.duplicates import Traits
from domain.jobs import PARTY_ROLES, works_on_existing
from domain.unlikely import done_on, far_from

_ROLES = [(role, role) for role in PARTY_ROLES]
NEW_HOUSE = 0
"""Stands for "another address" in the choice of properties."""


class NewJob(QWidget):
    """The form. Signals: `opened(job_id)`, `left()`."""

    opened = Signal(int)
    left = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk, self._saver = desk, Autosave(desk)
        self._choices: list[tuple[int, str]] = []
        self.form = form = Form(columns=2)
        self.customer = form.add(
            "Customer", ChoiceField(placeholder="Name of the customer, kept or new", required=True, allow_new=True),
            hint="Type a part and choose from the list, or type a new name.", wide=True,
        )  # fmt: skip
        self.phone = form.add("Phone", TextField("(207) 555-0143"))
        self.mail = form.add("Email", TextField("name@example.com"))
        self.hints = DuplicateHints(desk, self._take_customer, "Take that one")
        self.house = form.add("Property", ChoiceField(required=True), wide=True)
        self.street = form.add("Street", TextField("12 Mill Road"))
        self.town = form.add("City", TextField())
        self.region = form.add("State", TextField())
        self.postcode = form.add("ZIP", TextField())
        self.job_type = form.add("Job type", ChoiceField(required=True))
        self.lead_source = form.add("Lead source", ChoiceField(placeholder="how they found you, if known"))
        opened = DateField(desk.today, required=True, doubt=done_on(desk.today))
        self.opened_on = form.add("Opened", opened, hint="Earlier, when work came first.")
        self.closing = form.add("Closing date", DateField(
            desk.today, placeholder="of a house sale, if there is one", doubt=far_from(desk.today)
        ))
        self.party = form.add("Who needs the result", ChoiceField(_ROLES, "buyer, buyer's agent…"))
        self.party_name = form.add("Their name", TextField("if known"))
        self.title = form.add("Title", TextField("in a few words, if the job type does not say it all"), wide=True)
        self.customer.prefers_kept = True
        self.new_name = Notice("info")
        self.problem = Notice("error")
        self._new_fields = (self.phone, self.mail)
        self._house_fields = (self.street, self.town, self.region, self.postcode)
        self.customer.typed.connect(lambda _: self._look())
        self.customer.lineEdit().textEdited.connect(lambda _: self._look())
        self.customer.edited.connect(lambda _: self._customer_chosen())
        self.house.edited.connect(lambda _: self._arrange_fields())
        for field in (self.phone, self.mail, self.street):
            field.textChanged.connect(lambda *_: self._look())
        names = ("customer", "phone", "mail", "house", "street", "town", "region", "postcode", "job_type",
                 "lead_source", "opened_on", "closing", "party", "party_name", "title")  # fmt: skip
        self.draft = Draft(desk, "new job", {name: getattr(self, name) for name in names})
        self._arrange()
        EyeOrder(self).apply()

    def _arrange(self) -> None:
        card = Card()
        card.add(self.form)
        row = QHBoxLayout()
        self.save = button("Open the job", self.open, "primary", "right", "Ctrl+Enter")
        row.addWidget(self.save)
        row.addWidget(button("Leave without opening", self.leave, "quiet"))
        row.addStretch(1)
        card.add(row)
        for said in (self.problem, self.new_name, self.hints):  # below what one types into and presses: nothing moves
            card.add(said)
        inside = QWidget()
        inside.setObjectName("page")
        column = QVBoxLayout(inside)
        column.setContentsMargins(28, 18, 28, 24)
        column.addWidget(PageHead("New job", "It gets the next number and opens at its survey."))
        column.addWidget(card)
        column.addStretch(1)
        card.setMaximumWidth(980)
        QStackedLayout(self).addWidget(scroll_page(inside))
        keys = QShortcut(QKeySequence("Ctrl+Return"), self, self.open)
        keys.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)

    # Filling.

    def begin(self, customer_id: int | None = None, house_id: int | None = None) -> None:
        """Make ready, for this customer and house when they are known."""
        self.refresh()
        self.hints.begin()
        if self.opened_on.value() is None:
            self.opened_on.reset(self._desk.today())
        if customer_id is not None:
            self._clear()
            self._take_customer(customer_id, house_id)
            self.job_type.setFocus()
        else:
            if not self.draft.begun:
                self.draft.turn()
            self._arrange_fields()
            self.customer.setFocus()
        self._look()

    def refresh(self) -> None:
        """Read the lists again; what is typed stays."""
        with self._desk.read() as conn:
            choices, lists = customer_choices(conn), job_lists(conn)
        if choices != self._choices:
            self._choices = choices
            self.customer.set_choices(choices)
        self.job_type.set_choices([(one.id, one.name) for one in lists.job_types])
        self.lead_source.set_choices([(one.id, one.name) for one in lists.lead_sources])

    def _take_customer(self, customer_id: int, house_id: int | None = None) -> None:
        known = set(self.customer.values())
        if customer_id not in known:  # archived: taking the hint brings the customer back
            if not self._saver.do("Bring back a customer", lambda edit: restore_customer(edit, customer_id)):
                return
            self.refresh()
        self.customer.reset(customer_id)
        self._customer_chosen(house_id)
        self.house.setFocus()

    def _customer_chosen(self, house_id: int | None = None) -> None:
        customer, houses = self.customer.value(), []
        if isinstance(customer, int):
            with self._desk.read() as conn:
                houses = [house for house in properties_of(conn, customer) if house.archived_on is None]
        self.house.set_choices([*((house.id, house.one_line) for house in houses), (NEW_HOUSE, "Another address")])
        self.house.reset(house_id or (houses[0].id if houses else NEW_HOUSE))
        self._arrange_fields()
        self._look()

    def _arrange_fields(self) -> None:
        kept = isinstance(self.customer.value(), int)
        new_house = not kept or self.house.value() in (None, NEW_HOUSE)
        self._show_fields((self.house,), kept)
        self._show_fields(self._new_fields, not kept)
        self._show_fields(self._house_fields, new_house)

    def _show_fields(self, fields: tuple[Any, ...], shown: bool) -> None:
        for field in fields:
            if not shown:
                self.form.set_error(field, "")  # what cannot be seen must not stand in the way
            self.form.set_visible(field, shown)

    def _look(self) -> None:
        """Point out who may be kept already, while a new name is typed."""
        kept = isinstance(self.customer.value(), int) and not self.customer.lineEdit().isModified()
        words = "" if kept else self.customer.currentText()
        phones, mails = ((), ()) if kept else ((self.phone.text(),), (self.mail.text(),))
        self._say_new_name(words if isinstance(self.customer.value(), str) else "")
        self.hints.look(Traits(words, phones, mails, () if kept else (self.street.text(),)))

    def _say_new_name(self, words: str) -> None:
        """A name that begins like a kept one and is none: say that a new customer will be made beside that one."""
        fits = self.customer.beginning_with(words)[:2]
        beside = " and ".join(fits)
        self.new_name.set_words("info", beside and (
            f"“{words.strip()}” will be a NEW customer, beside {beside}, already kept. If that is who you mean, choose "
            "the kept name in the list."
        ))  # fmt: skip

    # Saving.

    def open(self) -> None:
        """Open the job; what cannot be used is said and nothing typed is lost."""
        self.problem.set_words("error", "")
        if not self._all_there():
            return
        made: list[int] = []
        reason = self._saver.refusal("Open a job", lambda edit: made.append(self._write(edit)))
        if reason:
            self.problem.set_words("error", f"Not opened yet. {reason} Nothing typed is lost.")
            return
        self._clear()
        self.opened.emit(made[0])

    def _all_there(self) -> bool:
        if not self.form.commit_all():
            return False
        new_house = not isinstance(self.customer.value(), int) or self.house.value() in (None, NEW_HOUSE)
        wanted: list[tuple[Any, str, bool]] = [
            (self.customer, "Choose a customer, or type a new name.", not self.customer.value()),
            (self.street, "Type the street and number of the house.", new_house and not self.street.value()),
            (self.job_type, "Choose the job type.", self.job_type.value() is None),
        ]
        missing = [(field, words) for field, words, wrong in wanted if wrong]
        for field, words in missing:
            self.form.set_error(field, words)
        if missing:
            missing[0][0].setFocus()
        return not missing

    def _write(self, edit: Edit) -> int:
        today, customer, house = self._desk.today(), self.customer.value(), self.house.value()
        if not isinstance(customer, int):
            customer = add_customer(edit, str(customer), today)
            for kind, field in (("phone", self.phone), ("mail", self.mail)):
                if field.value():
                    add_contact(edit, customer, kind, field.value())
            house = NEW_HOUSE
        there = works_on_existing(self.job_type.currentText())
        if house in (None, NEW_HOUSE):
            house = add_property(
                edit, customer, self.street.value(), town=self.town.value(), region=self.region.value(),
                postcode=self.postcode.value(), existing_system=there,
            )  # fmt: skip
        elif there:
            change_property(edit, house, existing_system=True)
        job_id = open_job(
            edit, customer, house, self.job_type.value(), self.lead_source.value(), self.title.value(),
            self.opened_on.value() or today,
        )  # fmt: skip
        if self.closing.value() is not None:
            add_deadline(edit, job_id, self.closing.value(), "closing date")
        if self.party.value() is not None or self.party_name.value():
            add_party(
                edit, job_id, self.party.value() or "other", self.party_name.value() or "name not known yet",
                note="needs the result",
            )  # fmt: skip
        return job_id

    def leave(self) -> None:
        """Go back; what was typed is let go."""
        self._clear()
        self.left.emit()

    def _clear(self) -> None:
        for field in (*self._new_fields, *self._house_fields, self.title, self.customer, self.house, self.job_type,
                      self.closing, self.party, self.party_name):  # fmt: skip
            field.reset()
        self.opened_on.reset(self._desk.today())
        self.lead_source.reset()
        self.form.clear_errors()
        self.hints.begin()
        self.new_name.set_words("info", "")
        self.problem.set_words("error", "")

    def _go_on_from(self, now: Any) -> None:
        """Enter goes to the next field, from the last one it opens the job; what cannot be read is stayed with."""
        if now is self.title:
            self.open()
        elif isinstance(now, QLineEdit | QComboBox) and not (hasattr(now, "problem") and now.problem()):
            self.focusNextChild()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.draft.begun:
            self.left.emit()  # what was typed stays in the form, and the window names it
        elif event.key() == Qt.Key.Key_Escape:
            self.leave()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._go_on_from(self.focusWidget())
        else:
            super().keyPressEvent(event)
