"""Find anything: one line, a list of what was found, Enter goes there.

    finder = FindAnything(search, parent)       # search(text) -> list[Hit]; called as one types, must be quick
    finder.chosen.connect(open_hit)             # Hit
    finder.open_fresh()                         # show with an empty line

Up and Down move in the list while typing; Enter opens; Escape closes. The kind stands at the right of each hit and may
be any word; customer, job, property, quote, page, action, item and paper have icons.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetrics, QKeyEvent, QPainter
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from desktop.look.fonts import font
from desktop.look.icon_paths import PATHS
from desktop.look.icons import paint_icon
from desktop.look.theme import current_tokens
from desktop.widgets.page_parts import SearchBox, label

Index = QModelIndex | QPersistentModelIndex
_HIT_ROLE = int(Qt.ItemDataRole.UserRole) + 47
_ICONS = {"customer": "person", "job": "job", "property": "house", "quote": "paper", "page": "right", "action": "check",
          "item": "table", "paper": "paper", "place": "right", "phone": "phone"}


@dataclass(frozen=True, slots=True)
class Hit:
    """Something found: its kind in a word, title, a second line, and a key of the caller's own."""

    kind: str
    title: str
    detail: str = ""
    key: object = None


class FindAnything(QDialog):
    """The dialog; see the module's docstring."""

    chosen = Signal(object)

    def __init__(self, search: Callable[[str], list[Hit]], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._search = search
        self.setWindowTitle("Find")
        self.resize(640, 460)
        self._line = SearchBox("Customer, address, job, place in the program…", delay_ms=60)
        self._line.setMinimumHeight(38)
        self._hits = _Hits(self)
        self._list = QListView()
        self._list.setModel(self._hits)
        self._list.setItemDelegate(_HitDelegate(self._list))
        self._list.setAccessibleName("Found")
        self._list.setFrameShape(QListView.Shape.NoFrame)
        self._list.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._list.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self._list.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self._list.setMouseTracking(True)
        self._list.clicked.connect(self._open)
        self._word = label("", "small", "soft")
        layout = QVBoxLayout(self)
        space = current_tokens().space
        layout.setContentsMargins(space.large, space.large, space.large, space.medium)
        layout.setSpacing(space.small)
        layout.addWidget(self._line)
        layout.addWidget(self._list, 1)
        layout.addWidget(self._word)
        self._line.target = self._list
        self._line.searched.connect(self._find)
        self._line.returnPressed.connect(lambda: self._open(self._list.currentIndex()))

    def open_fresh(self) -> None:
        """Show the dialog near the top of its window with an empty line."""
        self._line.clear()
        self._line.flush()
        self._find("")
        if parent := self.parentWidget():
            corner = parent.mapToGlobal(parent.rect().topLeft())
            self.move(corner.x() + (parent.width() - self.width()) // 2, corner.y() + 70)
        self.open()
        self._line.setFocus()

    def hits(self) -> list[Hit]:
        """What is listed now."""
        return list(self._hits.hits)

    def _find(self, text: str) -> None:
        hits = self._search(text)
        self._hits.replace(hits)
        if hits:
            self._list.setCurrentIndex(self._hits.index(0))
            count = f"{len(hits)} found" if text else "Places and recent work"
            self._word.setText(f"{count}   ·   ↑ ↓ to move, Enter to open, Esc to close")
        else:
            self._word.setText("Nothing found. Try a part of a name, a street or a phone number." if text else "")

    def _open(self, index: QModelIndex) -> None:
        hit = index.data(_HIT_ROLE) if index.isValid() else None
        if hit is not None:
            self.accept()
            self.chosen.emit(hit)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            return  # the line has seen it
        super().keyPressEvent(event)


class _Hits(QAbstractListModel):
    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.hits: list[Hit] = []

    def replace(self, hits: list[Hit]) -> None:
        self.beginResetModel()
        self.hits = list(hits)
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.hits)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        if not index.isValid():
            return None
        hit = self.hits[index.row()]
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return ", ".join(part for part in (hit.kind, hit.title, hit.detail) if part)
        return hit if role == _HIT_ROLE else None


class _HitDelegate(QStyledItemDelegate):
    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        lines = QFontMetrics(font("body")).height() + QFontMetrics(font("small")).height()
        return QSize(300, lines + 14)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        tokens, hit, rect = current_tokens(), index.data(_HIT_ROLE), option.rect
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        if chosen or option.state & QStyle.StateFlag.State_MouseOver:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(tokens.accent_soft if chosen else tokens.sunk))
            painter.drawRoundedRect(QRectF(rect), tokens.radius.control, tokens.radius.control)
        name = _ICONS.get(hit.kind.lower(), hit.kind.lower() if hit.kind.lower() in PATHS else "right")
        paint_icon(painter, QRectF(rect.left() + 10, rect.center().y() - 10, 20, 20), name, tokens.ink_soft)
        small, body = QFontMetrics(font("small")), QFontMetrics(font("body"))
        kind_width = small.horizontalAdvance(hit.kind) + 4
        words = QRect(rect.left() + 42, rect.top() + 6, rect.width() - 62 - kind_width, body.height())
        left = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        right = Qt.TextElideMode.ElideRight
        painter.setFont(font("body"))
        painter.setPen(QColor(tokens.ink))
        painter.drawText(words, left, body.elidedText(hit.title, right, words.width()))
        painter.setFont(font("small"))
        painter.setPen(QColor(tokens.ink_soft))
        words = QRect(words.left(), words.bottom() + 2, words.width(), small.height())
        painter.drawText(words, left, small.elidedText(hit.detail, right, words.width()))
        painter.drawText(QRect(rect.right() - kind_width - 10, rect.top(), kind_width, rect.height()), left, hit.kind)
        painter.restore()
