"""A reconciliation as it stands: its rows, what each leaves on the quote, the totals before and after."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from domain.job_takeoff.answers import BOTH, INSTEAD, KEPT, LEFT, OFF
from domain.job_takeoff.driving import TaskTotal
from domain.job_takeoff.matching import Bought
from domain.job_takeoff.standing import Counted, Standing
from domain.money import labour_cents, line_cents
from domain.quoting.lines import LabourLine, MaterialLine
from domain.quoting.recount import recount_labour, recount_material
from domain.units import format_quantity


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
    def goes(self) -> bool:
        """Whether a line of the quote is taken off; one that is counted anew is not."""
        there = self.standing is not None and self.standing.line is not None
        return there and not self.keeps and not (self.follows and self.takes)

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
class LinesOfQuote:
    """How many lines applying the rows adds to a quote, counts anew and takes off; ``usual``: put on as usual ones."""

    added: int
    changed: int
    removed: int
    usual: int

    @property
    def words(self) -> str:
        """``12 lines added, 6 changed, 3 removed``; empty where nothing changes."""
        counts = ((self.added, "added"), (self.changed, "changed"), (self.removed, "removed"))
        parts = [f"{count} {word}" for count, word in counts if count]
        if not parts:
            return ""
        first = parts[0].split(" ", 1)
        return ", ".join([f"{first[0]} {'line' if first[0] == '1' else 'lines'} {first[1]}", *parts[1:]])


@dataclass(frozen=True, slots=True)
class Reconciliation:
    """All rows of taking a list into a quote. ``rest`` are minutes and cents of lines no row speaks of."""

    rows: tuple[Row, ...]
    rest: tuple[int, int]
    begins: bool  # a quote that is not there yet, with its usual lines as what stands there
    into: str = "quote"

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
    def lines(self) -> LinesOfQuote:
        """What becomes of the lines of the quote; a line that only gets another reason is not changed."""
        usual = sum(row.is_new and row.keeps for row in self.rows)
        return LinesOfQuote(
            added=sum(row.takes and not row.follows for row in self.rows) + (0 if self.begins else usual),
            changed=sum(row.takes and row.follows and row.changes for row in self.rows),
            removed=sum(row.goes for row in self.rows), usual=usual,
        )  # fmt: skip

    @property
    def twice(self) -> tuple[Row, ...]:
        """Rows that leave something on the quote twice: beside anything counted of the same item, task or part."""
        taken = [row.counted for row in self.rows if row.takes and row.counted is not None]
        keys = {one.key for one in taken}
        gone = [row.standing for row in self.rows if row.keeps and row.counted is None and row.standing is not None]
        same = {(one.of, one.of_id) for one in taken if one.of_id is not None}
        same |= {(one.of, one.of_id) for one in gone if one.takeoff_key and one.of_id is not None}
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


def reason_of_answer(row: Row, by: str) -> str:
    """Why a row is as it is, where somebody said so: ``kept, switched by you``. ``by``: who, and when."""
    counted = row.counted
    if row.takes and counted is not None:
        return f"{by}: {counted.reason}"
    if counted is not None and row.standing is None:
        return f"left out, {by}"
    off = "not on this job" if row.is_new else "taken off"
    if counted is None:
        return f"{'kept' if row.keeps else off}, {by}"
    many = format_quantity(counted.quantity, counted.unit)
    return f"{'kept' if row.keeps else off}, {by}; {many} counted, not taken"


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
    if isinstance(line, LabourLine):
        assert isinstance(counted.source, TaskTotal)
        of_spaces = line.factor_percent == counted.source.pick.factor_percent
        return (line.quantity, line.task_id, of_spaces) != (counted.quantity, counted.of_id, True)
    return (line.net_quantity, line.item_id) != (counted.quantity, counted.of_id)


def _followed(standing: Standing, counted: Counted) -> tuple[int, int]:
    """A followed line counted anew: typed minutes, crew and unit cost of the same item stay."""
    line = standing.line
    if isinstance(line, LabourLine):
        assert isinstance(counted.source, TaskTotal)
        factor = counted.source.pick.factor_percent
        minutes = recount_labour(line, quantity=counted.quantity, factor_percent=factor).minutes
        return minutes, labour_cents(minutes, line.rate_cents)
    assert isinstance(line, MaterialLine)
    if line.item_id != counted.of_id or not isinstance(counted.source, Bought):
        return 0, counted.cents or 0
    fresh = recount_material(line, net_quantity=counted.quantity, waste_percent=type(line.waste_percent)(0))
    return 0, line_cents(fresh.quantity, line.unit_cost)
