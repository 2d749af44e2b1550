"""What one sees while typing is what is saved: the preview of a cell and the command on it end in the same line."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

import pytest

from db.commands import quotes
from db.queries.quote_page import QuotePage, quote_page
from domain.errors import NotUnderstood
from domain.quoting.typed import (
    labour_then,
    labour_values,
    material_then,
    material_values,
    other_then,
    other_values,
)
from tests.db.quote_company import TODAY, QuoteCompany, make_quote_company


@pytest.fixture
def shop() -> Iterator[QuoteCompany]:
    made = make_quote_company()
    quote_id = made.start()
    made.do(quotes.add_other, quote_id, "permit", Decimal(1), Decimal(90))
    yield made
    made.company.close()


def page(shop: QuoteCompany) -> QuotePage:
    with shop.company.read() as conn:
        return quote_page(conn, shop.job_id, None, TODAY)


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("task", "set the fan"), ("quantity", "12"), ("quantity", "2 1/2"),
        ("override", "2h15"), ("override", "45m"), ("override", ""), ("crew", "help"), ("reason", " hatch is 14 in "),
    ],
)  # fmt: skip
def test_work(shop: QuoteCompany, key: str, text: str) -> None:
    seen = page(shop)
    assert seen.document is not None
    line = seen.document.labour[0]
    values = labour_values(key, text, "each", seen.picks)
    then = labour_then(line, values, seen.picks, seen.document.quote)
    shop.do(quotes.change_labour, line.id, **values)
    assert shop.document(line.quote_id).labour[0] == then


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("item", "first code"), ("item", "words of one's own"), ("net", "17.5"), ("waste", "12.5%"), ("waste", ""),
        ("unit_cost", "$2.3456"), ("unit", "roll"), ("reason", "two cuts"),
    ],
)  # fmt: skip
def test_material(shop: QuoteCompany, key: str, text: str) -> None:
    seen = page(shop)
    assert seen.document is not None
    line = seen.document.materials[0]
    text = seen.picks.items[-1].item.code if text == "first code" else text
    values = material_values(key, text, line.unit, seen.picks)
    then = material_then(line, values, seen.picks)
    shop.do(quotes.change_material, line.id, on=TODAY, **values)
    assert shop.document(line.quote_id).materials[0] == then


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("kind", "travel"), ("kind", "sub"), ("kind", "other dump fee"), ("kind", "elec"), ("quantity", "3"),
        ("unit_cost", "85"), ("unit", "day"),
    ],
)  # fmt: skip
def test_other_costs(shop: QuoteCompany, key: str, text: str) -> None:
    seen = page(shop)
    assert seen.document is not None
    line = seen.document.others[0]
    values = other_values(key, text, line.unit)
    then = other_then(line, values, seen.document.quote)
    shop.do(quotes.change_other, line.id, **values)
    assert shop.document(line.quote_id).others[0] == then


def test_a_trade_is_a_subcontractor_and_miles_are_travel() -> None:
    assert other_values("kind", "elec", "") == {"kind": "subcontractor", "description": "Electrician"}
    assert other_values("kind", "mi", "") == {"kind": "travel"}
    assert other_values("kind", "tra", "") == {"kind": "travel"}
    assert other_values("kind", "sub", "") == {"kind": "subcontractor"}
    assert other_values("kind", "other dumpster", "") == {"kind": "other", "description": "dumpster"}


@pytest.mark.parametrize("text", ["280", "$280", "dumpster", "er", "e l"])
def test_what_names_no_kind_is_asked_again_and_never_becomes_another(text: str) -> None:
    with pytest.raises(NotUnderstood) as told:
        other_values("kind", text, "")
    assert told.value.typed == text


def test_a_part_of_a_name_that_fits_several_is_asked_about(shop: QuoteCompany) -> None:
    picks = page(shop).picks
    with pytest.raises(NotUnderstood, match="fits"):
        labour_values("task", "run pipe", "", picks)
    with pytest.raises(NotUnderstood, match="no labor task"):
        labour_values("task", "paint the moon", "", picks)
    with pytest.raises(NotUnderstood, match="fits"):
        material_values("item", "pipe", "ft", picks)


def test_the_whole_page_takes_a_fixed_number_of_statements(shop: QuoteCompany) -> None:
    from sqlalchemy import event

    counted: list[str] = []
    event.listen(shop.company.engine, "before_cursor_execute", lambda *args: counted.append(args[2]))
    page(shop)
    few = len(counted)
    quote_id = page(shop).quotes[0].id
    for n in range(30):
        shop.do(quotes.add_other, quote_id, "permit", Decimal(1), Decimal(n))
    shop.do(quotes.send_quote, quote_id, TODAY)
    for _ in range(3):
        shop.do(quotes.send_quote, shop.do(quotes.revise_quote, quote_id, TODAY), TODAY)
    shop.do(quotes.revise_quote, quote_id, TODAY)
    counted.clear()
    page(shop)
    assert len(counted) == few
