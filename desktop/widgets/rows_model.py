"""The model behind every table: columns, row objects, and callables that say what a cell shows.

    model = RowsModel(
        [Column("name", "Customer", stretch=1), Column("hours", "Hours", "right"),
         Column("bar", "", kind="bar", width=160), Column("state", "State", kind="state")],
        text={"name": lambda r: r.name, "hours": lambda r: format_minutes(r.minutes)},   # default: str(getattr(r, key))
        sort_key={"hours": lambda r: r.minutes},        # default: the text, case-insensitive; None sorts last
        bar={"bar": lambda r: (r.quoted, r.actual, scale)},   # or (quoted, actual, scale, low, high)
        tone={"state": lambda r: "over"},               # of text or pill: plain good over under goodwill error
        tip={"name": lambda r: r.address},
        row_id=lambda r: r.id,                          # what makes a row the same row after a refresh
        setter=save_cell,                               # (row, key, typed text) -> None or a message
        can_edit=lambda r, key: not r.frozen,           # besides Column.editable
        strong=lambda r: r.is_total,                    # drawn in semi-bold
        context=lambda: job_id,                         # what the rows belong to; what is refused stays with it
        lasting=lambda row_id: row_id,                  # a row's id that will still be its own on another day
        choices={"task": lambda r: ["Seal", "Paint"]},  # words offered while editing
        doubt=lambda r, key: "",                        # what is odd about a figure just typed, see `questions`
    )
    model.set_rows(rows)      # sorted as the header says; same ids in the same order: changed in place

A text that the setter refuses stays in its cell, marked, until it is corrected or Escape is pressed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, NamedTuple

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal

from desktop.widgets.as_typed import as_tip
from desktop.widgets.questions import Questions
from desktop.widgets.quoted_actual_bar import BAR_ROLE, describe
from desktop.widgets.refused_texts import Refusal, RefusedCell, RefusedTexts

__all__ = ["PROBLEM_ROLE", "Cell", "Column", "Index", "RefusedCell", "RowsModel"]

Index = QModelIndex | QPersistentModelIndex
PROBLEM_ROLE = int(Qt.ItemDataRole.UserRole) + 45
QUESTION_ROLE = PROBLEM_ROLE + 1


@dataclass(frozen=True, slots=True)
class Column:
    """One column: `width` in pixels (None: from the contents), `stretch` its share of what is left over.

    Words that do not fit go on in more lines; figures, which stand at the right, are not.
    """

    key: str
    title: str
    align: Literal["left", "right"] = "left"
    width: int | None = None
    stretch: int = 0
    tooltip: str = ""
    editable: bool = False
    kind: Literal["text", "bar", "state"] = "text"
    gives_way: bool = False  # away while the window is so narrow that others would be cut

    @property
    def wraps(self) -> bool:
        """True when a text too long for the column goes on in more lines."""
        return self.kind == "text" and self.align == "left"


class Cell(NamedTuple):
    """All that is needed to paint a cell, asked for at once."""

    kind: str
    text: str
    tone: str | None
    right: bool
    problem: str
    strong: bool
    editable: bool
    bar: Any
    question: str = ""


PerCell = Mapping[str, Callable[[Any], Any]]


class RowsModel(RefusedTexts, QAbstractTableModel):
    """Rows of any objects; see the module's docstring."""

    refusals = Signal()
    """A text was refused, corrected, taken back or let go."""

    def __init__(
        self,
        columns: Sequence[Column],
        *,
        text: PerCell | None = None,
        sort_key: PerCell | None = None,
        bar: PerCell | Callable[[Any], Any] | None = None,
        tone: PerCell | None = None,
        tip: PerCell | None = None,
        row_id: Callable[[Any], Any] | None = None,
        setter: Callable[[Any, str, str], str | None] | None = None,
        can_edit: Callable[[Any, str], bool] | None = None,
        choices: PerCell | None = None,
        strong: Callable[[Any], bool] | None = None,
        lasting: Callable[[Any], Any] | None = None,
        context: Callable[[], Any] | None = None,
        doubt: Callable[[Any, str], str] | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.lasting = lasting or (lambda row_id: row_id)
        self.context, self._shown_for, self._waiting = context, None, dict[Any, dict[tuple[Any, str], Refusal]]()
        self.columns = list(columns)
        self._text, self._sort_key, self._tone, self._tip = text or {}, sort_key or {}, tone or {}, tip or {}
        self._bar: PerCell = {c.key: bar for c in columns if c.kind == "bar"} if callable(bar) else bar or {}
        self._row_id = row_id or id
        self._setter, self._can_edit, self._choices, self._strong = setter, can_edit, choices or {}, strong
        self.questions = Questions(doubt)
        self._rows: list[Any] = []
        self._sorted: tuple[int, Qt.SortOrder] | None = None
        self._refused: dict[tuple[Any, str], Refusal] = {}
        self._cells: dict[tuple[int, int], Cell] = {}

    @property
    def rows(self) -> list[Any]:
        """The rows in the order shown."""
        return list(self._rows)

    @property
    def is_editable(self) -> bool:
        """True when some column can be edited."""
        return self._setter is not None and any(column.editable for column in self.columns)

    @property
    def has_strong(self) -> bool:
        """True when some rows may be drawn in semi-bold, which is wider."""
        return self._strong is not None

    def is_strong(self, row: Any) -> bool:
        """True when this row is drawn in semi-bold."""
        return bool(self._strong and self._strong(row))

    def set_rows(self, rows: Sequence[Any]) -> None:
        """Show these rows in the order of the header's sort, keeping what was refused in cells that remain."""
        painted, self._cells = self._cells, {}
        turned = self._turn()
        arranged = self._arranged(self._with_held(list(rows)))
        ids = [self._row_id(row) for row in arranged]
        if ids == [self._row_id(row) for row in self._rows]:
            self._swap(arranged, painted)
            if turned:
                self.refusals.emit()
            return
        self.beginResetModel()
        self._rows = arranged
        self.endResetModel()
        if self._refused or turned:
            self.refusals.emit()  # a row that is out of sight keeps its text until it is back

    def _with_held(self, rows: list[Any]) -> list[Any]:
        """The rows and what a kind of model adds to them; see FootModel."""
        return rows

    def _bare(self, row: Any) -> Any:
        """The row as the page's callables know it."""
        return row

    def _swap(self, arranged: list[Any], painted: dict[tuple[int, int], Cell]) -> None:
        """Put new objects in the same places and repaint only the rows that look or are different."""
        changed = {n for n, (old, new) in enumerate(zip(self._rows, arranged, strict=True)) if old != new}
        self._rows = arranged
        for (row, column), before in painted.items():
            if row not in changed and self.cell(self.index(row, column)) != before:
                changed.add(row)
        for row in sorted(changed):
            self.dataChanged.emit(self.index(row, 0), self.index(row, len(self.columns) - 1))

    def row_at(self, index: Index | int) -> Any:
        """The row object of an index or row number, None beyond the rows."""
        number = index if isinstance(index, int) else index.row()
        return self._rows[number] if 0 <= number < len(self._rows) else None

    def id_at(self, row: int) -> Any:
        """The id of a row number."""
        return self._row_id(self._rows[row])

    def find(self, wanted: Any) -> int:
        """Row number of an id, -1 when it is not shown."""
        return next((n for n, row in enumerate(self._rows) if self._row_id(row) == wanted), -1)

    def column_of(self, key: str) -> int:
        """Number of the column with this key."""
        return next(n for n, column in enumerate(self.columns) if column.key == key)

    def text(self, row: Any, key: str) -> str:
        """What a cell shows."""
        if key in self._text:
            return str(self._text[key](row))
        if key in self._bar:
            values = self._bar[key](row)
            return describe(values[0], values[1]) if values else ""
        found = getattr(row, key, "")
        return "" if found is None else str(found)

    def choices_for(self, index: Index) -> list[str]:
        """Words to offer while this cell is edited."""
        key = self.columns[index.column()].key
        return list(self._choices[key](self._bare(self._rows[index.row()]))) if key in self._choices else []

    def attempt(self, index: Index, text: str) -> str | None:
        """Offer a typed text to the setter; its message, or None when it was taken."""
        row, key = self._rows[index.row()], self.columns[index.column()].key
        cell = (self._row_id(row), key)
        if cell not in self._refused and text == self.text(row, key):
            return None
        assert self._setter is not None
        message = self._setter(self._bare(row), key, text)
        before = self._refused.pop(cell, None)  # what was refused last stands last
        if message:
            self._refused[cell] = (text, message)
        self._cells.clear()
        at = self.find(cell[0])
        asked = not message and self.questions.look(cell, self._bare(self.row_at(at)) if at >= 0 else None)
        if at >= 0:
            changed = self.index(at, self.column_of(key))
            self.dataChanged.emit(changed, changed)
        if message or before or asked:
            self.refusals.emit()
        return message

    def say_yes(self, index: Index) -> bool:
        """What is asked about this cell is right; True when something was asked."""
        cell = (self.id_at(index.row()), self.columns[index.column()].key)
        if not self.questions.say_yes(cell, self._bare(self._rows[index.row()])):
            return False
        self._cells.clear()
        self.dataChanged.emit(index, index)
        self.refusals.emit()
        return True

    def repaint(self, row_id: Any, *keys: str) -> None:
        """What these cells show has changed, though their row is the same."""
        if (row := self.find(row_id)) < 0:
            return
        for key in keys:
            self._cells.pop((row, self.column_of(key)), None)
            cell = self.index(row, self.column_of(key))
            self.dataChanged.emit(cell, cell)

    def cell(self, index: Index) -> Cell:
        """What to paint in a cell; kept until the rows change."""
        place = (index.row(), index.column())
        made = self._cells.get(place)
        if made is None:
            made = self._cells[place] = self._made(self._rows[place[0]], self.columns[place[1]], index)
        return made

    def _made(self, row: Any, column: Column, index: Index) -> Cell:
        key = column.key
        refused = self._refused.get((self._row_id(row), key)) if self._refused else None
        return Cell(
            column.kind,
            refused[0] if refused else "" if column.kind == "bar" else self.text(row, key),
            self._tone[key](row) if key in self._tone else None,
            column.align == "right",
            refused[1] if refused else "",
            self.is_strong(row),
            column.editable and self.can_edit(index),
            self._bar[key](row) if key in self._bar else None,
            self.questions.words((self._row_id(row), key)),
        )

    # The face Qt asks for.

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.columns)

    def flags(self, index: Index) -> Qt.ItemFlag:
        base = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        if index.isValid() and self.can_edit(index):
            base |= Qt.ItemFlag.ItemIsEditable
        return base

    def can_edit(self, index: Index) -> bool:
        """True when this cell may be typed into."""
        column = self.columns[index.column()]
        if not column.editable or self._setter is None:
            return False
        return self._can_edit is None or self._can_edit(self._bare(self._rows[index.row()]), column.key)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid() or index.row() >= len(self._rows):
            return None
        row, column, cell = self._rows[index.row()], self.columns[index.column()], self.cell(index)
        if role == Qt.ItemDataRole.DisplayRole:
            return cell.text
        if role == Qt.ItemDataRole.EditRole:
            return cell.text or self.text(row, column.key)
        if role == BAR_ROLE:
            return cell.bar
        if role == PROBLEM_ROLE:
            return cell.problem
        if role == QUESTION_ROLE:
            return cell.question
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _side(column) | Qt.AlignmentFlag.AlignVCenter
        if role == Qt.ItemDataRole.AccessibleTextRole:
            words = cell.text or self.text(row, column.key)
            return f"{column.title}: {words}" if column.title else words
        if role == Qt.ItemDataRole.AccessibleDescriptionRole:
            return cell.problem or cell.question or None
        if role == Qt.ItemDataRole.ToolTipRole:
            if cell.problem or cell.question or column.key in self._tip:
                return as_tip(cell.problem or cell.question or self._tip[column.key](self._bare(row))) or None
            return as_tip(self.text(row, column.key)) if column.kind == "bar" else None
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation == Qt.Orientation.Vertical:
            return str(section + 1) if role == Qt.ItemDataRole.DisplayRole else None
        column = self.columns[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return column.title
        if role == Qt.ItemDataRole.ToolTipRole:
            return as_tip(column.tooltip) or None
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return column.title or column.tooltip or column.key
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _side(column) | Qt.AlignmentFlag.AlignVCenter
        return None

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        """Sort by a column; rows without a value come last in either order. Column -1: as given."""
        self._sorted = (column, order) if column >= 0 else None
        self.layoutAboutToBeChanged.emit()  # first: a header with rows of different heights marks them only now
        old = self.persistentIndexList()
        before = [self.id_at(index.row()) for index in old]
        self._rows = self._arranged(self._rows)
        self._cells.clear()
        places = {self._row_id(row): n for n, row in enumerate(self._rows)}
        self.changePersistentIndexList(
            old, [self.index(places[key], index.column()) for key, index in zip(before, old, strict=True)]
        )
        self.layoutChanged.emit()

    def _arranged(self, rows: list[Any]) -> list[Any]:
        if self._sorted is None:
            return rows
        number, order = self._sorted
        key = self.columns[number].key
        worth = self._sort_key.get(key) or (lambda row: self.text(row, key).casefold() or None)
        valued = [(worth(row), row) for row in rows]
        known = sorted(
            (pair for pair in valued if pair[0] is not None),
            key=lambda pair: pair[0],
            reverse=order == Qt.SortOrder.DescendingOrder,
        )
        return [row for _, row in known] + [row for value, row in valued if value is None]


def _side(column: Column) -> Qt.AlignmentFlag:
    return Qt.AlignmentFlag.AlignRight if column.align == "right" else Qt.AlignmentFlag.AlignLeft
