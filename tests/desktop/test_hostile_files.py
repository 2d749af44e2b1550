"""Whatever stands in the file, no workbook, csv, calendar, paper or printed line that leaves acts on it."""

from __future__ import annotations

import csv
import io
import json
import re
import zipfile
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from icalendar import Calendar
from openpyxl import load_workbook
from pypdf import PdfReader
from sqlalchemy import Connection, select

from db.company_file import open_for_reading
from db.queries.buying.needs import days_work
from db.queries.closeout import handover
from db.queries.exposure_log import exposure_log
from db.queries.firm import firm
from db.queries.money_papers import invoice_said, receipt_said, reminder_said, statement_said
from db.queries.proposals import proposal_facts
from db.tables import customer, invoice, job, party, payment, quote
from desktop.books.buying_csv import write_pull_sheet_csv, write_shopping_list_csv
from desktop.books.calendar_file import calendar_bytes
from desktop.books.exposure_csv import write_exposure_csv
from desktop.cli import main
from desktop.papers import proposal_pdf, pull_sheet_pdf, shopping_list_pdf
from desktop.papers.closeout_keeping import label_pdf, pack_pdf
from desktop.papers.letter import make_letter
from desktop.papers.money import make_money_paper
from domain.calendar.visits import PlannedVisit, Visit
from domain.jobs import Party
from domain.leaving import file_name, json_words, many_lines, one_line, table_cell, whole_file_name
from domain.papers.letter import letter
from tests.desktop.hostile import PLANTED, harm_in, plant

HALF = PLANTED + "\ud800\x00"
"""With what cannot be kept in a file, but can come from a program: half of a pair, and a NUL."""


