"""The parts of the closeout pack that were tested, checked and answered for."""

from __future__ import annotations

from reportlab.platypus import CondPageBreak, Flowable

from desktop.papers.paper import grid, heading, space, text_block
from domain.closeout.checklist import CheckRow, count
from domain.closeout.defects import defect_words, outcome_words
from domain.closeout.handover import Handover, TestSeen
from domain.closeout.records import ANSWER_WORDS, PHASE_WORDS, PHASES
from domain.closeout.timing import moment_words
from domain.dates import format_day_short
from domain.units import format_radon

NO_JUDGMENT = (
    "The list says whether the timing of a test met the rules named. A test shows the level of its own place and "
    "days; what a level means for the people in the house is not judged here."
)

ROOM_FOR_A_ROW = 80.0


def tests_story(facts: Handover, width: float) -> list[Flowable]:
    """Tests before and after, with devices, times and the rules they met."""
    story = heading("Radon tests")
    if not facts.tests:
        return [*story, text_block("No radon test is noted for this job.")]
    unit = facts.firm.radon_unit
    rows = [
        [
            [text_block(format_radon(seen.record.result, unit), "strong"),
             text_block(f"{seen.record.purpose} the work", "soft")],
            [text_block(_when(seen), "cell"), text_block(_how(seen), "soft")],
            [text_block(seen.timing.verdict, "cell")],
        ]
        for seen in facts.tests
    ]  # fmt: skip
    story.append(grid(rows, (width * 0.16, width * 0.4, width * 0.44)))
    story.append(space(4))
    if facts.reduction is not None:
        story.append(text_block(facts.reduction.words(unit), "strong"))
    story.append(text_block(NO_JUDGMENT, "soft"))
    rules = dict.fromkeys(
        check.rule for seen in facts.tests for check in seen.timing.checks if check.met is not None
    )  # fmt: skip
    story += [text_block(f"Rule: {rule.rstrip('.')}.", "soft") for rule in rules]
    return story


def _when(seen: TestSeen) -> str:
    test = seen.record
    ended = moment_words(test.ended_on, test.ended_minute)
    return f"{moment_words(test.started_on, test.started_minute)} to {ended}" if test.started_on else f"ended {ended}"


def _how(seen: TestSeen) -> str:
    test = seen.record
    house = {"yes": "closed house", "no": "house not closed"}.get(test.closed_house, "closed house not noted")
    serial = f"no. {test.serial}" if test.serial else ""
    who = f"by {test.placed_by}" if test.placed_by else ""
    report = f"report {seen.report}" if seen.report else ""
    return ", ".join(part for part in (test.device, serial, test.place, house, who, report) if part)


def checks_story(facts: Handover, width: float) -> list[Flowable]:
    """The checklist with answers; where a figure comes from stands on the screen."""
    answered = [row for row in facts.rows if row.answer is not None]
    story = heading("Checklist")
    if not answered:
        return [*story, text_block("The checklist was not filled in.")]
    standard = f"Standard worked to: {facts.standard}. " if facts.standard else ""
    decides = "Local code and the authority that applies it decide."
    story.append(text_block(f"{standard}{count(facts.rows).words}. {decides}", "soft"))
    for phase in PHASES:
        rows = [_check_row(row) for row in answered if row.point.phase == phase]
        if rows:
            story += [CondPageBreak(ROOM_FOR_A_ROW), space(6), text_block(PHASE_WORDS[phase], "strong"), space(3)]
            story.append(grid(rows, (width * 0.16, width * 0.84)))  # breaks between rows
    return story


def _check_row(row: CheckRow) -> list[list[Flowable]]:
    answer = row.answer
    assert answer is not None
    said: list[Flowable] = [text_block(row.wording, "cell")]
    if answer.note:
        said.append(text_block(answer.note, "cell"))
    day = text_block(format_day_short(answer.answered_on), "soft")
    return [[text_block(ANSWER_WORDS[answer.answer], "strong"), day], said]


def defects_story(facts: Handover, width: float) -> list[Flowable]:
    """What was wrong with what was found, and what became of it."""
    if not facts.defects:
        return []
    rows: list[list[list[Flowable]]] = []
    for one in facts.defects:
        rule: list[Flowable] = [text_block(one.rule, "soft")] if one.rule else []
        rows.append([[text_block(defect_words(one), "cell"), *rule], [text_block(outcome_words(one), "cell")]])
    return [*heading("Defects found, and what became of them"), grid(rows, (width * 0.55, width * 0.45))]
