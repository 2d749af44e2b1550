"""How alike a customer being entered is to one already kept, and why."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import SequenceMatcher

from domain.words import fold, phone_digits

SIMILAR_NAME = 0.84
"""Ratio from which two names count as alike; own judgement, tried on everyday misspellings."""

_STREET_WORDS = {
    "street": "st", "road": "rd", "avenue": "ave", "lane": "ln", "drive": "dr", "court": "ct", "circle": "cir",
    "place": "pl", "terrace": "ter", "highway": "hwy", "boulevard": "blvd", "north": "n", "south": "s",
    "east": "e", "west": "w",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Traits:
    """What a customer is recognised by; every text as it was typed."""

    name: str = ""
    phones: tuple[str, ...] = ()
    mails: tuple[str, ...] = ()
    streets: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class KeptCustomer:
    """A customer of the company with what it is recognised by."""

    customer_id: int
    archived: bool
    traits: Traits


@dataclass(frozen=True, slots=True)
class LikelyDuplicate:
    """A customer already kept who may be the one being entered."""

    customer_id: int
    name: str
    archived: bool
    reasons: tuple[str, ...]  # strongest first, e.g. ("same phone", "similar name")
    strength: int  # the higher the likelier


def street_key(street: str) -> str:
    """A street and number with its usual abbreviations evened out: ``12 Mill Road`` and ``12 mill rd.`` agree."""
    words = _bare(street).split()
    return " ".join(_STREET_WORDS.get(word, word) for word in words)


def name_key(name: str) -> str:
    """A name without case, accents, punctuation and the order of its words."""
    return " ".join(sorted(_bare(name).split()))


def likely_duplicates(entered: Traits, kept: Iterable[KeptCustomer], most: int = 4) -> list[LikelyDuplicate]:
    """Those who may be the one being entered, likeliest first, at most so many."""
    ours = _Entered(entered)
    found = []
    for customer in kept:
        strength, reasons = ours.likeness(customer.traits)
        if strength:
            found.append(
                LikelyDuplicate(customer.customer_id, customer.traits.name, customer.archived, reasons, strength)
            )
    return sorted(found, key=lambda one: (-one.strength, one.name))[:most]


def likeness(entered: Traits, kept: Traits) -> tuple[int, tuple[str, ...]]:
    """Strength (0: nothing in common) and the reasons, strongest first."""
    return _Entered(entered).likeness(kept)


class _Entered:
    """What is entered, prepared once to be held against many."""

    def __init__(self, entered: Traits) -> None:
        self.phones = _phones(entered.phones)
        self.mails = {fold(mail).strip() for mail in entered.mails if "@" in mail}
        self.streets = {street_key(s) for s in entered.streets if re.search(r"\d", s) and len(s.split()) > 1}
        self.name = name_key(entered.name)
        self._matcher = SequenceMatcher(autojunk=False)
        self._matcher.set_seq2(self.name)

    def likeness(self, kept: Traits) -> tuple[int, tuple[str, ...]]:
        found: list[tuple[int, str]] = []
        if self.phones and self.phones & _phones(kept.phones):
            found.append((60, "same phone"))
        if self.mails and self.mails & {fold(mail).strip() for mail in kept.mails}:
            found.append((60, "same mail"))
        if self.streets and self.streets & {street_key(street) for street in kept.streets}:
            found.append((50, "same street address"))
        if self.name:
            theirs = name_key(kept.name)
            if self.name == theirs:
                found.append((45, "same name"))
            elif len(self.name) >= 5 and self._alike(theirs):
                found.append((30, "similar name"))
        found.sort(key=lambda pair: -pair[0])
        return sum(points for points, _ in found), tuple(reason for _, reason in found)

    def _alike(self, theirs: str) -> bool:
        if abs(len(theirs) - len(self.name)) > 4:  # cheap, and spares nearly every full comparison
            return False
        self._matcher.set_seq1(theirs)
        return (
            self._matcher.real_quick_ratio() >= SIMILAR_NAME
            and self._matcher.quick_ratio() >= SIMILAR_NAME
            and self._matcher.ratio() >= SIMILAR_NAME
        )


def _bare(text: str) -> str:
    return re.sub(r"[^\w\s]", " ", fold(text))


def _phones(phones: Iterable[str]) -> set[str]:
    """Full numbers only: a half-typed one would match half the town."""
    return {digits for digits in map(phone_digits, phones) if len(digits) >= 7}
