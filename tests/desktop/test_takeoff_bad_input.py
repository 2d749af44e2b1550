"""What a route, a fan or a price sheet cannot be: said at its place in the window, and kept as it was typed."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from db.commands import takeoff
from db.company_file.company import Company
from db.queries.takeoff import takeoff_facts
from desktop.pages.company import CompanyPage
from desktop.pages.job_sections.takeoff import TakeoffSection
from tests.desktop.pages_at_work import show
from tests.small_company import TODAY, OneJob, add_one_job, empty_company

GOOD = "A: pit at -6', basement 3in up 6', 90, along 12', 90, outside up 3', fan, up 14', out"

WORDS = [
    ("A: pit basement 3in up 0' out", "This leg has no length"),
    ("A: pit basement 3in up 5280' out", "longer than any leg in a house"),
    ("A: pit basement 3in up 1 mile out", "“mile” is no word"),
    ("A: pit basement 3in up -3' out", "is not a length"),
    ("A: pit basement 3in up 6' wye A out", "cannot join another"),
    ("A: pit 3in up 6' wye B out\nB: pit up 3' wye C up 3'\nC: pit up 3' wye B up 1'", "Run B joins twice"),
    ("A: pit 5in up 6' out", "no “5in” pipe"),
    ("A: pit 4in up 6' reduce 3in up 6' out", "narrows here from 4 in to 3 in"),
    ("A: pit 3in up 6' reduce 3in up 6' out", "to the same size"),
    ("A: pit 3in up 6' out up 3'", "something follows it"),
    ("banana", "no word of the shorthand"),
]

CELLS = [
    ((0, 2), "length", "0", "This leg has no length"),
    ((0, 2), "length", "5280", "longer than any leg in a house"),
    ((0, 2), "length", "a bit", "not a length"),
    ((0, 2), "size", "5", "no pipe size"),
    ((0, 2), "slope", "steep", "no slope"),
    ((0, 2), "space", "moon", "is no space"),
]

CURVES = [
    ("0: 1\n60: 2", "rises from 1 to 2"),
    ("0: 1\n0: 0.5", "twice"),
    ("0: 1", "two points or more"),
    ("0: 0\n60: 0", "some pressure"),
    ("0: 1\n-60: 0.5", "no point"),
    ("0: 1\n60 0.5", "no point"),
    ("0: 1\n60: lots", "no point"),
]


@pytest.fixture
def company(tmp_path: Path) -> Iterator[Company]:
    made = empty_company(tmp_path / "Heron Hill.riserbook")
    yield made
    made.close()


@pytest.fixture
def kept(company: Company) -> OneJob:
    job = add_one_job(company)
    with company.action("A route") as edit:
        takeoff.add_route(edit, job.job_id, "proposed", "", GOOD)
    return job


def opened(qtbot: QtBot, company: Company, kept: OneJob) -> Any:
    pages = show(qtbot, company, "jobs")
    pages.go("jobs", kept.job_id, "takeoff")
    section = pages.jobs.job.stack.currentWidget()
    assert isinstance(section, TakeoffSection)
    return section


def words_kept(company: Company, kept: OneJob) -> str:
    with company.read() as conn:
        return takeoff_facts(conn, kept.job_id, TODAY).routes[0].words


@pytest.mark.parametrize(("typed", "said"), WORDS, ids=[said for _, said in WORDS])
def test_a_route_that_cannot_be_is_said_beside_its_words(
    qtbot: QtBot, company: Company, kept: OneJob, typed: str, said: str
) -> None:
    section = opened(qtbot, company, kept)
    words = section.route_view.words
    words.setFocus()
    words.selectAll()
    qtbot.keyClicks(words, typed.replace("\n", " "))
    if "\n" in typed:
        words.setPlainText(typed)
    assert said in section.route_view.problems.text()
    section.show_view("list")
    assert words_kept(company, kept).split() == typed.split()


@pytest.mark.parametrize(("part", "column", "typed", "said"), CELLS, ids=[said for *_, said in CELLS])
def test_a_part_that_cannot_be_is_said_at_its_cell_or_beside_the_words(
    qtbot: QtBot, company: Company, kept: OneJob, part: tuple[int, int], column: str, typed: str, said: str
) -> None:
    section = opened(qtbot, company, kept)
    parts = section.route_view.parts
    parts.setFocus()
    assert parts.edit_cell(part, column)
    editor = parts.focusWidget()
    editor.selectAll()
    qtbot.keyClicks(editor, typed)
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    assert said in f"{parts._beside.text()} {section.route_view.problems.text()}"


@pytest.mark.parametrize(("typed", "said"), CURVES, ids=[said for _, said in CURVES])
def test_a_fan_curve_that_cannot_be_is_said_below_it(
    qtbot: QtBot, company: Company, kept: OneJob, typed: str, said: str
) -> None:
    section = opened(qtbot, company, kept)
    section.show_view("air")
    library = section.stack.currentWidget().library
    library.show()
    library.name.setText("Own fan")
    library.points.setPlainText(typed)
    library.save_button.click()
    assert said in library.problem.text()
    assert library.points.toPlainText() == typed
    with company.read() as conn:
        assert not takeoff_facts(conn, kept.job_id, TODAY).curves


def many_rows(path: Path) -> Path:
    path.write_text("Code,Price\n" + "".join(f"C{n},1\n" for n in range(50_000)))
    return path


def other_letters(path: Path) -> Path:
    path.write_bytes("Code,Price\nP3,2\n".encode("utf-32"))
    return path


def of_formulas(path: Path) -> Path:
    from openpyxl import Workbook

    book = Workbook()
    book.active.append(["=1+1", "=A1"])
    book.save(path)
    return path


@pytest.mark.parametrize(
    ("make", "name", "said"),
    [
        (many_rows, "long.csv", "whole catalog"),
        (other_letters, "letters.csv", "cannot be read"),
        (of_formulas, "formulas.xlsx", "formulas whose values were not saved"),
    ],
)
def test_a_sheet_that_cannot_be_used_is_said_in_its_panel(
    qtbot: QtBot, company: Company, tmp_path: Path, make: Any, name: str, said: str
) -> None:
    from desktop.desk import Desk

    page = CompanyPage(Desk(company, lambda: TODAY))
    qtbot.addWidget(page)
    page.resize(1280, 744)
    page.show()
    page.show_key(None, "prices")
    part: Any = page.part("prices")
    part.begin_import()
    part.importing.read(make(tmp_path / name))
    qtbot.waitUntil(lambda: part.importing.said._kind == "error", timeout=10_000)
    assert said in part.importing.said.text()
    assert part.importing.plan is None
