"""A paper is kept as it is handed out: drawn inside the action that issues it, stored with it."""

from __future__ import annotations

import re
from datetime import date

from db.commands.papers import issue_paper
from db.edit import Edit
from db.queries.proposals import proposal_facts
from desktop.papers import proposal_pdf
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
