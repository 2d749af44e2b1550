"""The sentence under a job's bar: right for every sign, and silent when nothing differs."""

from __future__ import annotations

import pytest
from hypothesis import given

from domain.costing import (
    CauseShare,
    JobFigures,
    LoggedLabour,
    Material,
    OtherDirect,
    QuotedLabour,
    SoldQuote,
    explain,
    joined_steps,
    variance_tree,
)
from domain.costing.sentence import _reasons
from tests.domain.job_figures import job_figures


def quoted(task_id: int, task: str, minutes: int, role: str = "work") -> QuotedLabour:
    return QuotedLabour(task_id, task, role, minutes, minutes * 100)


def logged(
    task_id: int, task: str, minutes: int, role: str = "work", *, unquoted: bool = False, rate: int = 100
) -> LoggedLabour:
    return LoggedLabour(task_id, task, role, minutes, minutes * rate, 0, unquoted)


def say(figures: JobFigures, causes: tuple[CauseShare, ...] = (), *, running: bool = False) -> str:
    return explain(variance_tree(figures), causes, quoted=figures.proposal is not None, running=running)


PIPE, SLOPE = (1, "Run pipe in crawl space"), (2, "Correct the slope")
QUOTE = SoldQuote(
    200_000, labour=(quoted(*PIPE, 240), quoted(*SLOPE, 60)), materials=(Material(1, "Pipe", "ft", 60, 12_000),)
)
AS_QUOTED = (logged(*PIPE, 240), logged(*SLOPE, 60))
PIPE_AS_QUOTED = QUOTE.materials


def test_nothing_differs() -> None:
    assert say(JobFigures(QUOTE, labour=AS_QUOTED, materials=PIPE_AS_QUOTED)) == "Exactly as quoted."


def test_nothing_logged() -> None:
    assert say(JobFigures(QUOTE)) == "Nothing is logged yet."
    assert say(JobFigures(None)) == "Nothing is quoted or logged yet."


def test_no_accepted_quote() -> None:
    assert say(JobFigures(None, labour=(logged(*PIPE, 90),))) == (
        "No accepted quote to compare with: 1 h 30 and $90.00 of cost are logged."
    )


def test_time_goodwill_and_materials_in_the_order_of_their_weight() -> None:
    figures = JobFigures(
        SoldQuote(200_000, 4000, QUOTE.labour, QUOTE.materials),
        labour=(logged(*PIPE, 270), logged(*SLOPE, 220)),
        materials=(Material(1, "Pipe", "ft", 50, 9785),),
    )
    assert say(
        figures, (CauseShare("Old suction point was poor", 20), CauseShare("Slope had to be corrected", 90))
    ) == (
        "3 h 10 more than quoted, most of it on “Correct the slope” (cause given: Slope had to be corrected); "
        "$40.00 given as goodwill; materials $22.15 under."
    )


@pytest.mark.parametrize(
    ("pipe", "slope", "words"),
    [
        (300, 60, "1 h more than quoted, all of it on “Run pipe in crawl space”."),
        (240, 30, "30 min less than quoted, all of it on “Correct the slope”."),
        (200, 30, "1 h 10 less than quoted, most of it on “Run pipe in crawl space”."),
        (300, 30, "30 min more than quoted, 1 h more on “Run pipe in crawl space” alone."),
        (260, 20, "20 min less than quoted, 40 min less on “Correct the slope” alone."),
        (270, 90, "1 h more than quoted, above all on “Run pipe in crawl space”."),
    ],
)
def test_where_the_time_went(pipe: int, slope: int, words: str) -> None:
    figures = JobFigures(QUOTE, labour=(logged(*PIPE, pipe), logged(*SLOPE, slope)), materials=PIPE_AS_QUOTED)
    assert say(figures) == words


def test_a_cause_is_named_for_what_ran_over_and_not_for_what_was_saved() -> None:
    causes = (CauseShare("Own mistake", 10),)
    less = JobFigures(QUOTE, labour=(logged(*PIPE, 230), logged(*SLOPE, 60)), materials=PIPE_AS_QUOTED)
    assert "cause" not in say(less, causes)


