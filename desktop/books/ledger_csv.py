"""The ledger and the miles as plain csv, for any bookkeeping program and any bookkeeper; UTF-8, comma-separated.

The ledger has one row a posting, in a layout of our own:

    day        2026-11-03
    entry      what belongs together: the rows of an entry carry the same word, and their debits equal their credits
    reference  the paper's own number
    account    the owner's number of the account, may be empty
    name       its name
    debit      dollars with a point and two places; empty when the row is a credit
    credit     likewise
    words      what it is
    party      customer or supplier
    job        number of the job
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from desktop.books.csv_file import write_rows
from domain.ledger import Account, LedgerEntry
from domain.miles import MilesLog
from domain.money import format_money

LEDGER_HEADS = ("day", "entry", "reference", "account", "name", "debit", "credit", "words", "party", "job")
MILES_HEADS = ("day", "miles", "rate", "amount", "purpose", "route", "job")


def write_ledger_csv(entries: Iterable[LedgerEntry], accounts: Mapping[str, Account], path: Path) -> Path:
    """Write every posting of some entries. Raises OSError."""
    return write_rows(path, LEDGER_HEADS, [row for one in entries for row in _postings(one, accounts)])


def write_miles_csv(log: MilesLog, path: Path) -> Path:
    """Write one row a drive. Raises OSError."""
    rows = [
        [
            one.day.isoformat(), f"{one.miles:f}", f"{one.rate:f}", _dollars(one.cents), one.purpose,
            one.route, one.job,
        ]
        for one in log.drives
    ]  # fmt: skip
    return write_rows(path, MILES_HEADS, rows)


def _postings(one: LedgerEntry, accounts: Mapping[str, Account]) -> list[list[str]]:
    return [
        [
            one.day.isoformat(), f"{one.source.replace('_', '-')}-{one.source_id}", one.reference,
            accounts[posting.role].number, accounts[posting.role].name,
            _dollars(posting.debit_cents), _dollars(posting.credit_cents), one.words, one.party,
            one.job,
        ]
        for posting in one.postings
    ]  # fmt: skip


def _dollars(cents: int) -> str:
    return format_money(cents, symbol=False).replace(",", "") if cents else ""
