"""Items, suppliers and dated prices: a day keeps its price, and a price file comes in whole or not at all."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import create_engine, select
from sqlalchemy.pool import StaticPool

from db import tables
from db.commands import price_list as prices
from db.commands.price_import import apply_import
from db.company_file.company import Company
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.price_list import item_prices, price_list, priced_items, supplier_item_counts, suppliers
from domain.price_import import ImportRow, plan_import
from tests.small_company import statements

JANUARY, MARCH, MAY = date(2026, 1, 5), date(2026, 3, 2), date(2026, 5, 4)


def two_pipes() -> Company:
    """A company with nothing but a supplier and two items."""
    engine = create_engine("sqlite://", poolclass=StaticPool)
    tables.METADATA.create_all(engine)
    made = Company(Path(":memory:"), engine)
    with made.action("Price list") as edit:
        counter = prices.add_supplier(edit, "Plumbing counter")
        for code, cost in (("P3", "2.68"), ("P4", "3.62")):
            prices.add_item(edit, code, f"Pipe {code}", "ft", Decimal(cost), JANUARY, supplier_id=counter)
    return made


@pytest.fixture
def company() -> Iterator[Company]:
    made = two_pipes()
    yield made
    made.close()


def do(company: Company, command: Callable[..., Any], *args: Any, **named: Any) -> Any:
    with company.action(command.__name__) as edit:
        return command(edit, *args, **named)


def item_id(company: Company, code: str) -> int:
    with company.read() as conn:
        return int(conn.execute(select(tables.item.c.id).where(tables.item.c.code == code)).scalar_one())


def cost_on(company: Company, day: date, code: str = "P3") -> Decimal | None:
    with company.read() as conn:
        return next(row.unit_cost for row in price_list(conn, day) if row.item.code == code)


def everything(company: Company) -> dict[str, list[tuple[Any, ...]]]:
    """All rows of the price list's tables."""
    with company.read() as conn:
        return {
            table.name: [tuple(row) for row in conn.execute(select(table).order_by(table.c.id))]
            for table in (tables.supplier, tables.item, tables.item_price)
        }


def test_a_new_price_leaves_earlier_days_alone(company: Company) -> None:
    do(company, prices.set_price, item_id(company, "P3"), MARCH, Decimal("2.95"))
    assert [cost_on(company, day) for day in (JANUARY, date(2026, 3, 1), MARCH, MAY)] == [
        Decimal("2.68"), Decimal("2.68"), Decimal("2.95"), Decimal("2.95"),
    ]  # fmt: skip
    with company.read() as conn:
        row = next(row for row in price_list(conn, MAY) if row.item.code == "P3")
    assert (row.previous_cost, row.previous_on, row.cost_change) == (Decimal("2.68"), JANUARY, Decimal("0.27"))


def test_a_price_entered_ahead_is_told_and_not_yet_used(company: Company) -> None:
    do(company, prices.set_price, item_id(company, "P3"), MAY, Decimal("3.10"))
    with company.read() as conn:
        row = next(row for row in price_list(conn, MARCH) if row.item.code == "P3")
    assert (row.unit_cost, row.next_on, row.previous_cost) == (Decimal("2.68"), MAY, None)


def test_before_the_first_price_the_first_is_shown(company: Company) -> None:
    with company.read() as conn:
        row = price_list(conn, date(2025, 6, 1))[0]
    assert (row.unit_cost, row.priced_on, row.next_on) == (Decimal("2.68"), JANUARY, None)


def test_the_same_day_again_corrects_the_price(company: Company) -> None:
    pipe = item_id(company, "P3")
    do(company, prices.set_price, pipe, JANUARY, Decimal("2.70"))
    with company.read() as conn:
        assert [price.unit_cost for price in item_prices(conn, pipe)] == [Decimal("2.70")]


@pytest.mark.parametrize("cost", ["0", "-1"])
def test_nothing_and_less_is_no_price(company: Company, cost: str) -> None:
    with pytest.raises(Refused, match="no price"):
        do(company, prices.set_price, item_id(company, "P3"), MARCH, Decimal(cost))
    assert cost_on(company, MAY) == Decimal("2.68")


