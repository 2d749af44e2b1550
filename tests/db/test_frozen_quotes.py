"""What was sent stays, whoever writes: held at the one place every row passes, not by each command."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from sqlalchemy import Boolean, Column, Date, Integer, select
from sqlalchemy.types import TypeDecorator

from db import tables
from db.commands import quotes
from db.company_file.problems import Refused
from db.edit import Edit
from db.frozen_quotes import QUOTE_TABLES
from db.tables import METADATA, quote
from tests.db.quote_company import TODAY, QuoteCompany, make_quote_company

LEFT_OPEN = {"defect", "quote_expectation", "invoice_line", "paper"}
"""Tables that point at a quote and are no part of what the customer holds: what became of it later."""


@pytest.fixture
def shop() -> Iterator[QuoteCompany]:
    made = make_quote_company()
    yield made
    made.company.close()


@pytest.fixture
def sent(shop: QuoteCompany) -> int:
    quote_id = shop.start()
    shop.do(quotes.add_option, quote_id, "Second pit")
    shop.do(quotes.add_other, quote_id, "permit", Decimal(1), Decimal(90))
    shop.do(quotes.send_quote, quote_id, TODAY)
    return quote_id


def rows_of(shop: QuoteCompany, name: str, quote_id: int) -> list[dict[str, Any]]:
    table = METADATA.tables[name]
    column = table.c.id if name == "quote" else table.c.quote_id
    with shop.company.read() as conn:
        return [dict(row) for row in conn.execute(select(table).where(column == quote_id)).mappings()]


def another(column: Column[Any], value: Any) -> Any:
    """A value of the column's kind that differs from the one it has."""
    if isinstance(column.type, Boolean):
        return not value
    if isinstance(column.type, Date):
        return (value or TODAY) + timedelta(1)
    if isinstance(column.type, Integer | TypeDecorator):
        return (value or 0) + 1
    return f"{value or ''}x"


def tried(shop: QuoteCompany, write: Any) -> None:
    with pytest.raises(Refused, match="stays as it is"):
        shop.do(write)


def test_each_table_that_points_at_a_quote_is_decided_on() -> None:
    pointing = {
        table.name for table in METADATA.sorted_tables for column in table.c if column.references(quote.c.id)
    }  # fmt: skip
    assert pointing == (QUOTE_TABLES - {"quote"}) | LEFT_OPEN


@pytest.mark.parametrize("name", sorted(QUOTE_TABLES - {"quote_sketch"}))
def test_no_column_of_a_sent_quote_can_be_written_but_the_answer(shop: QuoteCompany, sent: int, name: str) -> None:
    table, row = METADATA.tables[name], rows_of(shop, name, sent)[0]
    refused = set()
    for column in table.c:
        if column.primary_key or column.foreign_keys:
            continue
        def write(edit: Edit, column: Column[Any] = column) -> None:
            edit.change(table, row["id"], **{column.name: another(column, row[column.name])})
        try:
            shop.do(write)
        except Refused:
            refused.add(column.name)
        else:
            shop.company.undo()
    answers = {column.name for column in table.c if not column.primary_key and not column.foreign_keys} - refused
    assert answers == {
        "quote": {"accepted_on", "declined_on", "declined_reason", "price_cents", "tax_cents", "deposit_cents"},
        "quote_option": {"chosen"},
    }.get(name, set())
    assert rows_of(shop, name, sent)[0] == row


@pytest.mark.parametrize("name", sorted(QUOTE_TABLES - {"quote_sketch"}))
def test_nothing_is_taken_from_a_sent_quote_or_put_on_it(shop: QuoteCompany, sent: int, name: str) -> None:
    table, rows = METADATA.tables[name], rows_of(shop, name, sent)
    tried(shop, lambda edit: edit.remove(table, rows[0]["id"]))
    if name != "quote":
        more = {key: value for key, value in rows[0].items() if key != "id"}
        tried(shop, lambda edit: edit.add(table, **more))
        tried(shop, lambda edit: edit.add_many(table, [more, more]))
    assert rows_of(shop, name, sent) == rows


def test_a_line_is_not_moved_from_a_draft_onto_a_sent_quote(shop: QuoteCompany, sent: int) -> None:
    draft = shop.do(quotes.revise_quote, sent, TODAY)
    line = rows_of(shop, "labour_line", draft)[0]["id"]
    tried(shop, lambda edit: edit.change(tables.labour_line, line, quote_id=sent))


def test_a_line_written_after_the_sending_of_the_same_action_is_refused(shop: QuoteCompany) -> None:
    quote_id = shop.start()
    line = rows_of(shop, "labour_line", quote_id)[0]

    def write(edit: Edit) -> None:
        edit.change(tables.labour_line, line["id"], reason="before")
        quotes.send_quote(edit, quote_id, TODAY)
        edit.change(tables.labour_line, line["id"], reason="after")

    tried(shop, write)
    assert rows_of(shop, "labour_line", quote_id)[0] == line
