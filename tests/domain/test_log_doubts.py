"""Twelve hours on a task of an hour and a quarter is asked about; a long day's work on a long task is not."""

from __future__ import annotations

import pytest

from domain.log_doubts import day_doubt, entry_doubt


@pytest.mark.parametrize(
    ("minutes", "quoted", "asked"),
    [(720, 79, True), (720, 0, False), (721, 0, True), (240, 59, True), (240, 60, False), (239, 10, False),
     (480, 480, False)],
)  # fmt: skip
def test_an_entry_is_asked_about_from_four_times_its_quote(minutes: int, quoted: int, asked: bool) -> None:
    assert bool(entry_doubt("Wire the fan", minutes, quoted)) == asked


def test_the_question_says_how_minutes_are_typed() -> None:
    words = entry_doubt("Wire the fan", 720, 79)
    assert words == "12 h on Wire the fan, quoted at 1 h 19: is that right? For 12 minutes type 12m."
    assert "type" not in entry_doubt("Wire the fan", 725, 79)


def test_a_day_of_more_than_fifteen_hours_is_asked_about() -> None:
    assert day_doubt("Pat", 900) == ""
    assert day_doubt("Pat", 1130) == "18 h 50 on one day for Pat: is that right?"
