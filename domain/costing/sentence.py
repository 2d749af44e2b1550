"""Says in one sentence why a job came out as it did, biggest reason first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from domain.costing.figures import CauseShare
from domain.costing.joined import joined_steps
from domain.costing.tree import VarianceTree
from domain.costing.words import kind_name
from domain.money import format_money
from domain.units import format_minutes

LONGEST = 4
"""So many reasons are named; what is left is summed up."""

WORTH_A_WORD_CENTS = 100
"""Below a dollar a reason is named only when there is no other, and a remainder is not mentioned."""


@dataclass(frozen=True, slots=True)
class _Reason:
    cents: int  # effect on margin, favourable positive
    words: str


def explain(
    tree: VarianceTree, causes: Iterable[CauseShare] = (), *, quoted: bool = True, running: bool = False,
    settled: bool = True,
) -> str:  # fmt: skip
    """The difference between quoted and actual margin as one sentence, without its sums at the end.

    Args:
        causes: as the log gave them; the one with most time is named beside time that ran over.
        quoted: a proposal was accepted.
        running: the job is not closed; then only what has run over already is told, since what is
            still to come would look like savings.
        settled: every quoted line is logged or answered; otherwise nothing is called saved either.
    """
    if not (tree.actual_minutes or tree.actual_cost_cents):
        return "Nothing is logged yet." if quoted else "Nothing is quoted or logged yet."
    if not quoted:
        spent = format_money(tree.actual_cost_cents)
        time = format_minutes(tree.actual_minutes)
        return f"No accepted quote to compare with: {time} and {spent} of cost are logged."
    if running or not settled:
        return _so_far(tree, "so far" if running else "logged")
    reasons = [reason for reason in _reasons(tree, tuple(causes)) if reason.words]
    if not reasons:
        return "Exactly as quoted."
    reasons.sort(key=lambda reason: -abs(reason.cents))
    weighty = [reason for reason in reasons if abs(reason.cents) >= WORTH_A_WORD_CENTS] or reasons
    named = weighty[:LONGEST]
    rest = sum(reason.cents for reason in reasons) - sum(reason.cents for reason in named)
    words = [reason.words for reason in named]
    if abs(rest) >= WORTH_A_WORD_CENTS:
        words.append(f"everything else {format_money(abs(rest))} {_over_under(rest)}")
    return _sentence("; ".join(words))


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


def _over_under(cents: int) -> str:
    """The word beside an amount; favourable is positive."""
    return "under" if cents > 0 else "over"


def _reasons(tree: VarianceTree, causes: tuple[CauseShare, ...]) -> list[_Reason]:
    # The same steps as are shown: a small one stands with its neighbor in both.
    steps = {step.key: 0 for step in tree.steps} | {step.key: step.cents for step in joined_steps(tree.steps)}
    reasons = [_time(tree, steps["efficiency"] + steps["unquoted_hours"] + steps["overhead"], causes)]
    if steps["rate"]:
        dearer = "less" if steps["rate"] > 0 else "more"
        amount = format_money(abs(steps["rate"]))
        reasons.append(_Reason(steps["rate"], f"the hours cost {amount} {dearer} than at the quoted rates"))
    reasons.append(_materials(steps["usage"] + steps["price"] + steps["unquoted_materials"], tree))
    if steps["purchase_tax"]:
        reasons.append(_amount(steps["purchase_tax"], "sales tax on purchases"))
    reasons += [_amount(row.cents, kind_name(row.name)) for row in tree.others if row.cents]
    reasons += [
        _Reason(row.cents, f"{kind_name(row.name)} {format_money(row.actual_cents)}, not quoted")
        for row in tree.unquoted_others
        if row.cents
    ]
    if steps["callbacks"]:
        reasons.append(_callbacks(tree, steps["callbacks"]))
    if tree.goodwill_given_cents:
        reasons.append(_given(steps["goodwill"], "given as goodwill"))
    if tree.written_off_cents:
        reasons.append(_given(steps["write_offs"], "written off"))
    if steps["change_orders"]:
        amount = format_money(abs(steps["change_orders"]))
        word = "added" if steps["change_orders"] > 0 else "took away"
        reasons.append(_Reason(steps["change_orders"], f"change orders {word} {amount} of margin"))
    return reasons


def _amount(cents: int, name: str) -> _Reason:
    return _Reason(cents, f"{name} {format_money(abs(cents))} {_over_under(cents)}")


def _given(cents: int, words: str) -> _Reason:
    return _Reason(cents, f"{format_money(abs(cents))} {words}")


def _differences(tree: VarianceTree) -> list[tuple[str, int]]:
    """(what, minutes beyond the quote) of every task that differs; time that was not quoted is one of its own."""
    quoted = [(f"“{row.task}”", row.actual_minutes - row.quoted_minutes) for row in tree.tasks]
    beyond = [(f"“{row.name}”, which was not quoted", row.minutes) for row in tree.unquoted_hours]
    return [(name, minutes) for name, minutes in (*quoted, *beyond) if minutes]


def _time(tree: VarianceTree, cents: int, causes: tuple[CauseShare, ...]) -> _Reason:
    differences = _differences(tree)
    total = sum(minutes for _, minutes in differences)
    if not total:
        return _shifted(differences, cents)
    more = total > 0
    words = f"{format_minutes(abs(total))} {'more' if more else 'less'} than quoted"
    pushing = [(name, abs(minutes)) for name, minutes in differences if (minutes > 0) is more]
    name, most = max(pushing, key=lambda pair: pair[1])
    if len(differences) == 1:
        words += f", all of it on {name}"
    elif most >= abs(total):
        words += f", {format_minutes(most)} {'more' if more else 'less'} on {name} alone"
    elif 2 * most > sum(minutes for _, minutes in pushing):
        words += f", most of it on {name}"
    else:
        words += f", above all on {name}"
    unquoted = sum(row.minutes for row in tree.unquoted_hours)
    if more and 0 < unquoted <= total and "not quoted" not in name:
        words += f", {format_minutes(unquoted)} of it not quoted"
    if more and causes:
        words += f" (cause given: {max(causes, key=lambda share: share.minutes).cause})"
    return _Reason(cents, words)


def _shifted(differences: list[tuple[str, int]], cents: int) -> _Reason:
    """The same time in all; it may still have fallen on dearer or cheaper tasks."""
    if not cents:
        return _Reason(0, "")
    if not differences:
        return _Reason(cents, f"overhead on the hours {format_money(abs(cents))} {_over_under(cents)}")
    return _Reason(
        cents,
        f"the quoted time in all, but on {'cheaper' if cents > 0 else 'dearer'} tasks ({format_money(abs(cents))})",
    )


def _materials(cents: int, tree: VarianceTree) -> _Reason:
    if not cents:
        return _Reason(0, "")
    words = f"materials {format_money(abs(cents))} {_over_under(cents)}"
    unquoted = sum(row.actual_cents for row in tree.unquoted_materials)
    if cents < 0 and 0 < unquoted <= -cents:
        words += f", {'all' if unquoted == -cents else format_money(unquoted)} of it not quoted"
    return _Reason(cents, words)


def _callbacks(tree: VarianceTree, cents: int) -> _Reason:
    minutes = sum(row.actual_minutes for row in tree.callbacks)
    if not minutes:
        return _Reason(cents, f"the callbacks that were quoted did not happen ({format_money(cents)})")
    return _Reason(cents, f"callbacks took {format_minutes(minutes)} ({format_money(abs(cents))} {_over_under(cents)})")


def _so_far(tree: VarianceTree, word: str) -> str:
    used = f"{word} {format_minutes(tree.actual_minutes)} of {format_minutes(tree.quoted_minutes)} quoted"
    beside = sum(row.minutes for row in tree.unquoted_hours) + sum(
        row.actual_minutes for row in tree.callbacks if not row.quoted_minutes
    )
    if beside:
        used += f", {format_minutes(beside)} of it not quoted"
    spent = f"{format_money(tree.actual_cost_cents)} of {format_money(tree.budget_cost_cents)} spent"
    ahead = sorted(
        [(minutes, f"{format_minutes(minutes)} on {name}") for name, minutes in _differences(tree) if minutes > 0],
        reverse=True,
    )
    words = [used, spent]
    if ahead:
        words.append("already beyond the quote: " + ", ".join(text for _, text in ahead[:2]))
    return _sentence("; ".join(words))
