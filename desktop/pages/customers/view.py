"""One customer: who it is, how to reach them, their houses and their jobs."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from db.commands.people import archive_customer, change_customer, delete_customer, restore_customer
from db.queries.people import CustomerPage
from desktop.desk import CUSTOMERS, JOBS, Desk
from desktop.pages.autosave import Autosave
from desktop.pages.company.paper_stack import PaperStack
from desktop.pages.customers.account import CustomerAccountView
from desktop.pages.customers.contacts import ContactList
from desktop.pages.customers.merging import MergeCard
from desktop.pages.customers.properties import PropertyList
from desktop.pages.job_rows import fit_height, jobs_table
from desktop.pages.job_sections.money.papers import invoice_pdf, kept_pdf
from desktop.pages.tab_order import EyeOrder
from desktop.widgets.cards import Card, Notice, PageHead, button, on_keys, scroll_page
from desktop.widgets.form import ChoiceField, Form, NotesField, TextField
from domain.dates import format_day_short


class CustomerView(QWidget):
    """The page of one customer; `show_page` shows another, or the same again."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk, self._saver = desk, Autosave(desk)
        self._page: CustomerPage | None = None
        self.new_job = button("New job", self.open_job, "primary", "plus", "New job for this customer (Ctrl+J)")
        on_keys(self.new_job, "Ctrl+J")
        self.put_away = button("Archive", self._archive, "plain", "archive")
        self.delete = button("Remove", self._delete, "plain", "trash")
        self.kept_twice = button("Merge", self._begin_merge, tip="This customer is kept twice: make one of both")
        self.head = PageHead("", actions=[self.kept_twice, self.put_away, self.delete, self.new_job])
        self.merging = MergeCard(desk, lambda kept_id: desk.go(CUSTOMERS, kept_id))
        self.refused = Notice()
        self.archived = Notice()
        self.form = Form(columns=2)
        self._fields = {
            "name": self.form.add("Name", TextField(required=True)),
            "kind": self.form.add("Kind", ChoiceField([("person", "Person"), ("firm", "Firm")], required=True)),
            "billing_address": self.form.add("Bills go to", NotesField("the property, unless written here", lines=2)),
            "note": self.form.add("Customer note", NotesField("what to remember about this customer", lines=2)),
        }
        for name, field in self._fields.items():
            title = self.form.label_of(field).text().lower()
            whose = title if "customer" in title else f"{title} of customer"
            self._saver.bind(field, f"Change {whose}", lambda edit, value, name=name: change_customer(
                edit, self.customer_id, **{name: value}
            ), lambda: self._page and ("customer", self.customer_id))  # fmt: skip
        self.contacts = ContactList(desk)
        self.houses = PropertyList(desk)
        self.account = CustomerAccountView(desk, lambda: self.customer_id)
        self.jobs = jobs_table(desk, full=False)
        self.jobs.heights_changed.connect(lambda: fit_height(self.jobs, most=8))
        self.jobs.set_empty(
            "No job yet", "A job holds the survey, the quote and what it really took.", "New job", self.open_job
        )
        self._arrange()
        self._order = EyeOrder(self)

    def _arrange(self) -> None:
        who, reach = Card("Who"), Card("Phones and email")
        who.add(self.form)
        reach.add(self.contacts)
        reach.body.addStretch(1)
        houses = Card("Properties", "open one to see and change what is known of it")
        jobs = Card("Jobs", "Enter opens")
        houses.add(self.houses)
        jobs.add(self.jobs)
        inside = QWidget()
        inside.setObjectName("page")
        column = QVBoxLayout(inside)
        column.setContentsMargins(24, 18, 24, 24)
        column.setSpacing(12)
        for part in (self.head, self.refused, self.archived, self.merging, who, reach, houses, jobs, self.account):
            column.addWidget(part)
        column.addStretch(1)
        self.stack = PaperStack(self._desk, scroll_page(inside), "Back to the customer", margin=20)
        self.account.invoice_asked.connect(lambda one: self.stack.show_paper(*invoice_pdf(self._desk, one)))
        self.account.paper_asked.connect(lambda one: self.stack.show_paper(*kept_pdf(self._desk, one)))
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(self.stack)

    @property
    def customer_id(self) -> int:
        """Whose page it is."""
        return self._page.customer.id if self._page else 0

    def show_page(self, page: CustomerPage) -> None:
        """Show a customer."""
        customer = page.customer
        if customer.id != self.customer_id:
            self.refused.set_words("info", "")
            self.merging.hide()
            self.stack.setCurrentIndex(0)
            for name, field in self._fields.items():
                field.reset(getattr(customer, name))
        self._page = page
        kind = "Firm" if customer.kind == "firm" else "Person"
        self.head.set_words(customer.name, f"{kind}, customer since {format_day_short(customer.created_on)}")
        for name, field in self._fields.items():
            self._saver.show(field, getattr(customer, name))
        away = customer.archived_on
        self.archived.set_words(
            "info", f"Archived on {format_day_short(away)}: kept with all history, left out of lists." if away else "",
            ("Bring back", self._archive) if away else None,
        )  # fmt: skip
        self.put_away.setVisible(away is None)
        self.new_job.setEnabled(away is None)
        self.contacts.show_contacts(customer.id, page.contacts)
        self.houses.show_houses(customer.id, page.properties)
        self.jobs.rows_model().set_rows(page.jobs)
        fit_height(self.jobs, most=8)
        self.account.show_account({row.number: row.id for row in page.jobs})
        self._order.apply()

    def open_job(self) -> None:
        """Begin a new job for this customer."""
        self._desk.go(JOBS, ("new", self.customer_id, None))

    def _begin_merge(self) -> None:
        if self._page is not None:
            self.merging.begin(self._page)

    def _archive(self) -> None:
        if self._page is None:
            return
        customer, today = self._page.customer, self._desk.today()
        if customer.archived_on:
            self._saver.do(f"Bring back {customer.name}", lambda edit: restore_customer(edit, customer.id))
        else:
            self.refused.set_words("info", "")
            self._saver.do(
                f"Archive {customer.name}", lambda edit: archive_customer(edit, customer.id, today),
                say=f"{customer.name} is archived; the history stays", undo=True,
            )  # fmt: skip

    def _delete(self) -> None:
        if self._page is None:
            return
        customer, count = self._page.customer, len(self._page.jobs)
        if count:
            jobs = "1 job" if count == 1 else f"{count} jobs"
            self.refused.set_words(
                "caution",
                f"{customer.name} has {jobs}. Removing it would tear holes in their quotes and margins, so it is not"
                " done. Archived, the customer leaves the lists and all history stays.",
                None if customer.archived_on else ("Archive instead", self._archive),
            )
            return
        self._saver.do(
            f"Remove {customer.name}", lambda edit: delete_customer(edit, customer.id),
            say=f"{customer.name} removed, with phones, email and properties", undo=True,
        )  # fmt: skip
