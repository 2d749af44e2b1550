"""A supplier's sheet that was read once is known again by its headings, whatever order its columns come in."""

from __future__ import annotations

from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from domain.price_import import FORMULA, RememberedSheet, heading_names, named_columns, recognise

HEADINGS = ["Stock Ref", "Bezeichnung", "Netto", "Netto", "VE"]
CHOSEN = {"code": 0, "name": 1, "unit_cost": 3, "pack_quantity": 4}
SHEET = RememberedSheet(heading_names(HEADINGS), named_columns(HEADINGS, CHOSEN), "North counter", date(2026, 3, 2))


def test_a_heading_that_comes_again_gets_its_number() -> None:
    assert heading_names(["Price ", "", "PRICE", FORMULA]) == ("price", "", "price #2", "")
    assert SHEET.columns == {"code": "stock ref", "name": "bezeichnung", "unit_cost": "netto #2", "pack_quantity": "ve"}


def test_a_column_without_a_heading_is_not_remembered() -> None:
    assert named_columns(["Code", ""], {"code": 0, "unit_cost": 1}) == {"code": "code"}


@given(st.permutations(range(5)), st.integers(0, 20))
def test_the_same_headings_in_any_order_below_any_letterhead(order: list[int], above: int) -> None:
    line = [HEADINGS[n].upper() for n in order]
    found = recognise([["Price list"]] * above + [line], [SHEET])
    assert found is not None
    assert found.header == above
    assert {field: line[n] for field, n in found.columns.items()} == {
        "code": "STOCK REF", "name": "BEZEICHNUNG", "unit_cost": "NETTO", "pack_quantity": "VE",
    }  # fmt: skip
    assert found.columns["unit_cost"] == max(n for n, heading in enumerate(line) if heading == "NETTO")


def test_a_new_column_beside_them_does_no_harm() -> None:
    found = recognise([["Note", *HEADINGS]], [SHEET])
    assert found is not None
    assert found.columns["code"] == 1


def test_a_sheet_that_lacks_a_used_heading_is_another_one() -> None:
    assert recognise([HEADINGS[:4]], [SHEET]) is None
    assert recognise([], [SHEET]) is None


def test_two_common_words_in_a_wide_sheet_are_not_enough() -> None:
    small = RememberedSheet(("code", "price"), {"code": "code", "unit_cost": "price"}, "", date(2026, 1, 1))
    wide = ["Code", "Price", "Your price", "Pack price", "Group", "Text"]
    assert recognise([wide], [small]) is None


def test_the_most_alike_wins() -> None:
    longer = RememberedSheet(
        heading_names([*HEADINGS, "Note"]), {**SHEET.columns, "supplier": "note"}, "South counter", date(2025, 1, 1)
    )
    found = recognise([[*HEADINGS, "Note"]], [SHEET, longer])
    assert found is not None
    assert found.sheet.supplier == "South counter"
