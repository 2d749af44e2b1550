"""A radon test whose device nobody knows is kept as unknown; what the file does not take is told at every press."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot
from sqlalchemy import select

from db.commands.survey import add_radon_test, change_radon_test
from db.company_file.company import Company
from db.tables import radon_test
from desktop.pages.job_sections.survey import SurveySection
from tests.desktop.pages_at_work import show, type_into
from tests.small_company import add_one_job, empty_company


@pytest.fixture
def company(tmp_path: Path) -> Iterator[Company]:
    made = empty_company(tmp_path / "Heron Hill.riserbook")
    yield made
    made.close()


def devices(company: Company) -> list[str]:
    with company.read() as conn:
        return list(conn.execute(select(radon_test.c.device)).scalars())


def test_the_command_keeps_an_unknown_device_as_unknown(company: Company) -> None:
    job_id = add_one_job(company).job_id
    with company.action("Add a radon test") as edit:
        test_id = add_radon_test(edit, job_id, "before", None, Decimal("7.4"), date(2026, 5, 4))
        change_radon_test(edit, test_id, device=None)
    assert devices(company) == [""]


def test_by_keys_in_the_form_and_what_the_file_refuses_is_told_each_time(
    qtbot: QtBot, company: Company, monkeypatch: pytest.MonkeyPatch
) -> None:
    pages = show(qtbot, company, "jobs")
    job_id = add_one_job(company).job_id
    pages.go("jobs", job_id, "survey")
    section = pages.jobs.job.stack.currentWidget()
    assert isinstance(section, SurveySection)
    form = section.tests
    type_into(qtbot, form.result, "7.4")
    type_into(qtbot, form.ended, "5/4/2026")
    told: list[str] = []
    pages.desk.spoke.connect(lambda text, *_: told.append(text))

    def unheeding(edit: object, job: int, **_: object) -> None:
        edit.add(radon_test, job_id=job, purpose="before", device=None, result=1, ended_on=date(2026, 5, 4))  # type: ignore[attr-defined]

    with monkeypatch.context() as broken:
        broken.setattr("desktop.pages.job_sections.survey_tests.add_radon_test", unheeding)
        for _ in range(2):
            qtbot.keyClick(form.add, Qt.Key.Key_Space)
    assert [text.split(":")[0] for text in told] == ["Not saved", "Not saved"]
    assert (form.result.text()[:3], devices(company)) == ("7.4", [])
    qtbot.keyClick(form.add, Qt.Key.Key_Space)
    assert devices(company) == [""]
