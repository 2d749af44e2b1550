"""Taking back an acceptance: the quote is as it was sent, what hangs on it is said, and nothing breaks beneath it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal

import pytest

from db import tables
from db.commands import jobs, quotes
from db.company_file.problems import Refused
from db.queries.acceptance import accepted_quote
from tests.db.quote_company import TODAY, QuoteCompany, make_quote_company
from tests.db.test_quotes import log_unquoted, marks


@pytest.fixture
def shop() -> Iterator[QuoteCompany]:
    made = make_quote_company()
    yield made
    made.company.close()


def sent(shop: QuoteCompany) -> tuple[int, int]:
    """A sent proposal with an option."""
    quote_id = shop.start()
    option = shop.do(quotes.add_option, quote_id, "Quieter fan")
    shop.do(quotes.add_other, quote_id, "equipment", Decimal(1), Decimal(90), option_id=option)
    shop.do(quotes.send_quote, quote_id, TODAY)
    return quote_id, option


def test_the_quote_is_exactly_as_it_was_sent_and_can_be_answered_again(shop: QuoteCompany) -> None:
    quote_id, option = sent(shop)
    before = shop.document(quote_id)
    shop.do(quotes.accept_quote, quote_id, TODAY, [option])
    assert shop.document(quote_id) != before
    shop.do(jobs.schedule_job, shop.job_id, TODAY + timedelta(3))
    with shop.company.read() as conn:
        said = " ".join(accepted_quote(conn, quote_id).words())
    assert "chosen options are open again" in said
    assert "stays booked" in said
    shop.do(quotes.take_back_acceptance, quote_id)
    assert shop.document(quote_id) == before
    shop.do(quotes.decline_quote, quote_id, TODAY, "changed their mind")
    shop.company.undo()
    shop.company.undo()
    assert shop.document(quote_id).quote.accepted_on == TODAY


def test_a_change_order_taken_back_marks_its_entries_again(shop: QuoteCompany) -> None:
    quote_id, _ = sent(shop)
    shop.do(quotes.accept_quote, quote_id, TODAY)
    log_unquoted(shop, TODAY)
    order_id = shop.do(quotes.start_change_order, shop.job_id, TODAY, shop.rates(), shop.firm)
    shop.do(quotes.send_quote, order_id, TODAY)
    before = marks(shop)
    shop.do(quotes.accept_quote, order_id, TODAY)
    assert marks(shop) != before
    with shop.company.read() as conn:
        standing = accepted_quote(conn, order_id)
    assert standing.cleared_entries == 4
    assert "4 entries count as not quoted again" in " ".join(standing.words())
    with pytest.raises(Refused, match="A change order stands on"):
        shop.do(quotes.take_back_acceptance, quote_id)
    shop.do(quotes.take_back_acceptance, order_id)
    assert marks(shop) == before


def test_what_was_not_accepted_or_is_invoiced_or_closed_is_refused(shop: QuoteCompany) -> None:
    quote_id, _ = sent(shop)
    with pytest.raises(Refused, match="is not accepted"):
        shop.do(quotes.take_back_acceptance, quote_id)
    shop.do(quotes.accept_quote, quote_id, TODAY)
    with shop.company.action("Invoice") as edit:
        customer = edit.conn.execute(tables.customer.select()).first()
        assert customer is not None
        bill = edit.add(tables.invoice, kind="deposit", number="I26-0001", customer_id=customer.id, job_id=shop.job_id,
                        created_on=TODAY, tax_treatment="none", tax_percent=Decimal(0))  # fmt: skip
        edit.add(tables.invoice_line, invoice_id=bill, kind="deposit", description="Deposit", quantity=Decimal(1),
                 unit_price=Decimal(1), net_cents=100, quote_id=quote_id)  # fmt: skip
    with pytest.raises(Refused, match="I26-0001"):
        shop.do(quotes.take_back_acceptance, quote_id)
    shop.company.undo()
    with shop.company.action("Close") as edit:
        edit.change(tables.job, shop.job_id, closed_on=TODAY)
    with pytest.raises(Refused, match="was closed on"):
        shop.do(quotes.take_back_acceptance, quote_id)
