"""Inside diameters of Schedule 40 plastic pipe, and which of the two published ones is meant.

ASTM D1785 fixes the outside diameter and the least wall; D2665 takes the same walls. Outside less two least walls is
the diameter that pipe tables print, and the one used unless the owner chooses otherwise. A real pipe's wall lies half
a tolerance above the least, so its bore is a little smaller and 3 in pipe loses 4% more: well inside the band that
the losses are shown with.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from domain.errors import NotUnderstood

BORES = {"table": "as pipe tables print it", "average": "as the average pipe has it"}
"""The two inside diameters to choose from."""


@dataclass(frozen=True, slots=True)
class PipeSize:
    """Inches. Outside diameter and least wall: ASTM D1785, read in stored copies. Wall tolerance: from memory; with
    it 3 in and 4 in come to the average bores read second-hand (3.042 and 3.998)."""

    outside_in: float
    least_wall_in: float
    wall_tolerance_in: float

    @property
    def table_bore_in(self) -> float:
        """Outside less two least walls."""
        return round(self.outside_in - 2 * self.least_wall_in, 4)

    @property
    def average_bore_in(self) -> float:
        """Outside less two walls in the middle of their tolerance."""
        return round(self.outside_in - 2 * self.least_wall_in - self.wall_tolerance_in, 4)


SCHEDULE_40 = {
    Decimal("1.5"): PipeSize(1.900, 0.145, 0.020),
    Decimal(2): PipeSize(2.375, 0.154, 0.020),
    Decimal(3): PipeSize(3.500, 0.216, 0.026),
    Decimal(4): PipeSize(4.500, 0.237, 0.028),
    Decimal(6): PipeSize(6.625, 0.280, 0.034),
}
"""By nominal size in inches."""


def inside_diameter_in(size: Decimal | int | float, bore: str = "table") -> float:
    """Inside diameter in inches of Schedule 40 pipe of a nominal size in inches; ``bore`` is "table" or "average".

    Raises NotUnderstood for a size that is not made or not kept here, ValueError for another ``bore``.
    """
    if bore not in BORES:
        raise ValueError(f"no such bore: {bore}; choose from {', '.join(BORES)}")
    try:
        found = _bore(size if isinstance(size, Decimal) else Decimal(str(size)), bore)
    except (ArithmeticError, TypeError, ValueError):
        found = None
    if found is None:
        known = ", ".join(f"{each:f}" for each in SCHEDULE_40)
        named = f"{size.normalize():f}" if isinstance(size, Decimal) and size.is_finite() else str(size)
        raise NotUnderstood(f"No {named[:20]} in pipe is known. Choose {known} in.", str(size))
    return found


@lru_cache(maxsize=64)
def _bore(size: Decimal, bore: str) -> float | None:
    pipe = SCHEDULE_40.get(size)
    if pipe is None:
        return None
    return pipe.table_bore_in if bore == "table" else pipe.average_bore_in
