"""The balance of all accounts: what stood on each before a period, what came in it, and what stands after it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from domain.ledger.roles import Account


@dataclass(frozen=True, slots=True)
class TrialRow:
    """One account over a period; balances are debits above nothing, credits below. Income and costs begin anew
    with each year."""

    account: Account
    opening_cents: int
    debit_cents: int
    credit_cents: int

    @property
    def closing_cents(self) -> int:
        """What stands on it at the end."""
        return self.opening_cents + self.debit_cents - self.credit_cents


@dataclass(frozen=True, slots=True)
class TrialBalance:
    """Every account in order."""

    rows: tuple[TrialRow, ...]

    @property
    def debit_cents(self) -> int:
        """All debits of the period."""
        return sum(row.debit_cents for row in self.rows)

    @property
    def credit_cents(self) -> int:
        """All credits of the period; equal to the debits."""
        return sum(row.credit_cents for row in self.rows)

    def balance(self, role: str) -> int:
        """What stands on an account at the end, debits above nothing."""
        return next(row.closing_cents for row in self.rows if row.account.role.key == role)

    def moved(self, role: str) -> int:
        """Debits less credits of the period on an account."""
        return next(row.debit_cents - row.credit_cents for row in self.rows if row.account.role.key == role)

    @property
    def result_cents(self) -> int:
        """Income less costs of the period: what the books say was earned before the owner's own wage and taxes."""
        return sum(
            row.credit_cents - row.debit_cents for row in self.rows if row.account.role.side in ("income", "cost")
        )


def trial_balance(
    accounts: Mapping[str, Account], opening: Mapping[str, int], moved: Mapping[str, tuple[int, int]]
) -> TrialBalance:
    """Put the rows together.

    Args:
        opening: debits less credits before the period by role.
        moved: debits and credits of the period by role.
    """
    return TrialBalance(
        tuple(
            TrialRow(account, opening.get(role, 0), *moved.get(role, (0, 0))) for role, account in accounts.items()
        )
    )
