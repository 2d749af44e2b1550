"""Price files as they really come: other separators, other letters, locked, merged, empty, far too long."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest
from openpyxl import Workbook

from db.company_file.problems import Refused
from db.price_file import MOST_ROWS, read_price_file
from domain.price_import import FORMULA, MERGED


def text_file(folder: Path, content: str | bytes, encoding: str = "utf-8", name: str = "prices.csv") -> Path:
    path = folder / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode(encoding))
    return path


def workbook(folder: Path, *rows: list[object], name: str = "prices.xlsx") -> tuple[Workbook, Path]:
    book = Workbook()
    for row in rows:
        book.active.append(row)
    return book, folder / name


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_text_is_read_whatever_its_separator_and_letters(tmp_path: Path, separator: str, encoding: str) -> None:
    lines = [["Code", "Description", "Price"], ["C3", 'Coupling 3" ½ Müller', "2.35"], ["", "", ""]]
    lines.append(["C4", "x", "3.95"])
    content = "\r\n".join(separator.join(f'"{cell.replace(chr(34), chr(34) * 2)}"' for cell in line) for line in lines)
    found = read_price_file(text_file(tmp_path, content, encoding))
    assert [(row.number, row.cells) for row in found.rows] == [
        (1, ("Code", "Description", "Price")), (2, ("C3", 'Coupling 3" ½ Müller', "2.35")), (4, ("C4", "x", "3.95")),
    ]  # fmt: skip


def test_a_semicolon_list_with_decimal_commas_is_not_cut_at_the_commas(tmp_path: Path) -> None:
    found = read_price_file(text_file(tmp_path, "Code;Price\nP3;2,68\nP4;3,62\n"))
    assert found.rows[1].cells == ("P3", "2,68")


def test_a_row_within_quotes_may_run_over_two_lines(tmp_path: Path) -> None:
    found = read_price_file(text_file(tmp_path, 'Code,Name\nP3,"Pipe\n3 in"\nP4,Pipe\n'))
    assert [row.number for row in found.rows] == [1, 2, 4]


def test_a_workbook_is_read_with_numbers_as_people_see_them(tmp_path: Path) -> None:
    book, path = workbook(tmp_path, ["Code", "Price"], ["P3", 1.1 * 3], [1042, 2.685], ["P4", 12])
    book.save(path)
    found = read_price_file(path)
    assert [row.cells for row in found.rows[1:]] == [("P3", "3.3"), ("1042", "2.6850"), ("P4", "12")]


def test_the_sheet_with_something_on_it_is_taken_and_another_can_be_chosen(tmp_path: Path) -> None:
    book = Workbook()
    book.active.title = "Cover"
    for name in ("Pipe", "Fans"):
        sheet = book.create_sheet(name)
        sheet.append(["Code", "Price"])
        sheet.append([name, 1])
    book.save(tmp_path / "p.xlsx")
    found = read_price_file(tmp_path / "p.xlsx")
    assert (found.sheets, found.sheet) == (("Cover", "Pipe", "Fans"), "Pipe")
    assert read_price_file(tmp_path / "p.xlsx", "Fans").rows[1].cells[0] == "Fans"


def test_a_formula_without_a_value_is_marked(tmp_path: Path) -> None:
    book, path = workbook(tmp_path, ["Code", "Price", "Note"], ["P3", "=1+1", None], ["P4", 3, "=A2"])
    book.save(path)
    assert [row.cells for row in read_price_file(path).rows[1:]] == [("P3", FORMULA, ""), ("P4", "3", FORMULA)]


def test_merged_cells_are_marked(tmp_path: Path) -> None:
    book, path = workbook(tmp_path, ["Code", "Price"], ["P3", 2.68], ["P4", 3.62])
    book.active.merge_cells("A2:A3")
    book.save(path)
    assert [row.cells for row in read_price_file(path).rows[1:]] == [("P3", "2.68"), (MERGED, "3.62")]


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b"", "is empty"),
        (b"\n\n , ,\n", "no rows with anything"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 rest", "password"),
        (b"%PDF-1.7", "PDF"),
        (b"Code,Price\nP3,\x81\x8d\x8f\n", "letters"),
        (b"Code\x00Price", "letters"),
        (b"PK\x03\x04 not a workbook", "not a workbook"),
        (b'Code,Price\nP3,"' + b"x" * 200_000, "cannot be taken apart"),
    ],
)
def test_a_bad_file_gets_a_kind_word(tmp_path: Path, content: bytes, message: str) -> None:
    with pytest.raises(Refused, match=message) as refusal:
        read_price_file(text_file(tmp_path, content))
    assert refusal.value.advice


def test_a_missing_file_and_a_folder_get_a_kind_word(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="cannot be opened"):
        read_price_file(tmp_path / "gone.csv")
    with pytest.raises(Refused, match="folder"):
        read_price_file(tmp_path)


def test_a_zip_that_is_no_workbook_gets_a_kind_word(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "photos.xlsx", "w") as packed:
        packed.writestr("a.txt", "x")
    with pytest.raises(Refused, match="not a workbook"):
        read_price_file(tmp_path / "photos.xlsx")


def test_a_whole_catalogue_is_refused(tmp_path: Path) -> None:
    long = "Code,Price\n" + "".join(f"C{n},1\n" for n in range(50_000))
    with pytest.raises(Refused, match="whole catalog"):
        read_price_file(text_file(tmp_path, long))
    book = Workbook(write_only=True)
    sheet = book.create_sheet()
    for number in range(2 * MOST_ROWS + 2):
        sheet.append([f"C{number}", 1])
    book.save(tmp_path / "long.xlsx")
    with pytest.raises(Refused, match="whole catalog"):
        read_price_file(tmp_path / "long.xlsx")
