"""One quote seen with the eyes of finished jobs: hours and cost as they usually end, and what the price does to that.

    cost of a job = its minutes x (labour + overhead of a minute as quoted) + materials with their tax + other costs

Hours and materials come from the record (``domain.track_record``), other costs stand as quoted. The forecast starts
from what the owner meant himself: a correction that was taken moves the price, never the forecast.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from domain.money import divide_cents, labour_cents, price_for_margin
from domain.quoting.lines import LabourLine, QuoteDocument
from domain.quoting.price import Costs, Totals, round_up
from domain.track_record import (
    Basis,
    CostForecast,
    Forecast,
    MaterialRecord,
    QuotedTask,
    forecast_cost,
)

PRICE_CHANCE = 0.8
"""A price holds when so large a part of jobs like it would not have cost more (ours, no source)."""


@dataclass(frozen=True, slots=True)
class Outlook:
    """A quote, its forecast and its price.

    Attributes:
        own_minutes: what the owner meant, without any correction.
        totals: the price with the parts looked at.
        target_percent: the margin the owner wants, percent of the price.
        goods_over_cents: materials in the middle case less as quoted; below nothing where they tend to be less.
        lines: the labour lines forecast, in the order of ``hours.lines``.
    """

    hours: Forecast
    cost: CostForecast
    totals: Totals
    own_minutes: int
    target_percent: Decimal
    owner_rate_cents: int
    helper_rate_cents: int
    rounding_cents: int
    lines: tuple[LabourLine, ...] = field(repr=False, default=())
    goods_over_cents: int = 0

    @property
    def tells_odds(self) -> bool:
        """Whether there are finished jobs of this type enough for odds; without, nothing below may be shown as one."""
        return self.hours.tells_odds

    @property
    def has_helper(self) -> bool:
        """Whether a helper costs something else than the owner: without one his rate stands in for a helper's."""
        return bool(self.helper_rate_cents) and self.helper_rate_cents != self.owner_rate_cents

    @property
    def middle_cost_cents(self) -> int:
        """The cost in the middle case; as quoted where there are no odds."""
        return self.cost.median_cents if self.tells_odds else self.totals.cost_cents

    @property
    def loss_chance(self) -> float:
        """The chance that the job costs more than the price after goodwill."""
        return self.cost.probability_over(self.totals.net_price_cents)

    @property
    def target_chance(self) -> float:
        """The chance that the margin wanted is reached."""
        kept = Decimal(self.totals.net_price_cents) * (100 - self.target_percent) / 100
        return 1 - self.cost.probability_over(int(kept))

    @property
    def middle_result_cents(self) -> int:
        """Price after goodwill less the cost in the middle case; negative when it loses money."""
        return self.totals.net_price_cents - self.middle_cost_cents

    def price_without_loss(self, chance: float = PRICE_CHANCE) -> int:
        """The list price at which the job covers its cost with this chance; goodwill is added, rounded up."""
        return self._listed(self.cost.quantile(chance))

    @property
    def price_for_target(self) -> int:
        """The list price at which the middle case reaches the margin wanted; goodwill is added, rounded up."""
        return self._listed(price_for_margin(self.cost.median_cents, self.target_percent))

    @property
    def floor_cents(self) -> int | None:
        """The list price below which the owner works for less than a helper costs, or than his own draw without one.

        cost in the middle case, with the owner's time at the helper's rate where there is a helper. None without the
        cost of an hour, or when none of the work is the owner's.
        """
        own = self.middle_owner_minutes
        if not own or not self.owner_rate_cents:
            return None
        if not self.has_helper:
            return self._listed(self.middle_cost_cents)
        at_helper = labour_cents(own, self.helper_rate_cents) - labour_cents(own, self.owner_rate_cents)
        return self._listed(self.middle_cost_cents + at_helper)

    @property
    def middle_owner_minutes(self) -> int:
        """The owner's own minutes in the middle case: his share of the quoted minutes."""
        costs = self.totals.costs
        if not self.tells_odds:
            return costs.owner_minutes
        return divide_cents(self.hours.median_minutes * costs.owner_minutes, costs.minutes) if costs.minutes else 0

    @property
    def goodwill_minutes(self) -> int | None:
        """How much of the owner's time the goodwill gives away, at what an hour of his costs; None without a rate."""
        if not self.owner_rate_cents:
            return None
        return divide_cents(self.totals.goodwill_cents * 60, self.owner_rate_cents)

    def expected_of(self) -> dict[int, int]:
        """Minutes expected by id of a stored labour line, unquoted work left out."""
        found = zip(self.lines, self.hours.lines, strict=True)
        return {line.id: seen.median_minutes for line, seen in found if line.id and seen.task.quoted_minutes}

    @property
    def lines_minutes(self) -> int:
        """What the lines come to once the whole correction is taken: what is expected of them, others as quoted."""
        expected = self.expected_of()
        return sum(expected.get(line.id, line.minutes) for line in self.lines)

    @property
    def left_minutes(self) -> int:
        """What finished jobs expect of the whole beyond its corrected lines: work nobody quotes, above all."""
        return self.hours.median_minutes - self.lines_minutes

    def _listed(self, net_cents: int) -> int:
        return round_up(net_cents + self.totals.goodwill_cents, self.rounding_cents)


def own_lines(
    document: QuoteDocument, option_ids: Collection[int], names: Mapping[int, str], job_type: str,
    conditions: Collection[str],
) -> tuple[tuple[LabourLine, ...], list[QuotedTask]]:  # fmt: skip
    """The labour of the base and these options, as the owner meant it: what a forecast starts from."""
    lines = tuple(line for line in document.labour if line.option_id is None or line.option_id in option_ids)
    tasks = [
        QuotedTask(
            job_type, names.get(line.task_id, ""), conditions,
            line.minutes if line.own_minutes is None else line.own_minutes,
        )
        for line in lines
    ]  # fmt: skip
    return lines, tasks


def priced_outlook(
    document: QuoteDocument, totals: Totals, hours: Forecast, lines: tuple[LabourLine, ...],
    materials: MaterialRecord, target_percent: Decimal, cost: CostForecast | None = None,
) -> Outlook:  # fmt: skip
    """Put a forecast of hours beside the price of the same parts; ``cost`` when it is known already."""
    quote, costs = document.quote, totals.costs
    goods = materials.forecast(hours.job_type, (), costs.materials_cents + costs.purchase_tax_cents)
    if cost is None:
        cost = forecast_cost(hours, minute_rate(costs, quote.overhead_rate_cents), goods, costs.other_cents)
    return Outlook(
        hours=hours, cost=cost, totals=totals, own_minutes=hours.quoted_minutes, target_percent=target_percent,
        owner_rate_cents=quote.owner_rate_cents, helper_rate_cents=quote.helper_rate_cents,
        rounding_cents=quote.rounding_cents, lines=lines,
        goods_over_cents=goods.median_cents - goods.quoted_cents if goods.basis is Basis.OWN_TYPE else 0,
    )  # fmt: skip


def minute_rate(costs: Costs, overhead_rate_cents: int) -> int:
    """What an hour of this mix of hands costs, overhead included, in cents."""
    labour = divide_cents(costs.labour_cents * 60, costs.minutes) if costs.minutes else 0
    return labour + overhead_rate_cents
