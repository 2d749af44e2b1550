"""Issued papers are kept byte for byte; the owner's own wordings stand in place of the built-in ones."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from sqlalchemy import func, select

from db.commands.papers import issue_paper, set_paper_text, use_built_in_text
from db.company_file import Company, open_company
from db.company_file.problems import Refused
from db.queries.papers import issued_papers, latest_paper_of, own_texts, paper_pdf
from db.tables import paper_file
from domain.papers import PARTS, words_of
from tests.db.company_files import company_file

DAY = date(2026, 11, 12)


@pytest.fixture
def company(tmp_path: Path) -> Iterator[Company]:
    with open_company(company_file(tmp_path), backup=False) as opened:
        yield opened


def test_a_paper_is_kept_as_it_was_issued(company: Company) -> None:
    first, second = b"%PDF-1.4 one", b"%PDF-1.4 two"
    with company.action("Issue") as edit:
        one = issue_paper(edit, "statement", first, DAY, title="Statement", pages=1, sent_to="by hand")
        again = issue_paper(edit, "statement", first, DAY, title="Statement again", pages=1)
        issue_paper(edit, "receipt", second, DAY, title="Receipt R26-0001", pages=2, number="R26-0001")
    with company.read() as conn:
        kept, pdf = paper_pdf(conn, one)
        assert pdf == first
        assert (kept.title, kept.pages, kept.sent_to) == ("Statement", 1, "by hand")
        assert conn.execute(select(func.count()).select_from(paper_file)).scalar() == 2  # same bytes, once
        assert [row.title for row in issued_papers(conn)] == ["Receipt R26-0001", "Statement again", "Statement"]
        assert [row.title for row in issued_papers(conn, words="rec r26")] == ["Receipt R26-0001"]
        assert [row.title for row in issued_papers(conn, kind="statement", words="AGAIN")] == ["Statement again"]
        assert latest_paper_of(conn, "statement") == again


def test_undone_and_done_again_it_still_has_its_bytes(company: Company) -> None:
    with company.action("Issue") as edit:
        one = issue_paper(edit, "letter", b"%PDF-1.4 x", DAY, title="Letter", pages=1)
    company.undo()
    with company.read() as conn:
        assert issued_papers(conn) == []
    company.redo()
    with company.read() as conn:
        assert paper_pdf(conn, one)[1] == b"%PDF-1.4 x"


def test_what_is_no_pdf_is_not_issued(company: Company) -> None:
    with pytest.raises(Refused), company.action("Issue") as edit:
        issue_paper(edit, "letter", b"<html>", DAY, title="Letter", pages=1)
    with pytest.raises(KeyError), company.action("Issue") as edit:
        issue_paper(edit, "poster", b"%PDF-", DAY, title="Poster", pages=1)


def test_own_words_replace_the_built_in_ones_until_taken_back(company: Company) -> None:
    kind, part = PARTS[0].kind, PARTS[0].part
    with company.action("Words") as edit:
        set_paper_text(edit, kind, part, "  Ours.  ")
    with company.read() as conn:
        assert words_of(kind, part, own_texts(conn)) == "Ours."
    with company.action("Words") as edit:
        use_built_in_text(edit, kind, part)
    with company.read() as conn:
        assert words_of(kind, part, own_texts(conn)) == PARTS[0].wording
    with pytest.raises(Refused), company.action("Words") as edit:
        set_paper_text(edit, kind, part, " ")
    with pytest.raises(Refused), company.action("Words") as edit:
        set_paper_text(edit, "proposal", "poem", "x")
    with pytest.raises(KeyError):
        words_of("proposal", "poem", {})


def test_every_wording_is_a_sentence_and_none_promises_a_level() -> None:
    assert len({(part.kind, part.part) for part in PARTS}) == len(PARTS)
    for part in PARTS:
        assert part.wording.endswith("."), part.part
        assert "guarantee" not in part.wording.lower()
        assert "safe level" not in part.wording.lower()
