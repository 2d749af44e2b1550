"""Money's papers as they were handed out, or as a draft would be read."""

from __future__ import annotations

from db.queries.money_papers import invoice_said
from db.queries.papers import latest_paper_of, paper_pdf
from desktop.desk import Desk


def invoice_pdf(desk: Desk, invoice_id: int) -> tuple[bytes, str]:
    """The bytes of an invoice or credit note as issued, of a draft as it would be, and a file name for it."""
    with desk.read() as conn:
        said = invoice_said(conn, invoice_id)
        kept = latest_paper_of(conn, "invoice", invoice_id=invoice_id)
        if kept is None:
            kept = latest_paper_of(conn, "credit_note", invoice_id=invoice_id)
        pdf = paper_pdf(conn, kept)[1] if kept is not None else b""
    name = said.reference[0] if said.reference else said.title
    if not pdf:
        from desktop.papers.money import make_money_paper

        pdf = make_money_paper(said)
    return pdf, f"{name}.pdf"


def receipt_pdf(desk: Desk, payment_id: int) -> tuple[bytes, str] | None:
    """The receipt of a payment as handed out, None when there is none."""
    with desk.read() as conn:
        kept = latest_paper_of(conn, "receipt", payment_id=payment_id)
        return None if kept is None else _named(*paper_pdf(conn, kept))


def kept_pdf(desk: Desk, paper_id: int) -> tuple[bytes, str]:
    """A paper that is kept, by its id."""
    with desk.read() as conn:
        return _named(*paper_pdf(conn, paper_id))


def _named(paper: object, pdf: bytes) -> tuple[bytes, str]:
    return pdf, f"{getattr(paper, 'title', 'Paper')}.pdf"
