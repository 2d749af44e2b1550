"""The Customers page: search and list at the left, the chosen customer or the form for a new one at the right."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from db.queries.people import customer_list, customer_page
from desktop.desk import JOBS, Desk
from desktop.pages.customers.new_customer import NewCustomer
from desktop.pages.customers.view import CustomerView
from desktop.pages.page import Page
from desktop.pages.tab_order import EyeOrder
from desktop.widgets.cards import EmptyPage, PageHead, SearchBox, button, label, on_keys, panes, segments
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.people import CustomerRow

MOST_SHOWN = 300
"""Rows read for the list before anything is searched; the others are found by typing."""


class CustomersPage(Page):
    """Customers. `show_key(customer_id)` shows one, `show_key("new")` the form."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._chosen = 0
        self.search = SearchBox("Name, phone, street or job number")
        self.search.setObjectName("customer_search")
        self.search.searched.connect(lambda _: self._search())
        self.table = self._make_table()
        self.search.target = self.table
        self.search.returnPressed.connect(self._take_first)
        self.which = segments([(False, "In use"), (True, "Archived")], lambda _: self._search(), "Customers shown")
        self.count = label("", "small", "soft")
        self.add = button("New customer", self.begin_new, "primary", "plus", "New customer (Ctrl+N)")
        on_keys(self.add, "Ctrl+N")
        self.view = CustomerView(desk)
        self._form: NewCustomer | None = None
        self.first = EmptyPage(
            "No customer yet",
            "A customer is whoever asks and pays: a person or a firm, with their houses and jobs."
            " Start with the next call you get.",
            "New customer", self.begin_new, "people",
        )  # fmt: skip
        self.none = EmptyPage("No customer chosen", "Choose one at the left, or type to search.", icon_name="people")
        self.right = QStackedWidget()
        for widget in (self.first, self.none, self.view):
            self.right.addWidget(widget)
        self._arrange()

    @property
    def form(self) -> NewCustomer:
        """The form for a new customer, built when it is first asked for."""
        if self._form is None:
            self._form = NewCustomer(self.desk, self._open_duplicate)
            self._form.added.connect(self._added)
            self._form.left.connect(self._left)
            self.right.addWidget(self._form)
        return self._form

    def show_top(self) -> None:
        """To the list: out of the form for a new customer, whose words stay in it."""
        if self._form is not None and self.right.currentWidget() is self._form:
            self.right.setCurrentWidget(self.view if self._chosen else self.none)
        self.refresh()
        self.search.setFocus(Qt.FocusReason.OtherFocusReason)

    def parts_to_ready(self) -> Mapping[str, Callable[[], QWidget]]:
        return {"view": lambda: self.view, "form": lambda: self.form}

    def _make_table(self) -> RowsTable:
        model = RowsModel(
            [
                Column("name", "Customer", stretch=3),
                Column("place", "Property", width=184),
                Column("jobs", "Jobs", "right", width=64),
            ],
            text={"place": lambda row: row.place.partition(",")[0], "jobs": lambda row: str(row.jobs or "")},
            sort_key={"jobs": lambda row: row.jobs},
            tip={
                "name": lambda row: " · ".join(part for part in (row.name, row.phone) if part),
                "place": lambda row: row.place,
                "jobs": lambda row: f"{row.jobs} in all, {row.running_jobs} neither closed nor canceled",
            },
            row_id=lambda row: row.id,
        )  # fmt: skip
        table = RowsTable(model, name="Customers")
        table.current_changed.connect(self._choose)
        table.row_activated.connect(lambda row: row is not None and self.view.new_job.setFocus())
        return table

    def _arrange(self) -> None:
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(24, 18, 4, 18)
        column.setSpacing(8)
        column.addWidget(PageHead("Customers", actions=[self.add]))
        column.addWidget(self.search)
        line = QHBoxLayout()
        line.addWidget(self.which)
        line.addStretch(1)
        line.addWidget(self.count)
        column.addLayout(line)
        column.addWidget(self.table, 1)
        left.setMinimumWidth(336)
        split = panes(left, self.right, shares=(2, 4))
        split.setSizes([420, 860])
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(split)
        EyeOrder(left).apply()

    # What the window calls.

    def show_key(self, key: object, section: str = "") -> None:
        if key == "new":
            self.refresh()
            self.begin_new()
        elif isinstance(key, int):
            self._chosen = key
            self.search.clear()
            self.search.flush()
            self.refresh()
            if self._chosen:
                self.right.setCurrentWidget(self.view)
            else:
                self.desk.say("That customer is no longer there.", "caution")
        else:
            self.refresh()

    def refresh(self) -> None:
        archived = bool(self.which.value())
        with self.desk.read() as conn:
            rows = customer_list(conn, self.search.text(), archived=archived, limit=MOST_SHOWN + 1)
            page = None
            if self._chosen:
                try:
                    page = customer_page(conn, self._chosen, self.desk.today())
                except LookupError:  # deleted, or the entry was undone
                    self._chosen = 0
        self._guide(archived)
        self._show_rows(rows)
        if page is not None:
            self.view.show_page(page)
        elif self.right.currentWidget() is self.view:
            self.right.setCurrentWidget(self.none)
        if self.right.currentWidget() in (self.first, self.none) and page is None:
            nobody = not rows and not self.search.text() and not archived
            self.right.setCurrentWidget(self.first if nobody else self.none)
        elif self.right.currentWidget() in (self.first, self.none):
            self.right.setCurrentWidget(self.view)

    def showEvent(self, event: QShowEvent) -> None:
        """Be ready to search when the page comes up, unless the cursor is in the page already."""
        super().showEvent(event)
        now = self.window().focusWidget()
        if now is None or not self.isAncestorOf(now):
            self.search.setFocus(Qt.FocusReason.OtherFocusReason)

    def _guide(self, archived: bool) -> None:
        if self.search.text().strip():
            words = ("Nothing found", "Try a part of the name, the street, or the last digits of the phone.")
        elif archived:
            words = ("Nobody is archived", "Archived customers stand here, with all their history.")
        else:
            words = ("Nobody here yet", "Customers stand here by name.")
        self.table.set_empty(*words)

    def _show_rows(self, rows: list[CustomerRow]) -> None:
        more = len(rows) > MOST_SHOWN
        blocked = self.table.blockSignals(True)
        self.table.rows_model().set_rows(rows[:MOST_SHOWN])
        if self._chosen and (self.table.current_row() is None or self.table.current_row().id != self._chosen):
            self.table.select_id(self._chosen)
        self.table.blockSignals(blocked)
        self.count.setText(f"first {MOST_SHOWN}, type to find the others" if more else _counted(len(rows)))

    # Choosing and adding.

    def _search(self) -> None:
        self.refresh()

    def _take_first(self) -> None:
        if self.table.current_row() is None and self.table.model().rowCount():
            self.table.select_id(self.table.rows_model().id_at(0))
        self._choose(self.table.current_row())

    def _choose(self, row: CustomerRow | None) -> None:
        if row is None or (row.id == self._chosen and self.right.currentWidget() is self.view):
            return
        self._chosen = row.id
        self._show_chosen()

    def _show_chosen(self) -> None:
        try:
            with self.desk.read() as conn:
                page = customer_page(conn, self._chosen, self.desk.today())
        except LookupError:
            self.desk.say("That customer is no longer there.", "caution")
            return
        self.view.show_page(page)
        self.right.setCurrentWidget(self.view)

    def begin_new(self) -> None:
        """Show the form for a new customer."""
        self.right.setCurrentWidget(self.form)
        self.form.begin()

    def _open_duplicate(self, customer_id: int) -> None:
        self.form.leave()
        self.show_key(customer_id)
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def _added(self, customer_id: int, open_job: bool) -> None:
        self.show_key(customer_id)
        if open_job:
            self.desk.go(JOBS, ("new", customer_id, None))
        else:
            self.view.new_job.setFocus()

    def _left(self) -> None:
        self.right.setCurrentWidget(self.view if self._chosen else self.none)
        self.refresh()
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)


def _counted(count: int) -> str:
    return "1 customer" if count == 1 else f"{count} customers" if count else ""
