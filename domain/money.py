"""Exact money: whole cents, one rounding rule, margin and markup.

The rounding rule everywhere: half a cent goes up, away from zero (0.5 -> 1, -0.5 -> -1). Results are
computed from whole-number ratios and rounded once, so no binary fraction and no limit on digits touches them.
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

from domain.errors import NotUnderstood, as_typed

__all__ = [
    "NotUnderstood",
    "cents_of",
    "divide_cents",
    "format_money",
    "format_unit_cost",
    "format_whole_dollars",
    "labour_cents",
    "line_cents",
    "margin_from_markup",
    "margin_percent",
    "markup_from_margin",
    "markup_percent",
    "parse_money",
    "parse_unit_cost",
    "percent_of",
    "price_for_margin",
    "price_for_markup",
    "round_cents",
]

LARGEST_CENTS = 10**15
"""Ten trillion dollars: beyond any entry, well inside the 64 bits of a database integer."""

_AMOUNT = re.compile(
    r"""(?P<sign>[-+])? \s* \$? \s* (?P<inner_sign>[-+])?
        (?P<whole>[0-9]{1,3}(?:,[0-9]{3})+|[0-9]*) (?:\.(?P<part>[0-9]*))? \s* \$?""",
    re.VERBOSE,
)


def divide_cents(numerator: int, denominator: int) -> int:
    """Return numerator / denominator as a whole number, half up (away from zero), exactly.

    Raises ZeroDivisionError when the denominator is 0.
    """
    if denominator < 0:
        numerator, denominator = -numerator, -denominator
    size = (2 * abs(numerator) + denominator) // (2 * denominator)
    return size if numerator >= 0 else -size


def round_cents(cents: Decimal | Fraction) -> int:
    """Round an amount already in cents (12.5 means twelve and a half cents) half up, away from zero.

    For an amount in dollars use :func:`cents_of`.
    """
    return divide_cents(*cents.as_integer_ratio())


def cents_of(dollars: Decimal) -> int:
    """Turn dollars into cents, half up: ``cents_of(Decimal("12.345")) == 1235``."""
    top, bottom = dollars.as_integer_ratio()
    return divide_cents(top * 100, bottom)


def line_cents(quantity: Decimal, unit_cost: Decimal) -> int:
    """Cost of a line in cents: quantity x unit cost in dollars, rounded once."""
    quantity_top, quantity_bottom = quantity.as_integer_ratio()
    cost_top, cost_bottom = unit_cost.as_integer_ratio()
    return divide_cents(quantity_top * cost_top * 100, quantity_bottom * cost_bottom)


def labour_cents(minutes: int, rate_cents: int) -> int:
    """Cost of time in cents: minutes x rate per hour / 60, rounded once."""
    return divide_cents(minutes * rate_cents, 60)


def percent_of(cents: int, percent: Decimal) -> int:
    """So many percent of an amount (15 means 15%), rounded once."""
    top, bottom = percent.as_integer_ratio()
    return divide_cents(cents * top, bottom * 100)


def _ratio_percent(top: int, bottom: int) -> Decimal:
    """top / bottom as a percentage with two places, half up."""
    return Decimal(divide_cents(top * 10_000, bottom)).scaleb(-2)


def margin_percent(price_cents: int, cost_cents: int) -> Decimal | None:
    """Margin on price: (price - cost) / price x 100, two places. None when there is no positive price."""
    if price_cents <= 0:
        return None
    return _ratio_percent(price_cents - cost_cents, price_cents)


def markup_percent(price_cents: int, cost_cents: int) -> Decimal | None:
    """Markup on cost: (price - cost) / cost x 100, two places. None when there is no positive cost."""
    if cost_cents <= 0:
        return None
    return _ratio_percent(price_cents - cost_cents, cost_cents)


def _refuse_full_margin(percent: Decimal) -> None:
    if percent >= 100:
        raise NotUnderstood("A margin has to stay below 100%: at 100% no price would be high enough.", str(percent))


def price_for_margin(cost_cents: int, percent: Decimal) -> int:
    """Price that leaves this margin on price: cost x 100 / (100 - percent), rounded once.

    Raises NotUnderstood at 100% and above.
    """
    _refuse_full_margin(percent)
    top, bottom = (100 - Fraction(percent)).as_integer_ratio()
    return divide_cents(cost_cents * 100 * bottom, top)


def price_for_markup(cost_cents: int, percent: Decimal) -> int:
    """Price with this markup on cost: cost x (100 + percent) / 100, rounded once."""
    top, bottom = (100 + Fraction(percent)).as_integer_ratio()
    return divide_cents(cost_cents * top, bottom * 100)


def markup_from_margin(percent: Decimal) -> Decimal:
    """The markup that gives this margin: 100 m / (100 - m), two places.

    Raises NotUnderstood at 100% and above.
    """
    _refuse_full_margin(percent)
    margin = Fraction(percent)
    return _ratio_percent(*(margin / (100 - margin)).as_integer_ratio())


def margin_from_markup(percent: Decimal) -> Decimal:
    """The margin this markup gives: 100 k / (100 + k), two places.

    Raises NotUnderstood at -100% and below.
    """
    if percent <= -100:
        raise NotUnderstood("A markup has to stay above -100%: at -100% the price is nothing.", str(percent))
    markup = Fraction(percent)
    return _ratio_percent(*(markup / (100 + markup)).as_integer_ratio())


def _read_amount(text: str, places: int) -> Decimal:
    """Read a dollar amount with at most so many decimals; parentheses or a minus make it negative."""
    typed = text
    text = text.replace("\u2212", "-").strip()
    if not text:
        raise NotUnderstood("Type an amount, for example 1,234.50.", typed)
    bracketed = text.startswith("(") and text.endswith(")")
    match = _AMOUNT.fullmatch(text[1:-1].strip() if bracketed else text)
    whole, part = (match["whole"], match["part"] or "") if match else ("", "")
    signs = [match["sign"], match["inner_sign"]] if match else []
    if not (whole or part) or all(signs) or (bracketed and any(signs)):
        hint = " Cents come after a point, thousands after a comma." if "," in text else ""
        raise NotUnderstood(f"{as_typed(typed)} is not an amount. Write it like 1,234.50.{hint}", typed)
    if len(part) > places and part[places:].strip("0"):
        raise NotUnderstood(f"{as_typed(typed)} has more than {places} decimals. Round it to {places} of them.", typed)
    size = Decimal(f"{whole.replace(',', '') or '0'}.{part[:places] or '0'}")
    if size * 100 > LARGEST_CENTS:
        raise NotUnderstood(f"{as_typed(typed)} is more than this program can keep. Check it.", typed)
    return -size if bracketed or "-" in signs else size


def parse_money(text: str) -> int:
    """Read an amount as a person types it, in cents: ``1,234.5``, ``$12``, ``(12.00)``, ``-3.25``.

    Raises NotUnderstood for anything else. A decimal comma and a third decimal are not guessed at.
    """
    return cents_of(_read_amount(text, 2))


def parse_unit_cost(text: str) -> Decimal:
    """Read a unit cost in dollars with up to four places. Raises NotUnderstood."""
    return _read_amount(text, 4).quantize(Decimal("0.0001"))


def format_money(cents: int, symbol: bool = True, signed: bool = False) -> str:
    """Print cents as ``$1,234.50`` or ``-$12.00``; with ``signed`` a gain reads ``+$12.00``."""
    sign = "-" if cents < 0 else "+" if signed and cents > 0 else ""
    dollars, rest = divmod(abs(cents), 100)
    return f"{sign}{'$' if symbol else ''}{dollars:,}.{rest:02}"


def format_whole_dollars(cents: int, signed: bool = False) -> str:
    """Print whole dollars, half up, where cents would only be noise: ``$1,235``."""
    return format_money(divide_cents(cents, 100) * 100, signed=signed).removesuffix(".00")


def format_unit_cost(unit_cost: Decimal, symbol: bool = True) -> str:
    """Print a unit cost with two to four places: ``$2.10``, ``$0.0875``."""
    whole, _, part = f"{abs(unit_cost):,.4f}".partition(".")
    sign = "-" if unit_cost < 0 else ""
    return f"{sign}{'$' if symbol else ''}{whole}.{part[:2]}{part[2:].rstrip('0')}"
