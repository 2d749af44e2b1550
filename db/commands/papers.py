"""Keeping what was issued: a paper's own PDF as it was sent, and the owner's own wordings."""

from __future__ import annotations

import hashlib
from datetime import date, datetime

from sqlalchemy import insert, select

from db.commands.checks import needed
from db.company_file.problems import Refused
from db.edit import Edit
from db.tables import action, paper, paper_file, paper_text
from domain.papers import PARTS, kind_of


def issue_paper(
    edit: Edit,
    kind: str,
    pdf: bytes,
    on: date,
    *,
    title: str,
    pages: int,
    number: str = "",
    sent_to: str = "",
    customer_id: int | None = None,
    job_id: int | None = None,
    quote_id: int | None = None,
    invoice_id: int | None = None,
    payment_id: int | None = None,
) -> int:
    """Keep a paper exactly as it is handed out and return its id.

    Args:
        kind: a key of `domain.papers.PAPER_KINDS`.
        pdf: the paper's bytes; the same bytes are kept once.
        title: as the list of papers shows it, e.g. "Invoice I26-0012".
        pages: how many pages it has.
        number: the number printed on it, when its kind has one.
        sent_to: who got it, in words.

    Raises:
        KeyError: an unknown kind.
        Refused: the bytes are no PDF.
    """
    kind_of(kind)
    if not pdf.startswith(b"%PDF-"):
        raise Refused("The paper could not be made.", "Try again; nothing was issued.")
    digest = hashlib.sha256(pdf).hexdigest()
    if edit.conn.execute(select(paper_file.c.id).where(paper_file.c.sha256 == digest)).first() is None:
        # Outside the journal, which keeps text: it is found again by its sum, whatever is undone or done again.
        edit.conn.execute(insert(paper_file).values(sha256=digest, pdf=pdf))
    made_at = edit.conn.execute(select(action.c.made_at).where(action.c.id == edit.action_id)).scalar_one()
    return edit.add(
        paper, kind=kind, number=number, title=title.strip(), issued_on=on, issued_at=_moment(made_at),
        sent_to=sent_to.strip(), customer_id=customer_id, job_id=job_id, quote_id=quote_id, invoice_id=invoice_id,
        payment_id=payment_id, pages=pages, sha256=digest,
    )  # fmt: skip


def set_paper_text(edit: Edit, kind: str, part: str, wording: str) -> None:
    """Use the owner's own wording from now on; papers already issued stay as they are.

    Raises:
        Refused: no such part, or no words.
    """
    built_in = next((one for one in PARTS if (one.kind, one.part) == (kind, part)), None)
    if built_in is None:
        raise Refused(f"There is no text “{part}” on that paper.")
    wording = needed(wording, "Type the words, or go back to the built-in ones.")
    kept = edit.conn.execute(
        select(paper_text.c.id).where(paper_text.c.kind == kind, paper_text.c.part == part)
    ).scalar()
    if wording == built_in.wording:
        if kept is not None:
            edit.remove(paper_text, kept)
    elif kept is None:
        edit.add(paper_text, kind=kind, part=part, wording=wording)
    else:
        edit.change(paper_text, kept, wording=wording)


def use_built_in_text(edit: Edit, kind: str, part: str) -> None:
    """Go back to the built-in wording."""
    edit.remove_where(paper_text, (paper_text.c.kind == kind) & (paper_text.c.part == part))


def _moment(made_at: str) -> str:
    return datetime.fromisoformat(made_at).isoformat(timespec="seconds")
