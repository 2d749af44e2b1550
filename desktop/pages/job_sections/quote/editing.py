"""The quote on the screen: what is stored, what is half typed over it, and how a change is saved."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

from PySide6.QtCore import QObject, Signal

from db.edit import Edit
from db.queries.quote_page import QuotePage
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from domain.quoting.lines import LabourLine, MaterialLine, OtherLine, Quote, QuoteDocument
from domain.quoting.price import PriceBuildUp, build_price

Line = LabourLine | MaterialLine | OtherLine


class QuoteEditing(QObject):
    """Shared by the parts of the quote section.

    Signals:
        previewed: something half typed changed the price; nothing is saved yet.
    """

    previewed = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self.saver = Autosave(desk)
        self.page: QuotePage | None = None
        self.option_id: int | None = None
        self.ticked: set[int] = set()  # options looked at together with the base
        self._typed_line: Line | None = None
        self._typed_quote: dict[str, Any] = {}
        self._price: PriceBuildUp | None = None  # of what is typed now
        self.sending: Callable[[Edit, int, date], None] = lambda edit, quote_id, day: None
        """What else is kept when a quote is sent."""
        self.before_sending: Callable[[], object] = lambda: None
        """What must be known by then."""

    # What is shown.

    def show(self, page: QuotePage) -> None:
        """Take what was read; half-typed values fall away where they were saved."""
        before = self.page.document.quote.id if self.page and self.page.document else None
        self.page = page
        self._typed_line = None
        self._typed_quote = {}
        self._price = None
        document = page.document
        if document is None:
            return
        options = {option.id for option in document.options}
        if document.quote.accepted_on:
            self.ticked = {option.id for option in document.options if option.chosen}
        elif document.quote.id != before:
            self.ticked = set()
        self.ticked &= options
        if self.option_id not in options:
            self.option_id = None

    @property
    def document(self) -> QuoteDocument:
        """The quote as stored."""
        assert self.page is not None
        assert self.page.document is not None
        return self.page.document

    @property
    def quote(self) -> Quote:
        """Its header as stored."""
        return self.document.quote

    def record(self) -> object:
        """What its fields are kept under while they are not saved; none once it is sent."""
        return None if self.frozen else ("quote", self.quote.id)

    @property
    def frozen(self) -> bool:
        """Sent: nothing on it can be changed."""
        return self.quote.frozen

    # Typing.

    def preview_line(self, line: Line | None) -> None:
        """Reckon with this line in place of the stored one (id 0: besides them); None: as stored."""
        self._typed_line, self._price = line, None
        self.previewed.emit()

    def preview_quote(self, **values: Any) -> None:
        """Reckon with these header values over the stored ones."""
        self._typed_quote, self._price = values, None
        self.previewed.emit()

    def price(self) -> PriceBuildUp:
        """The price with what is half typed. Raises NotUnderstood where no price comes out of it."""
        if self._price is None:
            self._price = build_price(self.typed_document())
        return self._price

    def typed_document(self) -> QuoteDocument:
        """The stored quote with what is half typed on top."""
        document = self.document
        if self._typed_quote:
            document = replace(document, quote=replace(document.quote, **self._typed_quote))
        line = self._typed_line
        if isinstance(line, LabourLine):
            document = replace(document, labour=_with(document.labour, line))
        elif isinstance(line, MaterialLine):
            document = replace(document, materials=_with(document.materials, line))
        elif isinstance(line, OtherLine):
            document = replace(document, others=_with(document.others, line))
        return document

    # Saving.

    def save(self, label: str, work: Callable[[Edit], object], *, say: str = "", undo: bool = False) -> str:
        """Run one action; why it was refused, "" when it was saved."""
        return self.saver.refusal(label, work, say=say, undo=undo)


def _with(lines: tuple[Any, ...], line: Any) -> tuple[Any, ...]:
    if line.id == 0:
        return (*lines, line)
    return tuple(line if one.id == line.id else one for one in lines)
