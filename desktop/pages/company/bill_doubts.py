"""What is odd about a bill as it is typed, asked before it is entered; and what follows from a correction of it."""

from __future__ import annotations

from collections.abc import Sequence

from desktop.widgets.cards import Notice
from desktop.widgets.young import YoungMoment
from domain.bill_typed import TypedBillLine
from domain.money import format_money
from domain.unlikely import changed_doubt, tax_doubt


class BillDoubts:
    """The same words are asked once: a second press, not that of a double click, goes on.

    Args:
        notice: where the question stands; its button goes on, too.
    """

    def __init__(self, notice: Notice) -> None:
        self._notice = notice
        self._former: dict[int, int] = {}  # cents of the lines as they are kept, by their place
        self._paid_cents: int | None = None  # what a receipt's own payment is now
        self._answered = ""  # about the tax, in its field
        self._told = ""
        self._since = YoungMoment()

    def begin(self, lines: Sequence[TypedBillLine] = (), paid_cents: int | None = None) -> None:
        """Another paper is typed; ``lines`` and what a receipt paid, cents, as they are kept of one put right."""
        self._former = {line.id: line.net_cents for line in lines}
        self._paid_cents = paid_cents
        self._answered = self._told = ""

    def line(self, line: TypedBillLine) -> str:
        """What is odd about the amount of a line."""
        return changed_doubt(line.net_cents, self._former.get(line.id, 0))

    def tax_taken(self, tax_cents: int, net_cents: int) -> None:
        """The tax was taken in its field: what was odd about it is answered."""
        self._answered = tax_doubt(tax_cents, net_cents)

    def payment(self, total_cents: int) -> str:
        """That a receipt's own payment, cents, changes with it."""
        if self._paid_cents is None or self._paid_cents == total_cents:
            return ""
        return f"Its payment changes from {format_money(self._paid_cents)} to {format_money(total_cents)}."

    def goes_on(self, open_questions: Sequence[str], tax_cents: int, net_cents: int) -> bool:
        """False when something was just asked, or nobody can have read it yet."""
        tax = tax_doubt(tax_cents, net_cents)
        asked = [*open_questions, "" if tax == self._answered else tax, self.payment(net_cents + tax_cents)]
        words = " ".join(one for one in asked if one)
        if not words or (words == self._told and not self._since.is_young()):
            return True
        if words != self._told:
            self._since.restart()
        self._told = words
        self._notice.set_words("caution", f"{words} Is that right? Press once more to keep it so.")
        return False
