"""What `riserbook recover` prints: what can be had of a file nobody can work in, and how to put it in its place."""

from __future__ import annotations

import argparse
import shlex

from db.company_file.aftermath import trust_lines
from db.company_file.examine import full_path
from db.company_file.holdings import holdings_of
from db.company_file.problems import Refused
from db.company_file.recovery import Offer, Recovery, recovering, use


def run_recover(options: argparse.Namespace) -> str:
    """Keep the file aside, show what it and the newest backup hold, and put the chosen one in its place."""
    with recovering(options.file) as recovery:
        return _answer(recovery, options)


def _answer(recovery: Recovery | None, options: argparse.Namespace) -> str:
    if recovery is None:
        trust = trust_lines(full_path(options.file))
        whole = "" if trust else ", with everything in it"
        return "\n".join([f"“{options.file.name}” needs no recovery: it can be opened as it is{whole}.", *trust])
    if options.use is None:
        return "\n".join([*_kept(recovery), *_offers(recovery), "Nothing has been put in its place yet."])
    chosen = next((offer for offer in recovery.offers if offer.source == options.use), None)
    if chosen is None:
        raise Refused(f"There is no {options.use} to use.", "Leave --use out to see what there is.")
    kept = use(recovery, chosen, may_lose=options.lose)
    again = [f"What was there before is kept as “{kept.name}” beside it."] if kept else []
    now = f"In its place now: {holdings_of(recovery.path).words()}"
    return "\n".join([*_kept(recovery), now, *chosen.notes, *chosen.on_trust(), *again])


def _kept(recovery: Recovery) -> list[str]:
    if recovery.kept is None:
        return [f"“{recovery.path.name}” is not there. This is what is left of it:"]
    return [f"A copy of “{recovery.path.name}” as it was is kept: {recovery.kept}"]


def _offers(recovery: Recovery) -> list[str]:
    lines: list[str] = []
    for offer in recovery.offers:
        lines += ["", f"{offer.title()}:", *(f"  {line}" for line in offer.lines()), f"  {_how(recovery, offer)}"]
    return [*lines, ""]


def _how(recovery: Recovery, offer: Offer) -> str:
    lose = f" --lose {offer.lacks.steps}" if offer.lacks.steps else ""
    return f"To use it: riserbook recover {shlex.quote(str(recovery.path))} --use {offer.source}{lose}"
