"""A change order as its customer reads it: each line once and counted, credits as such, no deposit unasked."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from io import BytesIO

import pytest
from pypdf import PdfReader
from sqlalchemy import select

from db.commands import quotes
from db.commands.log_hours import log_hours
from db.tables import item, labour_task
from desktop.papers import proposal_pdf
from domain.quoting.doubts import doubts_before_sending, without_deposit
from domain.quoting.price import build_price
from domain.quoting.proposal import proposal
from domain.quoting.refresh import DayFigures, refreshes
from tests.db.quote_company import TODAY, QuoteCompany, make_quote_company
from tests.desktop.test_proposal_paper import facts

SLOPE, PIPE = "Correct the slope at joints", "Remove old pipe"


@pytest.fixture
def shop() -> Iterator[QuoteCompany]:
    made = make_quote_company()
    quote_id = made.start()
    made.do(quotes.send_quote, quote_id, TODAY)
    made.do(quotes.accept_quote, quote_id, TODAY)
    yield made
    made.company.close()


def begin(shop: QuoteCompany) -> int:
    order_id: int = shop.do(quotes.start_change_order, shop.job_id, TODAY, shop.rates(), shop.firm)
    return order_id


def words(shop: QuoteCompany, order_id: int) -> str:
    pages = PdfReader(BytesIO(proposal_pdf(facts(shop, order_id)))).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_work_noted_in_the_log_is_printed_once_and_no_count_is_made_up(shop: QuoteCompany) -> None:
    slope = shop.id_of(labour_task, SLOPE)
    for _ in range(2):
        shop.do(log_hours, shop.job_id, TODAY, slope, 1, 60, note="two more found", unquoted=True)
    said = words(shop, begin(shop))
    assert said.count(SLOPE) == 1, said
    assert "1 joint" not in said


def test_two_lines_of_one_task_are_one_with_their_sum(shop: QuoteCompany) -> None:
    order_id = begin(shop)
    slope = shop.id_of(labour_task, SLOPE)
    for crew in ("owner", "helper"):
        shop.do(quotes.add_labour, order_id, slope, Decimal(2), crew=crew)
    assert f"{SLOPE}: 4 joints" in words(shop, order_id)
    shop.do(quotes.set_texts, order_id, scope_text=f"- {SLOPE}: more of them hold water")
    said = words(shop, order_id)
    assert said.count(SLOPE) == 1
    assert f"{SLOPE} (4 joints): more of them hold water" in said


def test_what_is_left_out_reads_as_a_credit(shop: QuoteCompany) -> None:
    order_id = begin(shop)
    shop.do(quotes.add_labour, order_id, shop.id_of(labour_task, PIPE), Decimal(-6))
    said = words(shop, order_id)
    assert f"Not done, taken off: {PIPE}, 6 ft" in said
    assert "comes off the price" in said
    assert ": -6" not in said


def test_an_options_lines_are_not_told_as_part_of_the_change(shop: QuoteCompany) -> None:
    order_id = begin(shop)
    option = shop.do(quotes.add_option, order_id, "Cover the pipe")
    shop.do(quotes.add_labour, order_id, shop.id_of(labour_task, PIPE), Decimal(3), option_id=option)
    shop.do(quotes.add_labour, order_id, shop.id_of(labour_task, SLOPE), Decimal(1))
    said = words(shop, order_id)
    changes, options = said.split("Options: tick", 1)
    assert PIPE not in changes
    assert f"{PIPE}: 3 ft" in options


def test_parts_of_pieces_and_packs_are_not_on_the_paper_and_no_cent_moves(shop: QuoteCompany) -> None:
    order_id = begin(shop)
    for name, unit, much in (
        ("Solvent cement, quart", "quart", "0.05"), ("Wire connector", "each", "3.15"), ("Pipe, 3 in", "ft", "10.932"),
        ("Primer, quart", "quart", "-0.25"), ("Elbow, 3 in", "each", "-2"),
    ):
        shop.do(
            quotes.add_material, order_id, None, Decimal(much), description=name, unit=unit, unit_cost=Decimal(10),
            waste_percent=Decimal(0),
        )
    of = facts(shop, order_id)
    assert proposal(of).covers == (
        "Solvent cement", "Wire connector: 4", "Pipe, 3 in: 10.9 ft", "Less of it, taken off: Primer",
        "Not done, taken off: Elbow, 3 in, 2",
    )
    assert build_price(of.document).alone.cost_cents == 50 + 3150 + 10932 - 250 - 2000
    said = words(shop, order_id)
    assert not any(figure in said for figure in ("0.05", "3.15", "10.932", "0.25"))


def test_no_deposit_is_spoken_of_where_none_is_asked(shop: QuoteCompany) -> None:
    assert "deposit" in shop.firm.terms_text
    order_id = begin(shop)
    assert "eposit" not in words(shop, order_id)
    assert "Work that is not in the scope" in words(shop, order_id)
    shop.do(quotes.set_texts, order_id, terms_text=shop.firm.terms_text)
    said = " ".join(doubts_before_sending(shop.document(order_id), tested=True, tasks={}))
    assert "speak of a deposit" in said


def test_terms_without_a_deposit_stay_to_the_letter() -> None:
    kept = "Paid when done.\n\nNo radon level is promised."
    assert without_deposit(kept) == kept
    assert without_deposit("A deposit is due. The rest when done.\nWarranty 5 years.") == (
        "The rest when done.\nWarranty 5 years."
    )


def test_a_material_stands_as_it_was_paid_and_is_not_called_changed(shop: QuoteCompany) -> None:
    order_id = begin(shop)
    with shop.company.read() as conn:
        item_id = conn.scalars(select(item.c.id)).first()
    shop.do(
        quotes.add_material, order_id, item_id, Decimal(1), description="Fan", unit="each", unit_cost=Decimal("99"),
        waste_percent=Decimal(0), reason="logged Mar 3, 2026",
    )  # fmt: skip
    figures = DayFigures(shop.rates(), {}, {item_id: Decimal("120")})
    assert not refreshes(shop.document(order_id), figures)
