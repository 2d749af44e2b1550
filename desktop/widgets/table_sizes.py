"""How wide the columns of a table ask to be, and how many lines its rows take."""

from __future__ import annotations

from typing import Any

from PySide6.QtGui import QFontMetrics

from desktop.look.fonts import face
from desktop.widgets.table_parts import in_lines

_SAMPLE_ROWS = 80
_MOST_TO_WRAP = 600
"""Longer lists keep one line a row: nobody reads them whole, and measuring every text would take long."""


def natural_width(table: Any, number: int, beside_heading: int) -> int:
    """The width a column asks for: what was set, but never so little that a heading or a figure is cut."""
    model, column = table.rows_model(), table.rows_model().columns[number]
    head = face("small_strong")[1].horizontalAdvance(column.title) + beside_heading if column.title else 0
    if column.width is not None and column.align == "left":
        return max(column.width, head)
    body = face("strong" if model.has_strong else "body")[1]
    texts = (model.text(row, column.key) for row in model.rows[:_SAMPLE_ROWS]) if column.kind != "bar" else ()
    pad = 40 if column.kind == "state" else 22
    widest = max((body.horizontalAdvance(text) + pad for text in texts), default=0)
    least = 150 if column.kind == "bar" else 48
    return max(head, min(widest, 340), least if column.width is None else column.width)


def lines_of_rows(table: Any) -> list[int]:
    """For each row, how many lines its longest text takes."""
    model = table.rows_model()
    if model.rowCount() > _MOST_TO_WRAP:
        return [1] * model.rowCount()
    body, strong = face("body")[1], face("strong")[1]
    widest_letter = strong.averageCharWidth() * 1.4
    rooms = [
        (column.key, table.columnWidth(n) - 20)
        for n, column in enumerate(model.columns)
        if column.wraps and not table.isColumnHidden(n)
    ]

    def lines(text: str, room: int, metrics: QFontMetrics) -> int:
        return len(in_lines(text, metrics, room)) if len(text) * widest_letter > room else 1

    return [
        max((lines(model.text(row, key), room, strong if model.is_strong(row) else body) for key, room in rooms),
            default=1)
        for row in model.rows
    ]  # fmt: skip
