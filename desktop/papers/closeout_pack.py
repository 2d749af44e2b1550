"""The closeout pack: what was built, what was tested and checked, how to see that it works, whom to call."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from io import BytesIO
from typing import TYPE_CHECKING

from reportlab.lib.utils import ImageReader
from reportlab.platypus import Flowable, Image

from desktop.papers.closeout_checks import checks_story, defects_story, tests_story
from desktop.papers.letterhead import letterhead
from desktop.papers.paper import Paper, columns, grid, heading, listing, prose, space, text_block, together
from domain.closeout.handover import Handover, missing_parts, promise_words
from domain.closeout.service_range import reading_words
from domain.dates import format_day, format_day_short
from domain.papers import words_of
from domain.units import format_clock, format_radon
from domain.units.numbers import plain

if TYPE_CHECKING:
    from domain.job_takeoff.sketch import Sketch

PHOTO_HEIGHT = 170.0
GAP = 14.0


@dataclass(frozen=True, slots=True)
class PackPicture:
    """A photo as it is printed: JPEG bytes, None where the file is not there; and what it shows."""

    jpeg: bytes | None
    caption: str


def make_closeout_pack(
    facts: Handover, on: date, sketch: Sketch | None = None, pictures: Sequence[PackPicture] = (),
    logo: bytes | None = None, *, draft: bool = False,
) -> bytes:  # fmt: skip
    """The PDF: US letter, or A4 for a firm that works in metric units.

    Args:
        on: the day it is handed over.
        draft: mark every page as not issued.
    """
    job = facts.job
    paper = Paper(
        title=f"Closeout pack, job {job.number}", running_head=f"Closeout pack  ·  Job {job.number}",
        author=facts.firm.name, sheet="a4" if facts.firm.unit_system == "metric" else "letter",
        mark="Draft: not handed over yet" if draft else "",
    )  # fmt: skip
    dates = [("Date", format_day_short(on))]
    if job.installed_on:
        dates.append(("Fan started", format_day_short(job.installed_on)))
    width = paper.width
    story: list[Flowable] = letterhead(
        facts.firm, "Closeout pack: radon reduction system", (f"Job {job.number}",), dates, width, logo
    )
    story += _who(facts, width)
    story += prose(words_of("closeout", "welcome", facts.texts))
    story += _system(facts, width)
    story += _drawing(sketch, width)
    story += tests_story(facts, width)
    story += _indicator(facts)
    story += checks_story(facts, width)
    story += defects_story(facts, width)
    story += _warranty(facts)
    story += [*heading("What it costs to run"), *(text_block(line) for line in facts.cost.words)]
    story += [*heading("Cautions"), *prose(words_of("closeout", "cautions", facts.texts))]
    story += _contacts(facts)
    story += _missing(facts)
    story += _photos(pictures, width)
    return paper.make(story)


def _who(facts: Handover, width: float) -> list[Flowable]:
    half = (width - 18) / 2
    house = facts.house
    town = " ".join(part for part in (f"{house.town}," if house.town else "", house.region, house.postcode) if part)
    built = f", built {house.year_built}" if house.year_built else ""
    foundation = "" if house.foundation == "not recorded" else f"{house.foundation}{built}"
    who = [text_block("For", "soft"), text_block(facts.customer.name, "strong")]
    where = [text_block("Property", "soft"), text_block(house.street, "strong")]
    where += [text_block(line[:1].upper() + line[1:], "cell") for line in (town.rstrip(","), foundation) if line]
    return [columns(who, [], where, widths=(half, 18, half)), space(8)]


def _system(facts: Handover, width: float) -> list[Flowable]:
    kept, job = facts.kept, facts.job
    started = ""
    if job.installed_on:
        at = f" at {format_clock(kept.fan_on_minute)}" if kept.fan_on_minute is not None else ""
        started = f"{format_day(job.installed_on)}{at}"
    suction = ""
    if kept.suction is not None:
        read = f", read on {format_day_short(kept.read_on)}" if kept.read_on else ""
        suction = f"{plain(kept.suction)} in. w.c. at the main riser{read}"
    watts = f", {plain(kept.fan_watts)} W" if kept.fan_watts is not None else ""
    place = f", {kept.indicator_place}" if kept.indicator_place else ""
    rows = [
        ("Kind of work", facts.job_type),
        ("Fan started", started),
        ("Fan", f"{kept.fan}{watts}".removeprefix(", ")),
        ("Suction when the fan was started", suction),
        ("Pressure indicator", f"{kept.indicator}{place}".removeprefix(", ")),
        ("Standard worked to", facts.standard),
    ]
    known = [[[text_block(a, "soft")], [text_block(b, "cell")]] for a, b in rows if b]  # the rest is named at the end
    return [*heading("The system"), *prose(kept.description), space(4), grid(known, (width * 0.34, width * 0.66))]


def _drawing(sketch: Sketch | None, width: float) -> list[Flowable]:
    """Each route that was built, drawn from the side."""
    if sketch is None:
        return []
    from desktop.papers.sketch import HIGH, HIGH_OF_SEVERAL, LEGEND, route_picture
    from domain.routes.drawing import draw_study

    highest = HIGH_OF_SEVERAL if len(sketch.proposed) > 1 else HIGH
    blocks = [
        [
            text_block(study.route.name or "The pipe as built", "strong"),
            route_picture(draw_study(study, sketch.length_unit, with_problems=False), width, highest),
            space(4),
        ]
        for study in sketch.proposed
    ]
    break_, words = heading("How the pipe runs")
    story: list[Flowable] = [break_, together(words, *blocks[0]), *(together(*block) for block in blocks[1:])]
    return [*story, text_block(LEGEND, "soft")]


def _indicator(facts: Handover) -> list[Flowable]:
    story = [*heading("What the indicator means"), *prose(words_of("closeout", "indicator", facts.texts))]
    if facts.kept.suction:
        story.append(text_block(reading_words(facts.kept.suction, facts.change_percent)))
    return story


def _warranty(facts: Handover) -> list[Flowable]:
    kept = facts.kept
    level = "" if kept.level_promised is None else format_radon(kept.level_promised, facts.firm.radon_unit)
    story = heading("Warranty")
    if kept.warranty_until:
        story.append(text_block(f"The warranty runs until {format_day(kept.warranty_until)}."))
    story += prose(facts.warranty) or [text_block("The terms of the warranty are not stated in this pack.")]
    story.append(text_block(promise_words(kept, level)))
    years = plain(facts.recheck_years)
    due = f" The next one is due by {format_day(facts.retest_on)}." if facts.retest_on else ""
    story += [
        *heading("Test again"),
        text_block(f"A house with a radon reduction system is tested at least every {years} years.{due}"),
    ]
    return story


def _contacts(facts: Handover) -> list[Flowable]:
    firm = facts.firm
    lines = [text_block(firm.name, "strong"), *(text_block(line, "cell") for line in firm.letterhead_lines)]
    more = "About radon and its risk: your state's radon program, or the EPA at epa.gov/radon."
    return [*heading("Whom to call"), together(*lines, text_block(more, "cell"))]


def _missing(facts: Handover) -> list[Flowable]:
    lacking = [one.part for one in missing_parts(facts) if one.needed]
    if not lacking:
        return []
    return [*heading("Not in this pack"), text_block("When it was made, these were not noted:"),
            *listing("\n".join(lacking))]  # fmt: skip


def _photos(pictures: Sequence[PackPicture], width: float) -> list[Flowable]:
    there = [one for one in pictures if one.jpeg]
    if not there:
        return []
    half = (width - GAP) / 2
    rows: list[Flowable] = []
    for pair in (there[place : place + 2] for place in range(0, len(there), 2)):
        cells = [_photo(one, half) for one in pair]
        cells += [[]] * (2 - len(cells))
        rows.append(together(columns(cells[0], [], cells[1], widths=(half, GAP, half)), space(8)))
    break_, words = heading("Photos")
    return [break_, together(words, rows[0]), *rows[1:]]


def _photo(one: PackPicture, width: float) -> list[Flowable]:
    assert one.jpeg is not None
    across, down = ImageReader(BytesIO(one.jpeg)).getSize()
    scale = min(width / across, PHOTO_HEIGHT / down)
    picture = Image(BytesIO(one.jpeg), across * scale, down * scale, hAlign="LEFT")
    return [picture, text_block(one.caption, "soft")] if one.caption else [picture]
