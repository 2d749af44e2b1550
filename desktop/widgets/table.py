"""The table of the program: right-aligned figures, quiet rules, sorting, type-ahead, editing in place.

    table = RowsTable(model, name="Jobs")            # model: RowsModel, see rows_model
    table.set_empty("No jobs yet", "A job starts with a call.", "Add a job", add_job)
    table.row_activated.connect(open_job)            # row object: Enter or a double click
    table.current_changed.connect(show_row)          # row object or None
    table.current_row(); table.selected_rows(); table.select_id(7); table.sort_by("margin", descending=True)
    table.edit_cell(row_id, "quantity")              # opens the editor of a cell
    table.typed.connect(preview)                     # (row id, column key, text so far) on each keystroke in a cell

Ctrl+C copies the selected rows with their headings as tab-separated text. In an editable table typing starts the
edit, Enter commits and moves down, Tab goes to the next editable cell (and leaves the table after the last), Escape
takes back. What the setter refuses stays in its cell with the reason beside it, and one goes on as if it were taken.
`RowsModel` and `Column` can be imported from here.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QEvent, QItemSelectionModel, QModelIndex, QPoint, Qt, QTimer, Signal
from PySide6.QtGui import QFontMetrics, QKeyEvent, QKeySequence, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QAbstractItemView, QApplication, QHeaderView, QTableView, QToolTip, QWidget

from desktop.look.fonts import font
from desktop.look.theme import current_tokens
from desktop.widgets.as_typed import as_tip
from desktop.widgets.column_widths import giving_way, least_width, squeezed
from desktop.widgets.foot_model import FootModel
from desktop.widgets.half import watch
from desktop.widgets.refusals import Refusals
from desktop.widgets.rows_model import PROBLEM_ROLE, Column, RowsModel
from desktop.widgets.table_parts import CellDelegate, EmptyGuide, Heading, as_tabbed, row_height
from desktop.widgets.table_sizes import lines_of_rows, natural_width

__all__ = ["Column", "RowsModel", "RowsTable"]

class RowsTable(QTableView):
    """A QTableView that knows RowsModel; see the module's docstring."""

    row_activated = Signal(object)
    current_changed = Signal(object)
    typed = Signal(object, str, str)
    _delegate_class: type[CellDelegate] = CellDelegate
    _beside_heading = 26  # 10 pixels at one side, an arrow at the other
    heights_changed = Signal()
    """Some rows became higher or lower: who shows all rows without scrolling fits again to `rows_height`."""

    def __init__(self, model: RowsModel | None = None, name: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._own_widths, self._away = False, set[int]()  # away: columns that give way in a narrow window
        self._kept: tuple[Any, list[Any], int] | None = None
        self._arrange_look()
        self._guide = EmptyGuide(self.viewport())
        self._refit = QTimer(self)  # a longer text gets its room once the typing pauses, not at each key
        self._refit.setSingleShot(True)
        self._refit.setInterval(200)
        self._refit.timeout.connect(self._fit_columns)
        self._refit_heights = QTimer(self)
        self._refit_heights.setSingleShot(True)
        self._refit_heights.setInterval(0)
        self._refit_heights.timeout.connect(self._fit_heights)
        self._refusals = Refusals(self)
        self._beside = self._refusals.label
        self._delegate = self._delegate_class(self)
        self.setItemDelegate(self._delegate)
        self._delegate.finished.connect(self._move_on)
        self._delegate.goes_on = self._goes_on
        self._delegate.refused.connect(self._refusals.refused)
        self._delegate.stopped.connect(self._refusals.typing)
        self._delegate.typed.connect(self.typed)
        self.doubleClicked.connect(self._double_clicked)
        self.setAccessibleName(name)
        if model is not None:
            self.setModel(model)

    def _arrange_look(self) -> None:
        tokens = current_tokens()
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setMouseTracking(True)
        self.setAlternatingRowColors(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setTabKeyNavigation(False)
        self.verticalHeader().hide()
        height = max(tokens.row_height, QFontMetrics(font("body")).height() + 12)
        self.verticalHeader().setDefaultSectionSize(height)
        self.verticalHeader().setMinimumSectionSize(height)
        header = Heading(self)
        self.setHorizontalHeader(header)
        header.setHighlightSections(False)
        header.setSectionsClickable(True)
        header.setMinimumSectionSize(36)
        header.setMinimumHeight(height)
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        header.setSortIndicatorClearable(False)
        header.sectionHandleDoubleClicked.connect(self._fit_one)
        header.viewport().installEventFilter(self)

    # What pages use.

    def setModel(self, model: RowsModel) -> None:  # type: ignore[override]
        """Show this model; only a RowsModel will do."""
        super().setModel(model)
        model.modelAboutToBeReset.connect(self._keep_place)
        model.modelReset.connect(self._find_place)
        model.dataChanged.connect(lambda *_: self._refit.start())
        model.layoutChanged.connect(self._fit_heights)
        self.horizontalHeader().setSortIndicator(-1, Qt.SortOrder.AscendingOrder)
        self.setSortingEnabled(True)
        triggers = QAbstractItemView.EditTrigger
        self.setEditTriggers(
            triggers.AnyKeyPressed | triggers.EditKeyPressed | triggers.DoubleClicked  # a click on its own never opens
            if model.is_editable
            else triggers.NoEditTriggers
        )
        self.selectionModel().currentRowChanged.connect(lambda *_: self.current_changed.emit(self.current_row()))
        self._refusals.follow()
        self._show_guide()
        self._fit_columns()

    def rows_model(self) -> RowsModel:
        """The model, as what it is."""
        return self.model()  # type: ignore[return-value]

    def set_empty(
        self, title: str, text: str, action_label: str | None = None, callback: Callable[[], object] | None = None
    ) -> None:
        """What stands in the table while it has no rows: what it is for, and the first step."""
        self._guide.set_words(title, text, action_label, callback)
        self._show_guide()

    def current_row(self) -> Any:
        """The row object under the cursor, None when there is none."""
        return self.rows_model().row_at(self.currentIndex().row()) if self.currentIndex().isValid() else None

    def selected_rows(self) -> list[Any]:
        """The selected row objects from top to bottom."""
        numbers = sorted(index.row() for index in self.selectionModel().selectedRows())
        return [self.rows_model().row_at(number) for number in numbers]

    def select_id(self, row_id: Any, key: str | None = None) -> bool:
        """Put the cursor on the row with this id; False when it is not shown."""
        row = self.rows_model().find(row_id)
        if row < 0:
            return False
        column = self.rows_model().column_of(key) if key else max(self.currentIndex().column(), 0)
        self.setCurrentIndex(self.model().index(row, column))
        return True

    def sort_by(self, key: str, descending: bool = False) -> None:
        """Sort as if the heading had been clicked."""
        order = Qt.SortOrder.DescendingOrder if descending else Qt.SortOrder.AscendingOrder
        self.sortByColumn(self.rows_model().column_of(key), order)

    def edit_cell(self, row_id: Any, key: str) -> bool:
        """Open the editor of a cell; False when the row is not shown or the cell cannot be edited."""
        if not self.select_id(row_id, key) or not self.rows_model().can_edit(self.currentIndex()):
            return False
        self.edit(self.currentIndex())
        return True

    def copy_selection(self) -> None:
        """Put the selected rows on the clipboard, headings first, tab-separated."""
        shown = [n for n in range(len(self.rows_model().columns)) if not self.isColumnHidden(n)]
        QApplication.clipboard().setText(as_tabbed(self.rows_model(), shown, self.selected_rows()))

    # Keeping the place.

    def _keep_place(self) -> None:
        model = self.rows_model()
        current = self.currentIndex()
        current_id = model.id_at(current.row()) if current.isValid() and model.row_at(current) is not None else None
        chosen = [model.id_at(index.row()) for index in self.selectionModel().selectedRows()]
        self._kept = (current_id, chosen, max(current.column(), 0))
        self._scrolled = self.verticalScrollBar().value()
        self._beside.hide()

    def _find_place(self) -> None:
        current_id, chosen, column = self._kept or (None, [], 0)
        self._kept = None
        model, selection = self.rows_model(), self.selectionModel()
        flags = QItemSelectionModel.SelectionFlag
        for row_id in chosen:
            row = model.find(row_id)
            if row >= 0:
                selection.select(model.index(row, 0), flags.Select | flags.Rows)
        if current_id is not None and (row := model.find(current_id)) >= 0:
            selection.setCurrentIndex(model.index(row, column), flags.NoUpdate)
        self.verticalScrollBar().setValue(self._scrolled)
        self._show_guide()
        self._fit_columns()
        self._refusals.tell()

    def _show_guide(self) -> None:
        self._guide.setVisible(self.model() is None or self.model().rowCount() == 0)
        self._guide.fill()

    # Widths.

    def setColumnHidden(self, column: int, hide: bool) -> None:
        """Hide a column or bring it back; the others share the room anew."""
        self._away.discard(column)
        if self.isColumnHidden(column) != hide:
            super().setColumnHidden(column, hide)
            QTimer.singleShot(0, self, self._fit_columns)

    def _fit_columns(self) -> None:
        if self._own_widths or self.model() is None or self.state() == QAbstractItemView.State.EditingState:
            return
        columns = self.rows_model().columns
        while self._away:
            super().setColumnHidden(self._away.pop(), False)
        widths = [natural_width(self, number, self._beside_heading) for number in range(len(columns))]
        shares = [0 if self.isColumnHidden(n) else column.stretch for n, column in enumerate(columns)]
        if not any(shares) and columns:
            shares[next((n for n, c in enumerate(columns) if c.kind == "text" and c.align == "left"), 0)] = 1
        spare = self.viewport().width() - sum(w for n, w in enumerate(widths) if not self.isColumnHidden(n))
        if spare < 0:
            least = [0 if self.isColumnHidden(n) else least_width(self, n) for n in range(len(columns))]
            for number in giving_way(columns, least, self.viewport().width()):
                self._away.add(number)
                super().setColumnHidden(number, True)
                spare, least[number] = spare + widths[number], 0
            widths = squeezed([w if least[n] else 0 for n, w in enumerate(widths)], least, -spare)
        else:
            for number, share in enumerate(shares):
                widths[number] += spare * share // (sum(shares) or 1)
        for number, width in enumerate(widths):
            if self.columnWidth(number) != width:
                self.setColumnWidth(number, width)
        self._fit_heights()

    # Heights: a row in which some words need more than a line gets the room for it.

    def rows_height(self, least: int = 0, most: int = 100_000) -> int:
        """Pixels of the first `most` rows together, those missing to `least` counted as ordinary ones."""
        count = self.model().rowCount() if self.model() is not None else 0
        shown = min(count, most)
        usual = self.verticalHeader().defaultSectionSize()
        return sum(self.rowHeight(n) for n in range(shown)) + max(least - shown, 0) * usual

    def _fit_heights(self) -> None:
        if self.model() is None or self.state() == QAbstractItemView.State.EditingState:
            return
        usual, changed = self.verticalHeader().defaultSectionSize(), False
        for number, lines in enumerate(lines_of_rows(self)):
            height = max(usual, row_height(lines)) if lines > 1 else usual
            if self.rowHeight(number) != height:
                self.setRowHeight(number, height)
                changed = True
        if changed:
            self.heights_changed.emit()

    def _fit_one(self, number: int) -> None:
        self.setColumnWidth(number, natural_width(self, number, self._beside_heading))

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        watch().table_shown.emit(self)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():  # taller or lower: widths, and so lines, stay
            self._fit_columns()
        self._guide.fill()

    def eventFilter(self, watched: Any, event: QEvent) -> bool:
        if event.type() == QEvent.Type.MouseMove and watched is self.horizontalHeader().viewport():
            split = self.horizontalHeader().cursor().shape() == Qt.CursorShape.SplitHCursor
            if split and event.buttons() & Qt.MouseButton.LeftButton:  # type: ignore[attr-defined]
                self._own_widths = True  # the owner drags an edge: from now on widths are theirs
                self._refit_heights.start()
        return super().eventFilter(watched, event)

    # Keys.

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if isinstance(model := self.model(), FootModel):
            model.tidy()  # a row just taken back goes first, else the key typed into it would go with it
        key, index = event.key(), self.currentIndex()
        plain = event.modifiers() in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy_selection()
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and plain and index.isValid():
            if not self.rows_model().can_edit(index):
                self.row_activated.emit(self.current_row())
            elif not self.rows_model().say_yes(index):
                self.edit(index)
        elif index.isValid() and index.data(PROBLEM_ROLE) and (
            key == Qt.Key.Key_Escape or (self.is_held_here and key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace))
        ):
            self.rows_model().forget_refused(index)
            self._beside.hide()
        else:
            super().keyPressEvent(event)

    def focusNextPrevChild(self, forward: bool) -> bool:
        if self.model() is not None and self.rows_model().is_editable and self.hasFocus():
            target = self._editable_from(self.currentIndex(), 1 if forward else -1)
            if target.isValid():
                self.setCurrentIndex(target)
                return True
        return super().focusNextPrevChild(forward)

    def keyboardSearch(self, search: str) -> None:
        """Type-ahead over the first column of words rather than the column under the cursor."""
        column = next((n for n, c in enumerate(self.rows_model().columns) if c.kind == "text" and c.align == "left"), 0)
        now = self.currentIndex()
        if now.isValid() and now.column() != column:
            self.selectionModel().setCurrentIndex(
                self.model().index(now.row(), column), QItemSelectionModel.SelectionFlag.NoUpdate
            )
        super().keyboardSearch(search)

    def _double_clicked(self, index: QModelIndex) -> None:
        if not self.rows_model().can_edit(index):
            self.row_activated.emit(self.rows_model().row_at(index))

    def _editable_from(self, index: QModelIndex, step: int) -> QModelIndex:
        """The next editable cell in reading order, invalid when there is none."""
        model = self.rows_model()
        width = len(model.columns)
        at = index.row() * width + index.column() + step if index.isValid() else 0
        while 0 <= at < model.rowCount() * width:
            candidate = model.index(at // width, at % width)
            if model.can_edit(candidate) and not self.isColumnHidden(candidate.column()):
                return candidate
            at += step
        return QModelIndex()

    # Editing.

    @property
    def is_held_here(self) -> bool:
        """True when the row under the cursor holds a text that the foot of the table could not take."""
        model = self.model()
        return isinstance(model, FootModel) and model.is_held(self.currentIndex())

    def _stays(self, index: QModelIndex) -> bool:
        """Whether the foot could not take what was typed: the next entry begins there too."""
        model = self.model()
        return isinstance(model, FootModel) and model.is_foot(index)

    def _move_on(self, row_id: Any, key: str, move: str) -> None:
        """After a commit: down on Enter, along on Tab, wherever that row now is."""
        self._beside.hide()
        model = self.rows_model()
        row = model.find(row_id)
        if row < 0:
            self.setFocus()
            return
        here = model.index(row, model.column_of(key))
        refused_at_foot = self._delegate.was_refused and self._stays(here)
        target = QModelIndex() if refused_at_foot else self._after(here, move)
        self.setFocus()
        self.setCurrentIndex(target if target.isValid() else here)
        if move != "down" and not refused_at_foot:
            if target.isValid():
                self.edit(target)
            else:
                super().focusNextPrevChild(move == "next")

        self._refusals.tell()

    def _after(self, here: QModelIndex, move: str) -> QModelIndex:
        if move == "down":
            return here.siblingAtRow(min(here.row() + 1, self.model().rowCount() - 1))
        return self._editable_from(here, 1 if move == "next" else -1)

    def _goes_on(self, here: QModelIndex, move: str) -> bool:
        """After a refusal one goes on as after an entry, where there is another cell to go to."""
        return self._stays(here) or ((target := self._after(here, move)).isValid() and target != here)

    def viewportEvent(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip:
            index = self.indexAt(event.pos())  # type: ignore[attr-defined]
            text = index.data(Qt.ItemDataRole.DisplayRole) if index.isValid() else ""
            cut = bool(text) and self.fontMetrics().horizontalAdvance(text) + 20 > self.columnWidth(index.column())
            if cut and not index.data(Qt.ItemDataRole.ToolTipRole):
                at: QPoint = event.globalPos()  # type: ignore[attr-defined]
                QToolTip.showText(at, as_tip(text), self)
                return True
        return super().viewportEvent(event)
