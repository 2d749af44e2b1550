"""Which piece is sawn from which stick: the fewest new sticks, with the offcuts on the truck used first.

Whole numbers throughout (sixteenths of an inch). Each saw cut takes a kerf; what is left behind the last piece may be
less than a kerf. A piece longer than a stick is whole sticks joined and a remainder; with one stock length and the
fewest joints no other division needs fewer sticks (whatever else lay on those sticks fits beside the remainder). With
offcuts that does not hold: two of them joined may make what a stick and a remainder make here.
The answer is proven by a lower bound it meets, or by branch and bound over whole sticks ("bin completion": Korf's name
for filling one bin at a time, known from memory). When the search is given up the answer says so: at most so many
sticks fewer are possible.

Two claims are kept apart. With joints wherever one likes, nothing but length limits: ``new_sticks == joined_at_least``
says that fewer sticks cannot do, whatever is joined. Else ``proven`` says it for as few joints as can be.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from domain.takeoff.stick_bounds import sticks_at_least
from domain.takeoff.stick_search import Plan, StickSearch

QUICK, THOROUGH = 500, 400_000
"""Steps of the search: while someone types, and when there is time."""


@dataclass(frozen=True, slots=True)
class CutStick:
    """One stick or offcut and the pieces sawn from it, in sixteenths of an inch."""

    length: int
    is_offcut: bool
    cuts: tuple[int, ...]
    left: int


@dataclass(frozen=True, slots=True)
class CutList:
    """How everything is sawn.

    ``at_least`` is the number of new sticks no plan with as few joints as can be does without, ``joined_at_least``
    what no plan at all does without, however the stock is joined.
    """

    sticks: tuple[CutStick, ...]
    new_sticks: int
    at_least: int
    joints: int
    joined_at_least: int = 0

    @property
    def proven(self) -> bool:
        """Whether no plan with as few joints as can be needs fewer new sticks."""
        return self.new_sticks == self.at_least

    @property
    def proven_however_joined(self) -> bool:
        """Whether no plan at all needs fewer new sticks, not even one that joins offcuts into a piece."""
        return self.new_sticks == self.joined_at_least

    @property
    def offcuts_used(self) -> tuple[CutStick, ...]:
        """What comes from the truck."""
        return tuple(stick for stick in self.sticks if stick.is_offcut)


def split_long(piece: int, stick: int) -> tuple[int, int]:
    """Whole sticks and the remainder of a piece; a piece that fits is a remainder only.

    The joints it needs are the sticks less one: ceil(piece / stick) - 1.
    """
    if piece <= stick:
        return 0, piece
    whole, rest = divmod(piece, stick)
    return (whole, rest) if rest else (whole, 0)


def joints_of(piece: int, stick: int) -> int:
    """Places where sticks must be joined within one straight piece: ceil(piece / stick) - 1."""
    return max(0, -(-piece // stick) - 1)


def cut_list(
    pieces: Sequence[int], stick: int, kerf: int = 0, offcuts: Sequence[int] = (), steps: int = THOROUGH
) -> CutList:
    """The fewest new sticks for these pieces, with a plan; sixteenths of an inch.

    Raises ValueError when a length is not positive, or no whole number of sixteenths.
    """
    if not all(isinstance(length, int) for length in (stick, kerf, *pieces, *offcuts)):
        raise ValueError("lengths of pieces, sticks and offcuts are whole sixteenths of an inch")
    if stick <= 0 or kerf < 0 or min(pieces, default=1) <= 0 or min(offcuts, default=1) <= 0:
        raise ValueError("lengths of pieces, sticks and offcuts are more than nothing")
    return _cut_list(tuple(sorted(pieces, reverse=True)), stick, kerf, tuple(sorted(offcuts, reverse=True)), steps)


@lru_cache(maxsize=512)
def _cut_list(pieces: tuple[int, ...], stick: int, kerf: int, offcuts: tuple[int, ...], steps: int) -> CutList:
    whole = sum(split_long(piece, stick)[0] for piece in pieces)
    rests = sorted((rest for piece in pieces if (rest := split_long(piece, stick)[1])), reverse=True)
    room = stick + kerf
    items = [rest + kerf for rest in rests]  # each piece with its cut; the last cut may fall beyond the end
    spare = [offcut + kerf for offcut in offcuts if offcut >= min(rests, default=stick + 1)]
    plan, least = _pack(items, room, spare, steps)
    sticks = [CutStick(stick, False, (stick,), 0)] * whole
    used: list[CutStick] = []
    for capacity, cuts in plan:
        sawn = tuple(cut - kerf for cut in cuts)
        left = max(0, capacity - kerf - sum(cuts))
        used.append(CutStick(capacity - kerf, len(used) < len(spare), sawn, left))
    sticks += [made for made in used if made.cuts]
    fresh = sum(1 for made in used if made.cuts and not made.is_offcut)
    joints = sum(joints_of(piece, stick) for piece in pieces)
    joined = max(0, -(-(sum(pieces) - sum(offcuts)) // stick))
    least = joined if whole and offcuts else max(joined, whole + least)
    return CutList(tuple(sticks), whole + fresh, least, joints, joined)


def _pack(items: list[int], room: int, spare: list[int], steps: int) -> tuple[Plan, int]:
    """A plan for items sorted from long to short, and the number of new sticks none can go below."""
    least = sticks_at_least(items, room, spare)
    best = _best_fit(items, room, spare)
    if len(best) - len(spare) > least:
        best = min((best, _least_slack(items, room, spare)), key=len)
    if len(best) - len(spare) <= least:
        return best, len(best) - len(spare)
    search = StickSearch(items, room, spare, best, least, steps)
    best = search.run()
    return best, least if search.given_up else len(best) - len(spare)


def _best_fit(items: list[int], room: int, spare: list[int]) -> Plan:
    """Long pieces first, each where the least is left; an offcut before a new stick."""
    plan: Plan = [(capacity, []) for capacity in spare]
    left = list(spare)
    for item in items:
        fitting = [number for number in range(len(plan)) if left[number] >= item]
        if fitting:
            number = min(fitting, key=lambda n: (n >= len(spare), left[n]))
        else:
            plan.append((room, []))
            left.append(room)
            number = len(plan) - 1
        plan[number][1].append(item)
        left[number] -= item
    return plan


def _least_slack(items: list[int], room: int, spare: list[int]) -> Plan:
    """Stick by stick the set of pieces that leaves the least: the offcuts first, then each from its longest piece."""
    plan: Plan = []
    rest = list(items)
    for capacity in spare:
        chosen = _fullest(rest, capacity)
        plan.append((capacity, chosen))
        for item in chosen:
            rest.remove(item)
    while rest:
        chosen = [rest[0], *_fullest(rest[1:], room - rest[0])]
        plan.append((room, chosen))
        for item in chosen:
            rest.remove(item)
    return plan


def _fullest(items: list[int], capacity: int, looked_at: int = 150) -> list[int]:
    """The set of items that fills a capacity best, by a short search from long to short."""
    best: list[int] = []
    best_sum, looks = 0, 0

    def search(start: int, left: int, chosen: list[int]) -> bool:
        nonlocal best, best_sum, looks
        looks += 1
        if capacity - left > best_sum:
            best, best_sum = list(chosen), capacity - left
        if left == 0 or looks > looked_at:
            return True
        previous = -1
        for position in range(start, len(items)):
            item = items[position]
            if item <= left and item != previous:
                previous = item
                chosen.append(item)
                if search(position + 1, left - item, chosen):
                    return True
                chosen.pop()
        return False

    search(0, capacity, [])
    return best
