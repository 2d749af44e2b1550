"""Papers about money, drawn and read back by another library: the cents are the books' own, and it fits the page."""

from __future__ import annotations

from datetime import date, timedelta
from io import BytesIO

import pytest
from pypdf import PdfReader

from db.commands.billing.crediting import credit_invoice
from db.commands.billing.drafts import draft_invoice
from db.commands.billing.issuing import issue_invoice
from db.commands.billing.payments import number_receipt, take_payment
from db.company_file.problems import Refused
from db.queries.billing.accounts import customer_statement
from db.queries.money_papers import invoice_said, receipt_said, reminder_said, statement_said
from db.queries.papers import issued_papers, paper_pdf
from desktop.papers.keeping import keep_invoice, keep_receipt, keep_reminder, keep_statement
from desktop.papers.money import make_money_paper
from domain.money import format_money
from tests.db.billing_company import AGREED, DONE, AgreedJob, BillingCompany

LATER = date(2026, 6, 30)


@pytest.fixture
def books() -> BillingCompany:
    return BillingCompany()


def text_of(pdf: bytes) -> str:
    """Every page's words on one line, with a plain minus."""
    words = " ".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages)
    return " ".join(words.replace("−", "-").split())


def make(books: BillingCompany, query, *args) -> str:
    return text_of(make_money_paper(books.ask(query, *args)))


def issued(books: BillingCompany, job_id: int, kind: str, on: date, **more: object) -> int:
    draft: int = books.do(draft_invoice, kind, on, job_id=job_id, **more)
    books.do(issue_invoice, draft, on)
    return draft


@pytest.mark.parametrize("treatment", ["none", "lump_sum", "separated"])
def test_a_final_invoice_takes_the_deposit_off_and_says_what_to_pay(books: BillingCompany, treatment: str) -> None:
    who = books.customer()
    percent = "0" if treatment == "none" else "7.25"
    job_id = books.job(who, AgreedJob(treatment=treatment, percent=percent, options=(12_500,), goodwill_cents=5_000))
    deposit = issued(books, job_id, "deposit", AGREED)
    first = make(books, invoice_said, deposit)
    assert f"Please pay {format_money(books.invoice(deposit).total_cents)}" in first
    final = issued(books, job_id, "final", DONE)
    kept, read = books.invoice(final), make(books, invoice_said, final)
    assert kept.number in read
    assert "Final invoice" in read
    assert format_money(kept.total_cents) in read
    assert books.invoice(deposit).number in read  # what is taken off names its invoice
    assert ("Sales tax" in read) == (treatment != "none")
    assert ("7.25" in read) == (treatment == "separated")
    if treatment == "separated":
        assert format_money(kept.tax_cents) in read


def test_a_draft_says_that_nothing_is_owed_on_it(books: BillingCompany) -> None:
    job_id = books.job(books.customer(), AgreedJob(treatment="separated", percent="5.5"))
    draft = books.do(draft_invoice, "final", DONE, job_id=job_id)
    before = make(books, invoice_said, draft)
    assert "Draft final invoice" in before
    assert "nothing is owed" in before
    books.do(issue_invoice, draft, DONE)
    assert format_money(books.invoice(draft).total_cents) in before  # what was previewed is what was issued


def test_a_credit_note_names_what_it_takes_back_and_has_no_minus(books: BillingCompany) -> None:
    job_id = books.job(books.customer())
    final = issued(books, job_id, "final", DONE)
    credit = books.do(credit_invoice, final, DONE, "One elbow less than agreed", amount_cents=7_500, gives_up=True)
    read = make(books, invoice_said, credit)
    assert f"invoice {books.invoice(final).number}" in read
    assert "Total credited $75.00" in read
    assert "-$75.00" not in read
    assert "One elbow less" in read


def test_a_receipt_says_what_the_money_settled_and_what_is_left(books: BillingCompany) -> None:
    who = books.customer()
    job_id = books.job(who)
    final = issued(books, job_id, "final", DONE)
    paid = books.do(
        take_payment, who, DONE, books.invoice(final).total_cents + 1_234, "escrow", job_id=job_id,
        payer="Larch Title", reference="E-77",
    )  # fmt: skip
    with books.company.action("Receipt") as edit:
        number = number_receipt(edit, paid, DONE)
        keep_receipt(edit, paid, DONE)
    read = make(books, receipt_said, paid)
    for words in (number, "Larch Title", "E-77", "Closing escrow", books.invoice(final).number, "$12.34", "credit"):
        assert words in read, words
    with books.company.read() as conn:
        (row,) = issued_papers(conn)
        assert (row.kind, row.number) == ("receipt", number)


def test_a_statement_ends_with_what_is_owed_and_its_age_adds_up(books: BillingCompany) -> None:
    who = books.customer()
    job_id = books.job(who)
    issued(books, job_id, "deposit", AGREED)
    issued(books, job_id, "final", DONE)
    books.do(take_payment, who, DONE, 30_000, "check", reference="1001")
    owed = books.ask(customer_statement, who, LATER).closing_cents
    read = make(books, statement_said, who, LATER)
    assert f"Please pay {format_money(owed)}" in read
    assert "1001" in read
    assert "over 90 days past due" in read.lower() or "days past due" in read
    part = make(books, statement_said, who, LATER, DONE)
    assert "Balance before" in part
    assert f"Please pay {format_money(owed)}" in part


def test_a_reminder_is_polite_and_only_about_what_is_overdue(books: BillingCompany) -> None:
    who = books.customer()
    job_id = books.job(who)
    final = issued(books, job_id, "final", DONE)
    assert books.ask(reminder_said, who, DONE) is None
    due = books.invoice(final).due_on
    assert due is not None
    with books.company.action("Reminder") as edit:
        paper_id = keep_reminder(edit, who, due + timedelta(days=10))
    with books.company.read() as conn:
        read = text_of(paper_pdf(conn, paper_id)[1])
    assert "10 days" in read
    assert format_money(books.invoice(final).total_cents) in read
    assert "thank you" in read
    with pytest.raises(Refused, match="overdue"), books.company.action("Reminder") as edit:
        keep_reminder(edit, who, due)


def test_what_is_kept_is_what_is_shown_and_fits_its_page(books: BillingCompany) -> None:
    who = books.customer("Søren & Ødegård <Homes> of the Very Long Lane Beyond the Old Mill Bridge, Second Cottage")
    options = tuple(range(10_000, 12_000, 100))
    job_id = books.job(who, AgreedJob(options=options, treatment="separated", percent="8.875"))
    draft = books.do(draft_invoice, "final", DONE, job_id=job_id)
    with books.company.action("Issue") as edit:
        issue_invoice(edit, draft, DONE)
        paper_id = keep_invoice(edit, draft, DONE)
        keep_statement(edit, who, DONE)
    with books.company.read() as conn:
        kept, pdf = paper_pdf(conn, paper_id)
    pages = PdfReader(BytesIO(pdf)).pages
    assert kept.pages == len(pages)
    assert {tuple(map(float, page.mediabox[2:])) for page in pages} == {(612.0, 792.0)}
    assert "Søren & Ødegård <Homes>" in text_of(pdf)
    assert format_money(books.invoice(draft).total_cents) in text_of(pdf)
