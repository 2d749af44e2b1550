"""The lines of a draft invoice: words and amounts are changed where they stand."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut

from db.commands import billing
from db.edit import Edit
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from desktop.pages.job_rows import fit_height
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.billing.job_money import Draft
from domain.billing.records import InvoiceLine
from domain.errors import NotUnderstood
from domain.money import format_money, parse_money
from domain.unlikely import amount_doubt


class DraftLines(RowsTable):
    """A row a line. A line from the contract keeps its amount; a share, an extra line or a discount can be changed."""

    def __init__(self, desk: Desk) -> None:
        self._saver = Autosave(desk)
        self._kind = ""
        model = RowsModel(
            [
                Column("description", "What for", stretch=1, editable=True),
                Column("net", "Amount", "right", width=104, editable=True),
            ],
            text={"net": lambda line: format_money(line.net_cents)},
            sort_key={"net": lambda line: line.net_cents},
            tone={"net": lambda line: "goodwill" if line.kind == "discount" else None},
            row_id=lambda line: line.id,
            setter=self._set,
            doubt=lambda line, key: amount_doubt(line.net_cents) if key == "net" else "",
            can_edit=self._can_edit,
        )
        super().__init__(model, "Lines of the draft")
        self.set_empty("No line yet", "Type what is asked for, then add it.")
        self.heights_changed.connect(lambda: fit_height(self, most=9))
        delete = QShortcut(QKeySequence("Delete"), self)
        delete.setContext(Qt.ShortcutContext.WidgetShortcut)
        delete.activated.connect(self.remove_current)

    def show_draft(self, draft: Draft) -> None:
        """Show the lines of this draft."""
        self._kind = draft.invoice.kind
        self.rows_model().set_rows(draft.lines)
        fit_height(self, most=9)

    def remove_current(self) -> None:
        """Take the typed line under the cursor off."""
        line: InvoiceLine | None = self.current_row()
        if line is not None:
            self._saver.do("Take a line off an invoice", lambda edit: billing.remove_line(edit, line.id), undo=True)

    def _can_edit(self, line: InvoiceLine, key: str) -> bool:
        return key == "description" or line.typed or self._kind in ("deposit", "progress")

    def _set(self, line: InvoiceLine, key: str, typed: str) -> str | None:
        values: dict[str, Any] = {"description": typed}
        if key == "net":
            try:
                values = {"unit_price": Decimal(parse_money(typed)).scaleb(-2), "quantity": Decimal(1)}
            except NotUnderstood as error:
                return str(error)

        def change(edit: Edit) -> None:
            billing.change_line(edit, line.id, **values)

        return self._saver.refusal("Change a line of an invoice", change) or None
