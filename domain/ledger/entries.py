"""A ledger entry: what one paper or payment posts, debits equal to credits."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Posting:
    """An amount on one account; a debit is above nothing, a credit below."""

    role: str
    cents: int

    @property
    def debit_cents(self) -> int:
        """The amount when it is a debit, else 0."""
        return max(self.cents, 0)

    @property
    def credit_cents(self) -> int:
        """The amount when it is a credit, else 0."""
        return max(-self.cents, 0)


@dataclass(frozen=True, slots=True)
class LedgerEntry:
    """One event of the books.

    Attributes:
        source: the table it comes from: invoice | payment | bad_debt | bill | bill_payment.
        reference: the paper's own number.
        party: customer or supplier.
        job: number of the job, "" without one.
    """

    day: date
    source: str
    source_id: int
    reference: str
    words: str
    party: str
    job: str
    postings: tuple[Posting, ...]

    @property
    def balanced(self) -> bool:
        """Debits equal credits."""
        return sum(one.cents for one in self.postings) == 0


def postings(*pairs: tuple[str, int]) -> tuple[Posting, ...]:
    """Postings by role in the order given, added up where a role comes twice, without those of nothing.

    Raises ValueError when debits and credits differ: that is a mistake in the program.
    """
    sums: dict[str, int] = {}
    for role, cents in pairs:
        sums[role] = sums.get(role, 0) + cents
    if difference := sum(sums.values()):
        raise ValueError(f"debits and credits differ by {difference} cents")
    return tuple(Posting(role, cents) for role, cents in sums.items() if cents)


def entry(
    day: date, source: str, source_id: int, pairs: Iterable[tuple[str, int]], *, reference: str = "", words: str = "",
    party: str = "", job: str = "",
) -> LedgerEntry:  # fmt: skip
    """Put an entry together; see `postings`."""
    return LedgerEntry(day, source, source_id, reference, words, party, job, postings(*pairs))
