"""The price of a quote, from its lines to the deposit: the one calculation behind screen, proposal and workbook.

In this order, each step rounded once, half up to the cent:

1. cost = labour + materials + sales tax on purchases (lump sum only) + other direct + overhead on the minutes
2. asked price = cost / (1 - margin), or cost x (1 + markup)
3. list price = asked price, at least the minimum charge (base only), rounded up to a multiple of the rounding.
   A fixed price is the owner's own word: neither the minimum charge nor the rounding moves it.
4. each option is priced by the same rules, without the minimum charge; options are added to the base
5. net price = list price of what was chosen - goodwill
6. tax by treatment; total = net price + tax; deposit = percent of the total

The cost of base and options together is worked out over all their lines at once, so it may differ from the sum
of the parts by a cent of overhead or tax; prices are the sums of the parts, as the customer reads them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from domain.money import (
    divide_cents,
    labour_cents,
    line_cents,
    margin_percent,
    markup_percent,
    percent_of,
    price_for_margin,
    price_for_markup,
)
from domain.quoting.lines import LabourLine, MaterialLine, OtherLine, Quote, QuoteDocument, QuoteOption
from domain.quoting.tax import LUMP_SUM, SEPARATED, materials_share, tax_of


@dataclass(frozen=True, slots=True)
class Costs:
    """What a set of lines costs the firm, in cents; minutes are those of all lines, owner_* the owner's part."""

    labour_cents: int
    materials_cents: int
    purchase_tax_cents: int
    other_cents: int
    overhead_cents: int
    minutes: int
    owner_minutes: int
    owner_labour_cents: int

    @property
    def cost_cents(self) -> int:
        """The sum of labour, materials, tax on purchases, other direct costs and overhead."""
        direct = self.labour_cents + self.materials_cents + self.other_cents
        return direct + self.purchase_tax_cents + self.overhead_cents


@dataclass(frozen=True, slots=True)
class PartPrice:
    """The base or one option: its costs, the price asked by margin or markup, and the list price after the rules."""

    option: QuoteOption | None  # None: the base
    costs: Costs
    asked_cents: int
    price_cents: int
    minimum_added_cents: int
    rounding_added_cents: int


@dataclass(frozen=True, slots=True)
class Totals:
    """What a choice of parts comes to, from cost to deposit."""

    costs: Costs
    list_price_cents: int
    goodwill_cents: int
    materials_price_cents: int  # selling price of the materials, the base of a separated tax; 0 otherwise
    tax_cents: int
    deposit_cents: int

    @property
    def cost_cents(self) -> int:
        """What it costs the firm."""
        return self.costs.cost_cents

    @property
    def net_price_cents(self) -> int:
        """Revenue: the list price less goodwill, before tax."""
        return self.list_price_cents - self.goodwill_cents

    @property
    def total_cents(self) -> int:
        """What the customer pays."""
        return self.net_price_cents + self.tax_cents

    @property
    def list_margin_cents(self) -> int:
        """Margin before goodwill."""
        return self.list_price_cents - self.cost_cents

    @property
    def margin_cents(self) -> int:
        """Margin expected after goodwill."""
        return self.net_price_cents - self.cost_cents

    @property
    def list_margin_percent(self) -> Decimal | None:
        """Margin on the list price, percent."""
        return margin_percent(self.list_price_cents, self.cost_cents)

    @property
    def margin_percent(self) -> Decimal | None:
        """Margin on the net price, percent: what is expected after goodwill."""
        return margin_percent(self.net_price_cents, self.cost_cents)

    @property
    def markup_percent(self) -> Decimal | None:
        """Markup of the list price on cost, percent."""
        return markup_percent(self.list_price_cents, self.cost_cents)

    @property
    def owner_hour_cents(self) -> int | None:
        """What is left for one hour of the owner: (margin + the owner's own labour) x 60 / own minutes.

        Before the owner's taxes; None when no line is the owner's. Compare it with the burdened hour.
        """
        minutes = self.costs.owner_minutes
        if minutes <= 0:
            return None
        return divide_cents((self.margin_cents + self.costs.owner_labour_cents) * 60, minutes)


@dataclass(frozen=True, slots=True)
class PriceBuildUp:
    """The whole price: the base, each option, the base alone, and base with the options that are chosen."""

    quote: Quote
    base: PartPrice
    options: tuple[PartPrice, ...]
    alone: Totals
    together: Totals

    def with_options(self, option_ids: Iterable[int]) -> Totals:
        """What it would come to with these options chosen, from the parts that are already priced."""
        wanted = set(option_ids)
        return _totals(self.quote, [self.base, *(part for part in self.options if _id(part) in wanted)])

    def option_price_cents(self, option_id: int) -> int:
        """The price of one option. Raises LookupError when the quote has no such option."""
        for part in self.options:
            if _id(part) == option_id:
                return part.price_cents
        raise LookupError(f"option {option_id} is not on this quote")


