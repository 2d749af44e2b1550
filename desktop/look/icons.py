"""Icons that take their colour from the tokens in force and change with them.

    button.setIcon(icon("plus"))
    primary.setIcon(icon("check", tone="on_accent"))

`names()` lists what there is. When the theme changes, every widget and action that holds such an icon gets it anew;
models and painted widgets use `paint_icon` with a colour of `current_tokens()`.
"""

from __future__ import annotations

import math
from functools import lru_cache

from PySide6.QtCore import QByteArray, QRect, QRectF, Qt
from PySide6.QtGui import QAction, QGuiApplication, QIcon, QPainter, QPixmap
from PySide6.QtWidgets import QAbstractButton, QApplication, QWidget

from desktop.look.icon_paths import PATHS
from desktop.look.theme import current_tokens, theme_changed
from desktop.look.tokens import Tokens

#: what a QIcon shows, by its cache key, so that it can be drawn again in other colours
_known: dict[int, tuple[str, int, str, int]] = {}

_FRAME = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 24 24"><g fill="none" stroke="C" stroke-width="1.7" '
    'stroke-linecap="round" stroke-linejoin="round">{}</g></svg>'
)


def names() -> list[str]:
    """All icon names, sorted."""
    return sorted(PATHS)


def icon(name: str, size: int = 18, tone: str = "ink_soft", gap: int = 0) -> QIcon:
    """The icon `name` in the colour of the token `tone`, `gap` pixels of room at its right.

    Raises KeyError for an unknown name, AttributeError for an unknown token.
    """
    if name not in PATHS:
        raise KeyError(f"no icon is called {name!r}")
    made = _drawn(name, size, tone, gap, current_tokens())
    _known[made.cacheKey()] = (name, size, tone, gap)
    return made


def paint_icon(painter: QPainter, rect: QRect | QRectF, name: str, colour: str) -> None:
    """Draw an icon in a plain colour, for delegates and painted widgets."""
    _renderer(name, colour).render(painter, QRectF(rect))


@lru_cache(maxsize=512)
def _renderer(name: str, colour: str):  # type: ignore[no-untyped-def]  # QSvgRenderer, imported late
    from PySide6.QtSvg import QSvgRenderer

    return QSvgRenderer(QByteArray(_FRAME.format(PATHS[name]).replace('"C"', f'"{colour}"').encode()))


@lru_cache(maxsize=512)
def _drawn(name: str, size: int, tone: str, gap: int, tokens: Tokens) -> QIcon:
    made = QIcon()
    app = QGuiApplication.instance()
    sharpest = math.ceil(app.devicePixelRatio()) if isinstance(app, QGuiApplication) else 1
    for scale in sorted({1, sharpest}):
        for mode, colour in (
            (QIcon.Mode.Normal, getattr(tokens, tone)),
            (QIcon.Mode.Disabled, tokens.line_strong),
        ):
            picture = QPixmap((size + gap) * scale, size * scale)
            picture.fill(Qt.GlobalColor.transparent)
            painter = QPainter(picture)
            paint_icon(painter, QRectF(0, 0, size * scale, size * scale), name, colour)
            painter.end()
            picture.setDevicePixelRatio(scale)
            made.addPixmap(picture, mode)
            if mode == QIcon.Mode.Normal:
                made.addPixmap(picture, QIcon.Mode.Selected)
                made.addPixmap(picture, QIcon.Mode.Active)
    return made


def _recolour(_tokens: Tokens) -> None:
    """After a change of theme: give every widget and action the icon it had, in the new colours."""
    app = QApplication.instance()
    holders: dict[int, QAbstractButton | QAction] = {}
    for widget in app.allWidgets() if isinstance(app, QApplication) else []:
        for holder in (widget, *QWidget.actions(widget)):
            if isinstance(holder, QAbstractButton | QAction):
                holders[id(holder)] = holder
    for holder in holders.values():
        known = _known.get(holder.icon().cacheKey())
        if known:
            holder.setIcon(icon(*known))


theme_changed.connect(_recolour)
