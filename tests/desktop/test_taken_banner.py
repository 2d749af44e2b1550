"""What is said above a takeoff follows the file: Undo takes it back, a changed route is told."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from db.commands import takeoff
from db.company_file.company import Company
from tests.desktop.test_takeoff_section import company, kept, stored, with_routes
from tests.small_company import OneJob

__all__ = ["company", "kept"]


def test_the_banner_follows_the_file(qtbot: QtBot, company: Company, kept: OneJob) -> None:
    pages, section = with_routes(qtbot, company, kept)
    section.take_list()
    assert section.rows.view is not None
    qtbot.keyClick(section.rows.view.table, Qt.Key.Key_Return)
    assert "added" in section.notice.text()
    route = next(one for one in stored(company, kept).routes if one.status == "proposed" and one.built)
    with company.action("Another route") as edit:
        takeoff.change_route(edit, route.id, words=route.words.replace("along ", "along 1", 1))
    section.refresh()
    assert "differ" in section.notice.text()
    pages.desk.go("jobs", kept.job_id, "quote")
    sent: Any = pages.jobs.job._sections["quote"]
    qtbot.waitUntil(lambda: "counts otherwise" in sent.warning.text())
    sent.actions.send.click()
    assert "counts otherwise" in sent.actions.follows.text(), "sending asks"
    pages.desk.go("jobs", kept.job_id, "takeoff")
    pages.desk.undo()
    pages.desk.undo()
    assert stored(company, kept).draft_id is None
    assert section.notice.text() == "", "what was taken back is told no more"
