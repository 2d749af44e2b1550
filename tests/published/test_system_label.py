"""Contents of the primary system label, ANSI/AARST SGM-SF s. 8.4.2.1 (2017, rev. 12/20; seen).

Asked there: a title such as "Radon Reduction System", the day of installation, a description of the monitor and what
to do by it, a retest at least every two years, state or federal resources, and the installer's name, phone and license
number. Seen in ANSI/AARST CCAH 2020 Exhibit 2: service is called at a change of 20% or more, or at zero; the gauge
reads pressure, never radon.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from db.commands.jobs import mark_installed
from db.queries.closeout import handover
from domain.closeout.handover import label_words
from domain.closeout.service_range import service_range
from domain.papers import words_of
from tests.small_company import TODAY, add_one_job, empty_company


def test_the_label_has_every_part_that_is_asked() -> None:
    company = empty_company()
    kept = add_one_job(company)
    with company.action("Fan on") as edit:
        mark_installed(edit, kept.job_id, date(2026, 5, 8))
    with company.read() as conn:
        facts = handover(conn, kept.job_id, TODAY)
    said = label_words(facts, words_of("label", "call", facts.texts))
    assert said.title == "Radon Reduction System"
    assert "May 8, 2026" in said.installed
    assert "never the radon level" in said.indicator
    assert "a fifth or more" in said.call
    assert "zero" in said.call
    assert "at least every 2 years" in said.retest
    assert "state's radon program" in said.help
    assert said.installer[0] == "Heron Hill Radon"
    assert any("Phone" in part for part in said.installer)  # a line to fill in by hand where it is not known
    assert any("License" in part for part in said.installer)
    company.close()


def test_service_is_called_at_a_fifth_more_or_less() -> None:
    assert service_range(Decimal("1.00"), Decimal(20)) == (Decimal("0.80"), Decimal("1.20"))
