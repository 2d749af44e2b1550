"""What an hour costs the company: a person's burdened hour and the overhead on it, as ladders that add up."""

from domain.company_costs.hour import hour_ladder
from domain.company_costs.ladder import Ladder, LadderStep
from domain.company_costs.overhead import OverheadItem, overhead_ladder
from domain.company_costs.payroll import HELPER, OWNER, PersonCosts

__all__ = [
    "HELPER",
    "OWNER",
    "Ladder",
    "LadderStep",
    "OverheadItem",
    "PersonCosts",
    "hour_ladder",
    "overhead_ladder",
]
