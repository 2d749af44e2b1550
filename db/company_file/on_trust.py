"""Rows of a recovered file that nobody can vouch for, each named by its number, in words and with what to do."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from db.company_file.owner_words import things, value_name

OLDER = "may be older than they were, as what came later could not be read"
AS_THEY_STAND = "taken as they stand in the file, though what was last saved there could not be read"
EITHER = "the file has them otherwise, by one letter or number, than its journal or the backup; now as there"
UNVOUCHED = "taken as they stand in the file: neither the journal nor a backup has them"
CHANGED = "changed by themselves, and nothing has them as they were"
LOST = "gone, and nothing has them any more"
LOOSE = "pointed at something that is gone, so they were taken out or no longer point there"

ORDER = (LOST, LOOSE, OLDER, CHANGED, EITHER, AS_THEY_STAND, UNVOUCHED)
_DETAILS = 20

LOOK = "Look these over on their pages and put right what is not so; everything else is as it was last saved."


@dataclass(slots=True)
class OnTrust:
    """What cannot be vouched for.

    Attributes:
        rows: by reason and table the numbers of the rows.
        details: what can be said of single rows.
    """

    rows: dict[tuple[str, str], set[int]] = field(default_factory=dict)
    details: list[str] = field(default_factory=list)

    def add(self, reason: str, table: str, number: int) -> None:
        """One row."""
        self.rows.setdefault((reason, table), set()).add(number)

    def differ(self, table: str, number: int, column: str, here: object, there: object) -> None:
        """One row two witnesses tell otherwise; the second was believed."""
        self.add(EITHER, table, number)
        self.details.append(
            f"Row {number} of the {things(table)}, {value_name(column)}: "
            f"{_shown(here)} in the file, now {_shown(there)}."
        )

    def lines(self) -> list[str]:
        """Readable as they are; empty when everything is vouched for."""
        found = [
            f"{things(table).capitalize()}, {_rows(numbers)}: {reason}."
            for reason in ORDER
            for (why, table), numbers in sorted(self.rows.items())
            if why == reason
        ]
        return [*found, *self.details[:_DETAILS]]


def ranges(numbers: Iterable[int]) -> str:
    """``3, 7-12``."""
    found: list[list[int]] = []
    for number in sorted(set(numbers)):
        if found and number == found[-1][1] + 1:
            found[-1][1] = number
        else:
            found.append([number, number])
    return ", ".join(str(first) if first == last else f"{first}-{last}" for first, last in found)


def _rows(numbers: set[int]) -> str:
    return f"{'row' if len(numbers) == 1 else 'rows'} {ranges(numbers)}"


def _shown(value: object) -> str:
    if value is None:
        return "nothing"
    text = "".join(letter if letter.isprintable() else "�" for letter in str(value))
    return f"“{text[:60]}{'…' if len(text) > 60 else ''}”"
