"""Price files made to hold the program up, or broken on the way: each ends soon, in little room, and in words."""

from __future__ import annotations

import time
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from openpyxl import Workbook

from db.company_file.problems import Refused
from db.price_file import PriceFile, read_price_file
from db.price_limits import LARGEST_PART, Watch

try:
    import resource
except ImportError:  # not on this system
    resource = None  # type: ignore[assignment]

MOST_SECONDS, MOST_BYTES = 8.0, 500_000_000
"""Of processor time, and of room beyond what was held before."""
MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
ROWS = "".join(
    f'<row r="{n}"><c r="A{n}" t="inlineStr"><is><t>{code}</t></is></c>'
    f'<c r="B{n}" t="inlineStr"><is><t>{price}</t></is></c></row>'
    for n, (code, price) in enumerate((("Code", "Price"), ("P3", "2.68"), ("P4", "3.62")), 1)
)


def plain_book(folder: Path) -> Path:
    book = Workbook()
    for row in (["Code", "Name", "Price", "Unit"], ["P3", "Pipe 3 in", 2.68, "ft"], ["P4", "Pipe 4 in", 3.62, "ft"]):
        book.active.append(row)
    book.save(folder / "prices.xlsx")
    return folder / "prices.xlsx"


def with_parts(path: Path, parts: dict[str, bytes | str]) -> Path:
    """The workbook with some parts put in place of its own, or beside them."""
    with zipfile.ZipFile(path) as packed:
        kept = {name: packed.read(name) for name in packed.namelist()}
    made = path.with_name("made.xlsx")
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in {**kept, **parts}.items():
            packed.writestr(name, content)
    return made


def sheet(inside: str = ROWS, after: str = "", before: str = "") -> dict[str, bytes | str]:
    head = '<?xml version="1.0" encoding="UTF-8"?>'
    whole = f"{head}{before}<worksheet {MAIN}><sheetData>{inside}</sheetData>{after}</worksheet>"
    return {"xl/worksheets/sheet1.xml": whole}


def bounded(work: Callable[[], PriceFile]) -> PriceFile | Refused:
    """What came of it; it may neither take long nor much room, and no other error may leave."""
    begun, room = time.process_time(), most_room()
    try:
        found: PriceFile | Refused = work()
    except Refused as refusal:
        found = refusal
    assert time.process_time() - begun < MOST_SECONDS
    assert most_room() - room < MOST_BYTES
    assert isinstance(found, PriceFile) or found.advice
    return found


def most_room() -> int:
    """Bytes this process held at most until now; 0 where the system does not say."""
    if resource is None:
        return 0
    return int(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss) * 1024


def test_a_merge_to_the_last_cell_is_read_at_once(tmp_path: Path) -> None:
    made = with_parts(plain_book(tmp_path), sheet(after='<mergeCells><mergeCell ref="C2:XFD1048576"/></mergeCells>'))
    assert made.stat().st_size < 10_000
    found = bounded(lambda: read_price_file(made))
    assert isinstance(found, PriceFile)
    assert [row.cells[:2] for row in found.rows] == [("Code", "Price"), ("P3", "2.68"), ("P4", "3.62")]


@pytest.mark.parametrize("cell", ["A1048576", "XFD4", "XFD1048576"])
def test_a_cell_in_the_last_row_or_column_is_read_at_once(tmp_path: Path, cell: str) -> None:
    number = cell.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    last = f'<row r="{number}"><c r="{cell}"><v>5</v></c></row>'
    found = bounded(lambda: read_price_file(with_parts(plain_book(tmp_path), sheet(ROWS + last))))
    assert isinstance(found, PriceFile)
    assert len(found.rows) == (4 if cell.startswith("A1") else 3)


@pytest.mark.parametrize(
    "inside",
    [
        "<row/>" * 210_000,
        '<row r="99999999999"><c><v>1</v></c></row>',
        '<row r="1"><c r="A1" t="s"><v>99999</v></c></row>',
        '<row r="1"><c r="A1"><v>' + "9" * 100_000 + "</v></c></row>",
        '<row r="1">' + "<c><v>1</v></c>" * 60_000 + "</row>",
        "<x>" * 50_000 + "</x>" * 50_000,
        " " * (LARGEST_PART + 1),
        '<row r="1"><c r="A1" t="d"><v>not a day</v></c></row>',
        '<row r="1"><c r="A0"><v>1</v></c></row>',
    ],
    ids=["rows", "row number", "string", "digits", "cells", "deep", "bomb", "day", "cell"],
)
def test_a_sheet_made_to_be_endless_ends(tmp_path: Path, inside: str) -> None:
    bounded(lambda: read_price_file(with_parts(plain_book(tmp_path), sheet(inside))))


