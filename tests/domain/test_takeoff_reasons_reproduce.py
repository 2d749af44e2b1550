"""The reason printed beside a counted number gives that number, for any route: read back from its words alone."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from decimal import ROUND_CEILING, Decimal

from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from domain.routes import Route
from domain.takeoff import (
    Circuit,
    CrawlFloor,
    PaintWish,
    SealJoint,
    SuctionPit,
    TakeoffLine,
    Wanted,
    take_off,
    takeoff_rules,
)
from domain.takeoff.lines import COUNTED, round_up
from tests.domain.route_examples import DAY, routes

RULES = takeoff_rules(DAY)
NUMBER = r"(\d+(?:\.\d+)?)"


def first(pattern: str) -> Callable[[str], Decimal]:
    def read(words: str) -> Decimal:
        found = re.search(pattern, words)
        assert found, f"{words!r} has no number"
        product = Decimal(1)
        for number in found.groups():
            product *= Decimal(number)
        return product

    return read


def summed(pattern: str, by: Callable[[Decimal, Decimal], Decimal]) -> Callable[[str], Decimal]:
    def read(words: str) -> Decimal:
        return sum((by(Decimal(a), Decimal(b)) for a, b in re.findall(pattern, words)), Decimal(0))

    return read


def spread(words: str) -> Decimal:
    """``one in each space and each 20 ft: basement 3, outside wall 1``."""
    return sum((Decimal(number) for number in re.findall(r" (\d+)(?:,|$)", words.split(" ft: ")[1])), Decimal(0))


def wires(words: str) -> Decimal:
    """``fan: 3 wires of 21 ft and 6 in to spare at each end``: so much for each section."""
    found = re.search(rf"{NUMBER} wires? of {NUMBER} ft in (\d+) sections? and {NUMBER} in to spare", words)
    assert found, words
    count, feet, sections, inches = (Decimal(one) for one in found.groups())
    return count * (feet + 2 * sections * inches / 12)


READERS: dict[str, Callable[[str], Decimal]] = {
    "pipe": first(rf"{NUMBER} sticks? of {NUMBER} ft"),
    "conduit": first(rf"{NUMBER} sticks? of {NUMBER} ft"),
    "cement": summed(rf"{NUMBER} joints? of [\d/.-]+ in at {NUMBER} a quart", lambda joints, each: joints / each),
    "primer": lambda words: first(rf"{NUMBER}% of {NUMBER} of cement")(words) / 100,
    "label:pipe": spread,
    "sealant": summed(rf"{NUMBER} ft of .*?, {NUMBER} ft a cartridge", lambda feet, each: feet / each),
    "membrane": first(rf"{NUMBER} strips? of {NUMBER} ft from a {NUMBER} ft roll"),
    "seam_tape": first(rf"{NUMBER} seams? of {NUMBER} ft"),
    "membrane_sealant": summed(rf"{NUMBER} ft of wall.*?, {NUMBER} ft a cartridge", lambda feet, each: feet / each),
    "paint": summed(rf"{NUMBER} sq ft in all.*?, {NUMBER} sq ft a", lambda area, each: area / each),
    "paint_primer": summed(rf"1 coat on {NUMBER} sq ft.*?, {NUMBER} sq ft a", lambda area, each: area / each),
    "wire": wires,
    "backer_rod": first(rf": {NUMBER} ft behind"),
}
PLAIN = first(rf"(?:^|: ){NUMBER}\b")


def amount(key: str, reason: str) -> Decimal:
    """What the reason of a line adds up to."""
    parts = key.split(":")
    reader = READERS.get(":".join(parts[:2])) or READERS.get(parts[0]) or PLAIN
    total = Decimal(0)
    for words in re.sub(r"(?<=\d),(?=\d)", "", reason).split("; "):
        times = re.match(r"(\d+) × ", words)
        if reader is not PLAIN or re.search(r"\d", words):
            try:
                total += reader(words[times.end() :] if times else words) * (int(times[1]) if times else 1)
            except AssertionError:
                assert reader is not PLAIN, words
                assert parts[0] in ("pipe", "conduit"), words  # a second half that proves, or says how full it is
    return total


def check(line: TakeoffLine) -> None:
    said = round_up(amount(line.key, line.reason), line.waste_percent, line.pack, line.unit)
    step = line.pack or (Decimal(1) if line.unit in COUNTED else Decimal(0))
    if step and line.item_class not in ("cement", "sealing", "paint"):
        assert said == line.computed, (line.key, line.reason)
    else:  # printed to a few places: at most where the next whole one begins
        room = max(line.computed * Decimal("0.004"), Decimal("0.02")).to_integral_value(ROUND_CEILING)
        assert abs(said - line.computed) <= room, (line.key, line.reason)


beside = st.fixed_dictionaries({
    "joints": st.lists(
        st.builds(SealJoint, st.sampled_from(("edge", "crack")), st.integers(1, 200).map(Decimal),
                  backer=st.booleans()), max_size=3).map(tuple),
    "pits": st.lists(st.builds(SuctionPit, st.just("corner"), st.integers(8, 20).map(Decimal),
                               st.integers(8, 20).map(Decimal)), max_size=3).map(tuple),
    "floors": st.lists(st.builds(CrawlFloor, st.just("crawl"), st.integers(8, 60).map(Decimal),
                                 st.integers(8, 60).map(Decimal), piers=st.integers(0, 9)), max_size=2).map(tuple),
    "circuits": st.lists(st.builds(Circuit, st.just("fan"), st.lists(
        st.integers(1, 60).map(Decimal), min_size=1, max_size=3).map(tuple), kind=st.sampled_from(("emt", "pvc"))),
        max_size=2).map(tuple),
    "paint": st.none() | st.builds(PaintWish, st.just(("outside", "basement")), st.integers(1, 3),
                                   st.sampled_from(("quart", "can"))),
})  # fmt: skip


@settings(max_examples=60, deadline=None, phases=(Phase.explicit, Phase.reuse, Phase.generate))
@given(st.lists(routes(), max_size=2), beside)
def test_the_reason_of_every_line_gives_its_number(some: list[Route], values: dict[str, object]) -> None:
    named = [replace(route, name="north") for route in some]  # a name of digits reads like a count
    made = take_off(Wanted(routes=tuple(named), **values), RULES)  # type: ignore[arg-type]
    for line in made.lines:
        check(line)
    for driver in made.drivers:
        said = amount(driver.kind if driver.kind not in ("pipe_ft",) else "x", driver.reason)
        assert said == driver.quantity, (driver.kind, driver.reason)


def test_what_was_once_wrong_is_caught() -> None:
    assert amount("flexible_coupling:4", "1 on the route; 1 to take the fan out again") == 2
    assert amount("pressure_indicator", "2 × 1 for the fan: it must show a failure") == 2
