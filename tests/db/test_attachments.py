"""Papers of others are copied in under our own names, and a stored name never leads out of the company's folder."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from pathlib import Path

import pytest

from db import tables
from db.commands.attachments import add_attachment
from db.company_file.company import Company
from db.company_file.problems import Refused
from db.photo_folder import LARGEST_BYTES, kept_path, photo_folder, plain_name
from tests.small_company import TODAY, empty_company

PDF = b"%PDF-1.4 a laboratory's report"


@pytest.fixture
def company(tmp_path: Path) -> Iterator[Company]:
    made = empty_company(tmp_path / "Heron Hill.riserbook")
    yield made
    made.close()


def add(company: Company, source: Path) -> int:
    with company.action("Attach") as edit:
        return add_attachment(edit, source, photo_folder(company.path), TODAY)


def stored_names(company: Company) -> list[str]:
    with company.read() as conn:
        return [row.file_name for row in conn.execute(tables.attachment.select())]


def test_a_paper_is_copied_under_our_own_name_readable_by_its_owner_alone(company: Company, tmp_path: Path) -> None:
    source = tmp_path / "../weird name; rm -rf.PDF"
    source = tmp_path / "weird name; rm -rf.PDF"
    source.write_bytes(PDF)
    first = add(company, source)
    (name,) = stored_names(company)
    assert name.startswith("paper-")
    assert name.endswith(".pdf")
    copy = kept_path(photo_folder(company.path), name)
    assert copy is not None
    assert copy.read_bytes() == PDF
    if os.name == "posix":
        assert stat.S_IMODE(copy.stat().st_mode) == 0o600
    assert source.read_bytes() == PDF
    again = tmp_path / "the same again.pdf"
    again.write_bytes(PDF)
    assert add(company, again) == first


def test_undo_takes_it_away_and_redo_finds_it(company: Company, tmp_path: Path) -> None:
    source = tmp_path / "report.pdf"
    source.write_bytes(PDF)
    add(company, source)
    (name,) = stored_names(company)
    company.undo()
    assert stored_names(company) == []
    company.redo()
    assert stored_names(company) == [name]
    assert kept_path(photo_folder(company.path), name) is not None


def test_what_is_no_paper_is_refused_kindly_and_nothing_is_copied(company: Company, tmp_path: Path) -> None:
    huge, empty, words = tmp_path / "huge.pdf", tmp_path / "empty.pdf", tmp_path / "report.pdf"
    with huge.open("wb") as file:
        file.truncate(LARGEST_BYTES + 1)
    empty.write_bytes(b"")
    words.write_bytes(b"just words that call themselves a PDF")
    phone = tmp_path / "IMG_1.HEIC"
    phone.write_bytes(b"\0\0\0\x18ftypheic")
    for source, said in (
        (huge, "under 40 MB"), (empty, "is empty"), (words, "PDF, JPEG, PNG and GIF can be added"),
        (phone, "phone's own"), (tmp_path, "is a folder"), (tmp_path / "gone.pdf", "cannot be read"),
        (Path("a\0b.pdf"), "cannot be read"),
    ):  # fmt: skip
        with pytest.raises(Refused, match=said):
            add(company, source)
    assert stored_names(company) == []
    assert not photo_folder(company.path).exists()


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("C:\\Users\\ada\\Desktop\\report.pdf", "report.pdf"),
        ("..\\..\\report.pdf", "report.pdf"),
        ("report\n\x1b[31m.pdf", "report[31m.pdf"),
        ("Ünï­côde.pdf", "Ünïcôde.pdf"),
        ("a" * 300 + ".pdf", "a" * 116 + ".pdf"),
    ],
)
def test_a_file_name_of_another_system_is_shown_plain(name: str, shown: str) -> None:
    assert plain_name(Path(name)) == shown


@pytest.mark.parametrize(
    "name",
    ["../secret.txt", "/etc/hostname", "..", ".", "", ".hidden", "a/b.pdf", "a\\b.pdf", "C:x.pdf", "a\0.pdf", "-x.pdf",
     "con\n.pdf"],
)  # fmt: skip
def test_a_tampered_name_leads_nowhere(tmp_path: Path, name: str) -> None:
    folder = tmp_path / "photos"
    folder.mkdir()
    (tmp_path / "secret.txt").write_text("secret")
    assert kept_path(folder, name) is None


def test_a_link_out_of_the_folder_is_not_followed(tmp_path: Path) -> None:
    folder = tmp_path / "photos"
    folder.mkdir()
    (tmp_path / "secret.txt").write_text("secret")
    (folder / "link.txt").symlink_to(tmp_path / "secret.txt")
    (folder / "own.txt").write_text("own")
    assert kept_path(folder, "link.txt") is None
    assert kept_path(folder, "own.txt") == folder / "own.txt"
    assert kept_path(folder, "gone.txt") is None
