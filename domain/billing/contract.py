"""What a job's contract comes to, part by part, as its accepted papers told it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from domain.billing.amounts import Amounts
from domain.quoting.lines import QuoteDocument
from domain.quoting.price import build_price
from domain.quoting.state import quote_name


@dataclass(frozen=True, slots=True)
class ContractPart:
    """One part of what was agreed; kind: contract | option | change_order | discount (goodwill)."""

    kind: str
    description: str
    net_cents: int
    quote_id: int


@dataclass(frozen=True, slots=True)
class Contract:
    """All that was agreed on a job: accepted base, chosen options and change orders, less goodwill.

    Attributes:
        taxable_cents: the part of the net price that is taxed (separated: the selling price of the materials).
        tax_cents: the tax as each accepted paper told it, added up.
        deposit_cents: the deposit that was agreed, a part of the total.
    """

    parts: tuple[ContractPart, ...]
    taxable_cents: int
    tax_cents: int
    deposit_cents: int
    tax_treatment: str
    tax_percent: Decimal

    @property
    def net_cents(self) -> int:
        """Net price, before tax."""
        return sum(part.net_cents for part in self.parts)

    @property
    def total_cents(self) -> int:
        """What the customer pays in the end."""
        return self.net_cents + self.tax_cents

    @property
    def amounts(self) -> Amounts:
        """Net, taxed part and tax."""
        return Amounts(self.net_cents, self.taxable_cents, self.tax_cents)


def contract_of(documents: Sequence[QuoteDocument]) -> Contract | None:
    """The contract from the accepted proposal and change orders, the proposal first; None without a proposal.

    The amounts are those the papers told (`domain.quoting.price`), to the cent.
    """
    if not documents or documents[0].quote.kind != "proposal":
        return None
    parts: list[ContractPart] = []
    taxable = tax = 0
    for document in documents:
        quote = document.quote
        price = build_price(document)
        base_kind = "contract" if quote.kind == "proposal" else "change_order"
        parts.append(ContractPart(base_kind, _base_words(document), price.base.price_cents, quote.id))
        parts += [
            ContractPart("option", part.option.name, part.price_cents, quote.id)
            for part in price.options
            if part.option is not None and part.option.chosen
        ]
        if quote.goodwill_cents:
            parts.append(ContractPart("discount", "Goodwill", -quote.goodwill_cents, quote.id))
        taxable += price.together.materials_price_cents
        tax += price.together.tax_cents
    first = documents[0].quote
    return Contract(
        tuple(parts), taxable, tax, first.deposit_cents or 0, first.tax_treatment, first.tax_percent
    )


def _base_words(document: QuoteDocument) -> str:
    quote = document.quote
    if quote.kind == "proposal":
        title = quote.title or "The work agreed"
        return f"{title} (proposal, version {quote.version})"
    return f"{quote_name(quote)}{': ' + quote.title if quote.title else ''}"
