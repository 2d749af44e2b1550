"""What a small window cuts off: texts that do not fit where they stand, and anything that has to be moved sideways."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractScrollArea,
    QComboBox,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QWidget,
)

from desktop.look.fonts import face
from desktop.widgets.error_line import ErrorLine
from desktop.widgets.rows_model import RowsModel
from desktop.widgets.table import RowsTable
from desktop.widgets.table_parts import MOST_LINES, in_lines

SLACK = 2


def cut_off(window: QWidget) -> list[str]:
    """One sentence for everything in the window that is cut off or scrolls sideways."""
    return [*_sideways(window), *_texts(window), *_outside(window), *_cells(window)]


def _visible(widget: QWidget) -> bool:
    return widget.isVisible() and not widget.visibleRegion().isEmpty()


def _named(widget: QWidget) -> str:
    return f"{type(widget).__name__} {widget.accessibleName() or widget.objectName()!r}"


def _sideways(window: QWidget) -> Iterator[str]:
    for area in window.findChildren(QAbstractScrollArea):
        bar = area.horizontalScrollBar()
        if _visible(area) and not isinstance(area, QPlainTextEdit) and bar.maximum() > 0:
            yield f"{_named(area)} scrolls sideways by {bar.maximum()}"


def _texts(window: QWidget) -> Iterator[str]:
    for label in window.findChildren(QLabel):
        if not _visible(label) or not label.text() or isinstance(label, ErrorLine) or label.pixmap().width():
            continue
        metrics, room, text = label.fontMetrics(), label.contentsRect(), label.text()
        text = text.replace("&", "") if label.buddy() is not None else text
        if label.wordWrap():
            if (high := label.heightForWidth(label.width())) > label.height() + SLACK:
                yield f"label “{text[:60]}” needs {high} px, has {label.height()}"
            words = [word for word in text.split() if word.count("/") < 3]  # a path has no words
            longest = max((metrics.horizontalAdvance(word) for word in words), default=0)
            if longest > room.width() + SLACK:
                yield f"label “{label.text()[:60]}” has a word wider than its room"
        elif max(metrics.horizontalAdvance(line) for line in text.split("\n")) > room.width() + SLACK:
            yield f"label “{label.text()[:60]}” is cut"
    for one in window.findChildren(QAbstractButton):
        narrow = one.width() < one.minimumSizeHint().width() - SLACK
        if _visible(one) and one.text() and narrow and isinstance(one, QPushButton):
            yield f"button “{one.text()}” is cut: {one.width()} of {one.minimumSizeHint().width()}"
    for field in window.findChildren(QLineEdit):
        if _visible(field) and field.text() and not isinstance(field.parentWidget(), QComboBox):
            room = field.width() - 16 - (24 if field.actions() else 0)
            if field.fontMetrics().horizontalAdvance(field.text()) > room + SLACK:
                yield f"field {_named(field)} cuts “{field.text()}”"


def _outside(window: QWidget) -> Iterator[str]:
    """Labels and buttons that stand partly beyond the edge of what holds them."""
    for one in (*window.findChildren(QLabel), *window.findChildren(QAbstractButton), *window.findChildren(QLineEdit)):
        if not _visible(one):
            continue
        here = QRect(one.mapTo(window, QPoint(0, 0)), one.size())
        above = one.parentWidget()
        while above is not None and above is not window:
            there = QRect(above.mapTo(window, QPoint(0, 0)), above.size())
            if here.left() < there.left() - SLACK or here.right() > there.right() + SLACK:
                text = getattr(one, "text", lambda: "")()
                yield f"{_named(one)} “{text[:40]}” stands beyond {_named(above)} by {here.right() - there.right()}"
                break
            above = above.parentWidget()


def _cells(window: QWidget) -> Iterator[str]:
    for table in window.findChildren(RowsTable):
        if not _visible(table):
            continue
        model: RowsModel = table.rows_model()
        head, strong, body = face("small_strong")[1], face("strong")[1], face("body")[1]
        for number, column in enumerate(model.columns):
            if table.isColumnHidden(number):
                continue
            width = table.columnWidth(number)
            if column.title and head.horizontalAdvance(column.title) > width - 14:
                yield f"table {table.accessibleName()!r} cuts the heading “{column.title}”"
            for row in model.rows[:60] if column.kind == "text" else ():
                text = model.text(row, column.key)
                metrics = strong if model.is_strong(row) else body
                if not column.wraps:
                    cut = metrics.horizontalAdvance(text) > width - 20
                else:
                    lines = in_lines(text, metrics, width - 20)
                    cut = " ".join(lines) != text and len(lines) <= MOST_LINES and any("…" in one for one in lines)
                if cut:
                    yield f"table {table.accessibleName()!r} cuts “{text[:50]}” under {column.title!r}"
                    break


def tall_rows(window: QWidget, lines: int = 3) -> list[str]:
    """Tables in which a row takes so many lines."""
    found = []
    for table in window.findChildren(RowsTable):
        usual = table.verticalHeader().defaultSectionSize()
        rows = [n for n in range(table.rows_model().rowCount()) if table.rowHeight(n) > usual * (lines - 1)]
        if _visible(table) and rows:
            found.append(f"table {table.accessibleName()!r}: {len(rows)} rows of {lines} lines or more")
    return found


__all__ = ["Qt", "cut_off", "tall_rows"]
