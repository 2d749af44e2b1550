"""Subcontractors: what each was paid in a year, against that year's reporting threshold, and their tax form."""

from __future__ import annotations

from datetime import date

from PySide6.QtWidgets import QHBoxLayout

from db.commands.bills import set_subcontractor
from db.queries.books.subcontractors import subcontractor_year
from db.queries.price_list import suppliers
from db.queries.standards import own_standards
from desktop.desk import Desk
from desktop.pages.company.miles_part import YEARS_BACK
from desktop.pages.company.part import Part, attempt, read_cell
from desktop.pages.drafts import Draft
from desktop.widgets.cards import Notice, button, label
from desktop.widgets.form import ChoiceField
from desktop.widgets.half import only_asks
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.dates import format_day_short, parse_day
from domain.errors import NotUnderstood
from domain.money import format_money, format_unit_cost
from domain.subcontractors import SubcontractorYear, threshold_of


class SubcontractorsPart(Part):
    """A row a subcontractor; the day their tax form came in is typed into the table."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Subcontractors", "What was paid in a year, by the day it was paid. Card payments stand apart: the"
            " card company reports those; ask your tax adviser.",
        )  # fmt: skip
        today = desk.today()
        self.year = ChoiceField([(year, str(year)) for year in range(today.year, today.year - YEARS_BACK, -1)])
        only_asks(self.year)
        self.year.setAccessibleName("Year")
        self.year.setFixedWidth(100)
        self.year.set_value(today.year)
        self.year.edited.connect(lambda _: self.refresh())
        self.supplier = ChoiceField(placeholder="A supplier who works for you")
        self.supplier.setAccessibleName("Supplier to list as a subcontractor")
        self.draft = Draft(desk, "subcontractor", {"supplier": self.supplier})
        self.take = button("List as subcontractor", self.list_supplier, icon_name="plus")
        self.drop = button("No subcontractor", self.drop_current, "quiet", "cross")
        self.rule = label("", "small", "soft", wrap=True)
        self.problem = Notice("caution")
        self.table = RowsTable(self._model(), "Subcontractors")
        self.table.set_empty(
            "No subcontractor yet", "Choose a supplier above: an electrician, whoever works for you and sends a bill."
        )
        self.table.current_changed.connect(lambda row: self.drop.setEnabled(row is not None))
        self.drop.setEnabled(False)
        line = QHBoxLayout()
        line.addWidget(label("Year", "body", "soft"))
        line.addWidget(self.year)
        line.addStretch(1)
        line.addWidget(self.supplier, 1)
        line.addWidget(self.take)
        self._column.addLayout(line)
        self.add(self.problem)
        self.add(self.table, 1)
        foot = QHBoxLayout()
        foot.addWidget(self.drop)
        foot.addWidget(self.rule, 1)
        self._column.addLayout(foot)

    def _model(self) -> RowsModel:
        return RowsModel(
            [
                Column("name", "Subcontractor", stretch=2),
                Column("counted", "Paid, cards left out", "right", width=160),
                Column("card", "Paid by card", "right", width=124),
                Column("form", "Tax form in on", width=140, editable=True, tooltip="The day their form came in"),
                Column("state", "", width=220, kind="state"),
            ],
            text={
                "counted": lambda row: format_money(row.counted_cents),
                "card": lambda row: format_money(row.card_cents) if row.card_cents else "–",
                "form": lambda row: "" if row.tax_form_on is None else format_day_short(row.tax_form_on),
                "state": lambda row: row.words,
            },
            sort_key={
                "counted": lambda row: row.counted_cents,
                "card": lambda row: row.card_cents,
                "form": lambda row: row.tax_form_on or date.min,
            },
            tone={"state": lambda row: "over" if row.to_report and not row.tax_form_on else "info"},
            row_id=lambda row: row.supplier_id,
            setter=self._change,
        )

    def refresh(self) -> None:
        year: int = self.year.value()
        rows: list[SubcontractorYear] = []
        with self.desk.read() as conn:
            known = suppliers(conn, False)
            try:
                rows = subcontractor_year(conn, year)
                standard = threshold_of(year, own_standards(conn))
                self.rule.setText(f"Threshold of {year}: {format_unit_cost(standard.value)}. {standard.note}")
                self.problem.set_words("caution", "")
            except NotUnderstood as error:
                self.rule.setText("")
                self.problem.set_words("caution", str(error))
        self.table.rows_model().set_rows(rows)
        self.supplier.set_choices([(one.id, one.name) for one in known if not one.subcontractor])
        self.take.setEnabled(bool(self.supplier.values()))
        if not self.draft.begun:
            self.draft.turn()

    def list_supplier(self) -> None:
        """List the chosen supplier."""
        if not self.supplier.commit() or self.supplier.value() is None:
            self.supplier.setFocus()
            return
        seller: int = self.supplier.value()
        if attempt(self.desk, "List a subcontractor", lambda edit: set_subcontractor(edit, seller, True)) is None:
            self.supplier.reset()

    def drop_current(self) -> None:
        """The supplier under the cursor is none; bills stay."""
        row = self.table.current_row()
        if row is not None:
            attempt(
                self.desk, f"{row.name} is no subcontractor",
                lambda edit: set_subcontractor(edit, row.supplier_id, False, row.tax_form_on),
                say=f"{row.name} is no longer listed; the bills stay.", undo=True,
            )  # fmt: skip

    def _change(self, row: SubcontractorYear, key: str, typed: str) -> str | None:
        day = None
        if typed.strip():
            day, message = read_cell(lambda text: parse_day(text, self.desk.today()), typed)
            if message:
                return message
        return attempt(
            self.desk, f"Tax form of {row.name}", lambda edit: set_subcontractor(edit, row.supplier_id, True, day)
        )
