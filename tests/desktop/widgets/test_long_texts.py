"""Long texts: whole in a table on several lines, with figures beside their units; whole on Tonight beneath the name."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.look.fonts import face
from desktop.pages.tonight.line_row import LineRow
from desktop.pages.tonight.words import Line
from desktop.widgets.table import Column, RowsModel, RowsTable
from desktop.widgets.table_parts import MOST_LINES, in_lines, row_height

LONG = "Soil-gas collector mat, 1 in by 12 in, for under a poured floor"


def made(qtbot, names: list[str], width: int = 300) -> RowsTable:  # type: ignore[no-untyped-def]
    model = RowsModel([Column("name", "Item", stretch=1), Column("count", "How many", "right", width=40)],
                      text={"name": str, "count": lambda _: "123,456.789"}, row_id=str)  # fmt: skip
    model.set_rows(names)
    table = RowsTable(model, name="Items")
    qtbot.addWidget(table)
    table.resize(width, 300)
    table.show()
    qtbot.waitExposed(table)
    return table


def test_only_the_row_with_a_long_text_is_higher_and_its_height_goes_with_it(qtbot) -> None:  # type: ignore[no-untyped-def]
    table = made(qtbot, ["Cap", LONG])
    usual = table.verticalHeader().defaultSectionSize()
    assert (table.rowHeight(0), table.rowHeight(1) > usual) == (usual, True)
    table.sort_by("name", descending=True)
    assert (table.rowHeight(0) > usual, table.rowHeight(1)) == (True, usual)
    assert table.rows_height(least=4) == table.rowHeight(0) + 3 * usual


def test_with_room_every_row_is_an_ordinary_one_again(qtbot) -> None:  # type: ignore[no-untyped-def]
    table = made(qtbot, ["Cap", LONG])
    with qtbot.waitSignal(table.heights_changed):
        table.resize(1200, 300)
    assert table.rows_height() == 2 * table.verticalHeader().defaultSectionSize()


def test_a_figure_is_never_cut_however_narrow_its_column_was_set(qtbot) -> None:  # type: ignore[no-untyped-def]
    table = made(qtbot, ["Cap"])
    assert face("body")[1].horizontalAdvance("123,456.789") + 20 <= table.columnWidth(1)


@pytest.mark.parametrize(
    ("text", "kept"),
    [("Flexible coupling with clamps, 4 in", "4 in"), ("3 h 02 = 270 sq ft × 0.3 min × 2.25", "× 2.25")],
)
def test_a_figure_stays_with_its_unit_and_a_sign_with_its_figure(qtbot, text: str, kept: str) -> None:  # type: ignore[no-untyped-def]
    metrics = face("body")[1]
    lines = in_lines(text, metrics, metrics.horizontalAdvance(text) * 2 // 3)
    assert len(lines) == 2
    assert kept in lines[1]


@given(st.lists(st.text("abcdefgh", min_size=1, max_size=9), min_size=1, max_size=12), st.integers(90, 600))
def test_nothing_is_lost_while_the_lines_suffice(words: list[str], room: int) -> None:
    metrics, text = face("body")[1], " ".join(words)
    lines = in_lines(text, metrics, room)
    assert len(lines) <= MOST_LINES
    if "…" not in lines[-1]:
        assert " ".join(lines) == text
        assert all(metrics.horizontalAdvance(line) <= room for line in lines)
    else:
        assert len(lines) == MOST_LINES


def test_a_row_has_room_for_its_lines() -> None:
    assert row_height(3) - row_height(2) == face("body")[1].lineSpacing()


def test_on_tonight_all_rows_of_a_card_take_two_lines_when_one_needs_them(qtbot) -> None:  # type: ignore[no-untyped-def]
    holder = QWidget()
    column = QVBoxLayout(holder)
    rows = [
        LineRow(Line("a", "Ada Roe", "Fan · 26-001", "draft", "ink_soft", "jobs", 1)),
        LineRow(Line("b", "Ben Ode", "A long story of a system nobody knows · 26-002", "sent", "over", "jobs", 2)),
    ]
    for row in rows:
        column.addWidget(row)
    qtbot.addWidget(holder)
    holder.resize(380, 200)
    holder.show()
    qtbot.waitExposed(holder)
    qtbot.waitUntil(lambda: rows[0].height() == rows[1].height() == row_height(2))
    holder.resize(900, 200)
    qtbot.waitUntil(lambda: rows[0].height() < row_height(2))
