"""The table from the keyboard: sorting, copying, type-ahead, editing, and keeping what was typed."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.errors import NotUnderstood
from domain.money import format_money, parse_money
from domain.units import format_quantity, parse_quantity


@dataclass(frozen=True)
class Line:
    id: int
    item: str
    quantity: str
    cents: int | None


LINES = [
    Line(1, "Pipe 4 in", "62", 18600),
    Line(2, "Elbow 90", "6", 2100),
    Line(3, "Coupling", "4", None),
    Line(4, "Fan", "1", 16900),
]


class Book:
    """Lines that can be changed in place, as a page would keep them."""

    def __init__(self) -> None:
        self.lines = list(LINES)
        self.after: Callable[[], None] = lambda: None
        self.model = RowsModel(
            [
                Column("item", "Item", stretch=1),
                Column("quantity", "Quantity", "right", editable=True),
                Column("cents", "Price", "right", editable=True),
            ],
            text={"cents": lambda line: "" if line.cents is None else format_money(line.cents)},
            sort_key={"cents": lambda line: line.cents},
            row_id=lambda line: line.id,
            setter=self.save,
        )
        self.model.set_rows(self.lines)

    def save(self, line: Line, key: str, text: str) -> str | None:
        try:
            value = (
                {"cents": parse_money(text)}
                if key == "cents"
                else {"quantity": format_quantity(parse_quantity(text))}
            )
        except NotUnderstood as error:
            return str(error)
        self.lines = [replace(one, **value) if one.id == line.id else one for one in self.lines]
        self.after()
        self.model.set_rows(self.lines)
        return None


@pytest.fixture
def book() -> Book:
    return Book()


@pytest.fixture
def table(qtbot, book: Book) -> RowsTable:  # type: ignore[no-untyped-def]
    holder = QWidget()
    layout = QVBoxLayout(holder)
    before, after = QLineEdit(), QLineEdit()
    made = RowsTable(book.model, name="Materials")
    for part in (before, made, after):
        layout.addWidget(part)
    made.before, made.after, made.holder = before, after, holder  # type: ignore[attr-defined]
    qtbot.addWidget(holder)
    holder.resize(700, 400)
    with qtbot.waitActive(holder):
        holder.show()
        holder.activateWindow()
    made.setFocus()
    return made


def items(table: RowsTable) -> list[str]:
    return [line.item for line in table.rows_model().rows]


def editor(table: RowsTable) -> QLineEdit:
    found = [one for one in table.viewport().findChildren(QLineEdit) if one.isVisible()]
    assert len(found) == 1
    return found[0]


def test_a_click_on_a_heading_sorts_and_again_turns_it_round(qtbot, table: RowsTable) -> None:  # type: ignore[no-untyped-def]
    header = table.horizontalHeader()
    spot = header.viewport().rect().topLeft()
    spot.setX(header.sectionViewportPosition(2) + 20)
    spot.setY(10)
    qtbot.mouseClick(header.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert items(table) == ["Elbow 90", "Fan", "Pipe 4 in", "Coupling"]
    qtbot.mouseClick(header.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert items(table) == ["Pipe 4 in", "Fan", "Elbow 90", "Coupling"], "nothing known still comes last"
    assert header.sortIndicatorSection() == 2


def test_figures_stand_at_the_right_and_words_at_the_left(table: RowsTable) -> None:
    model = table.rows_model()
    role = Qt.ItemDataRole.TextAlignmentRole
    assert model.index(0, 2).data(role) & Qt.AlignmentFlag.AlignRight
    assert model.index(0, 0).data(role) & Qt.AlignmentFlag.AlignLeft


def test_new_rows_keep_cursor_and_selection_and_sort(table: RowsTable, book: Book) -> None:
    table.sort_by("cents")
    table.select_id(4, "cents")
    book.model.set_rows([*LINES, Line(5, "Tape", "2", 100)])
    assert table.current_row().item == "Fan"
    assert [line.item for line in table.selected_rows()] == ["Fan"]
    assert table.currentIndex().column() == 2
    assert items(table)[0] == "Tape"


def test_sorting_keeps_the_cursor_on_its_row(table: RowsTable) -> None:
    table.select_id(3)
    table.sort_by("item")
    assert table.current_row().id == 3


def test_a_row_that_is_gone_leaves_no_selection(table: RowsTable, book: Book) -> None:
    table.select_id(4)
    book.model.set_rows(LINES[:2])
    assert table.selected_rows() == []
    assert table.current_row() is None


def test_ctrl_c_copies_headings_and_rows_as_tab_separated_text(qtbot, table: RowsTable) -> None:  # type: ignore[no-untyped-def]
    table.selectRow(0)
    qtbot.keyClick(table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert QApplication.clipboard().text() == "Item\tQuantity\tPrice\nPipe 4 in\t62\t$186.00"


def test_enter_on_a_cell_that_cannot_be_edited_opens_the_row(qtbot, table: RowsTable) -> None:  # type: ignore[no-untyped-def]
    table.select_id(2, "item")
    with qtbot.waitSignal(table.row_activated, timeout=500) as caught:
        qtbot.keyClick(table, Qt.Key.Key_Return)
    assert caught.args[0].item == "Elbow 90"


def test_typing_starts_the_edit_and_enter_saves_and_moves_down(qtbot, table: RowsTable, book: Book) -> None:  # type: ignore[no-untyped-def]
    table.select_id(1, "quantity")
    qtbot.keyClicks(table, "7")
    qtbot.keyClicks(editor(table), "5")
    qtbot.keyClick(editor(table), Qt.Key.Key_Return)
    assert book.lines[0].quantity == "75"
    assert table.current_row().id == 2
    assert table.currentIndex().column() == 1


def test_tab_goes_through_the_editable_cells_only(qtbot, table: RowsTable, book: Book) -> None:  # type: ignore[no-untyped-def]
    table.select_id(1, "quantity")
    qtbot.keyClicks(table, "8")
    qtbot.keyClick(editor(table), Qt.Key.Key_Tab)
    assert (table.current_row().id, table.currentIndex().column()) == (1, 2)
    qtbot.keyClicks(editor(table), "12.50")
    qtbot.keyClick(editor(table), Qt.Key.Key_Tab)
    assert (table.current_row().id, table.currentIndex().column()) == (2, 1)
    qtbot.keyClick(editor(table), Qt.Key.Key_Backtab)
    assert (table.current_row().id, table.currentIndex().column()) == (1, 2)
    assert (book.lines[0].quantity, book.lines[0].cents) == ("8", 1250)


def test_tab_leaves_the_table_after_the_last_editable_cell(qtbot, table: RowsTable) -> None:  # type: ignore[no-untyped-def]
    table.select_id(4, "cents")
    qtbot.keyClick(table, Qt.Key.Key_Tab)
    assert table.after.hasFocus()  # type: ignore[attr-defined]
    table.setFocus()
    table.select_id(1, "quantity")
    qtbot.keyClick(table, Qt.Key.Key_Backtab)
    assert table.before.hasFocus()  # type: ignore[attr-defined]


def shown_message(table: RowsTable) -> str:
    return next((w.text() for w in table.viewport().findChildren(QLabel) if w.isVisible() and w.text()), "")


def test_what_is_refused_stays_in_its_cell_with_the_reason_beside_it_and_one_goes_on(
    qtbot, table: RowsTable, book: Book
) -> None:  # type: ignore[no-untyped-def]
    table.select_id(2, "cents")
    qtbot.keyClicks(table, "t")
    qtbot.keyClicks(editor(table), "welve")
    qtbot.keyClick(editor(table), Qt.Key.Key_Return)
    assert table.current_row().id != 2
    assert [(one.row_id, one.text) for one in book.model.refused_cells()] == [(2, "twelve")]
    assert "twelve" in shown_message(table)
    assert book.lines[1].cents == 2100
    table.select_id(2, "cents")
    assert "twelve" in shown_message(table)
    qtbot.keyClick(table, Qt.Key.Key_Return)
    assert editor(table).text() == "twelve"
    assert editor(table).property("wrong") is True
    editor(table).selectAll()
    qtbot.keyClicks(editor(table), "12")
    qtbot.keyClick(editor(table), Qt.Key.Key_Return)
    assert book.lines[1].cents == 1200
    assert shown_message(table) == ""


def test_leaving_with_a_refused_text_keeps_it_in_the_cell(qtbot, table: RowsTable, book: Book) -> None:  # type: ignore[no-untyped-def]
    table.select_id(2, "cents")
    qtbot.keyClicks(table, "x")
    table.after.setFocus()  # type: ignore[attr-defined]
    index = book.model.index(1, 2)
    assert index.data() == "x"
    assert book.lines[1].cents == 2100
    book.model.set_rows([*LINES, Line(9, "Strap", "1", 5)])
    assert book.model.index(1, 2).data() == "x", "a refresh of the page does not lose it"
    table.setFocus()
    table.select_id(2, "cents")
    qtbot.keyClick(table, Qt.Key.Key_Escape)
    assert book.model.index(1, 2).data() == "$21.00"


def test_in_the_last_row_it_stays_open_to_be_corrected(qtbot, table: RowsTable, book: Book) -> None:  # type: ignore[no-untyped-def]
    last = book.model.row_at(book.model.rowCount() - 1).id
    table.select_id(last, "cents")
    qtbot.keyClicks(table, "x")
    qtbot.keyClick(editor(table), Qt.Key.Key_Return)
    assert editor(table).text() == "x"
    assert "x" in shown_message(table)


def test_escape_takes_the_typing_back(qtbot, table: RowsTable, book: Book) -> None:  # type: ignore[no-untyped-def]
    table.select_id(1, "quantity")
    qtbot.keyClicks(table, "9")
    qtbot.keyClick(editor(table), Qt.Key.Key_Escape)
    assert book.model.index(0, 1).data() == "62"
    assert table.currentIndex().row() == 0


def test_an_edit_that_moves_its_row_is_followed(qtbot, table: RowsTable, book: Book) -> None:  # type: ignore[no-untyped-def]
    """Saving re-sorts the table under the editor: nothing breaks and the cursor goes on from the row's new place."""
    table.sort_by("cents")
    table.select_id(2, "cents")
    qtbot.keyClicks(table, "9")
    qtbot.keyClicks(editor(table), "00")
    qtbot.keyClick(editor(table), Qt.Key.Key_Return)
    assert items(table) == ["Fan", "Pipe 4 in", "Elbow 90", "Coupling"]
    assert table.current_row().item == "Coupling"


