"""The letter about a system names what was built and tested, promises nothing that was not promised, and says so."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from io import BytesIO

from pypdf import PdfReader

from db.commands.jobs import add_party
from db.commands.survey import add_radon_test
from db.queries.papers import issued_papers, paper_pdf
from db.tables import closeout
from desktop.papers.keeping import keep_letter
from tests.db.billing_company import DONE, BillingCompany

DAY = date(2026, 4, 2)


def _issued(books: BillingCompany, job_id: int, party_id: int | None) -> str:
    with books.company.action("Letter") as edit:
        paper_id = keep_letter(edit, job_id, party_id, DAY)
    with books.company.read() as conn:
        pdf = paper_pdf(conn, paper_id)[1]
    return " ".join(" ".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages).split())


def test_the_letter_says_what_is_known_and_promises_no_level() -> None:
    books = BillingCompany()
    job_id = books.job(books.customer())
    with books.company.action("Facts") as edit:
        buyer = add_party(edit, job_id, "buyer", "Imke Tolland", mail="imke@example.org")
        add_radon_test(edit, job_id, "before", "charcoal", Decimal("11.4"), DONE)
        edit.add(closeout, job_id=job_id, fan="Wren 40", description="One suction point through the slab.")
    read = _issued(books, job_id, buyer)
    promise = "No radon level is promised"
    for words in ("Imke Tolland", "Wren 40", "One suction point", "11.4 pCi/L", promise, "12 Mill"):
        assert words in read, words
    assert "safe" not in read.lower()
    with books.company.read() as conn:
        (row,) = issued_papers(conn, job_id=job_id, kind="letter")
    assert row.sent_to == "Imke Tolland"


def test_without_a_reader_or_a_test_it_still_says_so() -> None:
    books = BillingCompany()
    job_id = books.job(books.customer())
    read = _issued(books, job_id, None)
    assert "To whom it may concern" in read
    assert "No radon test of this house is on record" in read
