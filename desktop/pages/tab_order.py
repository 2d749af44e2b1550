"""The Tab key follows the eye: widgets are reached in the order in which they are laid out."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QComboBox,
    QLayout,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QScrollArea,
    QSplitter,
    QTableView,
    QWidget,
)

_WHOLE = (QComboBox, QLineEdit, QPlainTextEdit, QTableView)
"""Widgets that are one stop each, whatever they are made of."""


class EyeOrder:
    """Keeps the Tab order of everything inside one widget; call `apply` after its parts have changed."""

    def __init__(self, root: QWidget) -> None:
        self._root = root
        self._known: list[int] = []

    def apply(self) -> None:
        """Set the order again, when there is anything new."""
        stops = list(stops_in(self._root))
        now = [id(stop) for stop in stops]
        if now == self._known:
            return
        self._known = now
        for before, after in zip([self._root, *stops], stops, strict=False):
            QWidget.setTabOrder(before, after)


def first_field(root: QWidget) -> QWidget | None:
    """The first widget inside this one that the Tab key reaches, None when there is none.

    A button that does something at once is not where one begins: Enter might delete or send. It is taken only
    where there is nothing else.
    """
    found, first = root.nextInFocusChain(), None
    while found is not root:
        reachable = found.isVisibleTo(root) and found.isEnabled() and found.focusPolicy() & Qt.FocusPolicy.TabFocus
        if reachable and root.isAncestorOf(found):
            first = first or found
            if not isinstance(found, QPushButton) or found.isCheckable():
                return found
        found = found.nextInFocusChain()
    return first


def stops_in(widget: QWidget) -> Iterator[QWidget]:
    """What Tab stops at, in the order of the layouts."""
    if widget.focusPolicy() & Qt.FocusPolicy.TabFocus:
        yield widget
    if isinstance(widget, _WHOLE):
        return
    if isinstance(widget, QScrollArea):
        if widget.widget() is not None:
            yield from stops_in(widget.widget())
    elif isinstance(widget, QSplitter):
        for place in range(widget.count()):
            yield from stops_in(widget.widget(place))
    elif widget.layout() is not None:
        yield from _stops_of(widget.layout())


def _stops_of(layout: QLayout) -> Iterator[QWidget]:
    for place in range(layout.count()):
        item = layout.itemAt(place)
        if item is None:
            continue
        inner, widget = item.layout(), item.widget()
        if inner is not None:
            yield from _stops_of(inner)
        elif widget is not None:
            yield from stops_in(widget)
