"""A tie: two sums reached by different ways that must be the same to the cent."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Tie:
    """Attributes:
    what: what is compared, e.g. "Receivables".
    first_words, second_words: how each of the two was reached.
    """

    key: str
    what: str
    first_words: str
    first_cents: int
    second_words: str
    second_cents: int
    advice: str = ""  # where to look when they differ

    @property
    def difference_cents(self) -> int:
        return self.first_cents - self.second_cents

    @property
    def holds(self) -> bool:
        return self.first_cents == self.second_cents


def all_hold(ties: list[Tie]) -> bool:
    """Every tie is zero."""
    return all(tie.holds for tie in ties)
