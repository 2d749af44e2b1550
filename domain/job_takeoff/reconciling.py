"""Two lists become one: what stands on the quote, or usually would, beside what the takeoff counts, row by row.

A usual line gives way to counted lines of the part it stands for, or of its own task or item; of a line nobody linked
nothing is guessed. A line the takeoff made and somebody changed by hand stays; what was typed before anything was
counted gives way, and is named. Every row can be switched. So, unless the owner says so: nothing is charged twice, and
nothing usual goes but for something counted.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import takewhile

from domain.job_takeoff.answers import BOTH, GIVEN_WAY, INSTEAD, KEPT, LEFT, OFF, gone_key, usual_key
from domain.job_takeoff.reconciliation import Reconciliation, Row, reason_of_answer
from domain.job_takeoff.standing import Counted, Standing
from domain.job_takeoff.stands_for import ALONE, ITEM, SLOPE, TASK, UNSAID, part_words, settled_by
from domain.units import format_quantity
from domain.units.numbers import plain


def reconcile(
    standing: Sequence[Standing], counted: Sequence[Counted], answers: Mapping[str, str], *, begins: bool,
    old_pipe_goes: bool = False,
) -> Reconciliation:  # fmt: skip
    """The rows, in the order of what stands there, then what is counted in addition.

    Args:
        answers: what the owner said before, by the key of a counted line or `standing.usual_key`.
        old_pipe_goes: none of the old pipe stays, so none is left to be put right.
    """
    free = {one.key: one for one in counted}
    pairs = _pairs(standing, free)
    settlers = _settlers(counted, old_pipe_goes)
    made_before = {one.takeoff_key for one in standing if one.takeoff_key}
    rows: list[Row] = []
    minutes = cents = 0
    for one in standing:
        other = pairs.get(one.key)
        row = _pair(one, other) if other is not None else _alone(one, counted, settlers, made_before, begins)
        if row is not None:
            rows.append(_as_said_before(row, answers))
        else:
            minutes, cents = minutes + one.minutes, cents + one.cents
    paired = {one.key for one in pairs.values()}
    rows += [_as_said_before(_added(one), answers) for one in counted if one.key not in paired and one.quantity]
    return Reconciliation(tuple(rows), (minutes, cents), begins)


def _pairs(standing: Sequence[Standing], free: dict[str, Counted]) -> dict[str, Counted]:
    """Each standing line with the counted one that would take its place: its own, the same item, the same part.

    Of several of one part the one whose name begins most alike.
    """
    found: dict[str, Counted] = {}

    def pair(one: Standing, fitting: Iterable[Counted]) -> None:
        other = max(fitting, key=lambda o: _alike(o.name, one.name), default=None)
        if one.key not in found and other is not None:
            found[one.key] = free.pop(other.key)

    for one in standing:
        if one.takeoff_key in free:
            pair(one, [free[one.takeoff_key]])
    for one in standing:
        if not one.takeoff_key:
            pair(one, [o for o in free.values() if o.of == one.of and o.of_id is not None and o.of_id == one.of_id])
    by_part = [
        (one, other) for one in standing for other in free.values()
        if one.usual and not one.takeoff_key and one.stands_for not in (UNSAID, ALONE)
        and other.of == one.of and one.stands_for in other.parts and not other.unlisted
    ]  # fmt: skip
    for one, other in sorted(by_part, key=lambda two: -_alike(two[1].name, two[0].name)):
        if other.key in free:
            pair(one, [other])
    return found


def _alike(one: str, other: str) -> int:
    """How many letters two names begin with alike."""
    return sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(one, other, strict=False)))


def _settlers(counted: Sequence[Counted], old_pipe_goes: bool) -> dict[tuple[str, str], list[Counted]]:
    """The counted lines by the parts they settle; what the price list does not have has no price and settles none."""
    found: dict[tuple[str, str], list[Counted]] = {}
    for one in (other for other in counted if not other.unlisted):
        for part in one.parts:
            found.setdefault((one.of, part), []).append(one)
            if part == "remove_ft" and old_pipe_goes:
                for of in (TASK, ITEM):  # with the work goes what it takes
                    found.setdefault((of, SLOPE), []).append(one)
    return found


def _pair(one: Standing, other: Counted) -> Row:
    by = (other.key,)
    if one.takeoff_key == other.key:
        answers: tuple[str, ...] = (INSTEAD, KEPT, LEFT)
        if one.by_hand:
            why = f"changed by hand, {one.by_hand}: kept; counted now {_so_many(other)}, {other.reason}"
            return Row(other.key, one, other, KEPT, answers, why, by)
        return Row(other.key, one, other, INSTEAD, answers, other.reason, by)
    answers = (INSTEAD, KEPT, BOTH, LEFT)
    same = one.of_id == other.of_id and one.of_id is not None
    hand = f"in place of what was typed ({one.by_hand}): " if one.by_hand else ""
    name = "" if same else f"{other.name} in place of {one.name}: "
    return Row(one.key, one, other, INSTEAD, answers, f"{hand}{name}{other.reason}", by, twice=True)


def _alone(
    one: Standing, counted: Sequence[Counted], settlers: Mapping[tuple[str, str], list[Counted]],
    made_before: Collection[str], begins: bool,
) -> Row | None:  # fmt: skip
    if one.takeoff_key:
        if one.by_hand:
            why = f"no longer counted, but changed by hand, {one.by_hand}: kept"
            return Row(one.takeoff_key, one, None, KEPT, (KEPT, OFF), why)
        return Row(one.takeoff_key, one, None, OFF, (OFF, KEPT), "no longer counted")
    same = [other for other in counted if other.of == one.of and other.of_id is not None and other.of_id == one.of_id]
    if not one.usual:
        if not same:
            return Row(one.key, one, None, KEPT, (KEPT, OFF), "typed, and nothing the takeoff counts")
        why = f"typed beside the {_all_of(same)} counted: charged twice unless both are wanted"
        return Row(one.key, one, None, KEPT, (KEPT, OFF), why, tuple(other.key for other in same), twice=True)
    parts = settled_by(one.stands_for) if one.stands_for not in (UNSAID, ALONE) else ()
    by = same or [other for part in parts for other in settlers.get((one.of, part), ())]
    if not by:
        waiting = next((o for o in counted if o.of == one.of and o.unlisted and one.stands_for in o.parts), None)
        if waiting is not None:
            why = f"kept until the price list has an item for the {_so_many(waiting)} {waiting.name} counted"
            return Row(one.key, one, None, KEPT, (KEPT, OFF), why)
        back = "no longer counted, so the usual line is back: " if one.line is None and not begins else ""
        return Row(one.key, one, None, KEPT, (KEPT, OFF), back + _why_kept(one))
    listed = "; ".join(f"{other.name}, {_so_many(other)}" for other in by[:3]) + ("; …" if len(by) > 3 else "")
    keys = tuple(dict.fromkeys(other.key for other in by))
    if one.by_hand and any(key in made_before for key in keys):
        why = f"typed beside {listed}: charged twice unless both are wanted"
        return Row(one.key, one, None, KEPT, (KEPT, OFF), why, keys, twice=True)
    hand = f"in place of what was typed ({one.by_hand}): " if one.by_hand else ""
    return Row(one.key, one, None, OFF, (OFF, KEPT), f"{hand}{_what_settles(one)}: {listed}", keys, twice=True)


def _what_settles(one: Standing) -> str:
    if one.stands_for == SLOPE:
        return "all old pipe comes out, so none is put right"
    return "counted are" if one.stands_for in (UNSAID, ALONE) else f"{part_words(one.of, one.stands_for)} counted"


def _why_kept(one: Standing) -> str:
    if one.stands_for == UNSAID:
        return "not linked to the takeoff, so kept: say what it stands for with the job type's usual lines"
    if one.stands_for == ALONE:
        return "nothing the takeoff counts"
    return f"the takeoff counts nothing of it ({part_words(one.of, one.stands_for)})"


def _added(other: Counted) -> Row:
    why = f"no price yet: {other.reason}" if other.cents is None else other.reason
    return Row(other.key, None, other, BOTH, (BOTH, LEFT), why, (other.key,))


def _as_said_before(row: Row, answers: Mapping[str, str]) -> Row:
    """The owner's earlier word on the same line counts again, as long as it still can be said."""
    said = answers.get(row.counted.key if row.counted is not None else row.key, "")
    standing = row.standing
    if standing is not None and standing.takeoff_key and row.counted is None:
        said = answers.get(gone_key(standing.takeoff_key), "")
    if standing is not None and standing.usual and standing.of_id is not None:
        usual = answers.get(usual_key(standing.of, standing.of_id), "")
        said = usual if usual in (OFF, KEPT) and (usual == KEPT or row.is_new) else said
    if said == LEFT and KEPT in row.answers and standing is not None and not row.follows and not row.is_new:
        said = KEPT
    if said == GIVEN_WAY or said not in row.answers or said == row.answer:
        return row
    said_so = replace(row, answer=said)
    return replace(said_so, reason=reason_of_answer(said_so, "as you said before"))


def _all_of(same: Sequence[Counted]) -> str:
    """``3`` or ``1 + 2 = 3``, with the unit."""
    total = replace(same[0], quantity=sum((one.quantity for one in same), same[0].quantity * 0))
    return " + ".join(plain(one.quantity) for one in same) + f" = {_so_many(total)}" if same[1:] else _so_many(total)


def _so_many(other: Counted) -> str:
    return format_quantity(other.quantity, other.unit)
