"""Icons that take their colour from the tokens in force and change with them.

    button.setIcon(icon("plus"))
    primary.setIcon(icon("check", tone="on_accent"))

`names()` lists what there is. An icon is drawn afresh for each size and scale, so it is sharp everywhere.
"""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import QByteArray, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QIcon, QIconEngine, QPainter, QPixmap

from desktop.look.icon_paths import PATHS
from desktop.look.theme import current_tokens

_FRAME = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 24 24"><g fill="none" stroke="C" stroke-width="1.7" '
    'stroke-linecap="round" stroke-linejoin="round">{}</g></svg>'
)


def names() -> list[str]:
    """All icon names, sorted."""
    return sorted(PATHS)


def icon(name: str, size: int = 18, tone: str = "ink_soft") -> QIcon:
    """The icon `name`, coloured by the token `tone`; raises KeyError for an unknown name or token."""
    if name not in PATHS:
        raise KeyError(f"no icon is called {name!r}")
    getattr(current_tokens(), tone)
    return QIcon(_Strokes(name, size, tone))


def paint_icon(painter: QPainter, rect: QRect | QRectF, name: str, colour: str) -> None:
    """Draw an icon in a plain colour, for delegates and painted widgets."""
    _renderer(name, colour).render(painter, QRectF(rect))


@lru_cache(maxsize=512)
def _renderer(name: str, colour: str):  # type: ignore[no-untyped-def]  # QSvgRenderer, imported late
    from PySide6.QtSvg import QSvgRenderer

    return QSvgRenderer(QByteArray(_FRAME.format(PATHS[name]).replace('"C"', f'"{colour}"').encode()))


class _Strokes(QIconEngine):
    """Draws one icon in the token's colour of the moment."""

    def __init__(self, name: str, size: int, tone: str) -> None:
        super().__init__()
        self._name, self._size, self._tone = name, size, tone

    def paint(self, painter: QPainter, rect: QRect, mode: QIcon.Mode, state: QIcon.State) -> None:
        tone = "ink_faint" if mode == QIcon.Mode.Disabled else self._tone
        edge = min(rect.width(), rect.height())
        square = QRectF(0, 0, edge, edge)
        square.moveCenter(QRectF(rect).center())
        if rect.width() > rect.height():
            square.moveLeft(rect.left())  # the room at the right keeps the words of a button at a distance
        paint_icon(painter, square, self._name, getattr(current_tokens(), tone))

    def pixmap(self, size: QSize, mode: QIcon.Mode, state: QIcon.State) -> QPixmap:
        made = QPixmap(size)
        made.fill(Qt.GlobalColor.transparent)
        painter = QPainter(made)
        self.paint(painter, QRect(0, 0, size.width(), size.height()), mode, state)
        painter.end()
        return made

    def actualSize(self, size: QSize, mode: QIcon.Mode, state: QIcon.State) -> QSize:
        return size.boundedTo(QSize(self._size, self._size)) if size.isValid() else QSize(self._size, self._size)

    def clone(self) -> QIconEngine:
        return _Strokes(self._name, self._size, self._tone)
