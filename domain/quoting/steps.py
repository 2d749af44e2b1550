"""The price build-up as rows a person can follow, from the first hour to the deposit."""

from __future__ import annotations

from dataclasses import dataclass

from domain.money import format_money
from domain.quoting.lines import Quote
from domain.quoting.price import PriceBuildUp, Totals
from domain.quoting.tax import LUMP_SUM, SEPARATED
from domain.units import format_minutes, format_percent


@dataclass(frozen=True, slots=True)
class PriceStep:
    """One row: kind is cost, sum, price, goodwill, tax or total; ``detail`` says where the amount comes from."""

    kind: str
    label: str
    detail: str
    amount_cents: int


def price_steps(price: PriceBuildUp) -> tuple[PriceStep, ...]:
    """The rows of base and chosen options. Costs add up to the cost; from there each row leads to the total."""
    quote, totals = price.quote, price.together
    return (
        *_cost_steps(quote, totals),
        *_list_price_steps(price),
        *_customer_steps(quote, totals),
    )


def _cost_steps(quote: Quote, totals: Totals) -> list[PriceStep]:
    costs = totals.costs
    steps = [
        PriceStep("cost", "Labor", format_minutes(costs.minutes), costs.labour_cents),
        PriceStep("cost", "Materials", "", costs.materials_cents),
    ]
    if quote.tax_treatment == LUMP_SUM:
        detail = f"{format_percent(quote.tax_percent)} of materials, never shown"
        steps.append(PriceStep("cost", "Sales tax on purchases", detail, costs.purchase_tax_cents))
    overhead = f"{format_minutes(costs.minutes)} at {format_money(quote.overhead_rate_cents)} an hour"
    steps += [
        PriceStep("cost", "Other direct", "", costs.other_cents),
        PriceStep("cost", "Overhead", overhead, costs.overhead_cents),
        PriceStep("sum", "Cost", "", totals.cost_cents),
    ]
    return steps


def _list_price_steps(price: PriceBuildUp) -> list[PriceStep]:
    quote, base = price.quote, price.base
    chosen = [part for part in price.options if part.option is not None and part.option.chosen]
    steps = [PriceStep("price", _asked_label(quote), "", base.asked_cents - base.costs.cost_cents)]
    if base.minimum_added_cents:
        detail = f"the job starts at {format_money(quote.minimum_charge_cents)}"
        steps.append(PriceStep("price", "Up to the minimum charge", detail, base.minimum_added_cents))
    if base.rounding_added_cents:
        detail = f"up to the next {format_money(quote.rounding_cents)}"
        steps.append(PriceStep("price", "Rounding", detail, base.rounding_added_cents))
    for part in chosen:
        name = part.option.name if part.option else ""
        steps.append(PriceStep("price", f"Option: {name}", "margin", part.price_cents - part.costs.cost_cents))
    apart = price.together.cost_cents - base.costs.cost_cents - sum(part.costs.cost_cents for part in chosen)
    if apart:
        steps.append(PriceStep("price", "Cents of rounding", "base and options costed together", -apart))
    return [*steps, PriceStep("sum", "Price", "", price.together.list_price_cents)]


def _asked_label(quote: Quote) -> str:
    if quote.pricing == "fixed":
        return "Margin of the fixed price"
    if quote.pricing == "markup":
        return f"Markup {format_percent(quote.pricing_percent)} on cost"
    return f"Margin {format_percent(quote.pricing_percent)} of the price"


def _customer_steps(quote: Quote, totals: Totals) -> list[PriceStep]:
    steps = []
    if totals.goodwill_cents:
        steps.append(PriceStep("goodwill", "Goodwill", quote.goodwill_reason, -totals.goodwill_cents))
    if quote.tax_treatment == SEPARATED:
        share = format_money(totals.materials_price_cents)
        detail = f"{format_percent(quote.tax_percent)} of materials sold at {share}"
        steps.append(PriceStep("tax", "Sales tax", detail, totals.tax_cents))
    deposit = f"{format_percent(quote.deposit_percent)} on acceptance"
    return [
        *steps,
        PriceStep("total", "Total", "", totals.total_cents),
        PriceStep("total", "Deposit", deposit, totals.deposit_cents),
    ]