@pytest.fixture(scope="module")
def planted(sample_original: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    import shutil

    copy = tmp_path_factory.mktemp("hostile") / "Hostile.riserbook"
    shutil.copy2(sample_original, copy)
    assert plant(copy) > 10_000
    return copy


@pytest.fixture
def conn(planted: Path) -> Iterator[Connection]:
    with open_for_reading(planted) as company, company.read() as connection:
        yield connection


def printed(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    """What a command prints; it must not fail for what stands in the file, and print nothing harmful."""
    status = main(arguments)
    said = capsys.readouterr()
    assert status == 0 or arguments[0] in ("check", "ties"), said.err
    assert not harm_in(said.out), harm_in(said.out)[:5]
    assert not harm_in(said.err)
    return said.out


@pytest.mark.parametrize(
    "words",
    [
        ["costing"], ["costing", "--json"], ["check"], ["ties"], ["margins", "--json"],
        *(["margins", "--by", by] for by in ("job-type", "month", "foundation", "lead-source", "access-condition")),
    ],
    ids=" ".join,
)  # fmt: skip
def test_commands_print_no_command_to_the_terminal(
    words: list[str], planted: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told = printed([words[0], str(planted), *words[1:]], capsys)
    assert told.strip()
    if "--json" in words:
        assert "\x1b[31m" in json.dumps(json.loads(told), ensure_ascii=False).replace("\\u001b", "\x1b")  # none lost
    else:
        assert "BEGIN:VEVENT" not in [line.strip() for line in told.splitlines()]  # a name stays on its line


@pytest.mark.parametrize("more", [[], ["--year", "2026"]], ids=["margins", "year"])
def test_a_workbook_has_no_formula_that_is_data(
    more: list[str], planted: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "Book.xlsx"
    printed(["export", str(planted), str(out), *more], capsys)
    texts = 0
    for sheet in load_workbook(out):
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    assert "HYPERLINK" not in str(getattr(cell.value, "text", cell.value))
                elif cell.data_type == "s":
                    texts += "HYPERLINK" in str(cell.value)
                    assert not harm_in(str(cell.value))
                assert cell.comment is None
                assert cell.hyperlink is None
    assert texts > 1_000
    with zipfile.ZipFile(out) as packed:
        names = packed.namelist()
        assert not [name for name in names if "external" in name.lower() or "comments" in name.lower()]
        for name in (one for one in names if one.endswith((".xml", ".rels"))):
            text = packed.read(name).decode()
            assert not re.findall(r"<f[ >][^<]*h\.example", text)
            assert "<img" not in text
            assert 'Target="http' not in text.replace('Target="http://schemas', "")
            if not name.startswith("xl/worksheets"):
                assert "HYPERLINK" not in text, f"{name}: a name of a sheet or range is data"


def cells_of(path: Path) -> list[str]:
    text = path.read_text("utf-8-sig")
    assert not harm_in(text)
    rows = list(csv.reader(io.StringIO(text, newline="")))
    assert len({len(row) for row in rows}) == 1, "a cell broke out of its row"
    return [cell for row in rows for cell in row]


def test_csv_files_mark_every_cell_that_could_be_a_formula(
    planted: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], conn: Connection
) -> None:
    printed(["ledger", str(planted), "2026", str(tmp_path / "ledger.csv")], capsys)
    write_exposure_csv(exposure_log(conn, date(2026, 11, 30), 9), tmp_path / "exposure.csv")
    for name in ("ledger", "exposure"):
        cells = cells_of(tmp_path / f"{name}.csv")
        assert any("HYPERLINK" in cell for cell in cells), name
        assert not [cell for cell in cells if cell.lstrip().startswith(("=", "+", "@", "-=", "\t"))]


def test_the_csv_files_heads_are_data_too(tmp_path: Path) -> None:
    from desktop.books.csv_file import write_rows

    write_rows(tmp_path / "a.csv", ["for =1+1", "=1+1", "@x"], [["-12.50", "-x", HALF]])
    with (tmp_path / "a.csv").open(encoding="utf-8-sig", newline="") as file:
        heads, row = list(csv.reader(file))
    assert heads == ["for =1+1", "'=1+1", "'@x"]
    assert row[:2] == ["-12.50", "'-x"]
    assert row[2].startswith("'=HYPERLINK")
    assert not harm_in(row[2])


def test_a_calendar_holds_its_visits_and_nothing_else(
    planted: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "visits.ics"
    said = printed(["calendar", str(planted), str(out)], capsys)
    count = int(re.search(r"Wrote (\d+)", said)[1])  # type: ignore[index]
    events = calendar_in(out.read_bytes())
    assert count == len(events) > 3


def calendar_in(raw: bytes) -> list[object]:
    """The events of a calendar file, read back; its lines are whole and hold nothing harmful."""
    text = raw.decode()
    assert not harm_in(text.replace("\r\n", "\n"))
    lines = text.split("\r\n")
    assert all("\n" not in line for line in lines)
    assert lines.count("BEGIN:VCALENDAR") == lines.count("END:VCALENDAR") == 1
    read = Calendar.from_ical(raw)
    events = list(read.walk("VEVENT"))
    assert lines.count("BEGIN:VEVENT") == lines.count("END:VEVENT") == len(events)
    assert "HYPERLINK" in str(read["x-wr-calname"])
    return events


def test_a_firm_with_a_line_break_in_its_name_has_a_calendar() -> None:
    import vobject

    visit = Visit(
        id=1, job_id=None, kind="work", title=HALF, day=date(2026, 3, 2), starts_at=480, minutes=60, travel_minutes=0,
        who=HALF, supplier_id=None, takes_own_time=1, note=HALF, done_on=None, cancelled_on=None, uid=HALF, sequence=0,
    )  # fmt: skip
    planned = PlannedVisit(visit, HALF, HALF, HALF, HALF, HALF)
    raw = calendar_bytes([planned], datetime(2026, 3, 1, tzinfo=UTC), f"Heron Hill\r\nRadon{HALF}")
    assert next(vobject.readComponents(raw.decode())).vevent.summary.value.startswith("=HYPERLINK")
    (event,) = calendar_in(raw)
    assert "BEGIN:VEVENT" in str(event["description"])  # type: ignore[index]


def check_paper(pdf: bytes) -> str:
    """The words of a PDF that acts on nothing and shows what was typed."""
    read = PdfReader(io.BytesIO(pdf))
    words = "\n".join(page.extract_text() for page in read.pages)
    assert not harm_in(words)
    for value in (read.metadata or {}).values():
        assert not harm_in(str(value))
    for page in read.pages:
        assert "/Annots" not in page
        assert "/AA" not in page
    assert not {"/OpenAction", "/AA", "/Names"} & set(read.trailer["/Root"])
    return words


@pytest.mark.parametrize(
    "kind", ["proposal", "invoice", "receipt", "statement", "reminder", "letter", "label", "pack", "pull", "shopping"]
)
def test_papers_show_what_was_typed_and_do_nothing(kind: str, conn: Connection, tmp_path: Path) -> None:
    today = firm(conn).pinned_today or date(2026, 11, 30)
    made = list(papers(kind, conn, today, tmp_path))
    assert made, f"the sample has no {kind}"
    for pdf in made:
        words = re.sub(r"\s", "", check_paper(pdf))
        assert 'HYPERLINK("http://h.example/")' in words
        assert "<imgsrc=" in words, "a tag is not shown as it was typed"


def papers(kind: str, conn: Connection, today: date, folder: Path) -> Iterator[bytes]:
    """Some papers of a kind, made from what stands in the file."""
    if kind == "proposal":
        for row in conn.scalars(select(quote.c.id).limit(6)):
            yield proposal_pdf(proposal_facts(conn, row))
    elif kind == "invoice":
        for row in conn.scalars(select(invoice.c.id).where(invoice.c.number.is_not(None)).limit(3)):
            yield make_money_paper(invoice_said(conn, row))
    elif kind == "receipt":
        for row in conn.scalars(select(payment.c.id).where(payment.c.number.is_not(None)).limit(3)):
            yield make_money_paper(receipt_said(conn, row))
    elif kind == "statement":
        for row in conn.scalars(select(customer.c.id).limit(3)):
            yield make_money_paper(statement_said(conn, row, today))
    elif kind == "reminder":
        late = (reminder_said(conn, row, today) for row in conn.scalars(select(customer.c.id)))
        yield from (make_money_paper(said) for said in [one for one in late if one is not None][:2])
    elif kind in ("letter", "label", "pack"):
        done = select(job.c.id).where(job.c.closed_on.is_not(None)).order_by(job.c.id.desc())
        for row in conn.scalars(done.limit(2)):
            yield from of_job(kind, conn, row, today, folder)
    else:
        yield from lists(kind, conn, today, folder)


def of_job(kind: str, conn: Connection, job_id: int, today: date, folder: Path) -> Iterator[bytes]:
    if kind == "label":
        yield label_pdf(conn, job_id, today, 1)
    elif kind == "pack":
        yield pack_pdf(conn, job_id, today, folder)
    else:
        to = conn.execute(select(party).limit(1)).one()
        facts = handover(conn, job_id, today)
        yield make_letter(facts.firm, letter(facts, Party(**dict(to._mapping)), today))


def lists(kind: str, conn: Connection, today: date, folder: Path) -> Iterator[bytes]:
    for ahead in range(0, 365, 7):
        work = days_work(conn, today - timedelta(days=ahead), today - timedelta(days=ahead - 6), today)
        sheet, shopping = work.pull_sheet(), work.shopping_list()
        if sheet.lines and shopping.lines:
            one, write = (sheet, write_pull_sheet_csv) if kind == "pull" else (shopping, write_shopping_list_csv)
            cells = cells_of(write(one, folder / "list.csv"))  # type: ignore[arg-type]
            assert not [cell for cell in cells if cell.lstrip().startswith(("=", "+", "@"))]
            yield pull_sheet_pdf(sheet, firm(conn)) if kind == "pull" else shopping_list_pdf(shopping, firm(conn))
            return


@example("con.b")
@example(".\u2003a\u2003")
@example("1<.1<")
@given(st.text(max_size=80).map(lambda text: text + "\u202e") | st.text(max_size=300))
def test_what_leaves_is_harmless_and_leaving_twice_changes_nothing(text: str) -> None:
    for leave in (many_lines, one_line, table_cell, file_name, whole_file_name):
        once = leave(text)
        assert not harm_in(once)
        assert leave(once) == once
        once.encode()
    assert "\n" not in one_line(text)
    assert 1 <= len(file_name(text).encode()) <= 121
    assert not set(file_name(text)) & set('<>:"/\\|?*\n\t')
    told = json_words(json.dumps({"a": text}, ensure_ascii=False))
    assert not harm_in(told)
    assert json.loads(told) == {"a": text}


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("Heron & Søn", "Heron & Søn"), ("../../etc/passwd", "etc-passwd"), ("CON", "_CON"), ("nul.txt", "_nul.txt"),
        ("...", "Riserbook"), ("", "Riserbook"), ("a\r\nb", "a b"), ("Job 26/014: <B>", "Job 26-014- -B"),
    ],
)  # fmt: skip
def test_file_names_from_data_fit_every_system(typed: str, kept: str) -> None:
    assert file_name(typed) == kept


def test_file_names_keep_their_suffix() -> None:
    assert whole_file_name("26/014 visits.ics") == "26-014 visits.ics"
    assert whole_file_name("Letter, job 26-014.pdf\n") == "Letter, job 26-014.pdf"


def test_a_text_longer_than_a_page_goes_on_over_the_next() -> None:
    from desktop.papers.paper import Paper, columns, grid, text_block

    long, paper = "all the words " * 2_000, Paper("T", "R", "A")
    for story in (
        [grid([[text_block("short"), text_block(long)]] * 2, [200, 250])],
        [columns([text_block(long)], [text_block("x")], widths=[200, 250])],
    ):
        words = check_paper(paper.make(story))
        assert words.count("all") >= 2_000
