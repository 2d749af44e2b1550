"""The same job done or sold another way, side by side: hours, hands, visits, a fixed price or time with a cap."""

from __future__ import annotations

from dataclasses import dataclass

from domain.job_price.outlook import Outlook, minute_rate
from domain.money import divide_cents, labour_cents, price_for_margin
from domain.quoting.price import Costs

VISIT_MINUTES = 90
"""A second visit where no travel is quoted: the way there and back, and setting up again (ours, no source)."""

_CASES = [(step + 0.5) / 100 for step in range(100)]


@dataclass(frozen=True, slots=True)
class WhatIf:
    """One way of doing it. Money in cents; chances as parts of one.

    Attributes:
        minutes: in the middle case, the owner's and the helper's.
        own_minutes: the owner's of them.
        price_cents: after goodwill, in the middle case.
        left_cents: price less cost in the middle case.
        loss_chance: that the price does not cover the cost.
        own_hour_cents: what is left for one own hour in the middle case; None when none of it is the owner's.
    """

    name: str
    note: str
    minutes: int
    own_minutes: int
    price_cents: int
    cost_cents: int
    left_cents: int
    loss_chance: float
    own_hour_cents: int | None


def what_ifs(outlook: Outlook, costs: Costs, overhead_rate_cents: int, *, travel_minutes: int = 0) -> list[WhatIf]:
    """The quote as it stands and the ways around it.

    Args:
        travel_minutes: what the quote has for the way there and back; a second visit takes as much again.
    """
    rate = minute_rate(costs, overhead_rate_cents)
    minutes, own, price = outlook.hours.median_minutes, outlook.middle_owner_minutes, outlook.totals.net_price_cents
    as_asked = ("As it stands", "the price asked, the hours finished jobs expect")
    priced_in = ("Expected hours priced in", "the margin wanted on those hours")
    wanted = outlook.price_for_target - outlook.totals.goodwill_cents
    found = [
        _case(outlook, *as_asked, minutes, own, price, 0),
        _case(outlook, *priced_in, minutes, own, wanted, 0),
    ]
    if outlook.has_helper and own:
        half = own // 2
        cheaper = labour_cents(half, outlook.helper_rate_cents) - labour_cents(half, outlook.owner_rate_cents)
        note = "half of your own work done by a helper in the same hours"
        found.append(_case(outlook, "With a helper", note, minutes, own - half, price, cheaper))
    visit = travel_minutes or VISIT_MINUTES
    found.append(
        _case(outlook, "A second visit", "coming back once: travel and setting up again", minutes + visit, own + visit,
              price, labour_cents(visit, rate))
    )  # fmt: skip
    found.append(_time_with_cap(outlook, minutes, own, price))
    return found


def _case(outlook: Outlook, name: str, note: str, minutes: int, own: int, price: int, more_cents: int) -> WhatIf:
    cost = outlook.cost.median_cents + more_cents
    return WhatIf(
        name, note, minutes, own, price, cost, price - cost, outlook.cost.probability_over(price - more_cents),
        _own_hour(outlook, price - cost, own),
    )  # fmt: skip


def _time_with_cap(outlook: Outlook, minutes: int, own: int, cap: int) -> WhatIf:
    """Billed is cost with the margin wanted, never more than the price asked; a hundred equally likely costs."""
    billed = [
        (min(cap, price_for_margin(cost, outlook.target_percent)), cost)
        for cost in (outlook.cost.quantile(part) for part in _CASES)
    ]
    cost = outlook.cost.median_cents
    price = min(cap, price_for_margin(cost, outlook.target_percent))
    lost = sum(1 for bill, spent in billed if bill < spent) / len(billed)
    return WhatIf(
        "Time and materials, capped", "what it took with the margin wanted, never above the price asked", minutes, own,
        price, cost, price - cost, lost, _own_hour(outlook, price - cost, own),
    )  # fmt: skip


def _own_hour(outlook: Outlook, left_cents: int, own_minutes: int) -> int | None:
    if own_minutes <= 0:
        return None
    return divide_cents((left_cents + labour_cents(own_minutes, outlook.owner_rate_cents)) * 60, own_minutes)
