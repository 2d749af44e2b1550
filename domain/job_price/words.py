"""How the outlook of a quote is said: in jobs out of ten, hours and money, without a word of statistics."""

from __future__ import annotations

from collections.abc import Sequence

from domain.job_price.cases import JobCase, cases_sentence
from domain.job_price.outlook import Outlook
from domain.money import format_money
from domain.units import format_minutes

PROBABLY, PERHAPS = 0.5, 0.25
"""From these chances of a loss on, it is said before the quote is sent (ours, no source): the second is where the
price panel begins to say 3 of 10, since a price holds with 2 of 10."""

MAY_WELL = 1 / 3

WORTH_MINUTES, WORTH_CENTS = 15, 2000
"""What the correction leaves is named from so much on (ours, no source)."""


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


def expected_sentence(outlook: Outlook, jobs: Sequence[JobCase] = ()) -> str:
    """``You think 9 h 30. Jobs like this end near 13 h; 8 of 10 between 10 h and 18 h (14 finished jobs).``

    Without jobs enough for odds it says so first, and shows the cases there are.
    """
    hours = outlook.hours
    if not hours.quoted_minutes:
        return "Add work first: then finished jobs can speak."
    if not outlook.tells_odds:
        said = cases_sentence(jobs, hours.type_jobs, hours.jobs)
        return f"{said} {think_words(outlook)}"
    low, high = hours.band(0.8)
    return (
        f"{think_words(outlook)} Jobs like this end near "
        f"{format_minutes(hours.median_minutes)}; 8 of 10 between {format_minutes(low)} and "
        f"{format_minutes(high)} (from {hours.type_jobs} finished jobs of this type)."
    )


def think_words(outlook: Outlook) -> str:
    """The owner's own hours; once a pace or a correction was taken, what he thought and what is quoted now."""
    own, now = outlook.hours.quoted_minutes, outlook.totals.costs.minutes
    if own == now:
        return f"You think {format_minutes(own)}."
    return f"You thought {format_minutes(own)}; {format_minutes(now)} are quoted now."


def starter_range_sentence(outlook: Outlook) -> str:
    """The default band by its name, only where there is nothing else; empty otherwise."""
    hours = outlook.hours
    if hours.jobs or not hours.quoted_minutes:
        return ""
    low, high = hours.band(0.8)
    return (
        f"Until jobs of yours are finished, work of this size is taken to last {format_minutes(low)} to "
        f"{format_minutes(high)}. That is an assumption, measured on nobody's jobs: no odds follow from it."
    )


def carries_sentence(outlook: Outlook) -> str:
    """What the middle case does to the price asked; the hours as quoted where there are no odds."""
    result = outlook.middle_result_cents
    case = "In the middle case" if outlook.tells_odds else "If your hours hold,"
    if result < 0:
        return f"{case} it loses {format_money(-result)}."
    return f"{case} {format_money(result)} is left."


def floor_sentence(outlook: Outlook) -> str:
    """Below which price the owner works for less than a helper costs, or than his own draw; empty without a floor."""
    floor = outlook.floor_cents
    if floor is None:
        return ""
    less = "a helper costs" if outlook.has_helper else "the draw you set yourself"
    return f"Below {format_money(floor)} you work for less than {less}."


def take_words(outlook: Outlook) -> str:
    """What the button that takes the correction does: ``Take 22 h 08``."""
    return f"Take {format_minutes(outlook.lines_minutes)}"


def left_words(outlook: Outlook) -> str:
    """What taking the whole correction leaves outside the price; empty when that is nothing worth a word."""
    parts = []
    if outlook.left_minutes >= WORTH_MINUTES:
        parts.append(f"{format_minutes(outlook.left_minutes)} beyond the lines, mostly unquoted work")
    if outlook.goods_over_cents >= WORTH_CENTS:
        parts.append(f"{format_money(outlook.goods_over_cents)} more of materials")
    if not parts:
        return ""
    return f"“{take_words(outlook)}” leaves out {' and '.join(parts)}."


def asked_words(outlook: Outlook) -> str:
    """``$2,895.00 after goodwill``, or the price alone when none is given."""
    totals = outlook.totals
    return format_money(totals.net_price_cents) + (" after goodwill" if totals.goodwill_cents else "")


def warning_sentence(outlook: Outlook) -> str:
    """Said before a quote is sent that would probably lose money, or may well; empty when it would not."""
    if not outlook.tells_odds or not outlook.hours.quoted_minutes:
        return ""
    chance, left = outlook.loss_chance, outlook.middle_result_cents
    if chance < PERHAPS:
        return ""
    asked, holds = asked_words(outlook), format_money(outlook.price_without_loss())
    if outlook.totals.goodwill_cents:
        holds += " before goodwill"
    if chance >= PROBABLY:
        by = f", {format_money(-left)} in the middle case" if left < 0 else ""
        said = f"At {asked} this job would probably lose money{by}"
    else:
        said = f"At {asked} this job may {'well ' if chance >= MAY_WELL else ''}lose money"
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
