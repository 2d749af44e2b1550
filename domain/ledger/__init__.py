"""Double-entry books: the accounts, what each paper and payment posts, and the balance of all accounts."""

from domain.ledger.entries import LedgerEntry, Posting, entry
from domain.ledger.posting import (
    post_bad_debt,
    post_bill,
    post_bill_payment,
    post_invoice,
    post_payment,
)
from domain.ledger.roles import ROLES, Account, AccountRole, accounts_named
from domain.ledger.trial import TrialBalance, TrialRow, trial_balance

__all__ = [
    "ROLES",
    "Account",
    "AccountRole",
    "LedgerEntry",
    "Posting",
    "TrialBalance",
    "TrialRow",
    "accounts_named",
    "entry",
    "post_bad_debt",
    "post_bill",
    "post_bill_payment",
    "post_invoice",
    "post_payment",
    "trial_balance",
]
