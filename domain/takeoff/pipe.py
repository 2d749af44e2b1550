"""Pipe by size: the pieces of all routes on one cut list, whole sticks to buy, and couplings where sticks must join."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal

from domain.routes.route import size_words
from domain.takeoff.cutting import CutList, CutStick, cut_list
from domain.takeoff.lines import Need, counted, sized, sized_words
from domain.takeoff.pieces import SIXTEENTHS_PER_FT, Piece, offcut_sixteenths, sixteenths
from domain.takeoff.rules import TakeoffRules
from domain.units.lengths import format_length
from domain.units.numbers import plain, to_places


@dataclass(frozen=True, slots=True)
class PipeCuts:
    """The cut list of one size."""

    size: Decimal
    stick_ft: Decimal
    plan: CutList
    belled: bool

    @property
    def rows(self) -> tuple[str, ...]:
        """A row a stick, for the truck: ``10' stick: 6' 4", 3' 2" (5" left)``."""
        return tuple(_row(stick) for stick in self.plan.sticks)


def feet_left(stick: CutStick) -> Decimal:
    """What is left of a stick, in feet, never longer than it is: rounded down to 1/1000 ft."""
    return (Decimal(stick.left) / SIXTEENTHS_PER_FT).quantize(Decimal("0.001"), ROUND_FLOOR)


def cut_feet(cut: PipeCuts, shortest_kept_ft: Decimal) -> Decimal:
    """What a cut list uses up, in feet, three places: the sticks and offcuts it opens less the leftovers worth keeping.

    So each foot is paid for once, by the job that uses it up: what goes back on the truck is the next job's.
    """
    alike = Counter(cut.plan.sticks)  # a long run is mostly whole sticks: each kind is reckoned once
    opened = sum((feet_of(stick.length) * count for stick, count in alike.items()), Decimal(0))
    left = ((feet_left(stick), count) for stick, count in alike.items())
    return opened - sum((feet * count for feet, count in left if feet >= shortest_kept_ft), Decimal(0))


def feet_of(length: int) -> Decimal:
    """Sixteenths of an inch as feet, three places."""
    return to_places(Decimal(length) / SIXTEENTHS_PER_FT, 3)


def cut_pipe(
    pieces: Iterable[Piece], rules: TakeoffRules, offcuts: Mapping[Decimal, Sequence[Decimal]], steps: int
) -> tuple[PipeCuts, ...]:
    """The cut list of each size; ``offcuts`` are the feet lying on the truck. Raises NotUnderstood for a bad one."""
    by_size: dict[Decimal, list[int]] = defaultdict(list)
    for piece in pieces:
        by_size[piece.size].append(piece.sixteenths)
    kerf = sixteenths(rules.kerf_in / 12)
    found = []
    for size, lengths in sorted(by_size.items()):
        stick_ft = rules.stick_ft.get(size, Decimal(10))
        spare = [offcut_sixteenths(feet) for feet in offcuts.get(size, ())]
        plan = cut_list(lengths, sixteenths(stick_ft), kerf, spare, steps)
        found.append(PipeCuts(size, stick_ft, plan, size in rules.belled))
    return tuple(found)


def pipe_needs(cuts: Iterable[PipeCuts], pieces: Sequence[Piece], rules: TakeoffRules) -> Iterable[Need]:
    """Sticks and couplings of each size."""
    for cut in cuts:
        own = [piece for piece in pieces if piece.size == cut.size]
        plan = cut.plan
        feet = plan.new_sticks * cut.stick_ft
        sawn = sum((feet_of(piece.sixteenths) for piece in own), Decimal(0))
        yield Need(
            sized("pipe", cut.size), "pipe", sized_words("Pipe, Schedule 40", cut.size), feet, "ft",
            _pipe_reason(cut, own), pack=cut.stick_ft, used=sawn, cut=cut_feet(cut, rules.shortest_kept_ft),
        )  # fmt: skip
        if plan.joints and not cut.belled:
            places = counted(plan.joints, "place")
            why = f"{places} where a straight piece of {size_words(cut.size)} is longer than a stick"
            words = sized_words("Coupling", cut.size)
            yield Need(sized("coupling", cut.size), "fitting", words, Decimal(plan.joints), "each", why)


def stick_joints(cuts: Iterable[PipeCuts]) -> dict[Decimal, int]:
    """Cement joints where sticks are joined: two at a coupling, one in a bell."""
    return {cut.size: cut.plan.joints * (1 if cut.belled else 2) for cut in cuts if cut.plan.joints}


def _pipe_reason(cut: PipeCuts, pieces: Sequence[Piece]) -> str:
    measured = sum((piece.measured_ft for piece in pieces), Decimal(0))
    short = sum(1 for piece in pieces if piece.short)
    straight = len(pieces) - short
    words = f"{counted(cut.plan.new_sticks, 'stick')} of {plain(cut.stick_ft)} ft: {plain(measured)} ft measured"
    words += f" in {counted(straight, 'straight piece')}"
    if short:
        words += f" and {counted(short, 'short piece')} between fittings"
    if cut.plan.offcuts_used:
        words += f", {counted(len(cut.plan.offcuts_used), 'offcut')} used first"
    if cut.plan.joints and cut.belled:
        words += f", {counted(cut.plan.joints, 'joint')} in belled ends"
    return f"{words}; {_proof(cut.plan)}"


def _proof(plan: CutList) -> str:
    if plan.proven_however_joined:
        return "fewer sticks cannot do" if plan.new_sticks else "no new stick is needed"
    if plan.proven:
        return "fewer sticks cannot do without one more joint"
    return f"not proven to be the fewest, at least {plan.at_least}"


def _row(stick: CutStick) -> str:
    source = "offcut" if stick.is_offcut else "stick"
    cuts = ", ".join(_inches(cut) for cut in stick.cuts)
    left = f" ({_inches(stick.left)} left)" if stick.left else ""
    return f"{_inches(stick.length)} {source}: {cuts}{left}"


def _inches(length: int) -> str:
    return format_length(Decimal(length) / SIXTEENTHS_PER_FT, "ft-in")
