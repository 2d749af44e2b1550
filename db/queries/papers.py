"""Papers that were issued: lists of them, their bytes, and the owner's own wordings."""

from __future__ import annotations

from sqlalchemy import Connection, Select, func, or_, select

from db.records import fetch, fetch_one
from db.tables import customer, job, paper, paper_file, paper_text
from domain.papers import IssuedPaper, PaperRow
from domain.words import fold

NEWEST = 500
"""How many papers a list shows; a search looks through all of them."""


def issued_papers(
    conn: Connection, *, job_id: int | None = None, customer_id: int | None = None, kind: str = "", words: str = ""
) -> list[PaperRow]:
    """Papers, newest first, of one job or customer or of all; `words` must all be in title, customer or job."""
    query = _rows()
    if job_id is not None:
        query = query.where(paper.c.job_id == job_id)
    if customer_id is not None:
        query = query.where(or_(paper.c.customer_id == customer_id, job.c.customer_id == customer_id))
    if kind:
        query = query.where(paper.c.kind == kind)
    for word in words.split():
        pattern = f"%{fold(word)}%"
        query = query.where(
            or_(*(func.lower(column).like(pattern) for column in (paper.c.title, customer.c.name, job.c.number)))
        )
    return fetch(conn, PaperRow, query.limit(NEWEST))


def paper_pdf(conn: Connection, paper_id: int) -> tuple[IssuedPaper, bytes]:
    """A paper and its bytes as issued. Raises LookupError when there is none."""
    kept = fetch_one(conn, IssuedPaper, paper, paper_id)
    pdf = conn.execute(select(paper_file.c.pdf).where(paper_file.c.sha256 == kept.sha256)).scalar()
    if pdf is None:
        raise LookupError(f"the bytes of paper {paper_id} are gone")
    return kept, bytes(pdf)


def latest_paper_of(conn: Connection, kind: str, *, quote_id: int | None = None, invoice_id: int | None = None,
                    payment_id: int | None = None, job_id: int | None = None) -> int | None:  # fmt: skip
    """The id of the newest paper of a kind about one thing, None when none was issued."""
    about = {"quote_id": quote_id, "invoice_id": invoice_id, "payment_id": payment_id, "job_id": job_id}
    query = select(paper.c.id).where(paper.c.kind == kind).order_by(paper.c.id.desc())
    for name, value in about.items():
        if value is not None:
            query = query.where(paper.c[name] == value)
    return conn.execute(query.limit(1)).scalar()


def own_texts(conn: Connection) -> dict[tuple[str, str], str]:
    """The owner's own wordings by (kind of paper, part), for `domain.papers.words_of`."""
    rows = conn.execute(select(paper_text.c.kind, paper_text.c.part, paper_text.c.wording))
    return {(row.kind, row.part): row.wording for row in rows}


def _rows() -> Select[tuple[object, ...]]:
    who = func.coalesce(customer.c.name, "")
    return (
        select(
            paper.c.id, paper.c.kind, paper.c.number, paper.c.title, paper.c.issued_on, paper.c.sent_to,
            who, func.coalesce(job.c.number, ""), paper.c.job_id, paper.c.pages,
        )
        .select_from(
            paper.outerjoin(job, job.c.id == paper.c.job_id).outerjoin(
                customer, customer.c.id == func.coalesce(paper.c.customer_id, job.c.customer_id)
            )
        )
        .order_by(paper.c.issued_on.desc(), paper.c.id.desc())
    )  # fmt: skip
