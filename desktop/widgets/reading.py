"""Parts of `fields`: how what is being typed was read, painted in grey beside it, and what is too little."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QLineEdit

from desktop.look.theme import current_tokens


def paint_reading(line: QLineEdit, reading: str, right: bool) -> None:
    """Paint the reading at the side where nothing stands, if there is room; right: the text stands at the right."""
    metrics = line.fontMetrics()
    typed, wide = metrics.horizontalAdvance(line.text()), metrics.horizontalAdvance(reading)
    room = line.width() - 20 - (26 if line.actions() else 0)
    if typed + wide + 14 > room:
        return
    painter = QPainter(line)
    painter.setPen(QColor(current_tokens().ink_faint))
    side = Qt.AlignmentFlag.AlignLeft if right else Qt.AlignmentFlag.AlignRight
    painter.drawText(QRect(10, 0, room, line.height()), side | Qt.AlignmentFlag.AlignVCenter, reading)
    painter.end()


def at_least(least: Any, shown: Callable[[Any], str]) -> Callable[[Any], str | None]:
    """Why a value is refused as less than this; nothing is where there is no least."""

    def check(value: Any) -> str | None:
        if least is None or value >= least:
            return None
        return "This cannot be less than nothing." if least == 0 else f"This has to be at least {shown(least)}."

    return check
