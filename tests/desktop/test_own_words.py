"""What was done and how long it took, apart in one line; what looks like a slip is asked about."""

from __future__ import annotations

import pytest

from desktop.pages.job_sections.log.own_words import begun_task, words_and_time
from domain.errors import NotUnderstood

NAMES = {1: "Wire the fan", 2: "Seal the slab", 9: "Other work"}


@pytest.mark.parametrize(
    ("line", "words", "minutes"),
    [
        ("Haul out rubble 1h40", "Haul out rubble", 100),
        ("45m cut back shrubs", "cut back shrubs", 45),
        ("wire 8-10:30", "wire", 150),
        ("wire 8-12 and 12:30-4", "wire", 450),
        ("rubble 2 1/4", "rubble", 135),
        ("rubble 2.5", "rubble", 150),
        ("1 h 30 rubble", "rubble", 90),
        ("set post 2", "set post 2", 0),
        ("core 4 in hole", "core 4 in hole", 0),
        ("Wire the fan", "Wire the fan", 0),
        ("1h30", "1h30", 0),
        ("2 1/4", "2 1/4", 0),
    ],
)
def test_a_line_is_words_and_perhaps_a_time(line: str, words: str, minutes: int) -> None:
    said, typed = words_and_time(line, NAMES)
    assert (said, typed.minutes if typed else 0) == (words, minutes)


def test_several_words_of_ones_own_are_other_work_at_once_and_a_slip_is_not() -> None:
    assert begun_task("Haul out  rubble", NAMES, False) == (9, "Haul out rubble")
    assert begun_task("Other work: rubble", NAMES, False) == (9, "rubble")
    assert begun_task("elec", NAMES, False) == (1, "")
    for slip in ("Wier the fan", "rubble", "Seel the slab"):
        with pytest.raises(NotUnderstood, match="once more"):
            begun_task(slip, NAMES, False)
        assert begun_task(slip, NAMES, True) == (9, slip)
