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
class LikelyDuplicate:
    """A customer already kept who may be the one being entered."""

    customer_id: int
    name: str
    archived: bool
    reasons: tuple[str, ...]  # strongest first, e.g. ("same phone", "similar name")
    strength: int  # the higher the likelier


def street_key(street: str) -> str:
    """A street and number with its usual abbreviations evened out: ``12 Mill Road`` and ``12 mill rd.`` agree."""
    words = re.sub(r"[^\w\s]", " ", fold(street)).split()
    return " ".join(_STREET_WORDS.get(word, word) for word in words)


def _name_key(name: str) -> str:
    return " ".join(sorted(re.sub(r"[^\w\s]", " ", fold(name)).split()))


def _phones(phones: Iterable[str]) -> set[str]:
    """Full numbers only: a half-typed one would match half the town."""
    return {digits for digits in map(phone_digits, phones) if len(digits) >= 7}


def likeness(entered: Traits, kept: Traits) -> tuple[int, tuple[str, ...]]:
    """Strength (0: nothing in common) and the reasons, strongest first."""
    found: list[tuple[int, str]] = []
    if _phones(entered.phones) & _phones(kept.phones):
        found.append((60, "same phone"))
    if {fold(m).strip() for m in entered.mails if "@" in m} & {fold(m).strip() for m in kept.mails}:
        found.append((60, "same mail"))
    streets = {street_key(s) for s in entered.streets if re.search(r"\d", s) and len(s.split()) > 1}
    if streets & {street_key(s) for s in kept.streets}:
        found.append((50, "same street address"))
    ours, theirs = _name_key(entered.name), _name_key(kept.name)
    if ours and ours == theirs:
        found.append((45, "same name"))
    elif len(ours) >= 5 and _alike(ours, theirs):
        found.append((30, "similar name"))
    found.sort(key=lambda pair: -pair[0])
    return sum(points for points, _ in found), tuple(reason for _, reason in found)


def _alike(ours: str, theirs: str) -> bool:
    compared = SequenceMatcher(None, ours, theirs, autojunk=False)
    # the quick bounds spare nearly every full comparison
    return (
        compared.real_quick_ratio() >= SIMILAR_NAME
        and compared.quick_ratio() >= SIMILAR_NAME
        and compared.ratio() >= SIMILAR_NAME
    )
