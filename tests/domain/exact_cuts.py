"""The fewest new sticks by an integer programme (scipy, HiGHS): a second way to the same answer, for tests only."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp


def fewest_sticks(pieces: Sequence[int], stick: int, kerf: int, offcuts: Sequence[int], at_most: int) -> int:
    """How many of each length go on each offcut and each of ``at_most`` sticks, with the fewest sticks begun.

    A piece takes its length and a kerf; the last cut may fall beyond the end, so a stick has room for one kerf more.
    """
    lengths = sorted(Counter(pieces).items())
    bins = [*offcuts, *([stick] * at_most)]
    kinds, columns = len(lengths), len(bins)
    size = kinds * columns + at_most
    rows, low, high = [], [], []
    for kind, (_, number) in enumerate(lengths):
        row = np.zeros(size)
        row[kind * columns : (kind + 1) * columns] = 1
        rows.append(row)
        low.append(float(number))
        high.append(float(number))
    for column, room in enumerate(bins):
        row = np.zeros(size)
        row[[kind * columns + column for kind in range(kinds)]] = [length + kerf for length, _ in lengths]
        if column >= len(offcuts):
            row[kinds * columns + column - len(offcuts)] = -(stick + kerf)
        rows.append(row)
        low.append(-np.inf)
        high.append(0.0 if column >= len(offcuts) else float(room + kerf))
    most = np.concatenate([np.repeat([float(number) for _, number in lengths], columns), np.ones(at_most)])
    begun = np.concatenate([np.zeros(kinds * columns), np.ones(at_most)])
    found = milp(
        begun,
        constraints=LinearConstraint(np.array(rows), np.array(low), np.array(high)),
        integrality=np.ones(size),
        bounds=Bounds(0, most),
    )
    assert found.status == 0, found.message
    return round(found.fun)