def test_the_only_price_stays(company: Company) -> None:
    with company.read() as conn:
        (only,) = item_prices(conn, item_id(company, "P3"))
    with pytest.raises(Refused, match="only price"):
        do(company, prices.remove_price, only.id)


def test_a_code_is_there_once_whatever_its_capitals(company: Company) -> None:
    with pytest.raises(Refused, match="belongs to"):
        do(company, prices.add_item, " p3 ", "Other", "ft", Decimal(1), MARCH)


def test_an_unused_item_goes_with_its_prices_and_comes_back_whole(company: Company) -> None:
    before = everything(company)
    do(company, prices.delete_item, item_id(company, "P4"))
    assert len(everything(company)["item"]) == 1
    company.undo()
    assert everything(company) == before


def test_a_supplier_with_items_is_not_deleted(company: Company) -> None:
    with company.read() as conn:
        (counter,) = suppliers(conn)
        assert supplier_item_counts(conn) == {counter.id: 2}
    with pytest.raises(Refused, match="2 items come from") as refusal:
        do(company, prices.delete_supplier, counter.id)
    assert "Archive" in refusal.value.advice


def test_search_looks_at_code_name_kind_and_supplier(company: Company) -> None:
    with company.read() as conn:
        assert [row.item.code for row in price_list(conn, MAY, "p4 plumb")] == ["P4"]
        assert price_list(conn, MAY, "membrane") == []


def test_the_list_takes_one_statement_whatever_its_length(company: Company) -> None:
    assert statements(company, lambda conn: price_list(conn, MAY)) == 1


rows = st.builds(
    ImportRow,
    number=st.integers(2, 400),
    code=st.sampled_from(["P3", "p4", "C3", "C4", "E90-3", "", "T3"]),
    name=st.sampled_from(["Coupling", "Łukasz elbow", ""]),
    unit=st.sampled_from(["", "each", "ft"]),
    unit_cost=st.sampled_from(["2.68", "2.75", "0", "-3", "1/3", "x", ""]),
    supplier=st.sampled_from(["", "North Wholesale", "plumbing counter", "Øster Depot"]),
    waste_percent=st.sampled_from(["", "5", "400"]),
)


class _Stopping(Edit):
    """An edit whose disk fails after some writes."""

    writes_left = 0

    def _note_write(self) -> None:
        if self.writes_left <= 0:
            raise OSError("disk full")
        self.writes_left -= 1

    def add(self, table: Any, **values: Any) -> int:
        self._note_write()
        return super().add(table, **values)

    def change(self, table: Any, row_id: int, **values: Any) -> None:
        self._note_write()
        super().change(table, row_id, **values)


@settings(max_examples=60)
@given(st.lists(rows, max_size=7), st.integers(0, 12))
def test_a_price_file_comes_in_whole_or_not_at_all(file_rows: list[ImportRow], writes: int) -> None:
    made = two_pipes()
    before = everything(made)
    with made.read() as conn:
        plan = plan_import(file_rows, priced_items(conn, MARCH, archived=True), MARCH)
    failed = False
    try:
        with made.action("Bring in prices") as edit:
            edit.__class__ = _Stopping
            edit.writes_left = writes
            apply_import(edit, plan)
    except OSError:
        failed = True
    if failed:
        assert everything(made) == before
    else:
        with made.read() as conn:
            now = {row.item.code: row for row in price_list(conn, MARCH)}
        assert all(now[new.code].unit_cost == new.unit_cost for new in plan.added)
        assert all(now[change.code].unit_cost == (change.unit_cost or change.old_cost) for change in plan.changed)
        assert len(now) == 2 + len(plan.added)
        if plan.writes:
            after = everything(made)
            assert made.undo() == "Bring in prices"
            assert everything(made) == before
            assert made.redo() == "Bring in prices"
            assert everything(made) == after
    made.close()


def test_an_outdated_plan_is_refused(company: Company) -> None:
    with company.read() as conn:
        plan = plan_import([ImportRow(2, code="C3", name="c", unit_cost="1")], priced_items(conn, MARCH), MARCH)
    do(company, prices.add_item, "C3", "Coupling", "each", Decimal(2), MARCH)
    before = everything(company)
    with pytest.raises(Refused, match="has changed since"):
        do(company, apply_import, plan)
    assert everything(company) == before
