"""What was chosen and what was kept, in words."""

from __future__ import annotations

from domain.dates import format_day_short
from domain.learning import QuoteExpectation
from domain.money import format_money
from domain.units import format_minutes, format_percent


def choice_words(kept: QuoteExpectation | None) -> str:
    """Which part of the correction was taken; empty while nothing is chosen."""
    if kept is None or kept.share_percent is None:
        return ""
    if not kept.share_percent:
        return "You keep your own hours."
    if kept.share_percent == 100:
        return "You took the correction."
    return f"You took {format_percent(kept.share_percent)} of the correction."


def kept_words(kept: QuoteExpectation | None) -> str:
    """What was said of a quote on the day it was sent."""
    if kept is None:
        return "Nothing was kept with this quote: finished jobs were not asked when it was sent."
    sure = "" if kept.sure else " Too few jobs of this type were finished to be sure of it."
    return (
        f"On {format_day_short(kept.noted_on)} finished jobs expected {format_minutes(kept.expected_minutes)}, 8 of 10 "
        f"between {format_minutes(kept.low_minutes)} and {format_minutes(kept.high_minutes)}, where "
        f"{format_minutes(kept.quoted_minutes)} was quoted at {format_money(kept.net_price_cents)}. "
        f"{choice_words(kept)}{sure}".rstrip()
    )
