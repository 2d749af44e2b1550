"""What a price file would do, in four heaps: new, changed, unchanged, refused."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.widgets.cards import Notice, segments
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.money import format_unit_cost
from domain.price_import import ImportPlan, ItemChange, NewItem
from domain.units import format_percent, format_quantity

_HEAPS = (("added", "New"), ("changed", "Changed"), ("refused", "Refused"), ("unchanged", "Unchanged"))


@dataclass(frozen=True, slots=True)
class _Line:
    number: int
    code: str
    name: str
    what: str
    tone: str | None = None


class ImportPreview(QWidget):
    """A heap at a time, the first that has anything in it at the beginning."""

    def __init__(self) -> None:
        super().__init__()
        self._lines: dict[str, list[_Line]] = {key: [] for key, _ in _HEAPS}
        self.heaps = segments(_HEAPS, lambda _: self._show(), "What would happen")
        self.said = Notice("info")
        self._model = RowsModel(
            [
                Column("number", "Row", "right", width=64),
                Column("code", "Code", width=120),
                Column("name", "Item", stretch=2),
                Column("what", "What happens", stretch=3),
            ],
            sort_key={"number": lambda line: line.number},
            tone={"what": lambda line: line.tone},
            tip={"what": lambda line: line.what, "name": lambda line: line.name},
            row_id=lambda line: (line.number, line.code),
        )
        self.table = RowsTable(self._model, "What the file would do")
        self.table.setMinimumHeight(120)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(8)
        box.addWidget(self.heaps)
        box.addWidget(self.said)
        box.addWidget(self.table, 1)

    def show_missing(self, text: str) -> None:
        """Nothing can be said yet, because of this."""
        self._lines = {key: [] for key, _ in _HEAPS}
        self.said.set_words("caution", text)
        self._count()
        self._show()

    def show_plan(self, plan: ImportPlan) -> None:
        """Show the heaps of this plan."""
        self._lines = {
            "added": [_Line(new.number, new.code, new.name, _new_words(new)) for new in plan.added],
            "changed": [_Line(one.number, one.code, one.name, _change_words(one)) for one in plan.changed],
            "refused": [_Line(row.number, row.code, row.name, row.reason, "error") for row in plan.refused],
            "unchanged": [_Line(row.number, row.code, row.name, "as it is", "ink_faint") for row in plan.unchanged],
        }
        words = ""
        if plan.new_suppliers:
            shown = ", ".join(plan.new_suppliers[:4]) + (" …" if len(plan.new_suppliers) > 4 else "")
            words = f"New suppliers: {shown}. "
        if plan.refused:
            words += (
                f"{len(plan.refused):,} row{' is' if len(plan.refused) == 1 else 's are'} refused, with the reason; "
                "all others come in together or not at all."
            )
        self.said.set_words("caution" if plan.refused else "info", words)
        self._count()
        if not self._lines[str(self.heaps.value())]:
            self.heaps.set_value(next((key for key, _ in _HEAPS if self._lines[key]), "added"))
        self._show()

    def _count(self) -> None:
        for key, title in _HEAPS:
            self.heaps.set_words(key, f"{title} ({len(self._lines[key]):,})")

    def _show(self) -> None:
        key = str(self.heaps.value())
        self._model.set_rows(self._lines[key])
        empty = {"added": "Nothing new", "changed": "Nothing changes", "refused": "Nothing refused"}
        self.table.set_empty(empty.get(key, "Nothing unchanged"), "")


def _new_words(new: NewItem) -> str:
    counted = "each" if new.unit == "each" else f"a {new.unit}"
    parts = [f"{format_unit_cost(new.unit_cost)} {counted}", new.item_class]
    if new.pack_quantity != 1:
        parts.append(f"pack of {format_quantity(new.pack_quantity)}")
    if new.waste_percent:
        parts.append(f"waste {format_percent(new.waste_percent)}")
    if new.supplier:
        parts.append(new.supplier)
    return ", ".join(parts)


def _change_words(change: ItemChange) -> str:
    parts = []
    if change.unit_cost is not None:
        before = format_unit_cost(change.old_cost) if change.old_cost is not None else "no price"
        parts.append(f"{before} → {format_unit_cost(change.unit_cost)}")
    parts += [f"{field.label} {field.before or '–'} → {field.after}" for field in change.fields]
    return "; ".join(parts)
