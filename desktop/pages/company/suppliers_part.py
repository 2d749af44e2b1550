"""Suppliers: where things are bought."""

from __future__ import annotations

from db.commands import price_list as commands
from db.queries.price_list import supplier_item_counts, suppliers
from desktop.desk import Desk
from desktop.pages.company.list_table import AddRow, ListTable, ListVerbs
from desktop.pages.company.part import Part, attempt
from desktop.widgets.form import TextField
from desktop.widgets.table import Column
from domain.price_list import Supplier


class SuppliersPart(Part):
    """The suppliers, their phones, and how many items come from each."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Suppliers", "Where you buy. An item of the price list can name one; reading a file adds new ones."
        )
        self._items: dict[int, int] = {}
        self.new_name, self.new_phone = TextField("Another supplier"), TextField("Phone")
        self.list = ListTable(
            desk,
            ListVerbs(
                "supplier", self._change, commands.archive_supplier, commands.restore_supplier, commands.delete_supplier
            ),
            [
                Column("name", "Supplier", stretch=2, editable=True),
                Column("phone", "Phone", stretch=1, editable=True),
                Column("items", "Items", "right", width=76),
            ],
            "Suppliers",
            add_row=AddRow([self.new_name, self.new_phone], "Add", self._add, draft=(self.desk, "supplier")),
            text={"items": lambda supplier: str(self._items.get(supplier.id, "–"))},
            sort_key={"items": lambda supplier: self._items.get(supplier.id, 0)},
        )
        self.list.table.set_empty("No supplier yet", "Type the first one above.")
        self.list.archived_wanted.connect(lambda _: self.refresh())
        self.add(self.list, 1)

    def refresh(self) -> None:
        with self.desk.read() as conn:
            rows = suppliers(conn, self.list.shows_archived())
            self._items = supplier_item_counts(conn)
        self.list.set_rows(rows, f"{sum(not row.archived for row in rows)} offered")

    def _change(self, supplier: Supplier, key: str, typed: str) -> str | None:
        return attempt(
            self.desk, f"Change {supplier.name}",
            lambda edit: commands.change_supplier(edit, supplier.id, **{key: typed}),
        )  # fmt: skip

    def _add(self) -> str | None:
        name, phone = self.new_name.value(), self.new_phone.value()
        return attempt(self.desk, f"Add {name}", lambda edit: commands.add_supplier(edit, name, phone))