def test_many_merged_areas_over_the_same_rows_end(tmp_path: Path) -> None:
    areas = "".join(f'<mergeCell ref="A1:XFD{n}"/>' for n in range(2, 8_000))
    bounded(lambda: read_price_file(with_parts(plain_book(tmp_path), sheet(after=f"<mergeCells>{areas}</mergeCells>"))))


@pytest.mark.parametrize("part", ["xl/sharedStrings.xml", "xl/styles.xml", "xl/workbook.xml", "[Content_Types].xml"])
def test_no_part_of_a_workbook_is_unpacked_without_end(tmp_path: Path, part: str) -> None:
    book = plain_book(tmp_path)
    with zipfile.ZipFile(book) as packed:
        kinds = packed.read("[Content_Types].xml").replace(b"</Types>", STRINGS + b"</Types>")
    bomb = b"<a>" + b" " * (LARGEST_PART + 1) + b"</a>"
    made = with_parts(book, {"[Content_Types].xml": kinds, part: bomb})
    assert made.stat().st_size < 100_000
    assert isinstance(bounded(lambda: read_price_file(made)), Refused)


STRINGS = (
    b'<Override PartName="/xl/sharedStrings.xml" ContentType="application/vnd.openxmlformats-officedocument.'
    b'spreadsheetml.sharedStrings+xml"/>'
)
LAUGHS = "".join(f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 12))


LINKED: dict[str, bytes | str] = {
    "xl/externalLinks/externalLink1.xml": f"<externalLink {MAIN}/>",
    "xl/externalLinks/_rels/externalLink1.xml.rels": (
        '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" '
        'Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/externalLinkPath" '
        'Target="http://h.example/other.xlsx" TargetMode="External"/></Relationships>'
    ),
}


@pytest.mark.parametrize(
    "kinds",
    [
        f'<!DOCTYPE w [<!ENTITY l0 "ha">{LAUGHS}]>',
        '<!DOCTYPE w [<!ENTITY l11 SYSTEM "file:///etc/hostname">]>',
        '<!DOCTYPE w SYSTEM "http://h.example/w.dtd">',
        " " * 70_000 + '<!DOCTYPE w [<!ENTITY l11 "x">]>',
    ],
    ids=["laughs", "file", "elsewhere", "far down"],
)
@pytest.mark.parametrize("letters", ["utf-8", "utf-16"])
def test_entities_are_refused(tmp_path: Path, kinds: str, letters: str) -> None:
    inside = '<row r="1"><c r="A1" t="inlineStr"><is><t>&l11;</t></is></c></row>'
    whole = sheet(inside, before=kinds)["xl/worksheets/sheet1.xml"]
    assert isinstance(whole, str)
    content = whole.replace("UTF-8", letters).encode(letters)
    made = with_parts(plain_book(tmp_path), {"xl/worksheets/sheet1.xml": content})
    assert isinstance(bounded(lambda: read_price_file(made)), Refused)


def test_links_to_other_files_are_not_followed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("socket.socket", lambda *_: pytest.fail("a price file reached for the net"))
    made = with_parts(plain_book(tmp_path), LINKED)
    assert isinstance(bounded(lambda: read_price_file(made)), PriceFile)


@pytest.mark.parametrize(
    "content",
    [
        b"Code,Price\n" + b"," * 30_000_000,
        b"\n" * 30_000_000,
        b'Code,Price\n"' + b"a\n" * 10_000_000,
        b"Code,Price\n" + b"x" * 5_000_000 + b",1\n",
        b"Code\x00,Price\n",
        "Code,Price\nP3,1\n".encode("utf-32"),
        "Code,Price\nP3,1\n".encode("utf-16")[:-1],
        b"\xff\xfeC",
        b"\r" * 100_000 + b"Code,Price\rP3,1\r",
        b"\xef\xbb\xbf" * 1_000,
    ],
    ids=["commas", "lines", "quote", "field", "nul", "utf-32", "half", "two bytes", "returns", "marks"],
)
def test_a_text_made_to_be_endless_ends(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "a.csv").write_bytes(content)
    bounded(lambda: read_price_file(tmp_path / "a.csv"))


def test_reading_can_be_stopped_and_has_an_end(tmp_path: Path) -> None:
    path = plain_book(tmp_path)
    (tmp_path / "a.csv").write_text("Code,Price\nP3,1\n")
    for one in (path, tmp_path / "a.csv"):
        with pytest.raises(Refused, match="was stopped"):
            read_price_file(one, going=lambda: False)
    with pytest.raises(Refused, match="longer than"):
        Watch(seconds=-1).check()
