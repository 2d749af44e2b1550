"""The folder of photos and papers beside a company file: what is let in, under which name, and found again."""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from db.company_file.files import make_private_folder, sync_folder
from db.company_file.kept import kept_path
from db.company_file.places import photo_folder
from db.company_file.problems import Refused
from db.whole_picture import BrokenPicture, must_be_whole_picture

__all__ = ["LARGEST_BYTES", "KeptFile", "keep_paper", "keep_photo", "kept_path", "photo_folder", "plain_name"]

LARGEST_BYTES = 40 * 1024 * 1024
"""Larger than any phone's photo; a guard against picking a film or a disk image."""

_BEGINNINGS = (
    (b"\xff\xd8\xff", ".jpg"),
    (b"\x89PNG\r\n\x1a\n", ".png"),
    (b"GIF87a", ".gif"),
    (b"GIF89a", ".gif"),
)  # the signatures that ISO/IEC 10918-1, W3C PNG 5.2 and the GIF89a specification give; from memory


@dataclass(frozen=True, slots=True)
class KeptFile:
    """A file as it was copied in: its name in the folder, the sum of its bytes, how many they are."""

    name: str
    sha256: str
    size: int


def keep_photo(source: Path, folder: Path, prefix: str) -> str:
    """Copy a picture into the folder, readable by its owner alone, and return the name it got there.

    The name is made of the prefix and the content, so the same picture is never kept twice.

    Raises:
        Refused: see `db.commands.survey.add_photo`.
    """
    return _keep(source, folder, prefix, "a photo", _picture_suffix).name


def keep_paper(source: Path, folder: Path, prefix: str) -> KeptFile:
    """Copy a picture or a PDF (a laboratory's report, a bill) into the folder under a name of our own.

    Raises:
        Refused: neither, empty, too large, or it cannot be read or copied.
    """
    return _keep(source, folder, prefix, "a report or a bill", _paper_suffix)


def plain_name(source: Path) -> str:
    """The last part of a file's name, whichever system wrote it, without control characters."""
    last = re.split(r"[\\/]", source.name)[-1]
    return "".join(letter for letter in last if letter.isprintable())[-120:].strip() or "file"


def _keep(source: Path, folder: Path, prefix: str, what: str, suffix: Callable[[str, bytes], str]) -> KeptFile:
    called = plain_name(source)
    try:
        size = source.stat().st_size
        if source.is_dir() or size > LARGEST_BYTES or size == 0:
            raise Refused(_wrong_size(source, called, size, what))
        content = source.read_bytes()
    except (OSError, ValueError) as error:
        raise Refused(f"{called} cannot be read.", "Check that it is still there and not open elsewhere.") from error
    digest = hashlib.sha256(content).hexdigest()
    stem = re.sub(r"[^A-Za-z0-9-]", "", prefix).lstrip("-") or "file"
    name = f"{stem}-{digest[:12]}{suffix(called, content)}"
    try:
        _write(folder, name, content)
    except OSError as error:
        raise Refused(
            f"{called} could not be copied beside the firm's file.", "Check the free space and try again."
        ) from error
    return KeptFile(name, digest, len(content))


def _wrong_size(source: Path, called: str, size: int, what: str) -> str:
    if source.is_dir():
        return f"{called} is a folder. Choose the files in it."
    if size == 0:
        return f"{called} is empty. The copy may have been cut short."
    return f"{called} is {size // 2**20} MB, more than {what} needs. Choose a file under 40 MB."


def _picture_suffix(called: str, content: bytes) -> str:
    for beginning, suffix in _BEGINNINGS:
        if content.startswith(beginning):
            must_be_whole_picture(called, content)
            return suffix
    if content[4:8] == b"ftyp":
        raise Refused(
            f"{called} is in a phone's own picture or film format, such as HEIC.",
            "Save it as JPEG first, then add it: open it on the phone or computer and export or share it as JPEG, or"
            " set the phone's camera to take JPEG from now on (often called “most compatible”).",
        )
    raise Refused(f"{called} is not a picture this program can show.", "JPEG, PNG and GIF can be added.")


def _paper_suffix(called: str, content: bytes) -> str:
    if content.startswith(b"%PDF-"):
        return ".pdf"
    try:
        return _picture_suffix(called, content)
    except BrokenPicture:
        raise
    except Refused as refusal:
        raise Refused(refusal.message, "PDF, JPEG, PNG and GIF can be added.") from None


def _write(folder: Path, name: str, content: bytes) -> None:
    make_private_folder(folder)
    if (folder / name).exists():
        return
    half_written = folder / f".{name}.part"
    handle = os.open(half_written, os.O_WRONLY | os.O_CREAT | os.O_TRUNC | getattr(os, "O_NOFOLLOW", 0), 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    os.replace(half_written, folder / name)
    sync_folder(folder)
