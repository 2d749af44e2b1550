"""Widens or narrows bands by what was missed before: type by type, and for all work lately.

The second is a control that needs no model: after a job outside its 80% band the next bands grow by a step, after
one inside they shrink by a quarter of it, so that over any long stretch, whatever the work did, about four in five
were inside. (I. Gibbs and E. Candes, "Adaptive conformal inference under distribution shift", 2021, from memory; the
step is taken here on the logarithm of the width instead of the share outside.) Steps are large while little is known
and small afterwards, so that one record asked about many jobs is not left with a momentary width.
"""

from __future__ import annotations

from math import exp

_PULL = 8.0  # so many jobs of usual width does a type start from
_FADE = 0.5 ** (1 / 300)
_CALM = 5.0  # one far miss counts as this
_OUTSIDE = 0.2
_MOST = 1.0
_FIRST_STEP, _LAST_STEP, _EASING = 0.05, 0.006, 120.0


class Widths:
    """What past bands missed. ``part``: what a unit counts for, below 1 where several come from one job."""

    def __init__(self, part: float = 1.0) -> None:
        self._part = part
        self._seen = 0
        self._log = 0.0
        self._types: dict[str, list[float]] = {}  # sum of sizes, and how many, both fading

    @property
    def restless(self) -> float:
        """The factor for all work."""
        return exp(self._log)

    def see(self, kind: str, size: float, inside: bool) -> None:
        """Take in a finished unit: its miss over its spread unwidened, and whether its 80% band held it."""
        own = self._types.setdefault(kind, [0.0, 0.0])
        own[0] = own[0] * _FADE + min(_CALM, size)
        own[1] = own[1] * _FADE + 1
        step = self._part * max(_LAST_STEP, _FIRST_STEP / (1 + self._seen / _EASING))
        self._seen += 1
        self._log = max(-_MOST, min(_MOST, self._log + step * ((0.0 if inside else 1.0) - _OUTSIDE)))

    def factors(self) -> dict[str, float]:
        """How much farther than others, spread for spread, each type has missed; pulled toward no farther."""
        sizes, count = (sum(own[part] for own in self._types.values()) for part in (0, 1))
        if not sizes:
            return {}
        usual = sizes / count
        return {kind: (size / usual + _PULL) / (seen + _PULL) for kind, (size, seen) in self._types.items()}
