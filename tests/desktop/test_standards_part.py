"""Standards on the Company page: found by word, an own value typed with keys, kept, ended, undone."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from db.commands.firm import set_mile_cost
from db.commands.standards import set_own_standard
from db.company_file.company import Company
from db.queries.standards import own_standards, own_values
from desktop.desk import Desk
from desktop.pages.company import CompanyPage
from domain.standards import STANDARD_KEYS, standard_on
from tests.desktop.pages_at_work import focused, type_into
from tests.small_company import TODAY, empty_company


@pytest.fixture
def company() -> Iterator[Company]:
    made = empty_company()
    yield made
    made.close()


def shown(qtbot: QtBot, company: Company, key: str = "standards") -> tuple[CompanyPage, Any]:
    desk = Desk(company, lambda: TODAY)
    page = CompanyPage(desk)
    qtbot.addWidget(page)
    desk.changed.connect(page.refresh)
    page.resize(1280, 744)
    with qtbot.waitExposed(page):
        page.show()
    page.show_key(None, key)
    page.activateWindow()
    return page, page.part(key)


def counts(company: Company, key: str) -> Decimal:
    with company.read() as conn:
        return standard_on(key, TODAY, own_standards(conn)).value


def keys_shown(part: Any) -> list[str]:
    return [part.model.row_at(n).key for n in range(part.model.rowCount())]


def find(qtbot: QtBot, part: Any, words: str) -> None:
    type_into(qtbot, part.search, words, None)
    part.search.flush()


def test_every_figure_is_listed_with_where_it_is_from(qtbot: QtBot, company: Company) -> None:
    _, part = shown(qtbot, company)
    assert sorted(keys_shown(part)) == sorted(STANDARD_KEYS)
    assert part.count.text() == f"{len(STANDARD_KEYS)} of {len(STANDARD_KEYS)} figures"
    find(qtbot, part, "horizontal run rms-lb")
    assert keys_shown(part) == ["support_horizontal_ft"]
    find(qtbot, part, "no such figure")
    assert keys_shown(part) == []


def test_a_part_of_the_work_is_chosen(qtbot: QtBot, company: Company) -> None:
    _, part = shown(qtbot, company)
    part.group.set_value("Discharge")
    part.group.edited.emit("Discharge")
    assert keys_shown(part)
    assert all(key.startswith("discharge_") for key in keys_shown(part))


def test_the_county_asks_five_feet_typed_by_keys_alone(qtbot: QtBot, company: Company) -> None:
    page, part = shown(qtbot, company)
    find(qtbot, part, "horizontal run rms-lb")
    part.table.setFocus()
    part.table.select_id("support_horizontal_ft")
    qtbot.keyClick(part.table, Qt.Key.Key_Return)
    assert focused(page) is part.card.value
    qtbot.keyClicks(focused(page), "60 in")
    qtbot.keyClick(focused(page), Qt.Key.Key_Tab)
    qtbot.keyClick(focused(page), Qt.Key.Key_Tab)
    assert focused(page) is part.card.source
    qtbot.keyClicks(focused(page), "county inspector")
    qtbot.keyClick(focused(page), Qt.Key.Key_Return)
    assert counts(company, "support_horizontal_ft") == 5
    row = part.model.row_at(0)
    assert (row.now.value, row.built_in.value) == (5, 4)
    assert part.card.value.text() == part.card.source.text() == ""
    part.card.back.click()
    assert counts(company, "support_horizontal_ft") == 4
    page.desk.undo()
    assert counts(company, "support_horizontal_ft") == 5
    page.desk.undo()
    with company.read() as conn:
        assert own_values(conn) == []


@pytest.mark.parametrize(
    ("value", "source", "words"),
    [
        ("400", "county", "far from the 4 ft"),
        ("close", "county", "not understood"),
        ("0", "county", "Zero"),
        ("", "county", "Type what is asked"),
        ("5", "", "Say who asks it"),
    ],
)
def test_what_cannot_be_is_said_at_its_field_and_stays(
    qtbot: QtBot, company: Company, value: str, source: str, words: str
) -> None:
    _, part = shown(qtbot, company)
    part.table.select_id("support_horizontal_ft")
    type_into(qtbot, part.card.value, value, Qt.Key.Key_Tab)
    type_into(qtbot, part.card.source, source, Qt.Key.Key_Return)
    said = f"{part.card.value.problem()}{part.card.source.problem()}"
    assert words in said
    assert part.card.value.text().removesuffix(" ft") == value
    assert part.card.source.text() == source
    with company.read() as conn:
        assert own_values(conn) == []


def test_a_neighbour_in_the_way_is_named(qtbot: QtBot, company: Company) -> None:
    _, part = shown(qtbot, company)
    part.table.select_id("noise_fpm")
    type_into(qtbot, part.card.value, "2100", Qt.Key.Key_Tab)
    type_into(qtbot, part.card.source, "county", Qt.Key.Key_Return)
    assert "Change that one first" in part.card.value.problem()
    assert part.card.value.text() == "2,100 ft per min"


def test_what_is_half_typed_outlives_a_refresh_but_not_another_figure(qtbot: QtBot, company: Company) -> None:
    page, part = shown(qtbot, company)
    part.table.select_id("support_horizontal_ft")
    type_into(qtbot, part.card.value, "5", Qt.Key.Key_Tab)
    page.refresh()
    assert part.card.value.text()
    part.table.select_id("support_vertical_ft")
    assert part.card.value.text() == ""


def test_a_value_is_put_right_in_its_cell_and_taken_away(qtbot: QtBot, company: Company) -> None:
    with company.action("Own") as edit:
        own_id = set_own_standard(edit, "label_every_ft", TODAY - timedelta(9), Decimal(10), "county")
    _, part = shown(qtbot, company)
    part.view.set_value("own")
    part.view.chosen.emit("own")
    assert keys_shown(part) == ["label_every_ft"]
    part.table.select_id("label_every_ft")
    table = part.card.rows.table
    assert table.edit_cell(own_id, "value")
    editor: Any = focused(table)
    editor.selectAll()
    qtbot.keyClicks(editor, "12")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    assert counts(company, "label_every_ft") == 12
    table.select_id(own_id)
    part.card.rows.remove_button.click()
    assert counts(company, "label_every_ft") == 20


def test_what_follows_from_a_definition_cannot_be_typed_over(qtbot: QtBot, company: Company) -> None:
    _, part = shown(qtbot, company)
    part.table.select_id("quarts_per_gallon")
    assert not part.card.value.isEnabled()
    assert "definition" in part.card.origin.text()


def test_the_mile_shows_the_owners_own_rate_of_the_day(qtbot: QtBot, company: Company) -> None:
    with company.action("Own") as edit:
        set_mile_cost(edit, TODAY, Decimal("0.9"))
        set_own_standard(edit, "mileage_rate", TODAY, Decimal("0.6"), "adviser")
    _, part = shown(qtbot, company, "hour")
    model = part.miles.rows.table.rows_model()
    column = [one.key for one in model.columns].index("official")
    assert model.index(0, column).data() == "$0.60, your own value"
