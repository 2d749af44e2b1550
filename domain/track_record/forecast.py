"""What the record expects of a quote: the middle, any quantile, and what that rests on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction

from domain.track_record.cases import CASES
from domain.track_record.outcomes import QuotedTask
from domain.track_record.spread import Curve
from domain.track_record.why import Why


class Basis(Enum):
    """What a forecast rests on."""

    DEFAULT = "default"  # fewer than five finished jobs: the stated default band
    OTHER_WORK = "other work"  # fewer than five of this type: other types stand in
    OWN_TYPE = "own type"


@dataclass(frozen=True, slots=True)
class LineForecast:
    """What the record expects of one line by itself, unquoted work left out."""

    task: QuotedTask
    curve: Curve = field(repr=False)

    @property
    def median_minutes(self) -> int:
        return self.curve.at(0.0)

    def quantile(self, p: float) -> int:
        """Minutes not gone beyond with chance ``p``."""
        return self.curve.quantile(p)

    def band(self, p: float) -> tuple[int, int]:
        """Minutes that hold what happens with chance ``p``."""
        return self.curve.band(p)


@dataclass(frozen=True, slots=True)
class Forecast:
    """What the record expects of a quote as a whole, unquoted work included.

    ``jobs`` finished jobs were learned from, ``type_jobs`` of them of this job type. ``note`` is a sentence about
    how far to trust it, empty when there is nothing to warn of.
    """

    quoted_minutes: int
    job_type: str
    basis: Basis
    jobs: int
    type_jobs: int
    note: str
    lines: tuple[LineForecast, ...]
    curve: Curve = field(repr=False)
    _reasons: Callable[[], tuple[Why, ...]] = field(repr=False, compare=False)

    @property
    def median_minutes(self) -> int:
        """As likely to be gone beyond as not."""
        return self.curve.at(0.0)

    @property
    def tells_odds(self) -> bool:
        """Whether there are finished jobs of this type enough to speak of odds; before that they are cases."""
        return self.basis is Basis.OWN_TYPE and self.type_jobs > CASES

    @property
    def times(self) -> Fraction | None:
        """The middle over what was quoted; None when nothing is quoted."""
        return Fraction(self.median_minutes, self.quoted_minutes) if self.quoted_minutes else None

    @property
    def why(self) -> tuple[Why, ...]:
        """The reasons in words, each with the jobs behind it."""
        return self._reasons()

    def quantile(self, p: float) -> int:
        """Minutes not gone beyond with chance ``p``, 0 < p < 1; ValueError outside."""
        return self.curve.quantile(p)

    def band(self, p: float) -> tuple[int, int]:
        """Minutes that hold what happens with chance ``p``, ends included, 0 < p < 1; ValueError outside."""
        return self.curve.band(p)

    def probability_over(self, minutes: int) -> float:
        """The chance that more than ``minutes`` are needed."""
        return self.curve.probability_over(minutes)
