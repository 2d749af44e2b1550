"""A paper is kept as it is handed out: drawn inside the action that issues it, stored with it."""

from __future__ import annotations

import re
from datetime import date

from db.commands.papers import issue_paper
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.closeout import handover
from db.queries.logo import logo
from db.queries.money_papers import invoice_said, receipt_said, reminder_said, statement_said
from db.queries.proposals import proposal_facts
from db.records import fetch_one
from db.tables import invoice, party, payment
from desktop.papers import proposal_pdf
from desktop.papers.letter import make_letter
from desktop.papers.money import make_money_paper
from domain.billing.records import Invoice, Payment
from domain.jobs import Party
from domain.papers.letter import letter
from domain.papers.money import MoneyPaper
from domain.quoting.state import quote_name

_PAGE = re.compile(rb"/Type\s*/Page(?![s\w])")


def page_count(pdf: bytes) -> int:
    """How many pages a PDF of our own has: its page objects are written in the clear."""
    return len(_PAGE.findall(pdf))


def keep_sent_quote(edit: Edit, quote_id: int, on: date) -> int:
    """Keep the paper of a proposal or change order just sent; return the paper's id."""
    facts = proposal_facts(edit.conn, quote_id)
    pdf = proposal_pdf(facts)
    quote = facts.document.quote
    return issue_paper(
        edit, quote.kind, pdf, on, title=f"{quote_name(quote)}, job {facts.job.number}", pages=page_count(pdf),
        number=f"{facts.job.number}/{quote.version}", job_id=quote.job_id, quote_id=quote_id,
    )  # fmt: skip


def keep_invoice(edit: Edit, invoice_id: int, on: date) -> int:
    """Keep the paper of an invoice or credit note just issued; return the paper's id."""
    kept = fetch_one(edit.conn, Invoice, invoice, invoice_id)
    pdf = make_money_paper(invoice_said(edit.conn, invoice_id), logo(edit.conn))
    kind = "credit_note" if kept.kind == "credit_note" else "invoice"
    return issue_paper(
        edit, kind, pdf, on, title=kept.name, pages=page_count(pdf), number=kept.number or "",
        customer_id=kept.customer_id, job_id=kept.job_id, invoice_id=invoice_id,
    )  # fmt: skip


def keep_receipt(edit: Edit, payment_id: int, on: date) -> int:
    """Keep the receipt of a payment that has its number; return the paper's id."""
    kept = fetch_one(edit.conn, Payment, payment, payment_id)
    said = receipt_said(edit.conn, payment_id)
    pdf = make_money_paper(said, logo(edit.conn))
    return issue_paper(
        edit, "receipt", pdf, on, title=f"{said.title} {kept.number or ''}", pages=page_count(pdf),
        number=kept.number or "", customer_id=kept.customer_id, job_id=kept.job_id, payment_id=payment_id,
    )  # fmt: skip


def keep_statement(edit: Edit, customer_id: int, on: date, starts_on: date | None = None) -> int:
    """Keep a statement of account as of a day; return the paper's id."""
    return _keep_letter(edit, "statement", statement_said(edit.conn, customer_id, on, starts_on), customer_id, on)


def keep_reminder(edit: Edit, customer_id: int, on: date) -> int:
    """Keep a polite letter about what is overdue; return the paper's id.

    Raises:
        Refused: nothing is overdue.
    """
    said = reminder_said(edit.conn, customer_id, on)
    if said is None:
        raise Refused("Nothing of this customer's is overdue.", "A statement of account shows what is open.")
    return _keep_letter(edit, "reminder", said, customer_id, on)


def _keep_letter(edit: Edit, kind: str, said: MoneyPaper, customer_id: int, on: date) -> int:
    pdf = make_money_paper(said, logo(edit.conn))
    title = f"{said.title}, {said.to_lines[0]}"
    return issue_paper(edit, kind, pdf, on, title=title, pages=page_count(pdf), customer_id=customer_id)


def keep_letter(edit: Edit, job_id: int, party_id: int | None, on: date) -> int:
    """Keep a letter about a job's system for one of its parties (None: for anybody); return the paper's id."""
    facts = handover(edit.conn, job_id, on)
    to = fetch_one(edit.conn, Party, party, party_id) if party_id is not None else None
    said = letter(facts, to, on)
    pdf = make_letter(facts.firm, said, logo(edit.conn))
    return issue_paper(
        edit, "letter", pdf, on, title=f"Letter about the system, job {facts.job.number}", pages=page_count(pdf),
        sent_to=to.name if to else "", customer_id=facts.customer.id, job_id=job_id,
    )  # fmt: skip
