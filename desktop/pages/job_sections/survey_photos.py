"""Photos of a job: thumbnails with a caption each; added by file, opened in the system's own viewer."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QSize, Qt, QUrl
from PySide6.QtGui import QDesktopServices, QIcon, QImage, QImageReader, QPixmap
from PySide6.QtWidgets import QFileDialog, QFrame, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from db.commands.survey import add_photo, caption_photo, remove_photo
from db.photo_folder import kept_path, photo_folder
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import FlowLayout, Notice, label, tool_button
from desktop.widgets.form import TextField
from domain.jobs import Photo

THUMBNAIL = QSize(212, 150)


def thumbnail(path: Path) -> QImage:
    """The picture turned the right way up and no larger than a thumbnail; a null image when it cannot be read."""
    reader = QImageReader(str(path))
    reader.setAutoTransform(True)
    size = reader.size()
    if size.isValid():
        reader.setScaledSize(size.scaled(THUMBNAIL * 2, Qt.AspectRatioMode.KeepAspectRatio))
    return reader.read()


class PhotoTile(QFrame):
    """One photo."""

    def __init__(self, desk: Desk, saver: Autosave, record: Photo) -> None:
        super().__init__()
        self._saver = saver
        self._path = kept_path(photo_folder(desk.company.path), record.file_name)
        self.picture = QPushButton()
        self.picture.setProperty("kind", "quiet")
        self.picture.setIconSize(THUMBNAIL)
        self.picture.setFixedSize(THUMBNAIL + QSize(12, 12))
        set_tip(self.picture, f"{record.original_name}: opens large")
        self.picture.clicked.connect(self._open)
        self.caption = TextField("what it shows")
        saver.bind(
            self.caption, "Caption a photo", lambda edit, words: caption_photo(edit, record.id, words),
            lambda: ("photo", record.id),
        )  # fmt: skip
        remove = tool_button("trash", f"Remove photo {record.original_name}", lambda: desk.do(
            "Remove a photo", lambda edit: remove_photo(edit, record.id), say="Photo removed", undo=True
        ))  # fmt: skip
        line = QHBoxLayout()
        line.setSpacing(4)
        line.addWidget(self.caption, 1)
        line.addWidget(remove)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(self.picture)
        column.addLayout(line)
        self.setFixedWidth(THUMBNAIL.width() + 14)
        self._load(desk)

    def _open(self) -> None:
        if self._path is not None:
            QDesktopServices.openUrl(QUrl.fromLocalFile(str(self._path)))

    def _load(self, desk: Desk) -> None:
        path = self._path

        def show(image: QImage) -> None:
            if image.isNull():
                gone, changed = "is not\nin the photo folder.", "changed on\nthe disk: see Safe keeping."
                self.picture.setText(f"The picture {gone if path is None else changed}")
            else:
                self.picture.setIcon(QIcon(QPixmap.fromImage(image)))

        if path is None:
            show(QImage())
        else:
            desk.background(lambda: thumbnail(path), _while_alive(self, show))

    def show_record(self, record: Photo) -> None:
        """Show what is kept."""
        words = record.caption or record.original_name
        self.picture.setAccessibleName(f"Photo: {words}")
        self.caption.setAccessibleName(f"Caption of {record.original_name}")
        self._saver.show(self.caption, record.caption)


def _while_alive(widget: QWidget, work: object) -> object:
    """The call, unless the widget is gone by the time the picture is read."""
    from shiboken6 import isValid

    return lambda result: work(result) if isValid(widget) else None  # type: ignore[operator]


class PhotoStrip(QWidget):
    """All photos of a job, wrapping like words."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk, self._saver, self._job_id = desk, Autosave(desk), 0
        self.tiles: dict[int, PhotoTile] = {}
        self.refused = Notice("caution")
        self.none_yet = label(
            "No photo yet. The old suction point, the route, the outlet: they save a second trip.", wrap=True
        )
        self.none_yet.setProperty("tone", "soft")
        self._place = QWidget()
        self._flow = FlowLayout(self._place, spacing=14)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        for part in (self.none_yet, self.refused, self._place):
            column.addWidget(part)

    def show_photos(self, job_id: int, photos: list[Photo]) -> None:
        """Show the photos of a job."""
        if job_id != self._job_id:
            self._job_id = job_id
            self.refused.set_words("caution", "")
        for gone in [key for key in self.tiles if key not in {photo.id for photo in photos}]:
            tile = self.tiles.pop(gone)
            self._flow.removeWidget(tile)
            tile.hide()
            tile.deleteLater()
        for photo in photos:
            if photo.id not in self.tiles:
                tile = self.tiles[photo.id] = PhotoTile(self._desk, self._saver, photo)
                self._flow.addWidget(tile)
            self.tiles[photo.id].show_record(photo)
        self.none_yet.setVisible(not photos)
        self._place.setVisible(bool(photos))

    def ask(self) -> None:
        """Let the owner choose files."""
        names, _ = QFileDialog.getOpenFileNames(
            self, "Add photos", "", "Pictures (*.jpg *.jpeg *.png *.gif);;All files (*)"
        )
        self.add_files(names)

    def add_files(self, names: Sequence[str]) -> None:
        """Add pictures; those that cannot be added are named with the reason."""
        folder, today = photo_folder(self._desk.company.path), self._desk.today()
        reasons = []
        for name in names:
            source = Path(name)
            reason = self._saver.refusal(
                f"Add photo {source.name}",
                lambda edit, source=source: add_photo(edit, self._job_id, source, folder, today),
            )
            if reason:
                reasons.append(reason)
        self.refused.set_words("caution", "\n".join(reasons))
