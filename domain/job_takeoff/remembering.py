"""What is kept of the rows a list was taken by, so that nothing is asked twice and what gave way comes back."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from domain.job_takeoff.answers import GIVEN_WAY, KEPT, LEFT, OFF, gone_key, usual_key
from domain.job_takeoff.reconciliation import Reconciliation
from domain.job_takeoff.standing import Standing


def remembered(made: Reconciliation, before: Mapping[str, str], same_by_itself: Reconciliation) -> dict[str, str]:
    """What to keep of the rows: usual lines that gave way or were said to be off, counted ones left out.

    ``same_by_itself`` is the reconciliation as the program would have it, ``before`` what was kept of earlier ones.
    """
    kept = dict(before)
    for row, own in zip(made.rows, same_by_itself.rows, strict=True):
        if row.counted is not None:
            kept.pop(row.counted.key, None)
            if not row.takes and row.counted.quantity:
                hand = row.follows and row.standing is not None and bool(row.standing.by_hand)
                if not (hand and row.answer == KEPT):  # that is asked anew each time
                    kept[row.counted.key] = row.answer if row.follows else LEFT
        standing = row.standing
        if standing is not None and standing.takeoff_key:
            if row.counted is None:
                _remember_gone(kept, standing, row.keeps)
            else:
                kept.pop(gone_key(standing.takeoff_key), None)
        if standing is None or not standing.usual or standing.of_id is None:
            continue
        name = usual_key(standing.of, standing.of_id)
        kept.pop(name, None)
        said_so = before.get(name) == KEPT and not standing.by_hand and bool(row.by)
        if row.keeps and (said_so or not own.keeps):
            kept[name] = KEPT
        elif not row.keeps:
            by_owner = own.answer != OFF or before.get(name) == OFF
            kept[name] = OFF if row.answer == OFF and by_owner else GIVEN_WAY
    return kept


def _remember_gone(kept: dict[str, str], standing: Standing, stays: bool) -> None:
    """Of a line the takeoff made and counts no longer: that it stays, or that its usual line is not to come back."""
    gone = gone_key(standing.takeoff_key)
    kept.pop(gone, None)
    if stays and not standing.by_hand:
        kept[gone] = KEPT
    usual = usual_key(standing.of, standing.of_id or 0)
    if standing.by_hand and not stays and kept.get(usual) == GIVEN_WAY:
        kept[usual] = OFF


def away(answers: Mapping[str, str], here: Collection[tuple[str, int]], usual: Sequence[Standing]) -> list[Standing]:
    """Usual lines that are not on the quote because they once gave way, or were said to be off."""
    return [
        one for one in usual
        if one.of_id is not None and (one.of, one.of_id) not in here and answers.get(one.key) in (GIVEN_WAY, OFF)
    ]  # fmt: skip