def test_leaving_a_cell_untouched_saves_nothing(qtbot, table: RowsTable, book: Book) -> None:  # type: ignore[no-untyped-def]
    saved: list[int] = []
    book.after = lambda: saved.append(1)
    table.select_id(1, "quantity")
    qtbot.keyClick(table, Qt.Key.Key_F2)
    qtbot.keyClick(editor(table), Qt.Key.Key_Return)
    assert saved == []


def test_type_ahead_finds_by_the_words_of_the_row(qtbot) -> None:  # type: ignore[no-untyped-def]
    model = RowsModel(
        [Column("cents", "Price", "right"), Column("item", "Item")], row_id=lambda line: line.id
    )
    table = RowsTable(model, name="Items")
    qtbot.addWidget(table)
    model.set_rows(LINES)
    table.show()
    table.setCurrentIndex(model.index(0, 0))
    qtbot.keyClicks(table, "cou")
    assert table.current_row().item == "Coupling"


def test_an_empty_table_says_what_it_is_for_and_offers_the_first_step(qtbot) -> None:  # type: ignore[no-untyped-def]
    model = RowsModel([Column("item", "Item")], row_id=lambda line: line.id)
    table = RowsTable(model, name="Items")
    qtbot.addWidget(table)
    pressed: list[int] = []
    table.set_empty("No items yet", "What you buy often.", "Add an item", lambda: pressed.append(1))
    table.resize(500, 300)
    table.show()
    words = [w.text() for w in table.findChildren(QLabel) if w.isVisible()]
    assert "No items yet" in words
    button = next(b for b in table.findChildren(QPushButton) if b.isVisible())
    button.setFocus()
    qtbot.keyClick(button, Qt.Key.Key_Space)
    assert pressed == [1]
    model.set_rows(LINES)
    assert not button.isVisible()
    model.set_rows([])
    assert button.isVisible()


