"""A small firm with two photos, a laboratory's report and a bill, for the tests of whole backups."""

from __future__ import annotations

import shutil
import struct
import zlib
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from db.commands.attachments import attach_report
from db.commands.survey import add_photo, add_radon_test
from db.company_file import create_company, photo_folder, sealed
from db.company_file.company import Company
from tests.small_company import TODAY, OneJob, add_one_job


def png(shade: int = 120, side: int = 8) -> bytes:
    """A grey PNG, whole: signature, head, one block of pixels, end (W3C PNG 5.2 to 11, from memory)."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    rows = b"".join(b"\0" + bytes([shade]) * side for _ in range(side))
    head = struct.pack(">IIBBBBB", side, side, 8, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")
    )


@dataclass(frozen=True)
class WholeFirm:
    """The closed firm: its file, its job, the bytes of what lies in its folder by name."""

    path: Path
    job: OneJob
    papers: dict[str, bytes]


@cache
def _original() -> tuple[WholeFirm, TemporaryDirectory[str]]:
    folder = TemporaryDirectory()
    path = Path(folder.name) / "original.riserbook"
    with create_company(path, "Quarry Lane Radon", "Ada Quill", TODAY) as company:
        kept = add_one_job(company)
        add_papers(company, kept.job_id, path.parent, 120, 200)
    return WholeFirm(path, kept, papers_of(path)), folder


def whole_firm(folder: Path, name: str = "Quarry Lane.riserbook") -> WholeFirm:
    """A copy of it, made once in a run."""
    original, path = _original()[0], folder / name
    shutil.copy2(original.path, path)
    shutil.copytree(photo_folder(original.path), photo_folder(path))
    return WholeFirm(path, original.job, original.papers)


def quick_passwords(patch: pytest.MonkeyPatch) -> None:
    """The least that Argon2id takes, so that a test does not wait for what is meant to be slow."""
    patch.setattr(sealed, "OPERATIONS", 1)
    patch.setattr(sealed, "MEMORY", 1 << 20)


def add_papers(company: Company, job_id: int, folder: Path, *shades: int) -> None:
    """Photos of these shades, and for each a report of its own."""
    photos = photo_folder(company.path)
    for shade in shades:
        picture, report = folder / f"from the phone {shade}.png", folder / f"report {shade}.pdf"
        picture.write_bytes(png(shade))
        report.write_bytes(b"%%PDF-1.4 a laboratory's report, %d\n%%%%EOF\n" % shade)
        with company.action("Add a photo and a report") as edit:
            add_photo(edit, job_id, picture, photos, TODAY)
            test = add_radon_test(edit, job_id, "before", "charcoal", Decimal("6.1"), TODAY)
            attach_report(edit, test, report, photos, TODAY)
        picture.unlink()
        report.unlink()


def papers_of(path: Path) -> dict[str, bytes]:
    """What lies in the folder of photos and papers."""
    folder = photo_folder(path)
    return {entry.name: entry.read_bytes() for entry in folder.iterdir()} if folder.is_dir() else {}
