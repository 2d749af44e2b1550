"""What speaks against a day: visits that overlap, the way between them, too much for one day, rules not met.

The way from one house to another is not known, only the way of each visit there and back. Two one-way drives a and b
from home bound the way between by the triangle inequality: at least |a - b|, at most a + b.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from domain.calendar.visits import KIND_WORDS, PlannedVisit, Visit, time_words
from domain.units import format_minutes

OVERLAP, TIGHT, FULL, ORDER = "overlap", "tight", "full", "order"


@dataclass(frozen=True, slots=True)
class Clash:
    """One thing that speaks against a visit where it is put; nothing is forbidden, the owner decides."""

    kind: str  # overlap | tight | full | order
    words: str
    other_id: int | None = None

    @property
    def is_hard(self) -> bool:
        """It cannot be done as it is planned."""
        return self.kind == OVERLAP


def drive_between(first: Visit, second: Visit) -> tuple[int, int]:
    """The least and the most minutes from one visit's place to the other's; none within one job."""
    if first.job_id is not None and first.job_id == second.job_id:
        return 0, 0
    there, here = -(-first.travel_minutes // 2), -(-second.travel_minutes // 2)
    return abs(there - here), there + here


def clashes(candidate: Visit, others: Iterable[PlannedVisit], capacity_minutes: int) -> list[Clash]:
    """All that speaks against a candidate among the visits of its days, the hardest first.

    Args:
        candidate: the visit as it would stand.
        others: visits around that day; called-off ones and the candidate itself are passed over.
        capacity_minutes: what fits into the day.
    """
    days = [
        one
        for one in others
        if one.visit.stands and one.visit.id != candidate.id and one.visit.day == candidate.day
    ]
    found = [clash for one in days if (clash := _against(candidate, one)) is not None]
    used = candidate.own_minutes + sum(one.visit.own_minutes for one in days)
    if candidate.takes_own_time and used > capacity_minutes:
        over = used - capacity_minutes
        words = (
            f"{format_minutes(used)} for a day of {format_minutes(capacity_minutes)}: {format_minutes(over)} too much."
            if capacity_minutes
            else f"No working day; {format_minutes(used)} would stand on it."
        )
        found.append(Clash(FULL, words))
    rank = (OVERLAP, ORDER, TIGHT, FULL)
    return sorted(found, key=lambda clash: rank.index(clash.kind))


def _against(candidate: Visit, other: PlannedVisit) -> Clash | None:
    visit = other.visit
    if candidate.starts_at is None or visit.starts_at is None:
        return None
    both_own = bool(candidate.takes_own_time and visit.takes_own_time)
    if not both_own and not _same_helper(candidate, visit):
        return None
    first, second = sorted((candidate, visit), key=lambda one: (one.starts_at or 0, one.id))
    gap = (second.starts_at or 0) - (first.ends_at or 0)
    name = f"{other.words}, {time_words(visit)}"
    if gap < 0:
        whose = "Overlaps" if both_own else f"{visit.who or 'The same people'} cannot be at two places: overlaps"
        return Clash(OVERLAP, f"{whose} {name}.", visit.id)
    if not both_own:
        return None
    least, most = drive_between(first, second)
    if gap < least:
        words = f"{format_minutes(gap)} between this and {name}, and the drive takes {format_minutes(least)} at least."
        return Clash(OVERLAP, words, visit.id)
    if gap < most:
        words = f"Only {format_minutes(gap)} between this and {name}; the drive may take {format_minutes(most)}."
        return Clash(TIGHT, words, visit.id)
    return None


def _same_helper(first: Visit, second: Visit) -> bool:
    if first.supplier_id is not None and first.supplier_id == second.supplier_id:
        return True
    name = first.who.strip().casefold()
    return bool(name) and name == second.who.strip().casefold()


def order_clashes(candidate: Visit, of_job: Sequence[Visit]) -> list[Clash]:
    """A visit before what must come first on its job: a pick-up before the test stands, and the like.

    The hours between fan and test are judged by `domain.calendar.steps_back`.
    """
    found = []
    for earlier, later in _ORDER:
        if candidate.kind == later:
            firsts = [one for one in of_job if one.stands and one.kind == earlier and one.id != candidate.id]
            if firsts and all(_begins_before(candidate, one) for one in firsts):
                found.append(Clash(ORDER, f"{KIND_WORDS[later]} before {KIND_WORDS[earlier].lower()}."))
        elif candidate.kind == earlier:
            lasts = [one for one in of_job if one.is_open and one.kind == later and one.id != candidate.id]
            if any(_begins_before(one, candidate) for one in lasts):
                found.append(Clash(ORDER, f"{KIND_WORDS[later]} is booked before this."))
    return found


_ORDER = (
    ("survey", "work"),
    ("work", "test_placed"),
    ("test_placed", "test_picked_up"),
    ("work", "inspection"),
)


def _begins_before(first: Visit, second: Visit) -> bool:
    """Certainly earlier: without an hour only another day tells."""
    if first.day != second.day:
        return first.day < second.day
    return first.starts_at is not None and second.starts_at is not None and first.starts_at < second.starts_at
