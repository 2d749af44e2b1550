"""Afterwards: was the record right about a finished job, and was it right to take its correction?"""

from __future__ import annotations

from dataclasses import dataclass

from domain.learning import QuoteExpectation
from domain.track_record import JobTest
from domain.units import format_minutes, format_percent


@dataclass(frozen=True, slots=True)
class Judged:
    """A finished job beside what was expected of it beforehand. Minutes.

    Attributes:
        kept: what was expected was kept with the quote when it was sent; otherwise it was worked out afterwards
            from the jobs finished before the quote was written.
    """

    quoted: int
    expected: int
    low: int
    high: int
    actual: int
    kept: bool
    words: str


def judge(quoted: int, actual: int, kept: QuoteExpectation | None, test: JobTest | None) -> Judged | None:
    """What is to be said of a finished job; None when nothing was or could be expected of it.

    Args:
        quoted: minutes quoted in the end, change orders included.
        test: the job as the back-test saw it, with the jobs finished before it was quoted.
    """
    if kept is not None:
        low, high, expected = kept.low_minutes, kept.high_minutes, kept.expected_minutes
        said = f"When it was sent, finished jobs expected {format_minutes(expected)}"
    elif test is not None:
        (low, high), expected = test.bands[80], test.median_minutes
        said = f"The jobs finished before it was quoted would have said {format_minutes(expected)}"
    else:
        return None
    band = f"8 of 10 between {format_minutes(low)} and {format_minutes(high)}"
    inside = low <= actual <= high
    verdict = "inside" if inside else "above" if actual > high else "below"
    words = [f"{said}, {band}. It took {format_minutes(actual)}: {verdict} that."]
    words.append(_nearer(quoted, expected, actual))
    if kept is not None:
        words.append(_choice(kept, actual))
    return Judged(quoted, expected, low, high, actual, kept is not None, " ".join(word for word in words if word))


def _nearer(quoted: int, expected: int, actual: int) -> str:
    of_quote, of_record = abs(actual - quoted), abs(actual - expected)
    if of_quote == of_record:
        return ""
    if of_record < of_quote:
        return f"That was nearer than the quote by {format_minutes(of_quote - of_record)}."
    return f"The quote was nearer by {format_minutes(of_record - of_quote)}."


def _choice(kept: QuoteExpectation, actual: int) -> str:
    """Whether the part of the correction that was taken was the right one."""
    if kept.share_percent is None:
        return ""
    step = kept.expected_minutes - kept.own_minutes
    taken = f"You took {format_percent(kept.share_percent)} of its correction"
    if not kept.share_percent:
        taken = "You kept your own hours"
    if not step:
        return ""
    with_all, with_none = abs(actual - kept.expected_minutes), abs(actual - kept.own_minutes)
    if with_all == with_none:
        return f"{taken}; it made no difference."
    better = 100 if with_all < with_none else 0
    right = kept.share_percent >= 50 if better else kept.share_percent < 50
    return f"{taken}, and that was {'right' if right else 'the worse choice'}."
