"""The proposal as the customer reads it: the PDF read back, on what must and must not be on it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from io import BytesIO

import pytest
from pypdf import PdfReader

from db import tables
from db.commands import quotes
from db.queries.proposals import proposal_facts
from desktop.papers import proposal_pdf
from domain.money import format_money
from domain.quoting.price import build_price
from domain.quoting.proposal import ProposalFacts, paper_name, proposal
from tests.db.quote_company import TODAY, QuoteCompany, make_quote_company


@pytest.fixture
def shop() -> Iterator[QuoteCompany]:
    made = make_quote_company()
    yield made
    made.company.close()


@pytest.fixture
def quote_id(shop: QuoteCompany) -> int:
    quote_id = shop.start()
    option_id = shop.do(quotes.add_option, quote_id, "Quieter fan", "For the bedroom wall.")
    shop.do(quotes.add_other, quote_id, "equipment", Decimal(1), Decimal(90), option_id=option_id)
    return quote_id


def facts(shop: QuoteCompany, quote_id: int) -> ProposalFacts:
    with shop.company.read() as conn:
        return proposal_facts(conn, quote_id)


def pages(of: ProposalFacts) -> list[str]:
    reader = PdfReader(BytesIO(proposal_pdf(of)))
    return [re.sub(r"\s+", " ", page.extract_text()) for page in reader.pages]


def test_names_with_any_latin_letter_and_sign_print_as_written(shop: QuoteCompany, quote_id: int) -> None:
    text = " ".join(pages(facts(shop, quote_id)))
    assert "Łukasz & Søn <Ltd>" in text
    assert "&amp;" not in text


def test_everything_the_customer_needs_is_on_it(shop: QuoteCompany, quote_id: int) -> None:
    with shop.company.action("test") as edit:
        edit.add(
            tables.radon_test, job_id=shop.job_id, purpose="before", device="continuous monitor", place="basement",
            started_on=date(2026, 2, 20), ended_on=date(2026, 2, 24), result=Decimal("8.2"),
        )  # fmt: skip
        edit.change(tables.company, 1, licence_number="RM-0001")
    shop.do(quotes.send_quote, quote_id, TODAY)
    told = facts(shop, quote_id)
    text = " ".join(pages(told))
    price = build_price(told.document)
    for wanted in (
        told.firm.name, "RM-0001", "14 Alder Row", "8.2 pCi/L", "above the action level of 4 pCi/L", "What we will do",
        "What is not included", "Quieter fan", format_money(price.options[0].price_cents),
        format_money(price.alone.total_cents), format_money(price.alone.deposit_cents), "Valid until: Thu, Apr 2, 2026",
        "If the result is not below 4 pCi/L", "Warranty", "Please note", "Terms", "Acceptance", "Signature",
    ):  # fmt: skip
        assert wanted in text, wanted
    for words in (told.document.quote.warranty_text, told.document.quote.above_action_text):
        assert " ".join(words.split())[:60] in text
    assert "Draft" not in text


def test_a_draft_says_that_it_is_one_on_every_page(shop: QuoteCompany, quote_id: int) -> None:
    assert all("Draft: not sent" in page for page in pages(facts(shop, quote_id)))


def test_costs_margins_and_reasons_stay_in_the_office(shop: QuoteCompany, quote_id: int) -> None:
    shop.do(quotes.set_goodwill, quote_id, 4000, "sorry for the wait")
    of = facts(shop, quote_id)
    text = " ".join(pages(of))
    totals = build_price(of.document).alone
    assert "Goodwill −$40.00" in text
    for kept in ("sorry for the wait", "margin", "markup", "overhead", format_money(totals.cost_cents)):
        assert kept not in text.lower(), kept


def test_a_lump_sum_shows_no_tax(shop: QuoteCompany, quote_id: int) -> None:
    shop.do(quotes.set_pricing, quote_id, tax_treatment="lump_sum", tax_percent=Decimal(6))
    assert not re.search(r"sales tax|\btax\b", " ".join(pages(facts(shop, quote_id))), re.IGNORECASE)


def test_separated_materials_and_their_tax_are_shown_and_add_up(shop: QuoteCompany, quote_id: int) -> None:
    shop.do(quotes.set_pricing, quote_id, tax_treatment="separated", tax_percent=Decimal(6))
    of = facts(shop, quote_id)
    totals = build_price(of.document).alone
    text = " ".join(pages(of))
    assert f"Sales tax, 6% on materials {format_money(totals.tax_cents)}" in text
    amounts = {row.label: row.amount for row in proposal(of).price_rows}
    parts = [int(re.sub(r"\D", "", amounts[name])) for name in ("of this, materials", "of this, work and all else")]
    assert sum(parts) == totals.net_price_cents
    assert totals.total_cents == totals.net_price_cents + totals.tax_cents


@pytest.mark.parametrize("steps", [1, 18, 30, 42, 54, 66])
def test_a_long_scope_runs_over_pages_with_head_number_and_no_lonely_signature(
    shop: QuoteCompany, quote_id: int, steps: int
) -> None:
    step = "open the slab beside the footing, dig out the pit, carry the soil away, hang the pipe with fall to the pit"
    shop.do(quotes.set_texts, quote_id, scope_text="\n".join(f"Step {n}: {step}." for n in range(steps)))
    shop.do(quotes.send_quote, quote_id, TODAY)
    made = pages(facts(shop, quote_id))
    assert all(f"Page {n} of {len(made)}" in page for n, page in enumerate(made, 1))
    assert all("Proposal · Job 26-001, version 1" in page for page in made)
    assert all(f"Step {n}:" in " ".join(made) for n in range(steps))
    signing = [page for page in made if "Signature" in page]
    assert len(signing) == 1
    before_acceptance = signing[0].split("Acceptance")[0]
    last_words = " ".join(facts(shop, quote_id).document.quote.terms_text.split())[-30:]
    assert last_words in before_acceptance
    for page in made:  # no heading is the last thing on its page
        body = page.split("Proposal · Job 26-001, version 1")[0]
        assert not re.search(r"(What is not included|Warranty|Please note|Terms|Price)\s*$", body)


def test_three_pages_of_scope(shop: QuoteCompany, quote_id: int) -> None:
    line = "We open the slab beside the footing, dig out the pit and carry the soil away. " * 3
    shop.do(quotes.set_texts, quote_id, scope_text="\n".join([line] * 45))
    made = pages(facts(shop, quote_id))
    with_scope = [page for page in made if "carry the soil away" in page]
    assert len(with_scope) >= 3


def test_an_accepted_proposal_shows_what_was_chosen(shop: QuoteCompany, quote_id: int) -> None:
    shop.do(quotes.send_quote, quote_id, TODAY)
    option = shop.document(quote_id).options[0]
    shop.do(quotes.accept_quote, quote_id, TODAY, [option.id])
    of = facts(shop, quote_id)
    text = " ".join(pages(of))
    assert "Accepted: Tue, Mar 3, 2026" in text
    assert "option chosen" in text
    assert format_money(build_price(of.document).together.total_cents) in text


def test_a_change_order_names_the_work_and_what_is_agreed_now(shop: QuoteCompany, quote_id: int) -> None:
    shop.do(quotes.send_quote, quote_id, TODAY)
    shop.do(quotes.accept_quote, quote_id, TODAY)
    order_id = shop.do(quotes.start_change_order, shop.job_id, TODAY, shop.rates(), shop.firm)
    shop.do(quotes.add_other, order_id, "permit", Decimal(-1), Decimal(50), description="Permit not needed")
    of = facts(shop, order_id)
    before = build_price(shop.document(quote_id)).together.net_price_cents
    change = build_price(of.document).alone.net_price_cents
    text = " ".join(pages(of))
    assert change < 0
    for wanted in ("Change order 1", "Permit not needed", format_money(before), format_money(before + change)):
        assert wanted in text, wanted
    assert paper_name(of) == "Change order 1 26-001.pdf"


def test_a_metric_firm_prints_on_a4(shop: QuoteCompany, quote_id: int) -> None:
    of = facts(shop, quote_id)
    metric = replace(of, firm=replace(of.firm, unit_system="metric", radon_unit="Bq/m3"))
    sizes = [PdfReader(BytesIO(proposal_pdf(one))).pages[0].mediabox.width for one in (of, metric)]
    assert [round(float(size)) for size in sizes] == [612, 595]
    assert "148 Bq/m" in " ".join(pages(metric))


def test_starting_the_program_does_not_load_the_pdf_library() -> None:
    import subprocess
    import sys

    code = "import sys, desktop.papers; sys.exit(any(name.startswith('reportlab') for name in sys.modules))"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_a_sent_paper_keeps_to_the_tests_known_when_it_was_sent(shop: QuoteCompany, quote_id: int) -> None:
    shop.do(quotes.send_quote, quote_id, TODAY)
    with shop.company.action("test") as edit:
        for ended_on, result in ((TODAY, "8.2"), (TODAY + timedelta(days=9), "1.1")):
            edit.add(
                tables.radon_test, job_id=shop.job_id, purpose="before", device="monitor", place="basement",
                started_on=None, ended_on=ended_on, result=Decimal(result),
            )  # fmt: skip
    assert [test.result for test in facts(shop, quote_id).tests][-1:] == [Decimal("8.2")]
