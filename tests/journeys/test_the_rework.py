"""A rework quoted as reworks always were: told before it is sent that it loses money, by how much, what price holds."""

from __future__ import annotations

import re
from pathlib import Path

from PySide6.QtCore import Qt

from desktop.record_shelf import shelf_of
from tests.journeys.at_the_desk import Person, quiet_qt
from tests.journeys.first_quote import Look, add_customer_and_job, cents, shown_total

Key = Qt.Key
pytestmark = quiet_qt

WARNING = (
    r"At (\$[\d,.]+) after goodwill this job would probably lose money, (\$[\d,.]+) in the middle case: "
    r"(\d) of 10 like it would cost more. (\$[\d,.]+) before goodwill holds in 8 of 10."
)
STATISTICS = re.compile(r"median|quantile|percentile|deviation|posterior|prior|confidence|interval|distribution", re.I)


def test_a_rework_typed_as_always_is_priced_so_that_it_carries_itself(
    owner: Person, sample_file: Path, look: Look
) -> None:
    owner.open(sample_file)
    assert shelf_of(owner.desk).wait()
    add_customer_and_job(owner, look)
    owner.to_section("Survey")
    owner.click("Low crawl")
    owner.to_section("Quote")
    owner.press(Key.Key_Return)  # begin with the usual lines
    owner.fill("Goodwill", "150", Key.Key_Tab)
    owner.type("agent sends work", Key.Key_Return)
    asked = shown_total(owner)
    look("typed")

    # Before it is sent: that it loses, how much, and what holds.
    said = re.search(WARNING, owner.words())
    assert said is not None, owner.words()
    assert said[1] == asked
    assert cents(said[2]) > 0
    assert int(said[3]) >= 5
    assert cents(said[4]) > cents(asked)
    assert owner.sees("Loses money", "Reaches 22%", f"In the middle case it loses {said[2]}.", "of your time")
    assert not STATISTICS.search(owner.words())

    # Why, in words, with the jobs behind it; and the price for as sure as one wants to be.
    owner.ctrl(Key.Key_R)
    assert owner.sees("The price this job can carry", "What finished jobs expect")
    owner.fill("How sure you want to be that the price covers the cost", "80")
    assert owner.sees(f"of jobs like it: {said[4]}")
    look("why")
    assert not STATISTICS.search(owner.words())
    owner.press(Key.Key_Tab)
    owner.click("Use it")
    assert cents(shown_total(owner)) == cents(said[4]) - 15_000
    assert not owner.sees("lose money:")
    look("priced")

    owner.ctrl(Key.Key_L)
    owner.click("Mark as sent")
    assert owner.sees("No radon result is recorded for this job")
    owner.click("Send it all the same")
    owner.ctrl(Key.Key_R)
    assert owner.sees("finished jobs expected", "8 of 10 between", f"was quoted at {shown_total(owner)}")
    look("sent")

    # How much to believe it.
    owner.ctrl(Key.Key_4)
    owner.click("How well you quote")
    assert re.search(r"Of your last 60 jobs, \d\d fell inside the 80% band\.", owner.words())
    assert owner.sees("Is quoting improving?")
    assert not STATISTICS.search(owner.words())
    look("believe")
