"""The owner's own checklist points and the exposure log on the Company page."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from db.commands.exposure import log_exposure
from db.company_file.company import Company
from db.queries.closeout import closeout_page, own_points
from db.queries.exposure_log import exposure_log
from desktop.books.exposure_csv import write_exposure_csv
from desktop.desk import Desk
from desktop.pages.company import PARTS
from desktop.pages.company.checklist_part import ChecklistPart
from desktop.pages.company.exposure_part import ExposurePart
from domain.closeout.points import BUILT_IN
from tests.desktop.pages_at_work import type_into
from tests.small_company import TODAY, add_one_job, empty_company, statements


@pytest.fixture
def company(tmp_path: Path) -> Iterator[Company]:
    made = empty_company(tmp_path / "Heron Hill.riserbook")
    yield made
    made.close()


def shown(qtbot: QtBot, company: Company, part_class: type) -> ChecklistPart | ExposurePart:
    desk = Desk(company, lambda: TODAY)
    part = part_class(desk)
    desk.changed.connect(part.refresh)
    qtbot.addWidget(part)
    part.resize(1100, 760)
    part.show()
    part.refresh()
    return part  # type: ignore[no-any-return]


def test_both_stand_on_the_company_page() -> None:
    assert {"checklist", "exposure"} <= set(PARTS)


def test_points_are_added_reworded_left_off_and_brought_back(qtbot: QtBot, company: Company) -> None:
    kept = add_one_job(company)
    part = shown(qtbot, company, ChecklistPart)
    assert isinstance(part, ChecklistPart)
    assert part.table.rows_model().rowCount() == len(BUILT_IN)
    part.new.click()
    assert "Type what is to be checked" in part.problem.text()
    type_into(qtbot, part.fields["wording"], "Hatch screwed shut")
    part.new.click()
    with company.read() as conn:
        (own,) = own_points(conn)
    assert (own.wording, own.phase) == ("Hatch screwed shut", "after")
    part.table.select_id("slope")
    part.hide_one.click()
    assert part.hide_one.text() == "Ask it again"
    model = part.table.rows_model()
    assert model._setter(model.row_at(model.find("clean")), "wording", "Swept twice") is None  # type: ignore[misc]
    with company.read() as conn:
        rows = {row.point.key: row.point.wording for row in closeout_page(conn, kept.job_id, TODAY).facts.rows}
    assert "slope" not in rows
    assert rows["clean"] == "Swept twice"
    assert rows["own-1"] == "Hatch screwed shut"
    for key in ("slope", "clean"):
        part.table.select_id(key)
        part.back.click()
    part.table.select_id("own-1")
    part.remove.click()
    with company.read() as conn:
        assert own_points(conn) == []


def test_the_exposure_log_sums_twelve_months_and_is_written_as_csv(
    qtbot: QtBot, company: Company, tmp_path: Path
) -> None:
    kept = add_one_job(company)
    with company.action("Exposure") as edit:
        log_exposure(edit, 1, date(2026, 5, 8), 480, Decimal(20), job_id=kept.job_id, level_from="=test")
        log_exposure(edit, 1, date(2025, 5, 14), 480, Decimal(20))  # a year ago to the day: out
    part = shown(qtbot, company, ExposurePart)
    assert isinstance(part, ExposurePart)
    assert part.table.rows_model().rowCount() == 1
    assert "0.0094 WLM of 4 in 12 months" in part.sums.text()
    part.years.reset(3)
    part.refresh()
    assert part.table.rows_model().rowCount() == 2
    assert "0.0094 WLM of 4" in part.sums.text()
    with company.read() as conn:
        log = exposure_log(conn, TODAY)
    with write_exposure_csv(log, tmp_path / "log.csv").open(encoding="utf-8-sig", newline="") as file:
        heads, row = list(csv.reader(file))
    assert (row[4], row[5], row[8]) == ("8.00", "20", "0.00941")
    assert not row[6].startswith("=")
    assert heads[8] == "exposure WLM"


def test_the_log_takes_the_same_statements_however_long_it_is(company: Company) -> None:
    few = statements(company, lambda conn: exposure_log(conn, TODAY))
    with company.action("Exposure") as edit:
        for n in range(9):
            log_exposure(edit, 1, date(2026, 5, 1 + n), 60, Decimal(5))
    assert statements(company, lambda conn: exposure_log(conn, TODAY)) == few
