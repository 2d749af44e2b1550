"""The sentences of papers that an owner may word differently, each with a built-in wording of ours.

What a paper must say before and after the work follows EPA's and ANSI/AARST's lists of disclosures (EPA Radon
Mitigation Standards section 18 as reprinted, RMS-LB 2018 section 4.2.2); the sentences are our own. Nothing here
promises a radon level, and no number of years is set: no national minimum warranty was found.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class TextPart:
    """One wording.

    Attributes:
        kind: the paper it stands on, or "all".
        part: its key on that paper.
        label: what it is, for the owner.
        wording: ours, used until the owner sets another.
    """

    kind: str
    part: str
    label: str
    wording: str


PARTS: tuple[TextPart, ...] = (
    TextPart(
        "proposal", "chemicals", "Chemicals used",
        "Primer and solvent cement join the pipe; sealant closes cracks and joints. They smell for a day or so."
        " Safety data sheets are given on request.",
    ),
    TextPart(
        "proposal", "maintenance", "What the owner of the house looks after",
        "Look at the pressure indicator once a month. Have the system serviced when the reading changes by a fifth or"
        " more, or falls to zero. Leave the fan running. Test again at least every two years.",
    ),
    TextPart(
        "proposal", "after_test", "Test after the work",
        "A radon test after the work shows what was reached. It begins no sooner than 24 hours after the fan was"
        " started, with the house closed up, and is best done by somebody independent of us.",
    ),
    TextPart(
        "proposal", "running_cost", "Running cost",
        "The fan runs all the time. Some heated or cooled air leaves the house with it.",
    ),
    TextPart("invoice", "terms", "Payment terms", "Please name the invoice's number with the payment."),
    TextPart("invoice", "escrow", "When escrow pays at closing", "To be paid from escrow at closing."),
    TextPart("credit_note", "note", "Note", "This amount is taken off what you owe, or paid back if nothing is owed."),
    TextPart("receipt", "thanks", "Thanks", "Received with thanks."),
    TextPart(
        "statement", "note", "Note", "If your own records show something different, please call: we will look at it.",
    ),
    TextPart(
        "reminder", "first", "Payment reminder",
        "Our records show the amounts below as not yet paid. If your payment is on its way, thank you, and please"
        " take no notice of this letter. If something is not right with the work or the invoice, please call.",
    ),
    TextPart(
        "closeout", "welcome", "Opening words",
        "This pack tells what was built, how to see that it works, and when to test again. Keep it with the house and"
        " hand it to the next owner.",
    ),
    TextPart(
        "closeout", "indicator", "What the indicator means",
        "The indicator shows that the fan pulls air. It measures pressure and never radon; only a test shows the"
        " radon level.",
    ),
    TextPart(
        "closeout", "cautions", "Cautions",
        "Do not cover or close the discharge, cut the pipe, or switch the fan off for longer than a service takes."
        " Electrical work on the fan is for a licensed electrician where local rules say so. If a fuel-burning"
        " appliance smells of exhaust, call its service at once.",
    ),
    TextPart(
        "label", "call", "Words on the label",
        "If the indicator reads zero or has changed by a fifth or more, call for service.",
    ),
    TextPart(
        "letter", "body", "Letter for the buyer or the agent",
        "The radon reduction system at this address was installed as described below. The tests listed were made by"
        " the parties named; a test shows the level of its own days only.",
    ),
)  # fmt: skip


def parts_of(kind: str) -> tuple[TextPart, ...]:
    """The wordings that stand on a paper of this kind."""
    return tuple(part for part in PARTS if part.kind == kind)


def words_of(kind: str, part: str, own: Mapping[tuple[str, str], str]) -> str:
    """The owner's wording of a part, else the built-in one.

    Args:
        own: the owner's wordings by (kind, part), from `db.queries.papers.own_texts`.

    Raises:
        KeyError: no such part.
    """
    for one in PARTS:
        if (one.kind, one.part) == (kind, part):
            return own.get((kind, part), one.wording)
    raise KeyError(f"{kind} {part}")
