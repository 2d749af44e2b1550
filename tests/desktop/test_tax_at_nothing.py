"""A tax treatment at 0% asks where it is set: on the firm's page, by keys."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from db.company_file.company import Company
from db.queries.firm import firm
from tests.desktop.pages_at_work import type_into
from tests.desktop.test_company_page import ask, button, retype, shown
from tests.small_company import empty_company


@pytest.fixture
def company() -> Iterator[Company]:
    with empty_company() as made:
        yield made


@pytest.mark.parametrize(
    ("typed", "kept", "asked", "told"),
    [("Lump", "lump_sum", "no sales tax at all when you buy?", "never appears on the proposal"),
     ("Materials sep", "separated", "charged no sales tax at all?", "charge the customer tax")],
)  # fmt: skip
def test_a_treatment_at_nothing_asks(
    qtbot: QtBot, company: Company, typed: str, kept: str, asked: str, told: str
) -> None:
    page, part = shown(qtbot, company, "firm")
    retype(qtbot, part.field("tax_percent"), "0")
    type_into(qtbot, part.field("tax_treatment"), typed)
    if ask(company, firm).tax_percent:
        retype(qtbot, part.field("tax_percent"), "0")
    assert (ask(company, firm).tax_treatment, ask(company, firm).tax_percent) == (kept, Decimal(0))
    assert asked in part.tax_words.text()
    retype(qtbot, part.field("tax_percent"), "5.5")
    assert asked not in part.tax_words.text()
    assert told in part.tax_words.text()
    retype(qtbot, part.field("tax_percent"), "0")
    none = button(part.tax_words, "Choose “No sales tax”")
    none.setFocus()
    qtbot.keyClick(none, Qt.Key.Key_Space)
    assert ask(company, firm).tax_treatment == "none"
    assert not part.field("tax_percent").isVisibleTo(part)
    page.desk.undo()
    assert asked in part.tax_words.text()
