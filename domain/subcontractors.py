"""What was paid to each subcontractor in a year, against that year's reporting threshold.

What was paid by card is left out: the card company reports it (Form 1099-K; from memory, not checked against a
source). Materials billed by a subcontractor count, as the whole bill is paid for the work (common practice, no
source). Not tax advice: whether a form is due is for an adviser or the form's own instructions.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from domain.money import cents_of
from domain.standards import Standard, standard_on

THRESHOLD = "contractor_report_threshold"


@dataclass(frozen=True, slots=True)
class SubcontractorYear:
    """One subcontractor's year; money by the day it was paid."""

    supplier_id: int
    name: str
    tax_form_on: date | None
    counted_cents: int  # by check, transfer, cash and the like
    card_cents: int
    threshold_cents: int | None  # None: a year before the table

    @property
    def to_report(self) -> bool:
        """Paid at least the threshold, cards left out."""
        return self.threshold_cents is not None and self.counted_cents >= self.threshold_cents

    @property
    def words(self) -> str:
        """What is to be done."""
        if self.threshold_cents is None:
            return "the threshold of that year is not known here"
        if not self.to_report:
            return "below the threshold"
        return "report" if self.tax_form_on else "report; tax form missing"


def threshold_of(year: int, own: tuple[Standard, ...] = ()) -> Standard:
    """The reporting threshold for payments made in a year. Raises NotUnderstood for a year before the table."""
    return standard_on(THRESHOLD, date(year, 12, 31), own)


def threshold_cents(standard: Standard) -> int:
    """The threshold in cents."""
    return cents_of(standard.value)
