"""Unlikely figures are kept and asked about where they are typed, by keys and by one rule; an answer stands."""

from __future__ import annotations

from decimal import Decimal

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from sqlalchemy import select

from db.tables import payment
from tests.db.billing_company import AgreedJob
from tests.desktop.pages_at_work import type_into
from tests.desktop.test_money_section import Shown, enter
from tests.desktop.test_quote_section import Evening, draft, evening
from tests.desktop.test_survey_section import opened, stored
from tests.small_company import add_one_job, empty_company

__all__ = ["draft", "evening"]
Key = Qt.Key


def money_in(shown: Shown, job_id: int) -> list[int]:
    with shown.firm.company.read() as conn:
        return list(conn.execute(select(payment.c.amount_cents).where(payment.c.job_id == job_id)).scalars())


def asked_beside(evening: Evening, card: object) -> str:
    beside = card.table._beside  # type: ignore[attr-defined]
    return "" if beside.isHidden() else beside.accessibleName()


def test_a_hundred_fans_are_kept_asked_about_and_answered_once(draft: Evening) -> None:
    evening = draft
    card = evening.section.lines.materials
    line = card.lines()[0]
    before = evening.total
    evening.edit(card, line.id, "net", "5000", Key.Key_Return)
    assert next(one for one in evening.document.materials if one.id == line.id).net_quantity == Decimal(5000), "kept"
    assert evening.total == evening.stored_total() != before
    assert "5,000" in asked_beside(evening, card)
    assert asked_beside(evening, card).endswith("Enter says yes.")
    assert QApplication.focusWidget() is card.table, "nothing takes the keyboard"
    index = card.model.index(card.model.find(card._keys.name(line.id)), card.model.column_of("net"))
    assert card.table.currentIndex().row() == index.row() + 1, "the cursor went on as always"
    card.table.setCurrentIndex(index)
    evening.bot.keyClick(card.table, Key.Key_Return)
    assert card.model.questions.cells == []
    assert card.table.state() == card.table.State.NoState, "Enter said yes and opened nothing"
    evening.edit(card, line.id, "net", "20", Key.Key_Return)
    evening.edit(card, line.id, "net", "5000", Key.Key_Return)
    assert card.model.questions.cells == [], "answered once it stays answered"


def test_a_corrected_figure_is_asked_about_no_longer_and_a_price_far_from_the_list_is(draft: Evening) -> None:
    evening = draft
    card = evening.section.lines.materials
    line = card.lines()[0]
    evening.edit(card, line.id, "net", "5000", Key.Key_Return)
    evening.edit(card, line.id, "net", "50", Key.Key_Return)
    assert card.model.questions.cells == []
    assert asked_beside(evening, card) == ""
    evening.edit(card, line.id, "unit_cost", str(line.unit_cost * 100), Key.Key_Return)
    assert "the list says" in asked_beside(evening, card)


def test_more_than_is_owed_waits_for_one_more_enter_and_takes_no_third(qtbot: QtBot) -> None:
    shown = Shown(qtbot)
    job_id = shown.firm.job(shown.firm.customer(), AgreedJob())
    section = shown.section(job_id)
    form = section.payment
    shown.type(form.amount, "99999")
    enter(form.amount)
    assert "came in" in form.form.error_of(form.amount) or "more than" in form.form.error_of(form.amount)
    assert form.amount.text() == "99999", "what was typed stands"
    assert money_in(shown, job_id) == []
    enter(form.amount)
    assert money_in(shown, job_id) == [9_999_900]


@pytest.mark.parametrize("level", ["4000", "0"])
def test_a_level_nobody_has(qtbot: QtBot, level: str) -> None:
    with empty_company() as company:
        kept = add_one_job(company)
        _, section = opened(qtbot, company, kept)
        type_into(qtbot, section.tests.result, level)
        assert section.tests.form.error_of(section.tests.result).endswith("Enter says yes.")
        assert stored(company, kept).tests == []
