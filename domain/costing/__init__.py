"""Quoted against actual: the variance tree of a job and margins of any grouping."""

from domain.costing.causes import CausedTime, cause_shares
from domain.costing.figures import (
    CauseShare,
    JobFigures,
    LoggedLabour,
    Material,
    OtherDirect,
    QuotedLabour,
    SoldQuote,
)
from domain.costing.group_why import GroupWhy, TaskSum, group_why
from domain.costing.groups import GroupMargin, JobResult, group_of, median
from domain.costing.joined import joined_steps
from domain.costing.margins import GROUPINGS, Margins, furthest_under, margins_of
from domain.costing.own_hour import OwnHour, own_hour
from domain.costing.sentence import explain
from domain.costing.tree import (
    STEP_LABELS,
    CostVariance,
    ItemVariance,
    Step,
    TaskVariance,
    Unquoted,
    VarianceTree,
)
from domain.costing.variance import variance_tree
from domain.costing.words import PERIODS, at_most, difference_text, kind_name, period, verdict

__all__ = [
    "GROUPINGS",
    "PERIODS",
    "STEP_LABELS",
    "CauseShare",
    "CausedTime",
    "CostVariance",
    "GroupMargin",
    "GroupWhy",
    "ItemVariance",
    "JobFigures",
    "JobResult",
    "LoggedLabour",
    "Margins",
    "Material",
    "OtherDirect",
    "OwnHour",
    "QuotedLabour",
    "SoldQuote",
    "Step",
    "TaskSum",
    "TaskVariance",
    "Unquoted",
    "VarianceTree",
    "at_most",
    "cause_shares",
    "difference_text",
    "explain",
    "furthest_under",
    "group_of",
    "group_why",
    "joined_steps",
    "kind_name",
    "margins_of",
    "median",
    "own_hour",
    "period",
    "variance_tree",
    "verdict",
]
