"""Photos made small enough for a paper: turned the right way up, scaled, kept as JPEG within a share of the room."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, Qt
from PySide6.QtGui import QColor, QImage, QImageReader, QPainter

ROOM = 3_400_000
"""Bytes for all photos of one paper, before the PDF writes them as text, which takes a quarter more."""

MOST = 240_000
_STEPS = ((1300, 82), (1100, 74), (900, 66), (760, 56), (600, 46), (460, 38), (320, 30))
_LARGEST_SIDE = 20_000


def small_jpegs(paths: Sequence[Path | None]) -> list[bytes | None]:
    """Each picture as JPEG within its share of the room; None where there is none or it cannot be read."""
    share = min(MOST, ROOM // max(len(paths), 1))
    return [small_jpeg(path, share) if path is not None else None for path in paths]


def small_jpeg(path: Path, most: int = MOST) -> bytes | None:
    """One picture as a JPEG of at most so many bytes, or as near as its smallest form comes."""
    reader = QImageReader(str(path))
    reader.setAutoTransform(True)
    reader.setDecideFormatFromContent(True)
    size = reader.size()
    if not size.isValid() or max(size.width(), size.height()) > _LARGEST_SIDE:
        return None
    side = _STEPS[0][0]
    if max(size.width(), size.height()) > side:
        reader.setScaledSize(size.scaled(side, side, Qt.AspectRatioMode.KeepAspectRatio))
    image = reader.read()
    if image.isNull():
        return None
    image = _on_white(image)
    made = b""
    for side, quality in _STEPS:
        made = _jpeg(image, side, quality)
        if made and len(made) <= most:
            break
    return made or None


def _on_white(image: QImage) -> QImage:
    """JPEG knows no transparency: what can be seen through is white on paper."""
    plain = QImage(image.size(), QImage.Format.Format_RGB32)
    plain.fill(QColor("white"))
    painter = QPainter(plain)
    painter.drawImage(0, 0, image)
    painter.end()
    return plain


def _jpeg(image: QImage, side: int, quality: int) -> bytes:
    if max(image.width(), image.height()) > side:
        image = image.scaled(
            side, side, Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
        )
    held = QByteArray()
    buffer = QBuffer(held)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(buffer, "JPEG", quality)
    return bytes(held.data())
