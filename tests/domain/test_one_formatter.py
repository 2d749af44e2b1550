"""Percentages, time, money and days are printed in one place each, and alike whatever the machine's language."""

from __future__ import annotations

import locale
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from domain.dates import format_day, format_day_short, format_moment, format_month, format_month_short
from domain.money import format_money, format_unit_cost, format_whole_dollars
from domain.units import (
    count_of,
    format_clock,
    format_count,
    format_minutes,
    format_percent,
    format_radon,
    format_share,
    format_unit_minutes,
    format_whole_percent,
)
from tests.domain.formatting import printed_by_itself, program_files

ROOT = Path(__file__).parents[2]

ALLOWED = {
    "desktop/app.py": "locale",  # sets Qt's own to American English
    "db/commands/billing/checks.py": "percent",  # a search pattern of SQL
    "desktop/books/jobs_sheet.py": "money",  # names of cells in a workbook
    "desktop/books/margins_sheet.py": "money",
    "desktop/books/sheet.py": "money",
}


def test_no_text_prints_a_figure_by_itself() -> None:
    found: list[str] = []
    for path in program_files(ROOT):
        name = path.relative_to(ROOT).as_posix()
        seen = printed_by_itself(path.read_text(encoding="utf-8"))
        found += [f"{name}:{line} {kind}" for line, kind in seen if ALLOWED.get(name) != kind]
    assert not found, "ask domain.units, domain.money or domain.dates"


@pytest.mark.parametrize(
    ("planted", "kind"),
    [
        ('f"{share}% over"', "percent"),
        ('f"{share} % over"', "percent"),
        ('f"{share:.0%} over"', "percent"),
        ('f"took {minutes / 60:.1f} h"', "hours"),
        ('f"took {minutes} min of it"', "hours"),
        ('f"{count} hours"', "hours"),
        ('f"costs ${cents / 100:,.2f}"', "money"),
        ('f"of {day:%b %d, %Y}"', "day"),
        ('day.strftime("%B %Y")', "day"),
        ('moment.toString("d MMM yyyy")', "day"),
        ("from PySide6.QtCore import QLocale", "locale"),
        ("import locale", "locale"),
    ],
)
def test_a_planted_one_is_found(planted: str, kind: str) -> None:
    assert [found for _, found in printed_by_itself(planted)] == [kind]


@pytest.mark.parametrize(
    "harmless",
    ['f"report-{now:%Y%m%d-%H%M%S-%f}.txt"', 'f"%{words}%"', 'f"{format_percent(share)} over"',
     'day.strftime("%Y-%m")', 'keys.toString(native)'],
)  # fmt: skip
def test_names_of_files_and_searches_are_left_alone(harmless: str) -> None:
    assert not printed_by_itself(harmless)


def _all_forms() -> list[str]:
    day, moment = date(2026, 10, 3), datetime(2026, 10, 3, 16, 30)
    return [
        format_percent(Decimal("22")), format_percent(Decimal("7.250")), format_percent(None),
        format_share(Decimal("4.86"), signed=True), format_share(Decimal("-0.04")), format_share(Decimal("1234.5")),
        format_whole_percent(Decimal("32.5")), format_count(1358.5), format_count(Decimal("1.345"), 2),
        format_clock(16 * 60 + 30), format_minutes(1002), format_minutes(45, signed=True),
        format_unit_minutes(Decimal("2.50")), format_day(day), format_day_short(day), format_moment(moment),
        format_month(day), format_month_short(day), format_money(123450), format_money(-1200, signed=True),
        format_whole_dollars(123450), format_unit_cost(Decimal("0.0875")), format_radon(Decimal("4.1")),
        format_radon(Decimal("4.1"), "Bq/m3"), count_of(1, "job"), count_of(1234, "entry"),
    ]  # fmt: skip


FORMS = [
    "22%", "7.25%", "–", "+4.9%", "0.0%", "1,234.5%", "33%", "1,359", "1.35", "4:30 pm", "16 h 42", "+45 min",
    "2.5 min", "Sat, Oct 3, 2026", "Oct 3, 2026", "Oct 3, 2026, 4:30 pm", "October 2026", "Oct 2026", "$1,234.50",
    "-$12.00", "$1,235", "$0.0875", "4.1 pCi/L", "152 Bq/m³", "1 job", "1,234 entries",
]  # fmt: skip


def test_every_form_is_american() -> None:
    assert _all_forms() == FORMS


@pytest.mark.parametrize("name", ["de_DE.UTF-8", "fr_FR.UTF-8"])
def test_another_language_of_the_machine_changes_nothing(name: str) -> None:
    before = locale.setlocale(locale.LC_ALL)
    try:
        locale.setlocale(locale.LC_ALL, name)
    except locale.Error:
        pytest.skip(f"this machine does not have {name}")
    try:
        assert _all_forms() == FORMS
    finally:
        locale.setlocale(locale.LC_ALL, before)
