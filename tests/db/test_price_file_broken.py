"""Price files broken in every way a disk, a mail or a hand breaks them: brought in whole, or refused in words."""

from __future__ import annotations

import io
import random
import time
import zipfile
from datetime import date
from pathlib import Path

import pytest

from db.commands.price_import import apply_import
from db.company_file.company import Company
from db.company_file.problems import Refused
from db.price_file import read_price_file
from db.queries.price_list import priced_items
from domain.price_import import ImportRow, find_header, guess_columns, missing_columns, plan_import, read_rows
from domain.price_list import PricedItem
from tests.db.test_price_file_bounds import LAUGHS, LINKED, MOST_SECONDS, ROWS, plain_book, sheet, with_parts
from tests.small_company import empty_company

DAY = date(2026, 5, 14)
PUT_IN = (b"\x00", b'"', b"\xff", b"<", b"&#0;", b"\r", "\u2028".encode(), b"=1+1", b"\xe2")


def mutated(content: bytes, chance: random.Random) -> bytes:
    """A few bytes changed, taken out, doubled or put in, or the end cut off."""
    made = bytearray(content)
    for _ in range(chance.randint(1, 6)):
        at = chance.randrange(len(made) or 1)
        span = chance.choice((1, 1, 2, 16, 200))
        kind = chance.randrange(6)
        if kind == 0 and made:
            made[at] ^= 1 << chance.randrange(8)
        elif kind == 1:
            del made[at : at + span]
        elif kind == 2:
            made[at:at] = made[at : at + span]
        elif kind == 3:
            made[at:at] = chance.choice(PUT_IN)
        elif kind == 4:
            made[at : at + span] = chance.randbytes(span)
        elif chance.random() < 0.3:
            del made[at:]
    return bytes(made)


def broken_workbook(content: bytes, chance: random.Random) -> bytes:
    """A workbook whose outside, or one of whose parts, is broken; a part is packed again, so that its sum is right."""
    if chance.random() < 0.4:
        return mutated(content, chance)
    target = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        names = old.namelist()
        hit = chance.choice(names)
        for name in names:
            new.writestr(name, mutated(old.read(name), chance) if name == hit else old.read(name))
    return target.getvalue()


def books(folder: Path) -> list[bytes]:
    """A plain workbook, and others with what is made to hurt: entities, links, merges and cells without end, bombs."""
    laughing = sheet('<row r="1"><c r="A1" t="inlineStr"><is><t>&l11;</t></is></c></row>',
                     before=f'<!DOCTYPE w [<!ENTITY l0 "ha">{LAUGHS}]>')  # fmt: skip
    merged = sheet(after='<mergeCells count="1"><mergeCell ref="A1:XFD1048576"/></mergeCells>')
    far = sheet(ROWS + '<row r="1048576"><c r="XFD1048576"><v>5</v></c></row>')
    bomb = sheet(ROWS + " " * 3_000_000)
    made = [plain_book(folder)]
    made += [
        with_parts(made[0], parts).rename(folder / f"{number}.xlsx")
        for number, parts in enumerate((laughing, merged, far, bomb, LINKED))
    ]
    return [path.read_bytes() for path in made]


def campaign(folder: Path, tries: int, seed: int) -> tuple[int, int, list[str]]:
    """How many files were tried, how many were read or refused in words, and what else came of the others."""
    chance, lost = random.Random(seed), []
    whole_books = books(folder)
    text = b"Code;Name;Unit;Price\nP3;Pipe 3 in;ft;2,68\nP4;\"Pipe; 4\";ft;3,62\nE3;Elbow 3 in;each;4,10\n"
    with empty_company() as company:
        bring_in(company, rows_of(text.replace(b",", b",1"), folder / "earlier.csv"))  # so that most rows are changes
        existing = items_of(company)
        for number in range(tries):
            kind, content = "csv", text
            if number % 2 == 0:
                kind, content = "xlsx", chance.choice((whole_books[0], chance.choice(whole_books)))
            path = folder / f"broken.{kind}"
            made = mutated(content, chance) if kind == "csv" else broken_workbook(content, chance)
            begun = time.process_time()
            try:
                rows = rows_of(made, path)
                if rows is not None:
                    brought_in_whole(company, rows)
            except Refused as refusal:
                if not refusal.advice:
                    lost.append(f"{number}: no advice")
            except Exception as error:
                lost.append(f"{number} ({kind}): {type(error).__name__}: {error}")
            if time.process_time() - begun > MOST_SECONDS:
                lost.append(f"{number} ({kind}): {time.process_time() - begun:.0f} s")
        assert items_of(company) == existing  # each was taken back whole
    return tries, tries - len(lost), lost


def rows_of(content: bytes, path: Path) -> list[ImportRow] | None:
    """The rows of a price file with these bytes, as the window reads them; None when no column tells code and price."""
    path.write_bytes(content)
    found = read_price_file(path)
    head = find_header([row.cells for row in found.rows]) or 0
    columns = guess_columns(found.rows[head].cells)
    return None if missing_columns(columns) else read_rows(found.rows[head + 1 :], columns)


def items_of(company: Company) -> list[PricedItem]:
    with company.read() as conn:
        return priced_items(conn, DAY, archived=True)


def bring_in(company: Company, rows: list[ImportRow] | None) -> int:
    assert rows is not None
    plan = plan_import(rows, items_of(company), DAY)
    with company.action("Bring in") as edit:
        written = apply_import(edit, plan)
    assert written == plan.writes
    return written


def brought_in_whole(company: Company, rows: list[ImportRow]) -> None:
    """After it the same rows have nothing more to bring in; then it is taken back."""
    before = items_of(company)
    written = bring_in(company, rows)
    assert len(items_of(company)) - len(before) == len(plan_import(rows, before, DAY).added)
    assert plan_import(rows, items_of(company), DAY).writes == 0
    if written:
        company.undo()


def told(result: tuple[int, int, list[str]]) -> None:
    tried, survived, lost = result
    print(f"price files: tried {tried:,}, survived {survived:,}, lost {len(lost)}")
    assert not lost, "\n".join(lost[:20])


def test_broken_price_files_are_read_or_refused_in_words(tmp_path: Path) -> None:
    told(campaign(tmp_path, 120, seed=20))


@pytest.mark.long
@pytest.mark.parametrize("seed", range(10))
def test_ten_thousand_broken_price_files_are_read_or_refused_in_words(tmp_path: Path, seed: int) -> None:
    told(campaign(tmp_path, 1_000, seed=100 + seed))
