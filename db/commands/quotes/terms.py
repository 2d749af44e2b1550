"""The rest of a draft: its options, how it is priced, goodwill, its texts, and pricing it anew."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import Table

from db.commands.checks import needed, only, tidied
from db.commands.quotes.checks import draft, next_position, sensible_cents
from db.commands.quotes.lines import LINE_TABLES
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.quotes import day_figures, quote_document
from db.tables import quote, quote_option
from domain.firm import DayRates
from domain.quoting.lines import PRICINGS, TAX_TREATMENTS
from domain.quoting.refresh import DayFigures, refreshes
from domain.units import format_percent

TEXTS = ("scope_text", "not_included_text", "warranty_text", "above_action_text", "caution_text", "terms_text")
_LOWEST_PERCENT, _HIGHEST_MARKUP, _HIGHEST_MARGIN = Decimal(-99), Decimal(10_000), Decimal(99)


def add_option(edit: Edit, quote_id: int, name: str, description: str = "") -> int:
    """Add something the customer may choose on top of the base; return its id."""
    draft(edit, quote_id)
    name = needed(name, "Give the option a name the customer will understand.")
    return edit.add(
        quote_option, quote_id=quote_id, position=next_position(edit, quote_option, quote_id), name=name,
        description=description.strip(),
    )  # fmt: skip


def change_option(edit: Edit, option_id: int, **values: Any) -> None:
    """Change an option's name or description."""
    only(values, {"name", "description"})
    if "name" in values:
        needed(values["name"], "Give the option a name, or remove it.")
    edit.change(quote_option, option_id, **tidied(values))


def remove_option(edit: Edit, option_id: int) -> None:
    """Take an option off a draft, with its lines."""
    for table in LINE_TABLES.values():
        edit.remove_where(table, table.c.option_id == option_id)
    edit.remove(quote_option, option_id)


def set_pricing(edit: Edit, quote_id: int, **values: Any) -> None:
    """Change how a draft is priced: any of pricing (margin, markup, fixed), pricing_percent, fixed_price_cents,
    minimum_charge_cents, rounding_cents, tax_treatment, tax_percent, deposit_percent and title.

    With a fixed price, pricing_percent is the margin that options are priced with.
    """
    only(values, {
        "pricing", "pricing_percent", "fixed_price_cents", "minimum_charge_cents", "rounding_cents",
        "tax_treatment", "tax_percent", "deposit_percent", "title",
    })  # fmt: skip
    kept = draft(edit, quote_id)
    pricing = values.get("pricing", kept.pricing)
    if pricing not in PRICINGS:
        raise Refused(f"“{pricing}” is no way to price a quote.", f"Choose one of {', '.join(PRICINGS)}.")
    if values.get("tax_treatment", "none") not in TAX_TREATMENTS:
        raise Refused("That is no tax treatment.", f"Choose one of {', '.join(TAX_TREATMENTS)}.")
    _check_percent(pricing, values.get("pricing_percent", kept.pricing_percent))
    for column, what in (("tax_percent", "tax"), ("deposit_percent", "deposit")):
        if not 0 <= values.get(column, 0) <= 100:
            raise Refused(f"The {what} lies between 0% and 100%.", "Check the number.")
    for column, what in (("fixed_price_cents", "price"), ("minimum_charge_cents", "minimum charge")):
        sensible_cents(values.get(column, 0), what)
    if not 1 <= values.get("rounding_cents", 1) <= 100_000:
        raise Refused("A price is rounded up to between a cent and a thousand dollars.", "One cent means no rounding.")
    edit.change(quote, quote_id, **tidied(values))


def set_goodwill(edit: Edit, quote_id: int, cents: int, reason: str = "") -> None:
    """Give something off on purpose, with the reason; it stays apart from estimating error for ever."""
    edit.change(quote, quote_id, goodwill_cents=sensible_cents(cents, "goodwill"), goodwill_reason=reason.strip())


def set_texts(edit: Edit, quote_id: int, **texts: str) -> None:
    """Change scope_text, not_included_text, warranty_text, above_action_text, caution_text or terms_text."""
    only(texts, TEXTS)
    edit.change(quote, quote_id, **tidied(texts))


def set_printing(edit: Edit, quote_id: int, **wanted: bool) -> None:
    """Change lists_work (the work on the quote is printed below the scope) or shows_route (the route is printed though
    the quote was not made from it)."""
    only(wanted, {"lists_work", "shows_route"})
    draft(edit, quote_id)
    edit.change(quote, quote_id, **wanted)


def refresh_rates_and_prices(edit: Edit, quote_id: int, on: date, rates: DayRates | None = None) -> int:
    """Price a draft as of a day: hours, overhead, miles, price list, standards and access conditions.

    Minutes and texts the owner typed stay. Returns how many things changed.
    """
    kept = draft(edit, quote_id)
    figures = day_figures(edit.conn, kept.job_id, on)
    if rates is not None:
        figures = DayFigures(rates, figures.tasks, figures.unit_costs)
    found = refreshes(quote_document(edit.conn, quote_id), figures)
    tables: dict[str, Table] = {"quote": quote, **LINE_TABLES}
    for one in found:
        edit.change(tables[one.kind], one.row_id, **one.values)
    return len(found)


def _check_percent(pricing: str, percent: Decimal) -> None:
    highest = _HIGHEST_MARKUP if pricing == "markup" else _HIGHEST_MARGIN
    if percent > highest and pricing != "markup":
        raise Refused("A margin has to stay below 100% of the price; 99% is the most.", "Did you mean a markup?")
    if not _LOWEST_PERCENT <= percent <= highest:
        raise Refused(f"A {pricing} of {format_percent(percent)} is beyond any job.", "Check the number.")
