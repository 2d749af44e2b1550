"""Arranging: a layout that wraps, a page that scrolls, two panes with a movable divide.

    row = FlowLayout(spacing=12); row.addWidget(...)        # wraps to the next line like words
    page = scroll_page(widget)                              # vertical scrolling, follows the focus
    pane = panes(left, right, shares=(3, 2))                # QSplitter, keyboard-reachable contents, not collapsible
    rows = column(a, b, spacing=12, margins=0); line = row(a, b, stretch_last=False)
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QMargins, QPoint, QRect, QSize, Qt, QTimer
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLayout,
    QLayoutItem,
    QScrollArea,
    QSizePolicy,
    QSplitter,
    QVBoxLayout,
    QWidget,
)


class FlowLayout(QLayout):
    """Puts widgets side by side and goes on in the next line when the width is used up."""

    def __init__(self, parent: QWidget | None = None, spacing: int = 12) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self.setContentsMargins(QMargins(0, 0, 0, 0))
        self.setSpacing(spacing)

    def addItem(self, item: QLayoutItem) -> None:
        self._items.append(item)

    def count(self) -> int:
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return self._place(QRect(0, 0, width, 0), dry=True)

    def setGeometry(self, rect: QRect) -> None:
        super().setGeometry(rect)
        self._place(rect, dry=False)

    def sizeHint(self) -> QSize:
        return self.minimumSize()

    def minimumSize(self) -> QSize:
        size = QSize()
        for item in self._items:
            size = size.expandedTo(item.minimumSize())
        return size

    def _place(self, rect: QRect, dry: bool) -> int:
        x, y, tallest = rect.x(), rect.y(), 0
        line: list[tuple[QLayoutItem, QRect]] = []

        def settle() -> None:
            for item, place in line:  # each in the middle of its line
                if not dry:
                    item.setGeometry(place.translated(0, (tallest - place.height()) // 2))
            line.clear()

        for item in self._items:
            if item.widget() is not None and item.widget().isHidden():
                continue
            hint = item.sizeHint()
            if x > rect.x() and x + hint.width() > rect.right() + 1:
                settle()
                x, y, tallest = rect.x(), y + tallest + self.spacing(), 0
            line.append((item, QRect(QPoint(x, y), hint)))
            x += hint.width() + self.spacing()
            tallest = max(tallest, hint.height())
        settle()
        return y + tallest - rect.y()


def flowing(*widgets: QWidget, spacing: int = 8) -> QWidget:
    """These side by side, going on in the next line where the window is narrow."""
    made = QWidget()
    line = FlowLayout(made, spacing)
    for one in widgets:
        line.addWidget(one)
    made.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
    return made


class BesideOrBelow:
    """A second part of a grid: at the right of the first, or below it where their card is narrow."""

    def __init__(self, grid: QGridLayout, second: QWidget, room: int, share: int) -> None:
        self._grid, self._second, self._room, self._share = grid, second, room, share
        self._beside = True

    def fit(self, width: int, place: tuple[int, int] = (0, 1), below: tuple[int, int] = (1, 0)) -> None:
        """Stand where there is room, for a card so wide."""
        if (width >= self._room) != self._beside:
            self._beside = width >= self._room
            self._grid.removeWidget(self._second)
            self._grid.addWidget(self._second, *(place if self._beside else below))
            self._grid.setColumnStretch(1, self._share if self._beside else 0)


def show_in_place(widget: QWidget, wanted: bool) -> None:
    """Show or hide a part of a page. One that has no place yet is only marked: alone it would flash up as a window."""
    if wanted and widget.parentWidget() is None:
        widget.setAttribute(Qt.WidgetAttribute.WA_WState_ExplicitShowHide, False)
    else:
        widget.setVisible(wanted)


class _FollowingScroll(QScrollArea):
    """Keeps the focused widget in sight, also when the window is small."""

    def focusNextPrevChild(self, forward: bool) -> bool:
        moved = super().focusNextPrevChild(forward)
        focused = self.focusWidget()
        if moved and focused is not None:
            self.ensureWidgetVisible(focused, 20, 60)
        return moved


def scroll_page(widget: QWidget) -> QScrollArea:
    """A vertically scrolling area around a page's contents."""
    area = _FollowingScroll()
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setWidgetResizable(True)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
    if not widget.objectName():
        widget.setObjectName("page")
    area.setWidget(widget)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    return area


def start_at_top(page: QWidget) -> None:
    """Another job, customer or part is shown: every page that scrolls in it begins at its head."""

    def begin() -> None:
        for area in page.findChildren(QScrollArea):
            area.verticalScrollBar().setValue(0)

    begin()
    QTimer.singleShot(0, page, begin)  # once what is new has its heights


def panes(
    first: QWidget,
    second: QWidget,
    shares: Sequence[int] = (1, 1),
    orientation: Qt.Orientation = Qt.Orientation.Horizontal,
) -> QSplitter:
    """Two panes with a movable divide; neither can be pushed out of sight."""
    made = QSplitter(orientation)
    made.setChildrenCollapsible(False)
    for number, widget in enumerate((first, second)):
        made.addWidget(widget)
        made.setStretchFactor(number, shares[number])
    made.setSizes([share * 1000 for share in shares])
    return made


Splitter = panes


def _add(layout: QHBoxLayout | QVBoxLayout, parts: Sequence[QWidget | QLayout | int | None]) -> None:
    for part in parts:
        if part is None:
            layout.addStretch(1)
        elif isinstance(part, int):
            layout.addSpacing(part)
        elif isinstance(part, QLayout):
            layout.addLayout(part)
        else:
            layout.addWidget(part)


def column(*parts: QWidget | QLayout | int | None, spacing: int = 12, margins: int = 0) -> QWidget:
    """Parts one below the other; None is a stretch, a number a gap."""
    made = QWidget()
    layout = QVBoxLayout(made)
    layout.setSpacing(spacing)
    layout.setContentsMargins(margins, margins, margins, margins)
    _add(layout, parts)
    return made


def row(*parts: QWidget | QLayout | int | None, spacing: int = 8, margins: int = 0) -> QWidget:
    """Parts side by side; None is a stretch, a number a gap."""
    made = QWidget()
    made.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
    layout = QHBoxLayout(made)
    layout.setSpacing(spacing)
    layout.setContentsMargins(margins, margins, margins, margins)
    _add(layout, parts)
    return made
