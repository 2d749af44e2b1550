"""Type: the faces, sizes and tabular figures of the program."""

from __future__ import annotations

import sys
from functools import lru_cache
from typing import Literal

from PySide6.QtGui import QFont, QFontMetrics

from desktop.look.tokens import TypeSize

Role = Literal["body", "strong", "small", "small_strong", "section", "title", "figure"]

#: Faces are asked for in this order; the first one the system has is used.
TEXT_FACES = ["Segoe UI", ".AppleSystemUIFont", "Helvetica Neue", "Inter", "Noto Sans", "Cantarell", "DejaVu Sans"]
TITLE_FACES = ["Sitka Heading", "Charter", "Source Serif 4", "Noto Serif", "Cambria", "DejaVu Serif"]

_SIZES = TypeSize()
_POINTS: dict[str, float] = {
    "body": _SIZES.body,
    "strong": _SIZES.body,
    "small": _SIZES.small,
    "small_strong": _SIZES.small,
    "section": _SIZES.section,
    "title": _SIZES.title,
    "figure": _SIZES.figure,
}


def points(size: float) -> float:
    """Turn a size in points at 96 dpi into the points of this system (macOS counts 72 to the inch)."""
    return round(size * 96 / 72, 1) if sys.platform == "darwin" else size


def font(role: Role = "body") -> QFont:
    """The font of a role; figures are tabular in every one so that columns of numbers line up."""
    return QFont(face(role)[0])


@lru_cache(maxsize=16)
def face(role: Role = "body") -> tuple[QFont, QFontMetrics]:
    """Font and metrics of a role, made once: for delegates, which paint many cells. Not to be changed."""
    made = QFont()
    made.setFamilies(TITLE_FACES if role == "title" else TEXT_FACES)
    made.setPointSizeF(points(_POINTS[role]))
    if role in ("strong", "small_strong", "section", "figure"):
        made.setWeight(QFont.Weight.DemiBold)
    made.setFeature(QFont.Tag("tnum"), 1)
    made.setFeature(QFont.Tag("lnum"), 1)
    return made, QFontMetrics(made)
