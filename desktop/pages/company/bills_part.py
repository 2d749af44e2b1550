"""Bills: what is owed to suppliers and by when, what was for which job, and what of it the jobs' logs lack."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QDesktopServices, QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from db.commands import bills as commands
from db.commands.bill_matching import log_bill_line
from db.edit import Edit
from db.photo_folder import kept_path, photo_folder
from db.queries.books.bills import (
    BillRow,
    bill_rows,
    logged_without_bill,
    open_bills,
    owed_to_suppliers,
    payables_at,
    whole_bill,
)
from db.queries.log_offers import jobs_to_offer
from db.queries.price_list import suppliers
from db.records import fetch_one
from db.tables import attachment
from desktop.desk import Desk
from desktop.pages.company.bill_form import BillForm
from desktop.pages.company.bill_tables import bills_model, logged_model, payables_model, whole_words
from desktop.pages.company.part import Part, attempt
from desktop.pages.job_sections.money.asking import AskCard
from desktop.widgets.cards import SearchBox, button, flowing, label, on_keys, segments
from desktop.widgets.form import ChoiceField, DateField, MoneyField, TextField
from desktop.widgets.table import RowsTable
from domain.bills import BILL_MEANS
from domain.closeout.records import Attachment
from domain.money import format_money

_VIEWS = (
    ("all", "All"), ("open", "Open"), ("to_log", "Not in the log"), ("unbilled", "Logged without a bill"),
    ("age", "By age"),
)  # fmt: skip


class BillsPart(Part):
    """A table of papers with what one does to them; Ctrl+N begins a new one."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Bills", "Suppliers' and subcontractors' bills, receipts paid on the spot, and credits; each line is"
            " for a job, the truck or the firm.",
        )  # fmt: skip
        self.new = button("New bill", self.begin, "primary", "plus", "Enter a bill, receipt or credit (Ctrl+N)")
        on_keys(self.new, "Ctrl+N")
        self.head.add_action(self.new)
        self.view = segments(_VIEWS, lambda _: self.refresh(), "Bills shown")
        self.search = SearchBox("Supplier or number")
        self.search.searched.connect(lambda _: self.refresh())
        self.bills = RowsTable(bills_model(), "Bills")
        self.logged = RowsTable(logged_model(), "Logged without a bill")
        self.ages = RowsTable(payables_model(), "What is owed to suppliers, by age")
        self.bills.row_activated.connect(lambda _: self.ask_pay())
        self.logged.row_activated.connect(lambda _: self.bill_logged())
        self.logged.set_empty("Every purchase has its bill", "What the jobs' logs say was bought stands on a bill.")
        self.ages.set_empty("Nothing is owed", "No bill of a supplier is open.")
        self.search.target = self.bills
        self.asking = AskCard(desk)
        self.details = label("", "small", "soft", wrap=True)
        self.total = label("", "small", "soft")
        self.pay = button("Pay", self.ask_pay, "quiet", "money", "Enter a payment of it (Enter)")
        self.log = button("Log its lines", self.log_lines, "quiet", "plus", "Enter its lines in their jobs' logs")
        self.off = button("Set off", self.set_off, "quiet", "check", "Pay the oldest open bill with this credit")
        self.picture = button("Picture", self.show_picture, "quiet", "camera", "Show its picture")
        self.correct = button("Correct", self.correct_current, "quiet", "edit", "Put right what was mistyped on it")
        self.unpay = button("Take payment back", self.unpay_last, "quiet", "undo")
        self.remove = button("Remove", self.remove_current, "quiet", "trash", "Delete")
        self.enter_logged = button("Enter their bill", self.bill_logged, "quiet", "plus", "The chosen ones")
        self.bills.current_changed.connect(self._chosen)
        delete = QShortcut(QKeySequence("Delete"), self.bills)
        delete.setContext(Qt.ShortcutContext.WidgetShortcut)
        delete.activated.connect(self.remove_current)
        self.form = BillForm(desk)
        self.form.left.connect(self.show_list)
        self.form.entered.connect(self._entered)
        escape = QShortcut(QKeySequence(Qt.Key.Key_Escape), self.form)
        escape.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        escape.activated.connect(self.show_list)
        self._arrange()
        self._chosen(None)

    def _arrange(self) -> None:
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        line = QHBoxLayout()
        line.addWidget(self.view)
        line.addWidget(self.search, 1)
        self.tables = QStackedWidget()
        for table in (self.bills, self.logged, self.ages):
            self.tables.addWidget(table)
        foot = flowing(
            self.pay, self.off, self.log, self.picture, self.correct, self.unpay, self.remove, self.enter_logged,
            self.total,
        )  # fmt: skip
        column.addLayout(line)
        column.addWidget(self.asking)
        column.addWidget(self.tables, 1)
        column.addWidget(self.details)
        column.addWidget(foot)
        self.pages = QStackedWidget()
        self.pages.addWidget(body)
        self.pages.addWidget(self.form)
        self.add(self.pages, 1)

    def refresh(self) -> None:
        which, today = str(self.view.value()), self.desk.today()
        table = {"unbilled": self.logged, "age": self.ages}.get(which, self.bills)
        self.tables.setCurrentWidget(table)
        with self.desk.read() as conn:
            owed = owed_to_suppliers(conn)
            rows: list[Any]
            if which == "unbilled":
                rows = logged_without_bill(conn)
            elif which == "age":
                rows = list(payables_at(conn, today).rows)
            else:
                rows = bill_rows(conn, words=self.search.text(), which=which)
        table.rows_model().set_rows(rows)
        self.search.setEnabled(table is self.bills)
        self.total.setText(f"{format_money(owed)} owed to suppliers")
        if self.search.text() or which != "all":
            self.bills.set_empty("No bill like that", "Look at all of them, or try another word.")
        else:
            self.bills.set_empty("No bill yet", "Enter the first one, or a receipt.", "New bill", self.begin)
        self.enter_logged.setVisible(which == "unbilled")
        self._chosen(self.bills.current_row() if table is self.bills else None)

    def _chosen(self, row: BillRow | None) -> None:
        there = row is not None and self.tables.currentWidget() is self.bills
        for one in (self.pay, self.off, self.log, self.picture, self.correct, self.unpay, self.remove):
            one.setVisible(self.tables.currentWidget() is self.bills)
            one.setEnabled(there)
        self.details.setVisible(there)
        if row is None or not there:
            return
        credit = row.kind == "credit"
        with self.desk.read() as conn:
            whole = whole_bill(conn, row.id)
        self.pay.setText("Money came back" if credit else "Pay")
        self.pay.setEnabled(row.open_cents != 0)
        self.off.setVisible(credit)
        self.off.setEnabled(row.open_cents < 0)
        self.log.setEnabled(row.to_log > 0)
        self.picture.setEnabled(row.attachment_id is not None)
        self.unpay.setEnabled(any(row.kind != "receipt" or one.means == "set_off" for one in whole.payments))
        goes_on = "A correction of it is begun and not kept: Correct goes on with it.  "
        self.details.setText(f"{goes_on if self.form.begun(row.id) else ''}{whole_words(whole)}")

    # Going to the form and back.

    def begin(self) -> None:
        """A bill to type: an empty one, or the one that was begun."""
        with self.desk.read() as conn:
            self.form.show_choices(suppliers(conn), jobs_to_offer(conn, self.desk.today(), 40))
        self.form.begin()
        self.pages.setCurrentWidget(self.form)
        self.form.kind.setFocus()

    def correct_current(self) -> None:
        """Show the bill under the cursor in the form, to be put right."""
        row: BillRow | None = self.bills.current_row()
        if row is None:
            return
        with self.desk.read() as conn:
            self.form.show_choices(suppliers(conn), jobs_to_offer(conn, self.desk.today(), 40))
            self.form.correct(whole_bill(conn, row.id))
        self.pages.setCurrentWidget(self.form)
        self.form.supplier.setFocus()

    def bill_logged(self) -> None:
        """Begin a bill with the chosen entries of the jobs' logs on it."""
        chosen = self.logged.selected_rows() or [one for one in (self.logged.current_row(),) if one is not None]
        if chosen:
            self.begin()
            self.form.take_logged(chosen)
            self.form.supplier.setFocus()

    def show_list(self) -> None:
        """Back to the list; what is typed in the form waits there."""
        self.pages.setCurrentIndex(0)
        if self.tables.currentWidget() is self.bills:
            self._chosen(self.bills.current_row())
        self.bills.setFocus()

    def _entered(self, bill_id: int) -> None:
        self.view.set_value("all")
        self.refresh()
        self.show_list()
        self.bills.select_id(bill_id)

    # Doing.

    def ask_pay(self) -> None:
        """Ask how much was paid, when and how."""
        row: BillRow | None = self.bills.current_row()
        if row is None or not row.open_cents:
            return
        means = ChoiceField(list(BILL_MEANS.items()), required=True)
        self.asking.ask(
            f"{row.supplier}, {format_money(abs(row.open_cents))} open", "",
            [
                ("Amount", MoneyField(required=True), abs(row.open_cents)),
                ("On", DateField(self.desk.today, required=True), self.desk.today()),
                ("How", means, "check"), ("Reference", TextField(), ""),
            ],
            "Money came back" if row.kind == "credit" else "Paid",
            lambda values: self._pay(row, values),
        )  # fmt: skip

    def _pay(self, row: BillRow, values: list[Any]) -> str:
        amount, on, means, reference = values
        return attempt(
            self.desk, f"Pay {row.supplier}",
            lambda edit: commands.pay_bill(
                edit, row.id, on, amount, means=means, reference=reference, today=self.desk.today()
            ),
            say=f"{format_money(amount)} noted.", undo=True,
        ) or ""  # fmt: skip

    def set_off(self) -> None:
        """Pay the oldest open bills of the same supplier with this credit."""
        row: BillRow | None = self.bills.current_row()
        if row is None:
            return
        with self.desk.read() as conn:
            owed = [one for one in open_bills(conn) if one.supplier_id == row.supplier_id and one.open_cents > 0]
        if not owed:
            self.desk.say(f"No bill of {row.supplier} is open.", "caution")
            return
        today = self.desk.today()
        attempt(
            self.desk, f"Set off a credit of {row.supplier}",
            lambda edit: commands.set_off(edit, row.id, owed[0].id, today, today=today),
            say=f"Set off against {owed[0].number or 'the oldest open bill'}.", undo=True,
        )  # fmt: skip

    def log_lines(self) -> None:
        """Enter the bill's lines in their jobs' logs."""
        row: BillRow | None = self.bills.current_row()
        if row is None:
            return
        today = self.desk.today()

        def work(edit: Edit) -> None:
            for line in whole_bill(edit.conn, row.id).lines:
                if line.to_log:
                    log_bill_line(edit, line.id, today=today)

        attempt(self.desk, "Log a bill's lines", work, say="Entered in the jobs' logs.", undo=True)

    def show_picture(self) -> None:
        """Open the picture with the program the system has for it."""
        row: BillRow | None = self.bills.current_row()
        if row is None or row.attachment_id is None:
            return
        with self.desk.read() as conn:
            kept = fetch_one(conn, Attachment, attachment, row.attachment_id)
        path = kept_path(photo_folder(self.desk.company.path), kept.file_name)
        if path is None or not path.exists():
            self.desk.say("The picture is no longer in the folder beside the firm's file.", "caution")
        else:
            QDesktopServices.openUrl(QUrl.fromLocalFile(str(path)))

    def unpay_last(self) -> None:
        """Take the last payment of the bill back."""
        row: BillRow | None = self.bills.current_row()
        if row is None:
            return
        with self.desk.read() as conn:
            paid = whole_bill(conn, row.id).payments
        if paid:
            attempt(
                self.desk, f"Take a payment to {row.supplier} back",
                lambda edit: commands.remove_bill_payment(edit, paid[-1].id), say="Payment taken back.", undo=True,
            )  # fmt: skip

    def remove_current(self) -> None:
        """Remove the bill under the cursor, entered by mistake."""
        row: BillRow | None = self.bills.current_row()
        if row is not None:
            attempt(
                self.desk, f"Remove a bill of {row.supplier}", lambda edit: commands.remove_bill(edit, row.id),
                say="Removed; what stands in the jobs' logs stays.", undo=True,
            )  # fmt: skip
