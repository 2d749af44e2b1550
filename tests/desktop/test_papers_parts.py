"""The list of papers finds what went out and shows it; the owner's own words are saved as they are left."""

from __future__ import annotations

from io import BytesIO

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from db.commands.papers import issue_paper
from db.queries.papers import own_texts
from desktop.desk import Desk
from desktop.pages.company.papers_part import PapersPart
from desktop.pages.company.wordings_part import WordingsPart
from desktop.papers.keeping import page_count
from desktop.papers.paper import Paper, prose
from tests.db.quote_company import TODAY, QuoteCompany, make_quote_company


@pytest.fixture
def shop() -> QuoteCompany:
    return make_quote_company()


@pytest.fixture
def desk(shop: QuoteCompany) -> Desk:
    return Desk(shop.company, lambda: TODAY)


def test_pages_are_counted_as_another_library_counts_them() -> None:
    for paragraphs in (1, 120, 400):
        pdf = Paper("Title", "Head", "Author").make([part for _ in range(paragraphs) for part in prose("Words.")])
        assert page_count(pdf) == len(PdfReader(BytesIO(pdf)).pages)


def test_papers_are_found_viewed_and_left_by_keys(qtbot: QtBot, shop: QuoteCompany, desk: Desk) -> None:
    pdf = Paper("Letter", "Letter", "Firm").make(prose("Hello."))
    with shop.company.action("Issue") as edit:
        for number in ("one", "two"):
            issue_paper(edit, "letter", pdf, TODAY, title=f"Letter {number}", pages=1, job_id=shop.job_id)
        issue_paper(edit, "receipt", pdf, TODAY, title="Receipt R26-0001", pages=1)
    part = PapersPart(desk)
    qtbot.addWidget(part)
    part.resize(1000, 700)
    with qtbot.waitActive(part):
        part.show()
        part.activateWindow()
    part.refresh()
    rows = part.table.rows_model().rows
    assert [row.title for row in rows] == ["Receipt R26-0001", "Letter two", "Letter one"]
    part.search.setFocus()
    QTest.keyClicks(part.search, "letter one")
    part.search.flush()
    (row,) = part.table.rows_model().rows
    assert row.title == "Letter one"
    part.table.select_id(row.id)
    part.table.setFocus()
    QTest.keyClick(part.table, Qt.Key.Key_Return)
    assert part.stack.shows_paper
    QTest.keyClick(part.stack.back, Qt.Key.Key_Escape)
    assert not part.stack.shows_paper
    part.search.clear()
    QTest.keyClicks(part.search, "nothing like it")
    part.search.flush()
    assert part.table.rows_model().rows == []


def test_own_words_are_saved_when_left_and_given_back(qtbot: QtBot, desk: Desk) -> None:
    part = WordingsPart(desk)
    qtbot.addWidget(part)
    desk.changed.connect(part.refresh)
    part.resize(1000, 700)
    with qtbot.waitActive(part):
        part.show()
        part.activateWindow()
    part.refresh()
    one = part.words["receipt", "thanks"]
    assert one.field.value() == "Received with thanks."
    assert one.back.isHidden()
    one.field.setFocus()
    one.field.selectAll()
    QTest.keyClicks(one.field, "Paid. Thank you!")
    part.words["letter", "body"].field.setFocus()
    with desk.read() as conn:
        assert own_texts(conn) == {("receipt", "thanks"): "Paid. Thank you!"}
    assert not one.back.isHidden()
    qtbot.mouseClick(one.back, Qt.MouseButton.LeftButton)
    with desk.read() as conn:
        assert own_texts(conn) == {}
    assert one.field.value() == "Received with thanks."


