"""Taking back an acceptance that was noted wrongly or that the customer withdrew, at any time."""

from __future__ import annotations

from db.commands.quotes.checks import live_job
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.acceptance import accepted_quote, cleared_by
from db.queries.quotes import quote_document
from db.records import fetch_one
from db.tables import METADATA, quote, quote_option
from domain.quoting.lines import Quote
from domain.quoting.price import build_price
from domain.quoting.state import quote_name


def take_back_acceptance(edit: Edit, quote_id: int) -> None:
    """Make an accepted quote a sent one again, with the price as it was told; a change order's entries are marked anew.

    Raises:
        Refused: it is not accepted, the job is cancelled or closed, it is on an invoice, change orders stand on it,
            or the month of the acceptance is closed in the books.
    """
    kept = fetch_one(edit.conn, Quote, quote, quote_id)
    if kept.accepted_on is None:
        raise Refused(f"{quote_name(kept)} is not accepted.")
    live_job(edit, kept.job_id)
    why, first = accepted_quote(edit.conn, quote_id).hindrance()
    if why:
        raise Refused(why, first)
    if kept.kind == "change_order":
        for table_name, row_id in cleared_by(edit.conn, quote_id):
            edit.change(METADATA.tables[table_name], row_id, unquoted=True)
    document = quote_document(edit.conn, quote_id)
    told = build_price(document).alone  # an accepted quote's own amounts hold its options; as sent it stands alone
    for option in document.options:
        edit.change(quote_option, option.id, chosen=False)
    edit.change(
        quote, quote_id, accepted_on=None, price_cents=told.list_price_cents, tax_cents=told.tax_cents,
        deposit_cents=told.deposit_cents,
    )  # fmt: skip
