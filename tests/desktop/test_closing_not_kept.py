"""Closing names what the log of the job could not take, leads there, and asks before it closes without."""

from __future__ import annotations

from datetime import timedelta

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from db.records import fetch_one
from db.tables import job
from desktop.desk import Desk
from desktop.pages.job_sections.outcome import OutcomeSection
from desktop.pages.jobs.ending import EndingPart
from domain.closing import MATERIAL, TASK
from domain.jobs import Job
from tests.desktop.evening import TODAY
from tests.desktop.test_closing_card import evening, kept, press, section

__all__ = ["evening", "section"]
EARLIER = TODAY - timedelta(days=2)


def refuse(section: OutcomeSection, name: str, day: object, text: str, who: str = "1 ") -> None:
    key = f"not kept in {name} {day} {who}{section.job_id}"
    section.desk.drafts.keep(key, {"(3, False) day": f"{text}\nnot understood"})


def test_what_the_log_refused_is_named_and_one_gets_there(qtbot: QtBot, section: OutcomeSection) -> None:
    assert section.closing.unkept.text() == ""
    refuse(section, "hours", EARLIER, "45")
    refuse(section, "materials", TODAY, "280", "")
    refuse(section, "hours", TODAY, "of another job", "1 7")  # job 71..., not this one
    section.closing.refresh_unkept()
    assert section.closing.unkept.text() == (
        "Typed and not kept, so in no figure: “45” in the hours of Nov 10, 2026; "
        "“280” in the materials of Nov 12, 2026."
    )
    with qtbot.waitSignal(section.desk.asked_for) as asked:
        section.closing.unkept._act()
    assert asked.args == ["jobs", section.job_id, f"log {EARLIER} 1"]


def test_closing_asks_once_and_again_where_more_was_refused(qtbot: QtBot, section: OutcomeSection) -> None:
    refuse(section, "hours", EARLIER, "45")
    section.closing.close_button.click()
    section.closing.close_button.click()
    assert kept(section).closed_on is None, "a double click reads nothing"
    assert "“45”" in section.closing.refused.text()
    refuse(section, "costs", TODAY, "free", "")
    section.closing.close_now()
    assert kept(section).closed_on is None, "that was not told before"
    section.closing.table.setCurrentIndex(section.closing.table.rows_model().index(0, 0))
    press(qtbot, Qt.Key.Key_S, Qt.Key.Key_O, Qt.Key.Key_O, Qt.Key.Key_N, Qt.Key.Key_Return)
    section.closing.close_now()
    assert kept(section).closed_on is None, "refused in the review itself"
    assert "“soon”" in section.closing.refused.text()
    keys_answer_only_what_their_words_name(section)
    section.closing.close_now()
    assert kept(section).closed_on == TODAY


def keys_answer_only_what_their_words_name(section: OutcomeSection) -> None:
    closing, model = section.closing, section.closing.table.rows_model()
    for kind, within, as_quoted in ((TASK, True, False), (MATERIAL, False, True)):
        row = next(n for n, line in enumerate(model.rows) if line.key.kind == kind)
        closing.table.setCurrentIndex(model.index(row, 0))
        assert (closing.within.isEnabled(), closing.as_quoted.isEnabled()) == (within, as_quoted)
        assert closing.left_out.isEnabled()
    closing.table.selectAll()
    assert not closing.within.isEnabled()
    assert not closing.as_quoted.isEnabled()


def test_facts_lead_to_the_review_when_all_is_clear_but_a_text(qtbot: QtBot, evening) -> None:  # type: ignore[no-untyped-def]
    company, ids = evening
    desk = Desk(company, lambda: TODAY)
    part = EndingPart(desk)
    qtbot.addWidget(part)
    desk.drafts.keep(f"not kept in hours {TODAY} 1 {ids.draft}", {"new what": "280\non which task?"})
    with company.read() as conn:
        part.show_job(fetch_one(conn, Job, job, ids.draft))
    with qtbot.waitSignal(desk.asked_for) as asked:
        part.close_button.click()
    assert asked.args == ["jobs", ids.draft, "closing"]
