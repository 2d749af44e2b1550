"""What a quote as a whole is expected to cost: forecast hours at their rate, forecast materials, and the rest."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field

from domain.money import labour_cents
from domain.track_record.forecast import Forecast
from domain.track_record.materials import MaterialForecast


@dataclass(frozen=True, slots=True)
class CostForecast:
    """The distribution of a job's cost, as equally likely sums in order."""

    _sums: tuple[int, ...] = field(repr=False)

    @property
    def median_cents(self) -> int:
        return self.quantile(0.5)

    def quantile(self, p: float) -> int:
        """Cents not gone beyond with chance ``p``, 0 < p < 1; ValueError outside."""
        if not 0 < p < 1:
            raise ValueError("a quantile is asked for a chance between 0 and 1")
        return self._sums[min(len(self._sums) - 1, int(p * len(self._sums)))]

    def band(self, p: float) -> tuple[int, int]:
        """Cents that hold the cost with chance ``p``, 0 < p < 1, with equal tails."""
        return self.quantile((1 - p) / 2), self.quantile((1 + p) / 2)

    def probability_over(self, cents: int) -> float:
        """The chance that the job costs more than ``cents``."""
        return 1 - bisect_right(self._sums, cents) / len(self._sums)


def forecast_cost(
    hours: Forecast, rate_cents: int, materials: MaterialForecast | None = None, other_cents: int = 0
) -> CostForecast:
    """The cost of a quote: minutes at ``rate_cents`` per hour (burdened, overhead included), materials, other costs.

    Every one of a hundred equally likely times is put with every one of a hundred equally likely costs of
    materials: the two are taken to miss independently. Other costs are taken as quoted.
    """
    labour = [labour_cents(minutes, rate_cents) + other_cents for minutes in hours.curve.points()]
    goods = materials.curve.points() if materials and materials.quoted_cents else (0,)
    return CostForecast(tuple(sorted(time + cost for time in labour for cost in goods)))
