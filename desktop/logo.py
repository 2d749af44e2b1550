"""A firm's logo read from a picture file: any shape, scaled down to what papers need, as PNG."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QSize, Qt
from PySide6.QtGui import QImageReader

from db.company_file.problems import Refused

LARGEST_BYTES = 20 * 1024 * 1024
_FORMATS = (b"png", b"jpeg")
_BOX = QSize(900, 324)  # pixels: the papers' box (150 x 54 points) at 432 dots an inch


def read_logo(source: Path) -> bytes:
    """The picture turned the right way up, at most as large as papers can use, as PNG bytes.

    Raises:
        Refused: it is no PNG or JPEG, larger than 20 MB, or cannot be read.
    """
    try:
        size = source.stat().st_size
    except OSError:
        raise Refused(f"{source.name} cannot be read.", "Check that it is still there.") from None
    if size > LARGEST_BYTES:
        raise Refused(f"{source.name} is {size / 2**20:.0f} MB.", "Choose a picture of at most 20 MB.")
    reader = QImageReader(str(source))
    reader.setDecideFormatFromContent(True)
    if reader.format().data() not in _FORMATS:
        raise Refused(f"{source.name} is not a PNG or JPEG picture.", "Save the logo as PNG or JPEG, then choose it.")
    reader.setAutoTransform(True)
    image = reader.read()
    if image.isNull():
        raise Refused(f"{source.name} could not be read: it is damaged or far too large.", "Save it again as PNG.")
    if image.width() > _BOX.width() or image.height() > _BOX.height():
        fitting = image.size().scaled(_BOX, Qt.AspectRatioMode.KeepAspectRatio).expandedTo(QSize(1, 1))
        image = image.scaled(
            fitting, Qt.AspectRatioMode.IgnoreAspectRatio, Qt.TransformationMode.SmoothTransformation
        )
    target = QBuffer()
    target.open(QIODevice.OpenModeFlag.WriteOnly)
    if not image.save(target, "PNG"):
        raise Refused(f"{source.name} could not be made ready for paper.", "Save it again as PNG.")
    return bytes(target.data().data())
