"""What a price file would do is said row by row before anything is done."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.price_import import (
    FORMULA,
    MERGED,
    ImportRow,
    SheetRow,
    decimal_comma_used,
    find_header,
    guess_columns,
    missing_columns,
    plan_import,
    read_rows,
)
from domain.price_list import Item, PricedItem

ON = date(2026, 3, 2)


def kept(code: str = "P3", cost: str = "2.68", archived: bool = False) -> PricedItem:
    item = Item(7, code, "Pipe, 3 in", "pipe", "ft", Decimal(10), 1, Decimal(10), archived)
    return PricedItem(item, Decimal(cost), date(2026, 1, 1), "Plumbing counter")


def plan_of(*rows: ImportRow, existing: tuple[PricedItem, ...] = (), **kwargs: bool):  # type: ignore[no-untyped-def]
    return plan_import(rows, existing, ON, **kwargs)


def test_headings_are_recognised_in_any_order_and_capitals() -> None:
    assert guess_columns(["PRICE (USD)", "Supplier", "Item No.", "Description", "UOM"]) == {
        "unit_cost": 0, "supplier": 1, "code": 2, "name": 3, "unit": 4,
    }  # fmt: skip


def test_the_heading_line_is_found_below_a_letterhead() -> None:
    lines = [["Spring price list"], [""], ["Code", "Description", "Price"], ["P3", "Pipe", "2.68"]]
    assert find_header(lines) == 2
    assert find_header([["P3", "Pipe", "2.68"]]) is None


def test_what_is_missing_is_said() -> None:
    assert "code" in missing_columns({"unit_cost": 1})
    assert "price" in missing_columns({"code": 0})
    assert "pack" in missing_columns({"code": 0, "pack_cost": 1})
    assert missing_columns({"code": 0, "pack_cost": 1, "pack_quantity": 2}) == ""


def test_rows_are_cut_by_the_columns_and_empty_ones_passed_over() -> None:
    lines = [SheetRow(4, ("2.68", "P3")), SheetRow(5, ("", "")), SheetRow(9, ("1.15", "C2"))]
    rows = read_rows(lines, {"code": 1, "unit_cost": 0})
    assert [(row.number, row.code, row.unit_cost, row.name) for row in rows] == [
        (4, "P3", "2.68", ""), (9, "C2", "1.15", ""),
    ]  # fmt: skip


def test_new_changed_and_unchanged_are_told_apart() -> None:
    plan = plan_of(
        ImportRow(2, code="C3", name="Coupling, 3 in", unit="EA", unit_cost="$2.35"),
        ImportRow(3, code="p3", unit_cost="2.75"),
        ImportRow(4, code="P4", name="", unit_cost="3.62"),
        existing=(kept(), kept("P4", "3.62")),
    )
    (new,) = plan.added
    assert (new.code, new.unit, new.unit_cost, new.item_class) == ("C3", "each", Decimal("2.35"), "fitting")
    (change,) = plan.changed
    assert (change.item_id, change.old_cost, change.unit_cost, change.values) == (
        7, Decimal("2.68"), Decimal("2.75"), (),
    )  # fmt: skip
    assert [row.number for row in plan.unchanged] == [4]
    assert plan.refused == ()


def test_only_what_the_file_says_otherwise_changes() -> None:
    plan = plan_of(
        ImportRow(2, code="P3", name="Pipe, 3 in", supplier="plumbing COUNTER", pack_quantity="20 ft"),
        existing=(kept(),),
    )
    (change,) = plan.changed
    assert change.values == (("pack_quantity", Decimal(20)),)
    assert [(field.label, field.before, field.after) for field in change.fields] == [("pack", "10", "20")]
    assert change.unit_cost is None


def test_a_pack_price_is_divided_and_rounded_half_up() -> None:
    plan = plan_of(
        ImportRow(2, code="P3", pack_cost="27.50"),
        ImportRow(3, code="W12", name="Wire", unit="ft", pack_cost="0.35", pack_quantity="1000"),
        existing=(kept(),),
    )
    assert plan.changed[0].unit_cost == Decimal("2.7500")
    assert plan.added[0].unit_cost == Decimal("0.0004")


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        (ImportRow(2, name="Pipe", unit_cost="2"), "no code"),
        (ImportRow(2, code="A", name="Pipe", unit_cost="0"), "nothing"),
        (ImportRow(2, code="A", name="Pipe", unit_cost="-2.10"), "below nothing"),
        (ImportRow(2, code="A", name="Pipe", unit_cost="(2.10)"), "below nothing"),
        (ImportRow(2, code="A", name="Pipe", unit_cost="call us"), "not a number"),
        (ImportRow(2, code="A", name="Pipe"), "no price"),
        (ImportRow(2, code="A", unit_cost="2"), "no name"),
        (ImportRow(2, code="A", name="Pipe", unit_cost=FORMULA), "formula without a saved value"),
        (ImportRow(2, code="A", name="Pipe", unit_cost=MERGED), "merged"),
        (ImportRow(2, code=MERGED, name="Pipe", unit_cost="2"), "merged with the cell above"),
        (ImportRow(2, code="A", name="Pipe", unit_cost="2", pack_quantity="0"), "more than nothing"),
        (ImportRow(2, code="A", name="Pipe", unit_cost="2", waste_percent="150"), "between 0 and 100"),
        (ImportRow(2, code="A", name="Pipe", pack_cost="20"), "how many units"),
        (ImportRow(2, code="A", name="x" * 300, unit_cost="2"), "longer than"),
        (ImportRow(2, code="P3", unit="each", unit_cost="2"), "counts it by the ft"),
        (ImportRow(2, code="OLD", unit_cost="2"), "archived"),
    ],
)
def test_what_cannot_be_used_is_refused_with_its_reason(row: ImportRow, reason: str) -> None:
    plan = plan_of(row, existing=(kept(), kept("OLD", archived=True)))
    (refused,) = plan.refused
    assert reason in refused.reason
    assert (refused.number, plan.writes) == (2, 0)


def test_every_row_of_a_repeated_code_is_refused() -> None:
    plan = plan_of(
        ImportRow(3, code="P3", unit_cost="2"), ImportRow(7, code="p3", unit_cost="3"), existing=(kept(),)
    )
    assert [row.number for row in plan.refused] == [3, 7]
    assert all("rows 3, 7" in row.reason for row in plan.refused)


def test_new_suppliers_are_named_once() -> None:
    plan = plan_of(
        ImportRow(2, code="A", name="a", unit_cost="1", supplier="North Wholesale"),
        ImportRow(3, code="B", name="b", unit_cost="1", supplier="north wholesale"),
        ImportRow(4, code="C", name="c", unit_cost="1", supplier="PLUMBING counter"),
        existing=(kept(),),
    )
    assert plan.new_suppliers == ("North Wholesale",)


@pytest.mark.parametrize(
    ("amounts", "comma"),
    [(["2,68", "1.234,50"], True), (["2.68", "1,234.50"], False), (["1,234"], False), ([], False), (["3"], False)],
)
def test_the_decimal_sign_is_guessed_from_the_amounts(amounts: list[str], comma: bool) -> None:
    assert decimal_comma_used(amounts) is comma


def test_a_point_is_never_taken_for_thousands_where_it_parts_none() -> None:
    good = plan_of(ImportRow(2, code="A", name="a", unit_cost="1.234,50"), decimal_comma=True)
    assert good.added[0].unit_cost == Decimal("1234.50")
    bad = plan_of(ImportRow(2, code="A", name="a", unit_cost="2.68"), decimal_comma=True)
    assert "not a number" in bad.refused[0].reason


cells = st.text(st.characters(codec="utf-8", exclude_characters="\x00"), max_size=12) | st.sampled_from(
    ["P3", "p3", "2.68", "0", "-1", FORMULA, MERGED, "1/3", "1e9", "each", "ft", "%", "()"]
)


@given(st.lists(st.builds(ImportRow, st.integers(2, 60), *[cells] * 9), max_size=8), st.booleans())
def test_every_row_ends_in_exactly_one_heap(rows: list[ImportRow], comma: bool) -> None:
    plan = plan_import(rows, (kept(),), ON, comma)
    heaps = (plan.added, plan.changed, plan.unchanged, plan.refused)
    assert sorted(row.number for heap in heaps for row in heap) == sorted(row.number for row in rows)
    assert all(new.unit_cost > 0 and new.pack_quantity > 0 and new.name for new in plan.added)
