"""What the closeout pack and the system label say, and which parts are missing before they are handed over."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from domain.closeout.checklist import CheckRow, count
from domain.closeout.defects import unanswered
from domain.closeout.records import Closeout, Defect
from domain.closeout.reduction import Reduction
from domain.closeout.running_cost import RunningCost
from domain.closeout.timing import Timing
from domain.dates import format_day_short
from domain.firm import Firm
from domain.jobs import Job, Photo, RadonTest
from domain.people import Customer, Property


@dataclass(frozen=True, slots=True)
class TestSeen:
    """A test with what its timing says and the name of its report, "" without one."""

    __test__ = False  # the trade's word, not pytest's

    record: RadonTest
    timing: Timing
    report: str
    report_file: str = ""


@dataclass(frozen=True, slots=True)
class Handover:
    """All that the pack and the label are made from; `job_sketch` is drawn apart."""

    firm: Firm
    customer: Customer
    house: Property
    job: Job
    job_type: str
    system: Closeout | None
    tests: tuple[TestSeen, ...]
    reduction: Reduction | None
    retest_on: date | None
    recheck_years: Decimal
    recheck_source: str
    change_percent: Decimal
    rows: tuple[CheckRow, ...]
    defects: tuple[Defect, ...]
    photos: tuple[Photo, ...]
    cost: RunningCost
    warranty: str  # the job's own words, else those of the accepted quote, else the firm's
    standard: str  # the standard worked to, with its edition
    cautions: tuple[str, ...]
    texts: dict[tuple[str, str], str]  # the owner's own wordings

    @property
    def kept(self) -> Closeout:
        """What was noted, or nothing at all."""
        return self.system or Closeout(0, self.job.id)


@dataclass(frozen=True, slots=True)
class Missing:
    """A part the pack would lack.

    Attributes:
        part: what is missing, in words.
        where: where to enter it: a card of the closeout section, or "facts", "survey", "company".
        needed: True when the pack says so in its place; False when it is only left out.
    """

    part: str
    where: str
    needed: bool = True


def missing_parts(facts: Handover) -> list[Missing]:
    """What is not there yet, the weightiest first; the pack can be issued all the same and then says so."""
    kept, found = facts.kept, []

    def lack(there: object, part: str, where: str, needed: bool = True) -> None:
        if not there:
            found.append(Missing(part, where, needed))

    lack(facts.job.installed_on, "the day the fan was started", "facts")
    lack([one for one in facts.tests if one.record.purpose == "after"], "a radon test after the work", "tests")
    lack([one for one in facts.tests if one.record.purpose == "before"], "a radon test before the work", "tests")
    for one in facts.tests:
        if one.timing.met is None:
            lack(False, f"what tells the timing of the test ended {format_day_short(one.record.ended_on)}", "tests")
    lack(kept.suction is not None, "the suction when the fan was started", "system")
    lack(kept.fan, "the fan's name", "system")
    lack(kept.indicator, "what kind of pressure indicator it is", "system")
    lack(kept.description, "a description of the system", "system")
    checks = count(facts.rows)
    if checks.open:
        lack(False, f"answers to {checks.open} of {checks.points} points of the checklist", "checklist")
    if open_ones := unanswered(facts.defects):
        lack(False, f"an answer to {len(open_ones)} {'defect' if len(open_ones) == 1 else 'defects'}", "defects")
    lack(facts.standard, "the standard worked to, with its edition", "system")
    lack(facts.warranty, "the terms of the warranty", "warranty")
    lack(facts.retest_on, "the day of the next test", "warranty")
    lack(facts.firm.licence_number, "the firm's license number", "company")
    lack(facts.firm.phone, "the firm's phone number", "company")
    lack(facts.cost.fan_cents is not None, "the yearly running cost (watts and price of a kilowatt-hour)", "system")
    lack(facts.photos, "photos", "photos", False)
    return found


def promise_words(kept: Closeout, level_words: str) -> str:
    """Whether a level is promised: never left unsaid."""
    if kept.level_promised is None:
        return "No radon level is promised by this warranty."
    until = f" until {format_day_short(kept.warranty_until)}" if kept.warranty_until else ""
    return f"The warranty covers a radon level below {level_words}{until}, under the terms stated here."


@dataclass(frozen=True, slots=True)
class LabelWords:
    """What the system label says, part by part."""

    title: str
    installed: str
    indicator: str
    call: str
    retest: str
    installer: tuple[str, ...]
    help: str
    warning: str

    @property
    def all_words(self) -> str:
        """Everything on it, for a check or a reader."""
        parts = (self.title, self.installed, self.indicator, self.call, self.retest, *self.installer, self.help,
                 self.warning)  # fmt: skip
        return " ".join(part for part in parts if part)


LABEL_SIZES = (("4 x 3 in", 4.0, 3.0), ("6 x 4 in", 6.0, 4.0))
"""Offered sizes: words, width and height in inches."""


def label_words(facts: Handover, call: str) -> LabelWords:
    """The contents that ANSI/AARST SGM-SF 8.4.2.1 (2017, rev. 12/20; read) asks of the primary label.

    That is a title, the day it was installed, what the monitor is and what to do by it, a retest at least every two
    years, where help is found, and the installer's name, phone and license number. The words are our own.

    Args:
        call: what to do when the indicator changes, the owner's wording or ours.
    """
    kept, firm, years = facts.kept, facts.firm, int(facts.recheck_years)
    day = facts.job.installed_on
    kind = kept.indicator or "pressure indicator"
    reading = f" It read {kept.suction.normalize():f} in. w.c. when the fan was started." if kept.suction else ""
    place = f" ({kept.indicator_place})" if kept.indicator_place else ""
    due = f"; next: {format_day_short(facts.retest_on)}" if facts.retest_on else ""
    license_line = f"License or certificate {firm.licence_number}" if firm.licence_number else "License: ____________"
    return LabelWords(
        title="Radon Reduction System",
        installed=f"Installed {format_day_short(day)}" if day else "Installed ____________",
        indicator=f"Indicator: {kind}{place}. It shows the fan's suction, never the radon level.{reading}",
        call=call,
        retest=f"Test for radon at least every {years} {'year' if years == 1 else 'years'}{due}.",
        installer=tuple(part for part in (firm.name, firm.phone or "Phone: ____________", license_line) if part),
        help="More about radon: your state's radon program, or epa.gov/radon.",
        warning="Do not switch off, cut or cover any part of this system.",
    )
