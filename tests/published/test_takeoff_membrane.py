"""Membrane and supports worked by hand from the words of the standards.

Membrane: edges overlap at least 12 in, sealed (ANSI/AARST CC-1000 2018, s. 6.4.3, read); turned up 6 in at walls
(32 Ill. Adm. Code 422.160(c), read). Supports: at least every 4 ft along and every 10 ft upright (ANSI/AARST RMS-LB
2018 rev. 12/20, s. 6.2.7.2, read; the same section of SGM-SF was not seen); one within 3 ft of the discharge (SGM-SF
s. 6.4.14.1, read). Older set: 6 and 8 ft (EPA standards, restated by a county checklist, read second-hand).
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.errors import NotUnderstood
from domain.routes import parse_route
from domain.takeoff import CrawlFloor, Wanted, take_off, takeoff_rules
from domain.takeoff.membrane import lay_strips, wall_ft

RULES = takeoff_rules(date(2026, 3, 2))
OLDER = takeoff_rules(date(2026, 3, 2), supports="older")


def test_a_crawl_space_of_forty_by_twenty_six() -> None:
    # by hand, 12 ft roll. Along the 40 ft side: 26 + 1 = 27 ft across; strips 12, 23, 34 ft with 1 ft laps: 3 strips
    # of 41 ft. 3 x 11 + 1 = 34 >= 27. Two would cover 23. 3 x 41 x 12 = 1,476 sq ft.
    # Across: 40 + 1 = 41 ft; 4 strips cover 45 ft, 3 only 34: 4 strips of 27 ft, 4 x 27 x 12 = 1,296 sq ft: less.
    strips = lay_strips(CrawlFloor("Crawl", Decimal(40), Decimal(26)), RULES)
    assert (strips.count, strips.strip_ft, strips.crosswise, strips.sq_ft) == (4, 27, True, 1296)
    assert strips.seam_ft == 81


def test_everything_the_membrane_takes() -> None:
    floor = CrawlFloor("Crawl", Decimal(40), Decimal(26), piers=3, pier_round_ft=Decimal(4))
    found = take_off(Wanted(floors=(floor,)), RULES)
    lines = {line.key: line.net for line in found.lines}
    assert wall_ft(floor) == 144  # 2 x 66 + 3 x 4
    assert lines["membrane"] == 1296
    assert lines["seam_tape"] == 81
    assert lines["membrane_fastener"] == 66
    # 144 ft of 3/8 in square bead: 144 x 12 x 0.140625 / 18.227 = 13.33 cartridges
    assert lines["membrane_sealant"] == Decimal("13.332")
    drivers = {driver.kind: driver.quantity for driver in found.drivers}
    assert drivers == {"membrane_sq_ft": 1040, "membrane_wall_ft": 144, "pier": 3}


def test_a_space_one_roll_covers_has_no_seam() -> None:
    strips = lay_strips(CrawlFloor("Crawl", Decimal(20), Decimal(11)), RULES)
    assert (strips.count, strips.seam_ft, strips.sq_ft) == (1, 0, 252)


def test_whole_rolls() -> None:
    # strips of 27 ft: three from a roll of 100 ft, so four take two rolls of 1,200 sq ft
    floor = CrawlFloor("Crawl", Decimal(40), Decimal(26), roll_ft=Decimal(100))
    line = take_off(Wanted(floors=(floor,)), RULES).line("membrane")
    assert line is not None
    assert (line.quantity, line.pack) == (2400, 1200)
    assert "2 rolls of 100 ft" in line.reason


@given(st.integers(3, 90), st.integers(3, 90), st.integers(4, 20))
def test_strips_cover_the_space_with_their_laps_and_one_less_would_not(length: int, width: int, roll: int) -> None:
    strips = lay_strips(CrawlFloor("Crawl", Decimal(length), Decimal(width), Decimal(roll)), RULES)
    across = (length if strips.crosswise else width) + 1
    assert strips.count * roll - (strips.count - 1) >= across
    assert strips.count == 1 or (strips.count - 1) * roll - (strips.count - 2) < across
    assert strips.sq_ft >= (length + 1) * (width + 1)


@pytest.mark.parametrize(
    "bad",
    [
        CrawlFloor("Crawl", Decimal(0), Decimal(26)),
        CrawlFloor("Crawl", Decimal(5280), Decimal(26)),
        CrawlFloor("Crawl", Decimal(40), Decimal(26), roll_width_ft=Decimal(1)),
        CrawlFloor("Crawl", Decimal(40), Decimal(26), roll_ft=Decimal(0)),
        CrawlFloor("Crawl", Decimal(40), Decimal(26), piers=-1),
    ],
)
def test_what_cannot_be_laid_is_refused_kindly(bad: CrawlFloor) -> None:
    with pytest.raises(NotUnderstood, match="Crawl: "):
        take_off(Wanted(floors=(bad,)), RULES)


def reason(typed: str, older: bool = False) -> tuple[Decimal, str]:
    lines = [
        line
        for line in take_off(Wanted(routes=(parse_route(typed),)), OLDER if older else RULES).lines
        if line.key.startswith("support_")
    ]
    return sum((line.quantity for line in lines), Decimal(0)), lines[0].reason


def test_eight_supports_for_thirty_one_feet() -> None:
    # by hand: 31 / 4 = 7.75, so 8; evenly spread 3.875 ft apart, the last 1.94 ft from the open end, which is within
    # 3 ft: none more
    count, words = reason("attic 3in along 31' level out")
    assert (count, words) == (8, "8 supports: 31 ft level run at 4 ft")


def test_one_more_within_three_feet_of_the_discharge() -> None:
    # 31 ft level: 8. Upright 16 ft: ceil(1.6) = 2, at 4 and 12 ft, 4 ft below the open end: one more
    count, words = reason("outside 3in along 31' level 90 up 16' out")
    assert count == 11
    assert words == "11 supports: 31 ft level run at 4 ft, 16 ft upright run at 10 ft, one within 3 ft of the discharge"


def test_the_older_set() -> None:
    # 31 / 6 = 5.17: 6; 16 / 8 = 2, at 4 and 12 ft, and one near the discharge
    count, words = reason("outside 3in along 31' level 90 up 16' out", older=True)
    assert count == 9
    assert "31 ft level run at 6 ft, 16 ft upright run at 8 ft" in words
    # through the roof: the upright run is held there
    count, words = reason("attic 3in along 31' level 90 up 12' flashing roof up 4' out", older=True)
    assert "held by the floor or roof" in words


@given(st.integers(11, 3000))
def test_level_supports_are_feet_over_four_rounded_up(tenths: int) -> None:
    count, _ = reason(f"basement 3in along {tenths / 10}' level")
    assert count == ceil(Decimal(tenths) / 40)
