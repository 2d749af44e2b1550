"""The folder of photos beside a company file: what is let in, and under which name."""

from __future__ import annotations

import hashlib
import os
import re
from pathlib import Path

from db.company_file.places import photo_folder
from db.company_file.problems import Refused

__all__ = ["LARGEST_BYTES", "keep_photo", "photo_folder"]

LARGEST_BYTES = 40 * 1024 * 1024
"""Larger than any phone's photo; a guard against picking a film or a disk image."""

_BEGINNINGS = (
    (b"\xff\xd8\xff", ".jpg"),
    (b"\x89PNG\r\n\x1a\n", ".png"),
    (b"GIF87a", ".gif"),
    (b"GIF89a", ".gif"),
)  # the signatures that ISO/IEC 10918-1, W3C PNG 5.2 and the GIF89a specification give; from memory


def keep_photo(source: Path, folder: Path, prefix: str) -> str:
    """Copy a picture into the folder, readable by its owner alone, and return the name it got there.

    The name is made of the prefix and the content, so the same picture is never kept twice.

    Raises:
        Refused: see `db.commands.survey.add_photo`.
    """
    try:
        size = source.stat().st_size
        if source.is_dir() or size > LARGEST_BYTES or size == 0:
            raise Refused(_wrong_size(source, size))
        content = source.read_bytes()
    except OSError as error:
        raise Refused(
            f"{source.name} cannot be read.", "Check that it is still there and not open elsewhere."
        ) from error
    stem = f"{re.sub(r'[^A-Za-z0-9-]', '', prefix)}-{hashlib.sha256(content).hexdigest()[:12]}"
    name = stem + _suffix(source, content)
    try:
        _write(folder, name, content)
    except OSError as error:
        raise Refused(
            f"{source.name} could not be copied beside the company file.", "Check the free space and try again."
        ) from error
    return name


def _wrong_size(source: Path, size: int) -> str:
    if source.is_dir():
        return f"{source.name} is a folder. Choose the pictures in it."
    if size == 0:
        return f"{source.name} is empty. The copy from the camera may have been cut short."
    return f"{source.name} is {size // 2**20} MB, more than a photo needs. Choose a picture under 40 MB."


def _suffix(source: Path, content: bytes) -> str:
    for beginning, suffix in _BEGINNINGS:
        if content.startswith(beginning):
            return suffix
    if content[4:8] == b"ftyp":
        raise Refused(
            f"{source.name} is in a phone's own picture or film format.", "Save it as JPEG first, then add it."
        )
    raise Refused(f"{source.name} is not a picture this program can show.", "JPEG, PNG and GIF can be added.")


def _write(folder: Path, name: str, content: bytes) -> None:
    folder.mkdir(mode=0o700, exist_ok=True)
    if (folder / name).exists():
        return
    half_written = folder / f".{name}.part"
    handle = os.open(half_written, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    os.replace(half_written, folder / name)
