"""Two lists become one: what stands on the quote, or usually would, beside what the takeoff counts, row by row.

A usual line gives way to counted lines of the part it stands for, or of its own task or item; of a line nobody linked
nothing is guessed. A line the takeoff made and somebody changed by hand stays; what was typed before anything was
counted gives way, and is named. Every row can be switched. So, unless the owner says so: nothing is charged twice, and
nothing usual goes but for something counted.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import takewhile

from domain.job_takeoff.answers import BOTH, GIVEN_WAY, INSTEAD, KEPT, LEFT, OFF, usual_key
from domain.job_takeoff.matching import Bought
from domain.job_takeoff.standing import Counted, Standing
from domain.job_takeoff.stands_for import ALONE, SLOPE, UNSAID, part_words, settled_by
from domain.money import labour_cents, line_cents
from domain.quoting.lines import LabourLine, MaterialLine
from domain.quoting.recount import recount_labour, recount_material
from domain.units.numbers import plain


@dataclass(frozen=True, slots=True)
class Row:
    """One line of either side, or one of each.

    ``by`` are the keys of counted lines that take the place of ``standing``; ``twice``: what stands there is of the
    same item, task or part as something counted.
    """

    key: str
    standing: Standing | None
    counted: Counted | None
    answer: str
    answers: tuple[str, ...]
    reason: str
    by: tuple[str, ...] = ()
    twice: bool = False

    @property
    def follows(self) -> bool:
        """Whether the takeoff made the line it counts anew."""
        return self.standing is not None and self.counted is not None and (
            self.standing.takeoff_key == self.counted.key
        )  # fmt: skip

    @property
    def keeps(self) -> bool:
        """Whether what stands there stays as it is."""
        return self.standing is not None and self.answer in (KEPT, BOTH)

    @property
    def takes(self) -> bool:
        """Whether what is counted goes on the quote."""
        return self.counted is not None and self.answer in (INSTEAD, BOTH) and bool(self.counted.quantity)

    @property
    def is_new(self) -> bool:
        """Whether a usual line would have to be put on the quote."""
        return self.standing is not None and self.standing.line is None

    @property
    def changes(self) -> bool:
        """Whether applying the row changes anything on the quote."""
        if self.follows and self.answer == INSTEAD:
            return _amounts(self.standing) != self.taken or _anew(self)
        return self.takes or (self.keeps if self.is_new else self.standing is not None and not self.keeps)

    @property
    def taken(self) -> tuple[int, int]:
        """Minutes and cents the counted side brings, with what was typed on the line it follows."""
        counted, standing = self.counted, self.standing
        if counted is None or not counted.quantity or (standing is not None and standing.in_option):
            return 0, 0
        if self.follows and standing is not None:
            return _followed(standing, counted)
        return counted.minutes, counted.cents or 0

    @property
    def after(self) -> tuple[int, int]:
        """Minutes and cents of the row once it is applied."""
        minutes, cents = self.taken if self.takes else (0, 0)
        if self.keeps and self.standing is not None:
            minutes, cents = minutes + self.standing.minutes, cents + self.standing.cents
        return minutes, cents

    @property
    def own_minutes(self) -> int | None:
        """Minutes typed by hand that stay on a quantity that changes; None where none do."""
        line = self.standing.line if self.standing is not None else None
        if not (self.follows and self.takes and self.counted and isinstance(line, LabourLine)):
            return None
        return None if line.quantity == self.counted.quantity else line.override_minutes

    @property
    def words(self) -> str:
        """What becomes of it: ``counted instead``."""
        usual = self.standing is not None and self.standing.usual and not self.standing.by_hand
        if self.answer == LEFT and self.standing is not None:
            return "neither"
        if self.follows and self.answer == INSTEAD:
            return "counted anew" if self.changes else "counted, unchanged"
        return {
            INSTEAD: "counted instead", BOTH: "counted as well", LEFT: "counted, left out",
            KEPT: "usual, kept" if usual else "yours, kept", OFF: "usual, not on this job" if usual else "taken off",
        }[self.answer]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Reconciliation:
    """All rows of taking a list into a quote. ``rest`` are minutes and cents of lines no row speaks of."""

    rows: tuple[Row, ...]
    rest: tuple[int, int]
    begins: bool  # a quote that is not there yet, with its usual lines as what stands there

    @property
    def before(self) -> tuple[int, int]:
        """Minutes and cents of work and goods as the quote stands, or as it would begin with its usual lines."""
        there = [one.standing for one in self.rows if one.standing and (self.begins or not one.is_new)]
        return (
            self.rest[0] + sum(one.minutes for one in there), self.rest[1] + sum(one.cents for one in there)
        )  # fmt: skip

    @property
    def after(self) -> tuple[int, int]:
        """The same once it is applied."""
        done = [row.after for row in self.rows]
        return self.rest[0] + sum(one[0] for one in done), self.rest[1] + sum(one[1] for one in done)

    @property
    def twice(self) -> tuple[Row, ...]:
        """Rows that leave something on the quote twice: beside anything counted of the same item, task or part."""
        taken = [row.counted for row in self.rows if row.takes and row.counted is not None]
        keys = {one.key for one in taken}
        same = {(one.of, one.of_id) for one in taken if one.of_id is not None}
        return tuple(
            row for row in self.rows
            if row.keeps and row.standing is not None and not row.standing.takeoff_key
            and ((row.twice and (row.answer == BOTH or keys.intersection(row.by)))
                 or (row.standing.of, row.standing.of_id) in same)
        )  # fmt: skip

    def counted_of(self, standing: Standing) -> tuple[Row, ...]:
        """All rows that count the item or task of a line, whichever of them take it."""
        return tuple(
            row for row in self.rows
            if row.counted is not None and standing.of_id is not None
            and (row.counted.of, row.counted.of_id) == (standing.of, standing.of_id)
        )  # fmt: skip

    @property
    def over_typed(self) -> tuple[Row, ...]:
        """Rows whose counted side takes the place of something typed or changed by hand."""
        return tuple(
            row for row in self.rows
            if row.standing is not None and row.standing.by_hand and row.by and not row.keeps and KEPT in row.answers
        )  # fmt: skip

    def with_what_was_typed(self) -> Reconciliation:
        """With all that was typed or changed by hand kept in place of all that is counted of the same."""
        kept = {row.key: KEPT for row in self.over_typed}
        beside = {
            other.key: LEFT for row in self.over_typed if row.standing is not None
            for other in self.counted_of(row.standing) if LEFT in other.answers
        }  # fmt: skip
        return self.answered(beside | kept)

    def counted_once(self) -> Reconciliation:
        """With all that is counted of what would be charged twice, and nothing of it that was typed or usual."""
        said: dict[str, str] = {}
        for row in self.twice:
            assert row.standing is not None
            for other in self.counted_of(row.standing):
                said[other.key] = BOTH if other.standing is None else INSTEAD
            said[row.key] = INSTEAD if row.counted is not None else OFF
        return self.answered(said)

    def row(self, key: str) -> Row:
        """The row with this key. Raises KeyError."""
        return next(one for one in self.rows if one.key == key)

    def switched(self, key: str, answer: str = "") -> Reconciliation:
        """With the next answer of a row, or the one given. Raises KeyError for a row or an answer that is none."""
        return replace(self, rows=tuple(_switched(row, answer) if row.key == key else row for row in self.rows))

    def answered(self, answers: Mapping[str, str]) -> Reconciliation:
        """With these answers. Raises KeyError as above."""
        made = self
        for key, answer in answers.items():
            made.row(key)
            made = made.switched(key, answer)
        return made


def _switched(row: Row, answer: str) -> Row:
    if answer and answer not in row.answers:
        raise KeyError(answer)
    place = row.answers.index(row.answer) + 1
    return replace(row, answer=answer or row.answers[place % len(row.answers)])


def _amounts(standing: Standing | None) -> tuple[int, int]:
    return (standing.minutes, standing.cents) if standing is not None else (0, 0)


def _anew(row: Row) -> bool:
    """Whether quantity or item of a followed line are written anew, though it may cost the same."""
    line, counted = row.standing.line if row.standing else None, row.counted
    if line is None or counted is None:
        return False
    number = line.quantity if isinstance(line, LabourLine) else line.net_quantity
    of_id = line.task_id if isinstance(line, LabourLine) else line.item_id
    return (number, of_id) != (counted.quantity, counted.of_id)


def _followed(standing: Standing, counted: Counted) -> tuple[int, int]:
    """A followed line counted anew: typed minutes, crew and unit cost of the same item stay."""
    line = standing.line
    if isinstance(line, LabourLine):
        minutes = recount_labour(line, quantity=counted.quantity).minutes
        return minutes, labour_cents(minutes, line.rate_cents)
    assert isinstance(line, MaterialLine)
    if line.item_id != counted.of_id or not isinstance(counted.source, Bought):
        return 0, counted.cents or 0
    fresh = recount_material(line, net_quantity=counted.quantity, waste_percent=type(line.waste_percent)(0))
    return 0, line_cents(fresh.quantity, line.unit_cost)


# ---------------------------------------------------------------------- putting the sides together


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
                found.setdefault((one.of, SLOPE), []).append(one)
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
    if standing is not None and standing.usual and standing.of_id is not None:
        usual = answers.get(usual_key(standing.of, standing.of_id), "")
        said = usual if usual in (OFF, KEPT) and (usual == KEPT or row.is_new) else said
    if said == LEFT and KEPT in row.answers and standing is not None and not row.follows and not row.is_new:
        said = KEPT
    if said == GIVEN_WAY or said not in row.answers or said == row.answer:
        return row
    return replace(row, answer=said, reason=f"as you said before; {row.reason}")


def _all_of(same: Sequence[Counted]) -> str:
    """``3`` or ``1 + 2 = 3``, with the unit."""
    total = replace(same[0], quantity=sum((one.quantity for one in same), same[0].quantity * 0))
    return " + ".join(plain(one.quantity) for one in same) + f" = {_so_many(total)}" if same[1:] else _so_many(total)


def _so_many(other: Counted) -> str:
    return f"{plain(other.quantity)}{'' if other.unit == 'each' else ' ' + other.unit}"
