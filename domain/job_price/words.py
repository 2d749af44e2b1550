"""How the outlook of a quote is said: in jobs out of ten, hours and money, without a word of statistics."""

from __future__ import annotations

from domain.job_price.outlook import Outlook
from domain.money import format_money
from domain.units import format_minutes

PROBABLY, PERHAPS = 0.5, 1 / 3
"""From these chances of a loss on, it is said before the quote is sent (ours, no source)."""


def chance_words(chance: float) -> str:
    """``7 of 10``; the ends are never certain."""
    tenths = int(chance * 10 + 0.5)
    if tenths <= 0:
        return "fewer than 1 of 10"
    return "more than 9 of 10" if tenths >= 10 else f"{tenths} of 10"


def short_chance_words(chance: float) -> str:
    """``7 of 10``, and ``< 1 of 10`` at the end: for a narrow place."""
    return chance_words(chance).replace("fewer than", "<").replace("more than", ">")


def ten_dots(chance: float) -> str:
    """Ten dots, so many of them full as ``chance_words`` says."""
    full = min(max(int(chance * 10 + 0.5), 0), 10)
    return "●" * full + "○" * (10 - full)


def capital(words: str) -> str:
    """The same words at the beginning of a sentence."""
    return words[:1].upper() + words[1:]


def expected_sentence(outlook: Outlook) -> str:
    """``Quoted 9 h 30. Jobs like this end near 13 h; 8 of 10 of them between 10 h and 18 h.``"""
    hours = outlook.hours
    if not hours.quoted_minutes:
        return "Add work first: then finished jobs can speak."
    low, high = hours.band(0.8)
    return (
        f"You think {format_minutes(hours.quoted_minutes)}. Jobs like this end near "
        f"{format_minutes(hours.median_minutes)}; 8 of 10 of them between {format_minutes(low)} and "
        f"{format_minutes(high)}."
    )


def carries_sentence(outlook: Outlook) -> str:
    """What the middle case does to the price asked."""
    result = outlook.middle_result_cents
    if result < 0:
        return f"In the middle case it loses {format_money(-result)}."
    return f"In the middle case {format_money(result)} is left."


def asked_words(outlook: Outlook) -> str:
    """``$2,895.00 after goodwill``, or the price alone when none is given."""
    totals = outlook.totals
    return format_money(totals.net_price_cents) + (" after goodwill" if totals.goodwill_cents else "")


def warning_sentence(outlook: Outlook) -> str:
    """Said before a quote is sent that would probably lose money, or may well; empty when it would not."""
    chance, left = outlook.loss_chance, outlook.middle_result_cents
    if chance < PERHAPS or not outlook.hours.quoted_minutes:
        return ""
    asked, holds = asked_words(outlook), format_money(outlook.price_without_loss())
    if outlook.totals.goodwill_cents:
        holds += " before goodwill"
    if chance >= PROBABLY:
        by = f", {format_money(-left)} in the middle case" if left < 0 else ""
        said = f"At {asked} this job would probably lose money{by}"
    else:
        said = f"At {asked} this job may well lose money"
    return f"{said}: {chance_words(chance)} like it would cost more. {holds} holds in 8 of 10."


def goodwill_sentence(outlook: Outlook) -> str:
    """What the goodwill is in the owner's own time; empty without goodwill."""
    minutes = outlook.goodwill_minutes
    if outlook.totals.goodwill_cents <= 0 or minutes is None:
        return ""
    return f"This gives away {format_minutes(minutes)} of your time."


def reason_words(outlook: Outlook) -> str:
    """Why a line was corrected, short enough for its reason: the first of the record's own sentences."""
    why = outlook.hours.why
    return why[0].text.rstrip(".") if why else outlook.hours.note.rstrip(".")