def test_unquoted_work_is_called_so() -> None:
    extra = logged(3, "Remove old pipe", 45)
    figures = JobFigures(QUOTE, labour=(*AS_QUOTED, extra), materials=PIPE_AS_QUOTED)
    assert say(figures) == "45 min more than quoted, all of it on “Remove old pipe”, which was not quoted."
    more = JobFigures(QUOTE, labour=(logged(*PIPE, 340), logged(*SLOPE, 60), extra), materials=PIPE_AS_QUOTED)
    assert say(more) == ("2 h 25 more than quoted, most of it on “Run pipe in crawl space”, 45 min of it not quoted.")


def test_the_same_time_on_dearer_tasks() -> None:
    quote = SoldQuote(200_000, labour=(quoted(*PIPE, 240), QuotedLabour(*SLOPE, "work", 60, 12_000)))
    figures = JobFigures(quote, labour=(logged(*PIPE, 220), logged(*SLOPE, 80, rate=200)))
    assert say(figures) == "The quoted time in all, but on dearer tasks ($20.00)."


def test_rates_callbacks_others_tax_and_change_orders() -> None:
    figures = JobFigures(
        QUOTE,
        change_orders=(SoldQuote(12_000),),
        labour=(logged(*PIPE, 240, rate=110), logged(*SLOPE, 60), logged(9, "Callback", 90, "callback")),
        materials=PIPE_AS_QUOTED,
        others=(OtherDirect("permit", 7500),),
    )
    assert say(figures) == (
        "Change orders added $120.00 of margin; callbacks took 1 h 30 ($90.00 over); permit $75.00, not quoted; "
        "the hours cost $24.00 more than at the quoted rates."
    )


def test_small_things_are_added_up() -> None:
    figures = JobFigures(
        SoldQuote(0, 5000, others=(OtherDirect("permit", 4000), OtherDirect("travel", 100)), purchase_tax_cents=50),
        labour=(logged(9, "Callback", 30, "callback"),),
        write_off_cents=2500,
    )
    assert say(figures) == (
        "$50.00 given as goodwill; permit $40.00 under; callbacks took 30 min ($30.00 over); $25.00 written off; "
        "everything else $1.50 under."
    )


def test_unquoted_materials_are_called_so() -> None:
    figures = JobFigures(QUOTE, labour=AS_QUOTED, materials=(*PIPE_AS_QUOTED, Material(2, "Fan", "each", 1, 18_000)))
    assert say(figures) == "Materials $180.00 over, all of it not quoted."


def test_a_running_job_says_so_far_and_never_calls_the_rest_saved() -> None:
    figures = JobFigures(QUOTE, labour=(logged(*SLOPE, 105),))
    assert say(figures, running=True) == (
        "So far 1 h 45 of 5 h quoted; $105.00 of $420.00 spent; "
        "already beyond the quote: 45 min on “Correct the slope”."
    )


def test_small_change_is_told_only_when_there_is_nothing_else() -> None:
    rate = JobFigures(
        QUOTE, labour=(LoggedLabour(*PIPE, "work", 240, 24_004, 0), logged(*SLOPE, 60)), materials=QUOTE.materials
    )
    assert say(rate) == "The hours cost $0.04 more than at the quoted rates."
    with_goodwill = JobFigures(
        SoldQuote(200_000, 4000, QUOTE.labour, QUOTE.materials), labour=rate.labour, materials=QUOTE.materials
    )
    assert say(with_goodwill) == "$40.00 given as goodwill."


@given(job_figures)
def test_there_is_always_a_sentence(figures: JobFigures) -> None:
    for running in (False, True):
        text = say(figures, running=running)
        assert text.endswith(".")
        assert text[0].isupper() or not text[0].isalpha()
        assert "--" not in text
        assert "$-" not in text


def test_the_sentence_and_the_steps_name_the_same_amounts() -> None:
    """A rate that is three cents off stands with its neighbor in both."""
    labour = (LoggedLabour(*PIPE, "work", 300, 30_003, 0), logged(*SLOPE, 60))
    figures = JobFigures(QUOTE, labour=labour, materials=(Material(1, "Pipe", "ft", 50, 9785),))
    tree = variance_tree(figures)
    told = [reason.cents for reason in _reasons(tree, ()) if reason.cents]
    steps = {step.key: step.cents for step in joined_steps(tree.steps)}
    assert told == [steps["efficiency"], steps["usage"] + steps["price"]] == [-6_003, 2_215]