def build_price(document: QuoteDocument) -> PriceBuildUp:
    """Work out the price of a quote; on a frozen one the prices that were told stand.

    Raises NotUnderstood for a margin of 100% or more.
    """
    quote = document.quote
    base_told, option_told = _told(document)
    base = _part(document, None, base_told)
    options = tuple(_part(document, option, option_told.get(option.id)) for option in document.options)
    chosen = [part for part in options if part.option is not None and part.option.chosen]
    return PriceBuildUp(quote, base, options, _totals(quote, [base]), _totals(quote, [base, *chosen]))


def costs_of(
    quote: Quote, labour: Iterable[LabourLine], materials: Iterable[MaterialLine], others: Iterable[OtherLine]
) -> Costs:
    """Add up lines: each line rounded once; overhead and tax on purchases once over the whole set.

    overhead = minutes x overhead rate / 60; tax on purchases = percent of all materials, lump sum only.
    """
    minutes = owner_minutes = labour_total = owner_labour = 0
    for line in labour:
        cost = labour_cents(line.minutes, line.rate_cents)
        minutes += line.minutes
        labour_total += cost
        if line.crew == "owner":
            owner_minutes += line.minutes
            owner_labour += cost
    materials_total = sum(line_cents(line.quantity, line.unit_cost) for line in materials)
    other_total = sum(line_cents(line.quantity, line.unit_cost) for line in others)
    lump_sum = quote.tax_treatment == LUMP_SUM
    return Costs(
        labour_cents=labour_total,
        materials_cents=materials_total,
        purchase_tax_cents=tax_of(materials_total, quote.tax_percent) if lump_sum else 0,
        other_cents=other_total,
        overhead_cents=labour_cents(minutes, quote.overhead_rate_cents),
        minutes=minutes,
        owner_minutes=owner_minutes,
        owner_labour_cents=owner_labour,
    )


def round_up(cents: int, step_cents: int) -> int:
    """Up to the next multiple of the step; a step of 1 or less changes nothing. -1,234 in steps of 500 is -1,000."""
    return -(-cents // step_cents) * step_cents if step_cents > 1 else cents


def _id(part: PartPrice) -> int | None:
    return part.option.id if part.option else None


def _told(document: QuoteDocument) -> tuple[int | None, dict[int, int]]:
    """The base price and option prices as told to the customer: (None, {}) on a draft."""
    quote = document.quote
    if not quote.frozen or quote.price_cents is None:
        return None, {}
    told = {option.id: option.price_cents for option in document.options if option.price_cents is not None}
    chosen = sum(told.get(option.id, 0) for option in document.options if option.chosen)
    return quote.price_cents - chosen, told


def _part(document: QuoteDocument, option: QuoteOption | None, told_cents: int | None) -> PartPrice:
    quote = document.quote
    option_id = option.id if option else None
    costs = costs_of(
        quote,
        [line for line in document.labour if line.option_id == option_id],
        [line for line in document.materials if line.option_id == option_id],
        [line for line in document.others if line.option_id == option_id],
    )
    fixed = quote.pricing == "fixed" and option is None
    if fixed:
        asked = floor = price = quote.fixed_price_cents
    else:
        by_markup = quote.pricing == "markup"
        asked = (price_for_markup if by_markup else price_for_margin)(costs.cost_cents, quote.pricing_percent)
        has_minimum = option is None and quote.minimum_charge_cents > 0  # a credit is no job and has none
        floor = max(asked, quote.minimum_charge_cents) if has_minimum else asked
        price = round_up(floor, quote.rounding_cents)
    if told_cents is not None:
        price = told_cents
    return PartPrice(option, costs, asked, price, floor - asked, price - floor)


def _totals(quote: Quote, parts: list[PartPrice]) -> Totals:
    costs = _pooled(quote, [part.costs for part in parts])
    price = sum(part.price_cents for part in parts)
    net = price - quote.goodwill_cents
    materials_price = tax = 0
    if quote.tax_treatment == SEPARATED:
        materials_price = materials_share(net, costs.materials_cents, costs.cost_cents)
        tax = tax_of(materials_price, quote.tax_percent)
    deposit = percent_of(net + tax, quote.deposit_percent)
    return Totals(costs, price, quote.goodwill_cents, materials_price, tax, deposit)


def _pooled(quote: Quote, parts: list[Costs]) -> Costs:
    """The costs of several parts as one set: overhead and tax on purchases are rounded once over all of it."""
    materials = sum(part.materials_cents for part in parts)
    minutes = sum(part.minutes for part in parts)
    return Costs(
        labour_cents=sum(part.labour_cents for part in parts),
        materials_cents=materials,
        purchase_tax_cents=tax_of(materials, quote.tax_percent) if quote.tax_treatment == LUMP_SUM else 0,
        other_cents=sum(part.other_cents for part in parts),
        overhead_cents=labour_cents(minutes, quote.overhead_rate_cents),
        minutes=minutes,
        owner_minutes=sum(part.owner_minutes for part in parts),
        owner_labour_cents=sum(part.owner_labour_cents for part in parts),
    )