def test_ten_thousand_rows_are_swapped_without_a_wait(qtbot) -> None:  # type: ignore[no-untyped-def]
    from time import perf_counter

    model = RowsModel(
        [Column("item", "Item", stretch=1), Column("cents", "Price", "right")], row_id=lambda line: line.id
    )
    table = RowsTable(model, name="Items")
    qtbot.addWidget(table)
    many = [Line(n, f"Item {n}", "1", n) for n in range(10_000)]
    table.show()
    start = perf_counter()
    model.set_rows(many)
    table.sort_by("cents", descending=True)
    assert table.rows_model().row_at(0).id == 9_999
    assert perf_counter() - start < 1.5


def test_only_rows_that_look_different_are_repainted(qtbot, table: RowsTable, book: Book) -> None:  # type: ignore[no-untyped-def]
    table.grab()
    heard: list[int] = []
    book.model.dataChanged.connect(lambda first, last: heard.extend(range(first.row(), last.row() + 1)))
    book.model.set_rows([replace(line, quantity="9") if line.id == 3 else replace(line) for line in LINES])
    assert heard == [2]
    assert book.model.index(2, 1).data() == "9"


def test_a_bar_whose_scale_changed_is_repainted_though_its_row_did_not(qtbot) -> None:  # type: ignore[no-untyped-def]
    scale = [10]
    model = RowsModel(
        [Column("item", "Item"), Column("bar", "Hours", kind="bar")],
        bar=lambda line: (5, line.id, scale[0]),
        row_id=lambda line: line.id,
    )
    table = RowsTable(model, name="Bars")
    qtbot.addWidget(table)
    model.set_rows(LINES)
    table.show()
    table.grab()
    scale[0] = 20
    with qtbot.waitSignal(model.dataChanged, timeout=500):
        model.set_rows(LINES)


def test_columns_fill_the_width_and_figures_are_never_cut(qtbot, table: RowsTable) -> None:  # type: ignore[no-untyped-def]
    total = sum(table.columnWidth(n) for n in range(3))
    assert table.viewport().width() - 3 <= total <= table.viewport().width()
    for row in range(4):
        for column in (1, 2):
            text = table.model().index(row, column).data()
            assert table.fontMetrics().horizontalAdvance(text) + 20 <= table.columnWidth(column)


def test_a_longer_figure_gets_its_room_after_a_pause(qtbot, table: RowsTable, book: Book) -> None:  # type: ignore[no-untyped-def]
    before = table.columnWidth(2)
    book.model.set_rows([replace(line, cents=line.id * 10**12) for line in LINES])
    qtbot.waitUntil(lambda: table.columnWidth(2) > before, timeout=2000)


def test_each_cell_is_spoken_with_its_heading(table: RowsTable) -> None:
    assert table.model().index(0, 2).data(Qt.ItemDataRole.AccessibleTextRole) == "Price: $186.00"
    assert table.accessibleName() == "Materials"
