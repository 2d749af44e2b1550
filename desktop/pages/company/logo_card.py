"""The firm's logo as papers will show it: chosen from a file, changed, taken away."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QImage, QPixmap
from PySide6.QtWidgets import QFileDialog, QLabel

from db.commands.logo import remove_logo, set_logo
from desktop.desk import Desk
from desktop.logo import read_logo
from desktop.pages.autosave import Autosave
from desktop.widgets.cards import Card, Notice, button, row

_SHOWN = QSize(300, 108)


class LogoCard(Card):
    """Choose and remove; what is shown is what is kept in the company file."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("Logo on papers", "PNG or JPEG, any shape, up to 20 MB")
        self._saver = Autosave(desk)
        self.picture = QLabel()
        self.picture.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        self.choose = button(
            "Choose a picture", self._ask, "plain", "plus",
            "It is copied into the firm's file; the original is left alone. Papers already issued stay as they are.",
        )  # fmt: skip
        self.remove = button("Remove", self._remove, "quiet", "trash", "Papers made from now on have no logo")
        self.refused = Notice("caution")
        self.add(self.picture)
        self.add(row(self.choose, self.remove, None))
        self.add(self.refused)

    def show_logo(self, picture: bytes | None) -> None:
        """Show what is kept."""
        self.remove.setVisible(picture is not None)
        image = QImage.fromData(picture) if picture else QImage()
        if image.isNull():
            self.picture.setText("No logo yet: the firm's name alone heads the papers.")
            self.picture.setAccessibleName("No logo")
            return
        ratio = self.devicePixelRatioF()
        scaled = image.scaled(
            _SHOWN * ratio, Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
        )
        pixmap = QPixmap.fromImage(_on_white(scaled))
        pixmap.setDevicePixelRatio(ratio)
        self.picture.setPixmap(pixmap)
        self.picture.setAccessibleName("The logo as papers show it")

    def take(self, source: Path) -> None:
        """Keep the picture of this file, or say why not."""
        self.refused.set_words(
            "caution",
            self._saver.refusal("Change the logo", lambda edit: set_logo(edit, read_logo(source)),
                                say="The logo stands on papers from now on", undo=True),
        )  # fmt: skip

    def _ask(self) -> None:
        name, _ = QFileDialog.getOpenFileName(
            self, "Choose a logo", "", "Pictures (*.png *.jpg *.jpeg);;All files (*)"
        )
        if name:
            self.take(Path(name))

    def _remove(self) -> None:
        self.refused.set_words("caution", "")
        self._saver.do("Remove the logo", remove_logo, say="The logo is removed", undo=True)


def _on_white(image: QImage) -> QImage:
    """The picture as on paper: what is see-through is white there, in a dark window too."""
    from PySide6.QtGui import QPainter

    paper = QImage(image.size(), QImage.Format.Format_RGB32)
    paper.fill(Qt.GlobalColor.white)
    painter = QPainter(paper)
    painter.drawImage(0, 0, image)
    painter.end()
    return paper
