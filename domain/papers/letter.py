"""A letter for the buyer, an agent or an inspector: what was built, which tests there are, and what a test can say."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from domain.closeout.handover import Handover, promise_words
from domain.dates import format_day, format_day_short
from domain.jobs import Party, RadonTest
from domain.papers.texts import words_of
from domain.units import format_radon


@dataclass(frozen=True, slots=True)
class Letter:
    """The letter's contents in the order they are read; rows are (what, details)."""

    reference: str
    facts: tuple[tuple[str, str], ...]
    to_lines: tuple[str, ...]
    about: str
    opening: str
    system: tuple[tuple[str, str], ...]
    tests: tuple[tuple[str, str], ...]
    closing: tuple[str, ...]
    signer: str


def letter(facts: Handover, to: Party | None, today: date) -> Letter:
    """Decide what the letter says. Pure: the same facts give the same letter.

    Args:
        to: the party it is for; None: to whom it may concern.
    """
    kept, job, unit = facts.kept, facts.job, facts.firm.radon_unit
    system = [("Kind of work", facts.job_type)]
    if job.installed_on:
        system.append(("Fan started", format_day(job.installed_on)))
    if kept.description.strip():
        system.append(("System", kept.description.strip()))
    if kept.fan:
        system.append(("Fan", kept.fan))
    if kept.indicator:
        place = f", {kept.indicator_place}" if kept.indicator_place else ""
        system.append(("Pressure indicator", f"{kept.indicator}{place}"))
    if facts.standard:
        system.append(("Standard worked to", facts.standard))
    if facts.retest_on:
        system.append(("Next test due", format_day(facts.retest_on)))
    level = format_radon(kept.level_promised, unit) if kept.level_promised is not None else ""
    tests = tuple((_when(one.record), _result(one.record, unit)) for one in facts.tests)
    words = words_of("letter", "body", facts.texts)
    return Letter(
        reference=f"Job {job.number}",
        facts=(("Date", format_day(today)),),
        to_lines=_to_lines(to),
        about=f"Radon reduction system at {facts.house.one_line}",
        opening=words,
        system=tuple(system),
        tests=tests,
        closing=(
            "" if tests else "No radon test of this house is on record with us.",
            promise_words(kept, level),
            "Whether the house is right for you is a question for your own inspector and for a test made by somebody"
            " independent of us.",
        ),
        signer=facts.firm.owner_name or facts.firm.name,
    )


def _to_lines(to: Party | None) -> tuple[str, ...]:
    if to is None:
        return ("To whom it may concern",)
    return tuple(line for line in (to.name, to.role.capitalize(), to.mail) if line)


def _when(test: RadonTest) -> str:
    when = "Before the work" if test.purpose == "before" else "After the work"
    if test.started_on and test.started_on != test.ended_on:
        return f"{when}, {format_day_short(test.started_on)} to {format_day_short(test.ended_on)}"
    return f"{when}, {format_day_short(test.ended_on)}"


def _result(test: RadonTest, unit: str) -> str:
    by = f"placed by {test.placed_by}" if test.placed_by else ""
    parts = (format_radon(test.result, unit), test.device, test.place, by)
    return "  ·  ".join(part for part in parts if part)
